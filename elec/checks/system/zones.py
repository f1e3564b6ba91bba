"""Does every place that closes belong to a zone?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, listed, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.runs import runs


@check(
    "What is behind a skin or a floor is in a zone with a closing list",
    sources=(Cite("elec", "zones and closing", "judgement"),),
    given="zones",
)
def system_zones(study: Study) -> Iterator[Finding]:
    """Before a zone closes, a list says what has to be in, tested, and spare, in it.

    Name the places that close together under `zones`. Places that stay open (panel, seats) need
    none; elec asks only when there are zones at all, and never fails.
    """
    if not study.document.places:
        return
    if not study.document.zones:
        yield answer(
            study,
            "zones",
            Verdict.CANNOT_TELL,
            "No zones are given, so no closing list can be made.",
            at=("places",),
            remedy="Name what closes together: zones: {under-floor: {places: [belly], closes: "
            "before the floor goes in}}.",
        )
        return
    inside = {place for zone in study.document.zones.values() for place in zone.places}
    reached = {place for c in chains(study).conductors() for place in runs(study)[c.id].places}
    empty = [p for p in study.document.places if p in inside and p not in reached]
    for name, zone in study.document.zones.items():
        bare = [place for place in zone.places if place in empty]
        titles = listed(study.system.title("places", p) for p in zone.places)
        yield answer(
            study,
            name,
            passes(not bare, Verdict.ADVISE),
            f"{study.system.title('zones', name)}: {titles}."
            if not bare
            else f"{study.system.title('zones', name)}: no wire reaches "
            f"{listed(study.system.title('places', p) for p in bare)}, not even a spare.",
            at=("zones", name),
            remedy="Once it is closed nobody pulls a wire: lay a spare cable there (spare: yes).",
        )
