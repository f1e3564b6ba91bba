"""What is wired behind a panel: the marks of the wires at each device and switch."""

import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence

from elec.answers.base.marks import marks
from elec.answers.connect.panel import Positioned, panels
from elec.answers.connect.reversing import Bridge, reversing
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, Row, chains

THERE = "on its sheet"
"""Where the wires of terminals are that take more than a cell."""


def behind_device(study: Study, chain: Chain) -> str:
    """The wire at a device that is bolted to its bus; both wires where it is not."""
    return "→".join(", ".join(found) for found in both_sides(study, chain) if found)


def both_sides(study: Study, chain: Chain) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The wires on the line side and on the load side of the device of a chain."""
    device = chain.device
    return sides_of(study, [chain], device.id) if device is not None else ((), ())


def sides_of(
    study: Study, found: Sequence[Chain], part_id: str
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The wires before a part of some chains and behind it; none where it is bolted on."""
    before: dict[str, None] = {}
    after: dict[str, None] = {}
    for part, line, load in (one for c in found for row in c.rows for one in _between(row)):
        if part.id == part_id:
            before.update({marks(study)[line.id]: None} if line else {})
            after.update({marks(study)[load.id]: None} if load else {})
    return tuple(before), tuple(after)


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


def by_pole(study: Study, subject: Positioned, *, full: bool = False) -> str:
    """The wires of a switch: of one pole on and off, of several with the terminals of each.

    Where a pole has throws, or two feeders have a common terminal, each terminal with its wires.
    `full`: that of one pole with its terminals, too.
    """
    poles: dict[str, str] = {}
    over: dict[str, list[Conductor]] = {}
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
                if part.name == subject.name and part.kind == "changeover":
                    line, load, _ = changeover_terminals(study, chain, part)
                    for terminal, wire in ((line, before), (load, after)):
                        over.setdefault(terminal, []).extend([wire] if wire else [])
                elif part.name == subject.name and part.kind == "switch":
                    ends = [marks(study)[wire.id] for wire in (before, after) if wire is not None]
                    poles["→".join(ends)] = pole_said(study, chain, part)
    if over:
        return _each(study, over)
    if len(poles) == 1 and not full:
        return next(iter(poles))
    return ", ".join(f"{said}: {ends}" if said else ends for ends, said in poles.items())


def at_terminals(wires: str) -> tuple[str, ...]:
    """The wires of a switch (`by_pole`) in lines as they are seen from behind: a terminal each.

    >>> at_terminals("L1A22→L1B22"), at_terminals("(1)–(2): A→B, (3): C + D")
    (('L1A22', 'L1B22'), ('(1) A', '(2) B', '(3) C', '+ D'))
    """
    found: list[str] = []
    for piece in filter(None, wires.split(", ")):
        at, _, said = piece.rpartition(": ")
        ends = said.split("→")
        names = at.split("–") if len(at.split("–")) == len(ends) else [at] * len(ends)
        for name, end in zip(names, ends, strict=True):
            first, *more = end.split(" + ")
            found += [f"{name} {first}".strip(), *(f"+ {one}" for one in more)]
    return tuple(found)


COUNT = re.compile(r"\((\d+)\)")
"""A terminal that is counted, as its maker does not."""
Pole = tuple[tuple[str, tuple[str, ...]], ...]
"""The terminals of a pole from the top, each with its wires."""


def field(lines: Sequence[str], poles: int, throws: int) -> tuple[Pole, ...]:
    """The terminals of a switch (`at_terminals`) pole by pole; empty where they are not counted.

    >>> field(("(1) A", "(2) B"), 1, 1)
    ((('1', ('A',)), ('2', ('B',))),)
    >>> field(("(2) A", "+ B"), 1, 2)
    ((('1', ()), ('2', ('A', 'B')), ('3', ())),)
    >>> field(("COM A", "NO B"), 1, 1)
    ()
    """
    found: dict[int, list[str]] = {}
    last = 0
    for line in lines:
        name, _, wire = line.partition(" ")
        counted = COUNT.fullmatch(name)
        if not counted and (name != "+" or not last):
            return ()
        last = int(counted[1]) if counted else last
        found.setdefault(last, []).append(wire)
    each = throws + 1
    if not found or max(found) > each * poles:
        return ()
    return tuple(
        tuple((str(k), tuple(found.get(k, ()))) for k in range(each * n + 1, each * (n + 1) + 1))
        for n in range(poles)
    )


def links(poles: Sequence[Pole]) -> tuple[tuple[str, str, str], ...]:
    """The wires of a switch from one of its terminals to another: its ends, and its mark.

    >>> links(field(("(1) A", "+ B", "(2) B"), 1, 1))
    (('1', '2', 'B'),)
    """
    ends: dict[str, list[str]] = {}
    for name, wires in (one for pole in poles for one in pole):
        for wire in wires:
            ends.setdefault(wire, []).append(name)
    return tuple((at[0], at[1], wire) for wire, at in ends.items() if len(at) == 2)


