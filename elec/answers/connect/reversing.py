"""Motors that run both ways: which terminals are joined in each way, and by which wires.

In: chains, drops. Out: `Bridge` by circuit. The chain of such a circuit is laid out in the way in
which both crossing wires are in series with the motor; in the other way neither is, so that all
that was computed of wires, drop and device is the worst of both.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.answers.drop.drops import load_drops
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains


class Direction(Struct, frozen=True, kw_only=True):
    """One way of the motor."""

    name: str
    plus: str
    """The terminal of the motor that plus stands on."""
    joined: tuple[str, ...]
    """Terminals of the switch or relays that ring together: `6 and 5`."""
    pulled: str
    """The relay that is pulled in; empty with a switch."""
    stops: str
    """What stops it at the end of its travel; empty where nothing is given."""


class Bridge(Struct, frozen=True, kw_only=True):
    """The bridge of one motor, wire by wire."""

    circuit: str
    load: str
    by: str
    poles: tuple[Part, Part]
    """The pole on the + of the motor and that on its −, in the way that crosses over."""
    marks: tuple[str, ...]
    """Terminals: fed, common and grounded of the pole on the −; likewise of that on the +."""
    wires: tuple[Conductor, ...]
    """To the fed terminal, across, to the + of the motor, from its −, across, to ground."""
    ways: tuple[Direction, Direction]
    control: str
    """The switch in the hand, by its name under `switches`."""
    lost_v: float | None
    """What is lost in the way that crosses over: the other way loses no more."""


@analysis
def reversing(study: Study) -> Mapping[str, Bridge]:
    """Every motor that runs both ways, by its circuit."""
    found = {}
    for chain in chains(study).of("circuit"):
        if study.document.circuits[chain.name].reverse is not None:
            found[chain.name] = _bridge(study, chain)
    return found


def _bridge(study: Study, chain: Chain) -> Bridge:
    entry = study.document.circuits[chain.name]
    how = entry.reverse
    assert how is not None  # noqa: S101 - asked for such circuits only
    feed, back = chain.rows[0], chain.rows[1]
    plus = next(part for part in feed.parts if part.id.endswith("/plus"))
    minus = next(part for part in back.parts if part.id.endswith("/minus"))
    fed = next(part for part in feed.parts if part.kind == "post" and part.contact)
    grounded = next(part for part in back.parts if part.kind == "post" and part.contact)
    wires = chain.conductors()
    to_fed = next(w for w in wires if w.b.id == fed.id)
    across = next(w for w in wires if (w.a.id, w.b.id) == (fed.id, plus.id))
    leads = (
        next(w for w in wires if w.a.id == plus.id),
        next(w for w in wires if w.b.id == minus.id),
    )
    back_across = next(w for w in wires if (w.a.id, w.b.id) == (minus.id, grounded.id))
    to_ground = next(w for w in wires if w.a.id == grounded.id)
    drop = load_drops(study).get((chain.name, chain.loads[0]))
    control = entry.switch or _control(study, plus)
    return Bridge(
        circuit=chain.name,
        load=chain.loads[0],
        by=how.by,
        poles=(plus, minus),
        marks=(fed.contact, minus.terminals[0], minus.terminals[1],
               grounded.contact, plus.terminals[1], plus.terminals[0]),
        wires=(to_fed, across, *leads, back_across, to_ground),
        ways=_ways(study, chain, (plus, minus), fed.contact, grounded.contact),
        control=control,
        lost_v=drop.lost_v if drop is not None else None,
    )  # fmt: skip


def _control(study: Study, plus: Part) -> str:
    """The switch that pulls the relays, from the circuit of a coil."""
    coil = study.document.switches[plus.name].coil
    names = chains(study).feeds.get((coil.load if coil else None) or "", ())
    return next((found for name in names if (found := study.document.circuits[name].switch)), "")


def _ways(
    study: Study, chain: Chain, poles: tuple[Part, Part], fed: str, grounded: str
) -> tuple[Direction, Direction]:
    how = study.document.circuits[chain.name].reverse
    assert how is not None  # noqa: S101 - asked for such circuits only
    relays = how.by == "relays"
    plus, minus = poles

    def pair(part: Part, one: str, other: str) -> str:
        return f"{part.label} {one} and {other}" if relays else f"{one} and {other}"

    limits = [study.system.title("switches", name) for name in how.limits] or ["", ""]
    one = (pair(plus, *plus.terminals), pair(minus, *minus.terminals))
    other = (
        pair(minus, fed, minus.terminals[0]),
        pair(plus, plus.terminals[1], grounded),
    )
    return (
        Direction(
            name=how.ways[0],
            plus="+",
            joined=one,
            pulled=plus.label if relays else "",
            stops=limits[0],
        ),
        Direction(
            name=how.ways[1],
            plus="−",
            joined=other,
            pulled=minus.label if relays else "",
            stops=limits[1],
        ),
    )


__all__ = ["Bridge", "Direction", "reversing"]
