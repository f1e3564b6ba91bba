"""Motors that run both ways: the crossing wires between the two throws."""

from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from elec.model.wiring import Circuit
from elec.standards import default
from elec.wiring.joined.records import Part, PartKind

if TYPE_CHECKING:
    from elec.wiring.joined.builder import Builder


class Reversal(Struct, frozen=True, kw_only=True):
    """The two halves of a bridge that turns a motor, as the way sees it that crosses over.

    In this way both wires that cross are in series with the motor; in the other way neither is.
    """

    before: tuple[Part, ...]
    """From the device to the + of the motor: the terminal that is fed, the pole that leads on."""
    behind: tuple[Part, ...]
    """From its − to ground: the other pole, the terminal that is grounded."""
    limits: tuple[Part, ...]
    """Limit switches at the motor itself, in its two leads."""
    jumper_m: float


def reversal(builder: "Builder", name: str, circuit: Circuit) -> Reversal:
    """The parts of a bridge: of one switch with two poles, or of two relays."""
    entry = circuit.reverse
    assert entry is not None  # noqa: S101 - asked for such circuits only
    load = builder.document.equipment[circuit.feeds[0].partition(".")[0]]
    start = builder.node_place(circuit.bus)
    if entry.by == "switch":
        hand = builder.document.switches.get(circuit.switch or "")
        one, two, three, four, five, six = entry.marks(hand.lever if hand is not None else ())
        first = second = circuit.switch or ""
        kind: PartKind = "switch"
        fed, grounded, plus, minus = one, four, (six, five), (two, three)
    else:
        first, second = entry.relays
        line, common, rest = entry.marks()
        kind, fed, grounded = "contactor", line, rest
        plus, minus = (line, common), (common, rest)
    poles = [
        replace(
            builder.switch(name, thing, kind, start),
            id=f"{name}/{kind}:{thing}/{side}",
            inlet=f"{name}/{kind}:{thing}/{side}.in",
            outlet=f"{name}/{kind}:{thing}/{side}.out",
            terminals=terminals,
            resting=entry.by == "relays" and side == "minus",
        )
        for thing, side, terminals in ((first, "plus", plus), (second, "minus", minus))
    ]
    posts = [
        replace(
            pole, id=f"{name}/post:{pole.name}.{contact}", kind="post", contact=contact,
            inlet=f"{name}/post:{pole.name}.{contact}", terminals=("", ""),
            outlet=f"{name}/post:{pole.name}.{contact}",
        )
        for pole, contact in ((poles[1], fed), (poles[0], grounded))
    ]  # fmt: skip
    ends = [builder.switch(name, limit, "switch", load.place) for limit in entry.limits]
    if entry.by == "relays":
        ends = []  # they stand before the coils
    long = entry.jumper_m
    return Reversal(
        before=(posts[0], poles[0]),
        behind=(poles[1], posts[1]),
        limits=tuple(ends),
        jumper_m=default("contactor-jumper").si if long is None else long,
    )
