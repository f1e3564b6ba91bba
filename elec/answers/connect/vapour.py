"""Into which wires no tester may send anything: an end is a tank's sender, or lies in fuel vapour.

In: chains, places. Out: whether a wire is left out, and for whose sake. Ring-out, insulation test
and connector pages all ask here.
"""

from elec.model.load import Equipment
from elec.study import Study
from elec.wiring.chains import Conductor, Part

TANK_WORDS = frozenset({"fuel", "tank"})
"""Parts of the name of a passive thing by which it is taken for a tank's sender."""


def sender(name: str, entry: Equipment) -> bool:
    """Whether a thing is taken for a tank's sender."""
    return entry.passive and bool(TANK_WORDS & set(name.split("-")))


def in_vapour(study: Study, part: Part) -> bool:
    """Whether an end is a tank's sender, or lies where fuel vapour may be."""
    spot = study.document.places.get(part.place)
    if spot is not None and spot.fuel_vapour:
        return True
    entry = study.document.equipment.get(part.name) if part.kind == "equipment" else None
    return entry is not None and sender(part.name, entry)


def left_out(study: Study, conductor: Conductor) -> bool:
    """Whether nothing may be sent through a wire: one of its ends is in fuel vapour."""
    return in_vapour(study, conductor.a) or in_vapour(study, conductor.b)
