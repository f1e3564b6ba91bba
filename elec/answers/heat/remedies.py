"""What would do where something does not: the next gauge, the next rating.

In: analyses of the system as it is. Out: the nearest standard size that passes.
"""

from elec.answers.heat.heat import WireHeat
from elec.model.wiring import DeviceKind
from elec.physics.heat import ampacity_a
from elec.sizing.devices import Device, ratings_of
from elec.sizing.search.heat import factor_of
from elec.standards import AWGS
from elec.study import Study
from elec.wiring.surroundings import surroundings
from elec.wiring.wires import size
from elec.working import within


def enough_for(study: Study, found: WireHeat, current_a: float) -> tuple[str, float] | None:
    """The thinnest thicker gauge that carries a current in the same spot, and what it may carry."""
    for awg in AWGS[AWGS.index(found.awg) + 1 :]:
        if not found.kind.made(awg):
            continue
        wire = size(found.kind, awg)
        allowed = ampacity_a(
            free_air_b=wire.free_air_b,
            free_air_m=wire.free_air_m,
            ambient_degc=found.ambient_degc,
            rated_degc=found.rated_degc,
            bundle_factor=factor_of(found.wires, found.loading),
            altitude_factor=surroundings(study).altitude_factor.value,
        )
        if allowed >= current_a:
            return awg, allowed
    return None


def enough_for_heat(study: Study, found: WireHeat) -> tuple[str, float] | None:
    """The thinnest thicker gauge that carries what this wire carries; None where none does."""
    return enough_for(study, found, found.current_a)


def next_rating(kind: DeviceKind, family: str, least_a: float) -> float | None:
    """The smallest standard rating of at least so many amperes; None where none is listed."""
    return next((r for r in ratings_of(kind, family) if within(r, least_a, "at least")), None)


def last_rating(kind: DeviceKind, family: str, most_a: float) -> float | None:
    """The greatest standard rating of at most so many amperes; None where none is listed."""
    found = [r for r in ratings_of(kind, family) if within(r, most_a)]
    return max(found, default=None)


def rating_for_inrush(device: Device) -> float | None:
    """The smallest greater standard rating that holds an inrush; None where none does."""
    for rating in ratings_of(device.kind, device.family):
        if device.rating_a is not None and rating <= device.rating_a:
            continue
        held = device.holds_inrush(rating)
        if held is not None and held[0]:
            return rating
    return None
