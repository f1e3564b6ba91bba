"""How many terminals sit on each ground stud?"""

from collections.abc import Iterator

from elec.analyses.grounding import GroundPoint, ground_points
from elec.analyses.limits import limit
from elec.check import check
from elec.checks.answer import answer, count, passes, tightened
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "No ground stud carries more terminals than hold well",
    sources=(Cite("ac4313", "11-174", "seen"), Cite("casa_21_99", "section 2 chapter 13", "seen")),
    limits=("stud-terminals",),
)
def ground_stud(study: Study) -> Iterator[Finding]:
    """A tall pile of rings loosens, and the current then passes through the thread of the stud.

    Four to a stud; more go on a block (`kind: block`) with a wire to the stud.
    """
    for found in ground_points(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: GroundPoint) -> Finding:
    most = limit(study, "stud-terminals")
    title = study.system.title("grounds", found.name)
    verdict = passes(most.allows(found.rings))
    text = (
        f"{title}: {count(found.rings, 'terminal')} on one stud, {most.value:.0f} at most."
        f"{tightened(most)}"
    )
    if found.kind == "block":
        verdict, text = Verdict.PASS, f"{title} is a block; {count(found.rings, 'wire')} end on it."
    elif found.kind == "structure" and verdict is Verdict.FAIL:
        verdict = Verdict.CANNOT_TELL
        text = (
            f"{title}: {count(found.rings, 'terminal')} on a piece of structure; on how many bolts "
            f"is not said, and {most.value:.0f} to a bolt is the most.{tightened(most)}"
        )
    return answer(
        study,
        found.name,
        verdict,
        text,
        at=("grounds", found.name),
        remedy="Make it a block (kind: block), or set a second stud and name it as ground of some "
        "of the loads.",
        value=float(found.rings),
        limit=None if found.kind == "block" else most.value,
        unit="terminals",
    )
