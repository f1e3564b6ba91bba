"""Does any return current pass a place with fuel vapour, or anything spark there?"""

from collections.abc import Iterator

from elec.answers.grounds.grounding import ground_points
from elec.check import check
from elec.checks.answer import answer, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.coils import contacts


@check(
    "No ground point, contact or battery sits where fuel vapour may be",
    sources=(Cite("ac4313", "11-186d", "seen"),),
    heats=True,
)
def ground_vapour(study: Study) -> Iterator[Finding]:
    """A ground that works loose sparks; near a tank or a fuel line that is enough.

    Bring the returns out of there by wire. Say `fuel-vapour: yes` on each place where vapour may
    be: elec knows only what you mark. The contacts of a switch or relay spark whenever they open,
    and a battery's posts do when a nut is loose: only a part that is sealed for it may sit there,
    which its maker says.
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
    for path, title, place in _sparking(study):
        if place in marked:
            yield answer(
                study,
                str(path[1]),
                Verdict.CANNOT_TELL,
                f"{title} sits at {study.system.title('places', place)}, where fuel vapour may be; "
                "whether it is sealed so that no spark gets out is not known.",
                at=path,
                remedy="Move it out of there; or take one that its maker seals for it, and accept "
                "this with that reason.",
            )


def _sparking(study: Study) -> Iterator[tuple[tuple[str, str], str, str]]:
    """Where it stands in the text, title and place of each set of contacts and each source."""
    for name, poles in contacts(study).items():
        part = poles[0][1]
        title = study.system.title("switches", name)
        yield ("switches", name), title, part.place
    for name, source in study.document.sources.items():
        yield ("sources", name), study.system.title("sources", name), source.place
