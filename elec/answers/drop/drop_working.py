"""The hand calculation of what is lost on the way: every wire, then every contact.

In: wires and parts with their currents. Out: `Working`.
"""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.physics.drop import drop_v, wire_drop_v
from elec.sizing.feeder_current import Rated
from elec.sizing.sizing import sizing
from elec.standards import NotCovered, breaker_resistance_ohm, cited, default, fuse_resistance_ohm
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, Part
from elec.wiring.circuit_model import part_ohm, usual_resistance
from elec.wiring.hand import (
    COMPUTED,
    assumed,
    computed,
    resistance_term,
    total,
    where,
)
from elec.wiring.runs import runs
from elec.wiring.wires import size_of
from elec.working import Step, Term, Working


class Carried(Struct, frozen=True, kw_only=True):
    """A wire or a part, and the current that it carries."""

    item: Conductor | Part
    amps: float
    rated: Rated | None = None
    """Where the current is the rated one of a source."""


def load_working(
    study: Study, chain: Chain, way: Sequence[Carried], title: str, allowed: Term
) -> Working:
    """What is lost to a load and back: wires, then contacts, switch and device."""
    wires = [(one.item, one.amps) for one in way if isinstance(one.item, Conductor)]
    steps = [
        wire_step(study, conductor, amps, f"v{i}") for i, (conductor, amps) in enumerate(wires, 1)
    ]
    parts = [(one.item, one.amps) for one in way if isinstance(one.item, Part)]
    if parts:
        steps.append(_parts_step(study, chain, parts))
    terms = [step.result for step in steps]
    lost = computed(
        "V",
        sum(term.value for term in terms),
        "V",
        "lost on the way, out and back",
        formula=total(terms),
        terms=terms,
        source=cited(drop_v),
    )
    return Working(title=title, steps=(*steps, lost), limit=allowed)


def feeder_working(
    study: Study, way: Iterable[Carried], title: str, allowed: Term, source: str
) -> Working:
    """What the wires of a feeder or a ground connection lose."""
    steps = [
        wire_step(study, one.item, one.amps, f"v{i}", one.rated)
        for i, one in enumerate(way, 1)
        if isinstance(one.item, Conductor)
    ]
    terms = [step.result for step in steps]
    lost = computed(
        "V", sum(t.value for t in terms), "V", "lost in its wires", formula=total(terms),
        terms=terms, source=source,
    )  # fmt: skip
    return Working(title=title, steps=(*steps, lost), limit=allowed)


def wire_step(
    study: Study, conductor: Conductor, amps: float, symbol: str, rated: Rated | None = None
) -> Step:
    """What one wire loses at the temperature by which the circular judges a drop."""
    wire = size_of(study, conductor, sizing(study).gauges[conductor.id].awg)
    degc = sizing(study).careful_degc[conductor.id]
    mark = marks(study)[conductor.id]
    return wire_drop_v.step(
        Term(symbol="I", value=amps, unit="A", meaning=rated.meaning if rated else "current",
             origin=rated.origin if rated else f"current of {mark}"),
        resistance_term(wire),
        length_term(study, conductor),
        Term(symbol="T", value=degc, unit="degC", meaning="conductor temperature",
             origin=f"careful temperature of {mark}"),
        assumed("j", "joint-resistance", "ohm"),
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
    return Term(symbol="L", value=run.length_m or 0.0, unit="m", meaning="length", origin=origin)


def _parts_step(study: Study, chain: Chain, parts: list[tuple[Part, float]]) -> Step:
    """Contacts, switch and device: the current through each times its resistance."""
    currents = list(dict.fromkeys(amps for _, amps in parts))
    symbols = {amps: "I" if len(currents) == 1 else f"I{i}" for i, amps in enumerate(currents, 1)}
    marked = marks(study)
    terms: list[Term] = []
    groups: dict[float, list[Term]] = {}
    for i, (part, amps) in enumerate(parts, 1):
        groups.setdefault(amps, []).append(part_term(study, chain, part, f"K{i}"))
    for amps, group in groups.items():
        beside = next((c for c in chain.conductors() if _beside(c, parts, amps)), None)
        terms += [
            Term(
                symbol=symbols[amps], value=amps, unit="A", meaning="current",
                origin=f"current of {marked[beside.id]}" if beside else "current of the circuit",
            ),
            *group,
        ]  # fmt: skip
    formula = " + ".join(f"{symbols[amps]} * ({total(group)})" for amps, group in groups.items())
    value = sum(amps * term.value for amps, group in groups.items() for term in group)
    return computed(
        "k", value, "V", "lost in contacts, switch and device", formula=formula, terms=terms,
        source="Ohm's law",
    )  # fmt: skip


def _beside(conductor: Conductor, parts: list[tuple[Part, float]], amps: float) -> bool:
    ids = {part.id for part, through in parts if through == amps}
    return conductor.a.id in ids or conductor.b.id in ids


def part_term(study: Study, chain: Chain, part: Part, symbol: str) -> Term:
    """Resistance of a device, switch, contactor, shunt or connector contact, with its origin."""
    sizes = sizing(study).sizes()
    return Term(
        symbol=symbol,
        value=part_ohm(study, chain, part, sizes),
        unit="ohm",
        meaning=_end(part),
        origin=_part_origin(study, chain, part),
    )


def _part_origin(study: Study, chain: Chain, part: Part) -> str:
    entry = study.document.switches.get(part.name)
    if part.kind == "bond":
        return where(study, "grounds", part.name, "resistance")
    if entry is not None and entry.resistance_ohm is not None and part.kind != "connector":
        return where(study, "switches", part.name, "resistance")
    if part.protection is not None:
        if part.protection.resistance_ohm is not None:
            return where(study, *chain.path, part.kind)
        sizes = sizing(study).sizes()
        return _device_origin(
            part.kind, sizes.ratings.get(chain.name), sizes.families.get(chain.name)
        )
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
            return f"{cite}: {ohm * 1000:.3g} mΩ, and {holder.origin}"
    except NotCovered:
        pass
    return joint
