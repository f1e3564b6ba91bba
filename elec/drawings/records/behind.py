"""What is wired behind a panel: the marks of the wires at each device and switch."""

from collections.abc import Iterator, Mapping, Sequence

from elec.answers.base.marks import marks
from elec.answers.connect.panel import Positioned, panels
from elec.answers.connect.reversing import Bridge, reversing
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, Part, Row, chains

THERE = "on its sheet"
"""Where the wires of terminals are that take more than a cell."""


def behind_device(study: Study, chain: Chain) -> str:
    """The wire at a device that is bolted to its bus; both wires where it is not."""
    before: dict[str, None] = {}
    after: dict[str, None] = {}
    for row in chain.rows:
        for part, line, load in _between(row):
            if part is chain.device:
                before.update({marks(study)[line.id]: None} if line else {})
                after.update({marks(study)[load.id]: None} if load else {})
    return "→".join(", ".join(found) for found in (before, after) if found)


def bolted(chain: Chain) -> bool:
    """Whether the device of a chain has no wire before it: it stands on the bar of its bus."""
    return any(
        part is chain.device and k and row.parts[k - 1].kind == "bus" and not row.conductors[k - 1]
        for row in chain.rows
        for k, part in enumerate(row.parts)
    )


def _between(row: Row) -> Iterator[tuple[Part, Conductor | None, Conductor | None]]:
    """Each part of a row with the wires before and behind it; None where there is none."""
    wires = (None, *row.conductors, None)
    for k, part in enumerate(row.parts):
        yield part, wires[k], wires[k + 1]


def by_pole(study: Study, subject: Positioned) -> str:
    """The wires of a switch: of one pole on and off, of several with the terminals of each.

    Where a pole has throws, each terminal with its wires.
    """
    poles: dict[str, str] = {}
    for name in subject.chains:
        turned = reversing(study).get(name)
        if turned is not None and turned.control == subject.name:
            return _each(study, _turned(turned))
        chain = chains(study).named(name)
        thrown = _thrown(chain, subject.name)
        if thrown:
            return _each(study, thrown)
        for row in chain.rows:
            for part, before, after in _between(row):
                if part.name == subject.name and part.kind in ("switch", "changeover"):
                    ends = [marks(study)[wire.id] for wire in (before, after) if wire is not None]
                    poles["→".join(ends)] = pole_said(study, chain, part)
    if len(poles) == 1:
        return next(iter(poles))
    return ", ".join(f"{said}: {ends}" if said else ends for ends, said in poles.items())


Landed = Mapping[str, Sequence[Conductor]]
"""Terminal → the wires on it."""


def _each(study: Study, landed: Landed) -> str:
    return ", ".join(
        f"{terminal}: {' + '.join(marks(study)[wire.id] for wire in landed[terminal])}"
        for terminal in sorted(landed)
    )


def _turned(bridge: Bridge) -> Landed:
    """The wires on the six terminals of a switch that turns a motor."""
    to_fed, across, plus, minus, back, to_ground = bridge.wires
    on = ((to_fed, across), (minus,), (back,), (back, to_ground), (plus,), (across,))
    return dict(zip(bridge.marks, on, strict=True))


def _thrown(chain: Chain, switch: str) -> Landed:
    """The wires on the terminals of a switch with throws, or whose terminals the file gives."""
    found: dict[str, dict[str, Conductor]] = {}
    for row in chain.rows:
        for part, before, after in _between(row):
            if part.name != switch or part.kind not in ("switch", "post"):
                continue
            post = part.kind == "post"
            line, load = (part.contact, part.contact) if post else part.terminals
            for terminal, wire in ((line, before), (load, after)):
                if terminal and wire is not None:
                    found.setdefault(terminal, {})[wire.id] = wire
    return {terminal: tuple(wires.values()) for terminal, wires in found.items()}


def pole_said(study: Study, chain: Chain, part: Part) -> str:
    """The two terminals that a contact joins, given or counted; empty where nobody can tell."""
    if part.kind == "changeover":
        line, common, _ = changeover_terminals(study, chain, part)
        return "–".join(sorted(filter(None, (line, common))))
    if any(part.terminals):
        return "–".join(filter(None, part.terminals))
    position = panels(study).position(part.name, switch=True)
    used = position.subject.chains if position is not None and position.subject else ()
    if chain.name not in used:
        return ""
    pole = used.index(chain.name)
    return f"({2 * pole + 1})–({2 * pole + 2})"


def changeover_terminals(study: Study, chain: Chain, part: Part) -> tuple[str, str, str]:
    """Of the pole of a changeover: the feeder's own terminal, the common one, the free one.

    Where the file does not give them they are counted, the common one in the middle, so that the
    lever up joins (2) with (3) as on every switch; from the top where the lever is not known.
    """
    line, load = part.terminals
    if line or load:
        return line, load, ""
    at, upper = changeover_at(study, chain, part)
    entry = study.document.switches.get(part.name)
    counted = (3, 2, 1) if entry is not None and entry.lever else (1, 2, 3)
    top, common, low = (f"({3 * at + k})" for k in counted)
    return (top, common, low) if upper else (low, common, top)


def changeover_at(study: Study, chain: Chain, part: Part) -> tuple[int, bool]:
    """Which pole of a changeover a feeder has, from 0, and whether its throw is the upper one."""
    known = chains(study).by_name.values()
    used = [one.name for one in known if part.name in {p.name for p in one.parts()}]
    entry, at = study.document.switches.get(part.name), used.index(chain.name)
    said = entry.positions[1:] if entry is not None else ()
    order = sorted(said, key=entry.lever.index) if entry is not None and entry.lever else said
    own = said[at] if at < len(said) else ""
    return at, own == order[0] if own else at == 0


def shortly(wires: str) -> str:
    """The same in a cell of one line: those of several terminals stand on the circuit's sheet."""
    return THERE if ":" in wires or "," in wires else wires