def landing_on(
    study: Study, bus: str, own: Collection[str], name: Callable[[Part], str]
) -> tuple[str, ...]:
    """What ends on a bus but for the devices of one panel: wires, then devices with their wire.

    Args:
        study: the system.
        bus: the bus.
        own: chains whose device stands on the panel, on the bar of the bus.
        name: what a device that stands on no panel is called.
    """
    wires: dict[str, None] = {}
    devices: dict[str, None] = {}
    for chain in chains(study).by_name.values():
        for row in chain.rows:
            for k, part in enumerate(row.parts):
                ahead = part.inlet == bus and not k and part.kind in FUSED
                if ahead:
                    devices[_with_wire(study, part, row.conductors[0], name)] = None
                if part.kind != "bus" or part.name != bus:
                    continue
                for at, wire in ((k - 1, k - 1), (k + 1, k)):
                    if not 0 <= at < len(row.parts):
                        continue
                    conductor, beside = row.conductors[wire], row.parts[at]
                    if conductor is not None:
                        wires[marks(study)[conductor.id]] = None
                    elif not (beside is chain.device and chain.name in own):
                        far = wire - 1 if at < k else wire + 1
                        there = row.conductors[far] if 0 <= far < len(row.conductors) else None
                        devices[_with_wire(study, beside, there, name)] = None
    return (*wires, *(one for one in devices if one))


FUSED = ("breaker", "fuse", "limiter")


def _with_wire(
    study: Study, part: Part, wire: Conductor | None, name: Callable[[Part], str]
) -> str:
    """A device with the wire on its other side: `fuse 1 (P5C12)`."""
    called = name(part) or part.label
    return f"{called} ({marks(study)[wire.id]})" if wire is not None and called else called


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


@analysis
def chains_by_part(study: Study) -> Mapping[str, tuple[Chain, ...]]:
    """Name of a part → the chains that it is a part of, each once, in order."""
    found: dict[str, list[Chain]] = {}
    for chain in chains(study).by_name.values():
        for name in {part.name for part in chain.parts()}:
            found.setdefault(name, []).append(chain)
    return {name: tuple(some) for name, some in found.items()}


def changeover_at(study: Study, chain: Chain, part: Part) -> tuple[int, bool]:
    """Which pole of a changeover a feeder has, from 0, and whether its throw is the upper one."""
    entry = study.document.switches.get(part.name)
    at = [one.name for one in chains_by_part(study)[part.name]].index(chain.name)
    said = entry.positions[1:] if entry is not None else ()
    order = sorted(said, key=entry.lever.index) if entry is not None and entry.lever else said
    own = said[at] if at < len(said) else ""
    return at, own == order[0] if own else at == 0


def shortly(wires: str) -> str:
    """The same in a cell of one line: those of several terminals stand on the circuit's sheet."""
    return THERE if ":" in wires or "," in wires else wires


def side_of(lever: Sequence[str], word: str) -> int:
    """Which of `SIDES` a word of a lever is."""
    return 0 if word == lever[0] else 2 if word == lever[-1] else 1


SIDES = ("up", "in the middle", "down")


def throws(study: Study, chain: Chain) -> Mapping[str, Mapping[int, list[str]]]:
    """Switch with two throws → side of its lever → the pairs of terminals that it joins there."""
    found: dict[str, dict[int, list[str]]] = {}
    for part in chain.parts():
        entry = study.document.switches.get(part.name)
        if part.kind != "switch" or entry is None or len(entry.lever) < len(SIDES):
            continue
        pole = entry.poles.get(chain.name)
        if pole is None or part.terminals[1] not in pole.load:
            continue
        ways = dict(zip(pole.load, entry.positions[1:], strict=False))
        if len(pole.load) > 1 and part.terminals[1] in ways:
            side = side_of(entry.lever, ways[part.terminals[1]])
            pair = "–".join(sorted(part.terminals))
            found.setdefault(part.name, {}).setdefault(side, []).append(pair)
    return found


def joins(study: Study, subject: Positioned) -> tuple[str, str]:
    """Which terminals a lever of three positions joins up, and which down; empty: not known."""
    entry = study.document.switches.get(subject.name)
    if subject.holds != "switches" or entry is None or len(entry.lever) != len(SIDES):
        return "", ""  # a breaker may be called as its circuit's switch
    found: dict[int, dict[str, None]] = {0: {}, 2: {}}
    for name in subject.chains:
        bridge = reversing(study).get(name)
        if bridge is not None and bridge.by == "switch" and bridge.control == subject.name:
            for way in bridge.ways:
                pairs = {"–".join(sorted(p.split(" and "))): None for p in way.joined}
                found.setdefault(side_of(entry.lever, way.name), {}).update(pairs)
            continue
        chain = chains(study).named(name)
        for side, pairs_ in throws(study, chain).get(subject.name, {}).items():
            found.setdefault(side, {}).update(dict.fromkeys(pairs_))
        for part in chain.parts():
            if part.name == subject.name and part.kind == "changeover":
                at = changeover_at(study, chain, part)[0]
                if at + 1 < len(entry.positions):
                    side = side_of(entry.lever, entry.positions[at + 1])
                    found.setdefault(side, {})[pole_said(study, chain, part)] = None
    up, down = (", ".join(sorted(filter(None, found[side]))) for side in (0, 2))
    return up, down
