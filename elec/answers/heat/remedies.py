"""What would do where something does not: the next gauge by its heat.

In: analyses of the system as it is. Out: the nearest standard size that passes.
"""

from msgspec.structs import replace

from elec.answers.heat.heat import WireHeat
from elec.standards import AWGS
from elec.wiring.wires import size


def enough_for(found: WireHeat, current_a: float) -> tuple[str, float] | None:
    """The thinnest thicker gauge that carries a current in the same spot, and what it may carry."""
    for awg in AWGS[AWGS.index(found.awg) + 1 :]:
        if not found.kind.made(awg):
            continue
        allowed = replace(found.tight, wire=size(found.kind, awg)).allowed_a
        if allowed >= current_a:
            return awg, allowed
    return None
