"""How many terminals sit on each ground stud?"""

from collections.abc import Iterator

from elec.answers.grounds.grounding import GroundPoint, ground_points
from elec.check import check
from elec.checks.answer import answer, count
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import Limit, limit


@check(
    "No ground stud carries more terminals than hold well",
    sources=(Cite("ac4313", "11-174", "seen"), Cite("casa_21_99", "section 2 chapter 13", "seen")),
    limits=("stud-terminals",),
)
def ground_stud(study: Study) -> Iterator[Finding]:
    """A tall pile of rings loosens, and the current then passes through the thread of the stud.

    Four to a stud; more go on a block (`kind: block`) with a wire to the stud. What is on a block
    is counted against the `terminals:` that it has, where you give them.
    """
    for found in ground_points(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: GroundPoint) -> Finding:
    rule = limit(study, "stud-terminals")
    most, text = _most(study, found, rule)
    unsaid = found.kind == "structure" and found.terminals is None
    bolts = (
        f"{count(found.rings, 'terminal')} on a piece of structure; on how many bolts "
        f"is not said, and {rule.value:.0f} to a bolt is the most."
    )
    title = study.system.title("grounds", found.name)
    if most is None:
        return answer(
            study,
            found.name,
            Verdict.PASS,
            f"{title}: {text}",
            at=("grounds", found.name),
            value=float(found.rings),
            unit="terminals",
        )
    return compare(
        study,
        found.name,
        at=("grounds", found.name),
        value=float(found.rings),
        limit=most,
        unit="terminals",
        unsure=(Verdict.FAIL,) if unsaid else (),
        says=f"{title}: {text}",
        fault=f"{title}: {bolts if unsaid else text}",
        remedy="Take a block with more terminals, or set a second one."
        if found.kind == "block"
        else "Make it a block (kind: block), or set a second stud and name it as ground of some "
        "of the loads.",
        named=(rule,) if found.terminals is None else (),
    )


def _most(study: Study, found: GroundPoint, rule: Limit) -> tuple[float | None, str]:
    """How many terminals it takes (None: not said, and a block takes many), in words, too."""
    rings = count(found.rings, "terminal")
    if found.terminals is not None and (found.kind != "stud" or found.terminals < rule.value):
        where = study.system.where("grounds", found.name, "terminals")
        return float(found.terminals), f"{rings}; it has {found.terminals} ({where})."
    if found.kind == "block":
        return None, f"a block; {found.wires} end on it."
    return rule.value, f"{rings} on one stud, {rule.value:.0f} at most."
