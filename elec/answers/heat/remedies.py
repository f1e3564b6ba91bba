"""What would do where something does not: the next gauge by its heat.

In: analyses of the system as it is. Out: the nearest standard size that passes.
"""

from elec.answers.heat.heat import WireHeat
from elec.physics.heat import ampacity_a
from elec.sizing.search.heat import factor_of
from elec.standards import AWGS
from elec.study import Study
from elec.wiring.surroundings import surroundings
from elec.wiring.wires import size


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
