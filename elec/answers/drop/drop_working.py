"""What is lost on the way: every wire, then every contact, as a number and by hand.

In: wires and parts with their currents. Out: volts, and `Working`.
"""

import math
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from elec import units
from elec.answers.base.marks import marks
from elec.physics.drop import contacts_drop_v, wire_drop_v
from elec.sizing.feeder_current import Rated
from elec.sizing.sizing import sizing, wire_of
from elec.standards import NotCovered, breaker_resistance_ohm, cites, default, fuse_resistance_ohm
from elec.study import Study
from elec.wiring import wires
from elec.wiring.chains import Chain, Conductor, Part
from elec.wiring.circuit_model import part_ohm, usual_resistance
from elec.wiring.hand import assumed, resistance_term, where
from elec.wiring.runs import runs
from elec.working import (
    COMPUTED,
    ROUNDING,
    Ref,
    Step,
    Term,
    Working,
    computed,
    given,
    leading_to,
    total,
)


class Carried(Struct, frozen=True, kw_only=True):
    """A wire or a part, and the current that it carries."""

    item: Conductor | Part
    amps: float
    rated: Rated | None = None
    """Where the current is the rated one of a source."""


def lost_v(study: Study, chain: Chain, one: Carried, awg: str = "") -> float:
    """What a wire or part loses; a wire as warm as the circular makes it, of its gauge or another.

    A wire of unknown length loses what its ends do: the finding about it says so.
    """
    item, done = one.item, sizing(study)
    if isinstance(item, Part):
        ohm = part_ohm(study, chain, item, done.sizes())
        return contacts_drop_v(current_a=one.amps, resistance_ohm=ohm)
    wire = wires.size_of(study, item, awg or done.gauges[item.id].awg)
    length = runs(study)[item.id].length_m or 0.0
    return wires.lost_v(wire, length, done.careful_degc[item.id], one.amps)


def load_working(
    study: Study, chain: Chain, way: Sequence[Carried], title: str, allowed: Term
) -> Working:
    """What is lost to a load and back: wires, then contacts, switch and device."""
    steps = [*_wires(study, way), *_parts(study, chain, way)]
    lost = computed("V", "V", "lost on the way, out and back", total(steps), steps,
                    source=str(cites(wire_drop_v)[0]))  # fmt: skip
    return Working(title=title, steps=leading_to(lost), limit=allowed)


def feeder_working(
    study: Study, way: Iterable[Carried], title: str, allowed: Term, source: str
) -> Working:
    """What the wires of a feeder or a ground connection lose."""
    steps = _wires(study, way)
    lost = computed("V", "V", "lost in its wires", total(steps), steps, source=source)
    return Working(title=title, steps=leading_to(lost), limit=allowed)


def _wires(study: Study, way: Iterable[Carried]) -> list[Step]:
    every = [one for one in way if isinstance(one.item, Conductor)]
    return [_wire_step(study, one, f"v{i}") for i, one in enumerate(every, 1)]


def _wire_step(study: Study, one: Carried, symbol: str) -> Step:
    """What one wire loses at the temperature by which the circular judges a drop."""
    conductor, rated = one.item, one.rated
    assert isinstance(conductor, Conductor)  # noqa: S101 - asked for wires alone
    wire = wire_of(study, conductor)
    mark = marks(study)[conductor.id]
    current = given(one.amps, f"current of {mark}", "", Ref("current", conductor.id))
    if rated is not None:
        current = given(one.amps, rated.origin, rated.meaning)
    return wire_drop_v.step(
        current_a=current,
        resistance_20degc_ohm_per_m=resistance_term(wire),
        length_m=length_term(study, conductor),
        conductor_degc=given(sizing(study).careful_degc[conductor.id],
                             f"careful temperature of {mark}", "",
                             Ref("temperature", conductor.id)),
        joint_ohm=assumed("joint-resistance"),
        symbol=symbol,
        meaning=f"lost in {mark}, {ends(conductor)}",
        zero_degc=wire.zero_degc,
    )  # fmt: skip


