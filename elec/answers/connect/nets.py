"""What is joined to what, for another program or to check a drawing by hand: the plain netlist.

In: chains, marks. Out: `Joint` records. Wires, mated contacts and splices join; a device, switch,
contactor, shunt, diode or load parts two nets, for it may be open. Shields are no part of it.
"""

from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, Part, chains
from elec.wiring.ends import end_id

JOINS = ("connector", "splice")
"""Parts whose two sides are one net."""


NAMING = ("bus", "ground")
"""Parts that give a net its name."""


class Joint(Struct, frozen=True, kw_only=True):
    """Points that are joined for as long as no wire breaks."""

    name: str
    """Of its bus or ground, else of its first point."""
    points: tuple[str, ...]
    wires: tuple[str, ...]
    """Marks."""


@analysis
def nets(study: Study) -> tuple[Joint, ...]:
    """Every net that at least one wire belongs to, in the order of the wires."""
    joined = _Joined()
    points: dict[str, dict[str, None]] = {}
    names: dict[str, str] = {}
    wires: dict[str, dict[str, None]] = {}

    def there(part: Part) -> None:
        for node, point in _nodes(part):
            points.setdefault(node, {})[point] = None
            if part.kind in NAMING:
                names.setdefault(node, end_id(part))
        if part.kind in JOINS:
            joined.join(part.inlet, part.outlet)

    for chain in chains(study).by_name.values():
        for row in chain.rows:
            for part in row.parts:
                there(part)
            for (one, other), wire in zip(pairwise(row.parts), row.conductors, strict=True):
                if wire is None:  # they touch
                    joined.join(_side(one, out=True), _side(other, out=False))
        for conductor in chain.conductors():
            start, stop = _ends(conductor)
            joined.join(start, stop)
            wires.setdefault(start, {})[marks(study)[conductor.id]] = None
            for node, part in ((start, conductor.a), (stop, conductor.b)):
                there(part)
                if part.kind == "place":
                    free = f"{part.name}, free end of {conductor.id}"
                    points.setdefault(node, {})[free] = None
    return tuple(_named(joined, points, names, wires))


def _named(
    joined: "_Joined",
    points: dict[str, dict[str, None]],
    names: dict[str, str],
    wires: dict[str, dict[str, None]],
) -> Iterator[Joint]:
    """Each net with a name of its own."""
    groups: dict[str, list[str]] = {}
    for node in dict.fromkeys([*wires, *points]):
        groups.setdefault(joined.root(node), []).append(node)
    taken: dict[str, int] = {}
    for nodes in groups.values():
        marked = [mark for node in nodes for mark in wires.get(node, ())]
        if not marked:
            continue
        ends = list(dict.fromkeys(point for node in nodes for point in points.get(node, ())))
        name = next((names[node] for node in nodes if node in names), ends[0])
        taken[name] = taken.get(name, 0) + 1
        shown = f"{name} ({taken[name]})" if taken[name] > 1 else name
        yield Joint(name=shown, points=tuple(ends), wires=tuple(dict.fromkeys(marked)))


def _ends(one: Conductor) -> tuple[str, str]:
    """The nodes of a wire; a free end is a node of its own, whatever lies beside it."""
    start = f"{one.id}/a" if one.a.kind == "place" else _side(one.a, out=True)
    stop = f"{one.id}/b" if one.b.kind == "place" else _side(one.b, out=False)
    return start, stop


def _side(part: Part, *, out: bool) -> str:
    """The node on one side of a part; contacts of one box are apart, whatever is inside it."""
    if part.kind in ("equipment", "source"):
        return end_id(part)
    return part.outlet if out else part.inlet


def _nodes(part: Part) -> Iterator[tuple[str, str]]:
    """Nodes of a part with what stands there; of what has two sides each side."""
    if part.kind == "place":
        return
    name = end_id(part)
    into, out = _side(part, out=False), _side(part, out=True)
    if into == out or part.kind in JOINS:
        said = f"{name} {part.kind}" if part.kind in ("post", "splice") else name
        yield into, said
        yield out, said
        return
    line, load = part.terminals
    yield into, f"{name} {part.kind} {line or 'in'}"
    yield out, f"{name} {part.kind} {load or 'out'}"


class _Joined:
    """Which nodes are one."""

    def __init__(self) -> None:
        self._above: dict[str, str] = {}

    def root(self, node: str) -> str:
        while (above := self._above.get(node, node)) != node:
            node = above
        return node

    def join(self, one: str, other: str) -> None:
        first, second = self.root(one), self.root(other)
        if first != second:
            self._above[second] = first


__all__ = ["Joint", "nets"]
