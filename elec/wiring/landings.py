"""How many wires end on each terminal: of a switch, breaker, box, source, or a bus on one stud.

In: chains. Out: `Crowd` by thing and circuit, the fuller terminal of each. Terminals with a number
are one, whoever's circuit ends there, and so is the line post of a contactor with the jumper of its
coil; else each circuit through a switch has a pole of its own. Ground points are counted in
`ground_points`, contacts of connectors in `pins`.
"""

from collections import Counter
from collections.abc import Iterator, Mapping

from msgspec import Struct

from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains

DEVICES = ("breaker", "fuse", "limiter", "link")
KINDS = (*DEVICES, "switch", "contactor", "changeover", "post")
FASTENED = ("terminals", "screw", "studs", "tabs")
"""Words in the type of a connector whose contacts are terminals that wires are fastened to."""

POSTS = ("", "+", "-", "B")
"""Contacts of a source that are studs; the others are small screws: S, L, F."""
UNNAMED = "1"
"""The contact of a box of which the builder named none."""

Terminal = tuple[str, ...]


class Crowd(Struct, frozen=True, kw_only=True):
    """The fullest terminal of a pole, device, box, source or bus."""

    part: Part
    chain: Chain
    wires: int
    terminal: str = ""
    """Its number or letter where it has one."""
    stud: bool = False
    """A stud that rings are piled on: of a contactor, or where the thread is given."""


@analysis
def landings(study: Study) -> Mapping[str, Crowd]:
    """Every terminal that a wire ends on, by the name of its thing and circuit."""
    every = list(chains(study).by_name.values())
    counted = Counter(
        terminal
        for chain in every
        for wire in chain.conductors()
        for terminal in _ends(study, chain, wire)
        if terminal is not None
    )
    found: dict[str, Crowd] = {}
    for chain in every:
        if chain.kind in ("circuit", "feeder", "ground", "wire"):
            for name, part, terminal in _of(study, chain):
                made = Crowd(
                    part=part,
                    chain=chain,
                    wires=counted[terminal],
                    terminal=terminal[2] if terminal[0] == "named" else "",
                    stud=_stud(study, part),
                )
                if name not in found or found[name].wires < made.wires:
                    found[name] = made
    return found


def _ends(study: Study, chain: Chain, wire: Conductor) -> Iterator[Terminal | None]:
    yield _terminal(study, chain, wire.a, wire.a.outlet)
    yield _terminal(study, chain, wire.b, wire.b.inlet)


def _terminal(study: Study, chain: Chain, part: Part, node: str) -> Terminal | None:
    """The terminal that a wire ends on; None where it has none that is counted here."""
    if part.kind in KINDS:
        return ("named", part.name, part.contact) if part.contact else ("node", node)
    if part.kind == "source":
        return ("named", part.name, part.contact) if part.contact else ("node", node)
    if part.kind == "bus" and study.document.buses[part.name].stud is not None:
        return ("node", node)
    if part.kind == "equipment" and part.contact:
        connector, _, _ = part.contact.rpartition(".")
        known = study.document.equipment[part.name].connectors
        if connector in known:
            fastened = any(word in known[connector].type for word in FASTENED)
            return ("named", part.name, part.contact) if fastened else None
        # a signal wire that names no terminal may end on any of its box
        named = chain.kind == "circuit" or part.contact != UNNAMED
        return ("named", part.name, part.contact) if named else None
    return None


def _of(study: Study, chain: Chain) -> Iterator[tuple[str, Part, Terminal]]:
    """What a chain ends on: the name that it is told by, the part, the terminal."""
    for wire in chain.conductors():
        for part, node in ((wire.a, wire.a.outlet), (wire.b, wire.b.inlet)):
            terminal = _terminal(study, chain, part, node)
            if terminal is None:
                continue
            if part.protection is not None:
                yield chain.name, part, terminal
            elif part.kind in ("equipment", "source"):
                yield f"{part.name}.{part.contact}", part, terminal
            elif part.kind == "bus":
                yield part.name, part, terminal
            else:
                yield f"{part.name} {chain.name}", part, terminal


def _stud(study: Study, part: Part) -> bool:
    """Whether rings are piled on a stud there."""
    if part.kind in ("bus", "source"):
        return part.kind == "bus" or part.contact in POSTS
    entry = study.document.switches.get(part.name) if part.kind in KINDS else None
    return entry is not None and (entry.kind == "contactor" or entry.stud is not None)


__all__ = ["Crowd", "landings"]