def ends(conductor: Conductor) -> str:
    """From where to where a conductor leads, in words."""
    return f"{_end(conductor.a)} to {_end(conductor.b)}"


def _end(part: Part) -> str:
    if part.label:
        return part.label
    if part.protection is not None:
        return part.kind
    return part.id


def length_term(study: Study, conductor: Conductor) -> Term:
    """The length of a wire; one that is computed is worked out with the wire itself."""
    run = runs(study)[conductor.id]
    origin = run.steps[-1].result.origin if run.steps else "not known: counted as none"
    if origin == COMPUTED:
        origin = f"length of {marks(study)[conductor.id]}"
    return given(run.length_m or 0.0, origin, "length", Ref("length", conductor.id))


def _parts(study: Study, chain: Chain, way: Sequence[Carried]) -> Iterator[Step]:
    """Contacts, switch and device, by the current through them."""
    parts = [(one.item, one.amps) for one in way if isinstance(one.item, Part)]
    groups: dict[float, list[Term]] = {}
    for number, (part, amps) in enumerate(parts, 1):
        same = next((one for one in groups if math.isclose(one, amps, rel_tol=ROUNDING)), amps)
        groups.setdefault(same, []).append(part_term(study, chain, part, f"K{number}"))
    for n, (amps, group) in enumerate(groups.items(), 1):
        beside = next((c for c in chain.conductors() if _beside(c, parts, amps)), None)
        origin = f"current of {marks(study)[beside.id]}" if beside else "current of the circuit"
        many = len(group) > 1
        yield contacts_drop_v.step(
            current_a=given(amps, origin, "", Ref("current", beside.id) if beside else None),
            resistance_ohm=computed("K", "ohm", "contacts, switch and device", total(group), group)
            if many
            else group[0],
            symbol="k" if len(groups) == 1 else f"k{n}",
            meaning="" if many else f"lost in {group[0].meaning}",
        )


def _beside(conductor: Conductor, parts: list[tuple[Part, float]], amps: float) -> bool:
    ids = {part.id for part, through in parts if through == amps}
    return conductor.a.id in ids or conductor.b.id in ids


def part_term(study: Study, chain: Chain, part: Part, symbol: str) -> Term:
    """Resistance of a device, switch, contactor, shunt or connector contact, with its origin."""
    ohm = part_ohm(study, chain, part, sizing(study).sizes())
    return Term(symbol, ohm, "ohm", _end(part), _part_origin(study, chain, part))


def _part_origin(study: Study, chain: Chain, part: Part) -> str:
    entry = study.document.switches.get(part.name)
    if part.kind == "bond":
        return where(study, "grounds", part.name, "resistance")
    if entry is not None and entry.resistance_ohm is not None and part.kind != "connector":
        return where(study, "switches", part.name, "resistance")
    if part.protection is not None:
        if part.protection.resistance_ohm is not None:
            return where(study, *chain.path, part.kind)
        sizes, name = sizing(study).sizes(), part.rated or chain.name
        return _device_origin(part.kind, sizes.ratings.get(name), sizes.families.get(name))
    return usual_resistance(study, part).origin


def _device_origin(kind: str, rating_a: float | None, family: str | None) -> str:
    joint = default("joint-resistance").origin
    if rating_a is None:
        return f"rating not known: {joint}"
    try:
        if kind == "breaker":
            ohm, cite = breaker_resistance_ohm(rating_a)
            return f"{cite}: {ohm * rating_a:.3g} V at {rating_a:g} A"
        if kind == "fuse" and family is not None:
            ohm, cite = fuse_resistance_ohm(family, rating_a)
            holder = default("blade-holder")
            return f"{cite}: {units.show(ohm, 'ohm')}, and {holder.origin}"
    except NotCovered:
        pass
    return joint
