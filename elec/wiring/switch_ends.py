"""How many wires end on one terminal of a switch or of a protective device.

In: chains. Out: `Crowd` by thing and circuit. Each circuit through a switch has a pole of its own.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.study import Study, analysis
from elec.wiring.chains import Chain, Part, chains

KINDS = ("breaker", "fuse", "limiter", "link", "switch", "contactor", "changeover")


class Crowd(Struct, frozen=True, kw_only=True):
    """The fuller of the two terminals of one pole."""

    part: Part
    chain: Chain
    wires: int


@analysis
def switch_ends(study: Study) -> Mapping[str, Crowd]:
    """Every pole of a switch and every device that a wire ends on, by a name of its own."""
    found: dict[str, Crowd] = {}
    for chain in chains(study).by_name.values():
        if chain.kind not in ("circuit", "feeder"):
            continue
        wires = chain.conductors()
        for part in chain.parts():
            ends = [sum(c.a.id == part.id for c in wires), sum(c.b.id == part.id for c in wires)]
            if part.kind in KINDS and any(ends):
                name = chain.name if part.protection is not None else f"{part.name} {chain.name}"
                found[name] = Crowd(part=part, chain=chain, wires=max(ends))
    return found


__all__ = ["Crowd", "switch_ends"]
