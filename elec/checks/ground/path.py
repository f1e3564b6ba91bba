"""Is the way from each ground point to the battery short enough in ohms?"""

from collections.abc import Iterator

from elec.analyses.grounding import GroundPoint, ground_points
from elec.analyses.limits import limit
from elec.check import check
from elec.checks.answer import answer, apart, passes, tightened
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Every ground point is close to the battery's negative, in ohms",
    sources=(Cite("faa_h_8083", "voltage drop", "seen"),),
    limits=("ground-path",),
)
def ground_path(study: Study) -> Iterator[Finding]:
    """What the ground loses, every load on it loses, and audio on the same point hears it as noise.

    Up to 5 mΩ from the source's ground to a load's ground is held satisfactory. Clean the joints,
    shorten or thicken the wire; measure it with 10 A and a millivoltmeter (50 mV).
    """
    for found in ground_points(study).values():
        if found.route is None or found.route.pieces:
            yield _finding(study, found)


def _finding(study: Study, found: GroundPoint) -> Finding:
    most = limit(study, "ground-path")
    title = study.system.title("grounds", found.name)
    at = ("grounds", found.name)
    if found.route is None or not found.route.known:
        why = (
            "no battery is given" if found.route is None else "the length of its wire is not known"
        )
        return answer(
            study,
            found.name,
            Verdict.CANNOT_TELL,
            f"{title}: its resistance to the battery's negative cannot be told, for {why}.",
            at=at,
            remedy="Give the length of its wire, or the resistance measured.",
            limit=most.value * 1000,
            unit="mΩ",
        )
    ohm = found.route.cold_ohm
    value, allowed = apart(ohm * 1000, most.value * 1000, "mΩ", 1)
    return answer(
        study,
        found.name,
        passes(most.allows(ohm), Verdict.ADVISE),
        f"{title}: {value} to the main ground, {allowed} is held satisfactory.{tightened(most)}",
        at=at,
        remedy="Take a thicker or shorter wire, or measure it and give resistance: 3 mΩ.",
        value=ohm * 1000,
        limit=most.value * 1000,
        unit="mΩ",
    )
