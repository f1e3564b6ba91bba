"""What the airframe is made of at a place, and where it carries returns.

In: `structure:` of the system, its zones and places. Out: a material, or whether current may return
through it there.
"""

from elec.model.route import Structure
from elec.study import Study

METAL: tuple[Structure, ...] = ("aluminium", "steel-tube")
"""What carries return current; wood and glass do not, and carbon must not."""


def material(study: Study, place: str) -> Structure | None:
    """What the structure at a place is made of; None where neither it nor the system says."""
    return _own(study, place) or study.system.about.structure


def bears(study: Study, place: str) -> bool:
    """Whether returns at a place go through the structure where no ground point is named.

    So they do with `return: airframe`, but not where the place or its zone is said to be of
    something else than metal: there each load has its wire to the nearest ground point.
    """
    own = _own(study, place)
    return study.system.about.return_ == "airframe" and (own is None or own in METAL)


def _own(study: Study, place: str) -> Structure | None:
    document = study.document
    spot = document.places.get(place)
    if spot is not None and spot.structure is not None:
        return spot.structure
    zones = (z.structure for z in document.zones.values() if place in z.places)
    return next((found for found in zones if found is not None), None)
