"""Is the way through structure from each ground point to the battery good enough in ohms?"""

from collections.abc import Iterator

from elec.answers.grounds.grounding import GroundPoint, ground_points
from elec.answers.grounds.loops import LoopPiece
from elec.check import check
from elec.checks.answer import answer
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import STRUCTURE, chains
from elec.wiring.limits import limit


@check(
    "Every ground point that returns through structure is close to the battery's negative, in ohms",
    sources=(Cite("faa_h_8083", "voltage drop", "seen"),),
    limits=("ground-path",),
)
def ground_path(study: Study) -> Iterator[Finding]:
    """What the structure loses, every load on it loses, and audio on that point hears it as noise.

    Up to 5 mΩ from the source's ground to a load's ground is held satisfactory, where the current
    returns through structure; a ground with a wire is judged by its drop (feeder-drop). Clean the
    joints. Measure it with 10 A and a millivoltmeter (50 mV at most) and give what you found.
    """
    for found in ground_points(study).values():
        if found.route is None or found.route.pieces:
            yield _finding(study, found)


def _finding(study: Study, found: GroundPoint) -> Finding:
    most = limit(study, "ground-path")
    title = study.system.title("grounds", found.name)
    at = ("grounds", found.name)
    over = () if found.route is None else tuple(p for p in found.route.pieces if _no_wire(study, p))
    if found.route is not None and not over:
        return answer(
            study,
            found.name,
            Verdict.PASS,
            f"{title}: goes back by wire; its drop is judged, see feeder-drop.",
            at=at,
        )
    known = found.route is not None and all(_known(study, piece) for piece in over)
    why = (
        "no battery is given, or nothing joins it to the main ground"
        if found.route is None
        else "it goes through structure, and nobody has measured it"
    )
    return compare(
        study,
        found.name,
        at=at,
        value=sum(piece.cold_ohm for piece in over) * 1000 if known else None,
        limit=most.value * 1000,
        rule=most.bound,
        unit="mΩ",
        digits=1,
        otherwise=Verdict.ADVISE,
        says=lambda value, allowed: (
            f"{title}: {value} through structure to the main ground; {allowed} is held "
            "satisfactory."
        ),
        remedy="Clean the joints and measure again, add a strap, or lay a wire to the main ground.",
        unknown=f"{title}: its resistance to the battery's negative cannot be told: {why}.",
        ask="Send 10 A through it, read the millivolts (50 at most), and give resistance.",
        named=(most,),
    )


def _known(study: Study, piece: LoopPiece) -> bool:
    """Whether the resistance of a joint was given, or is assumed."""
    if piece.chain != STRUCTURE:
        return True
    return study.document.grounds[piece.name.removeprefix("bond:")].resistance_ohm is not None


def _no_wire(study: Study, piece: LoopPiece) -> bool:
    return piece.chain == STRUCTURE or not chains(study).by_name[piece.chain].conductors()
