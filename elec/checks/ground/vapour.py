"""Does any return current pass a place with fuel vapour?"""

from collections.abc import Iterator

from elec.answers.grounds.grounding import ground_points
from elec.check import check
from elec.checks.answer import answer, passes
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study


@check(
    "No ground point sits where fuel vapour may be",
    sources=(Cite("ac4313", "11-186d", "seen"),),
    heats=True,
)
def ground_vapour(study: Study) -> Iterator[Finding]:
    """A ground that works loose sparks; near a tank or a fuel line that is enough.

    Bring the returns out of there by wire. Say `fuel-vapour: yes` on each place where vapour may
    be: elec knows only what you mark.
    """
    marked = [name for name, spot in study.document.places.items() if spot.fuel_vapour]
    for name, point in ground_points(study).items():
        vapour = point.place in marked
        place = study.system.title("places", point.place)
        title = study.system.title("grounds", name)
        yield answer(
            study,
            name,
            passes(not vapour),
            f"{title} sits at {place}, where fuel vapour may be."
            if vapour
            else f"{title} sits at {place}, which is not marked for fuel vapour.",
            at=("grounds", name),
            remedy="Move it out of there, and let the returns reach it by wire.",
        )
