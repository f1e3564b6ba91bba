"""The hand calculation of a short-circuit current: the loop, piece by piece, and Ohm's law.

In: routes of least resistance. Out: steps.
"""

import math
from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.drop.drop_working import part_term
from elec.answers.grounds.loops import LoopPiece, Route
from elec.model.source import LeadAcid, Lithium
from elec.standards import Default, default
from elec.study import Study
from elec.wiring.cases import Scenario
from elec.wiring.chains import Chain, chains
from elec.wiring.hand import COMPUTED, assumed, computed, looked_up, total, where
from elec.wiring.sources import battery_resistance
from elec.working import Step, Term

OHM = "Ohm's law around the loop"


class Loop(Struct, frozen=True, kw_only=True):
    """The way of the least current: from a battery to the short and back."""

    chain: Chain
    battery: str
    scenario: Scenario
    out: Route
    own: tuple[LoopPiece, ...]
    back: Route
    low: Default
    """The voltage of a battery that is low."""
    drawn_a: float
    """What the resistances let through."""
    limit_a: float | None
    """What the battery's management lets through, where that is less."""

    @property
    def amps(self) -> float:
        """The least current."""
        return self.drawn_a if self.limit_a is None else self.limit_a


class FaultWay(Struct, frozen=True, kw_only=True):
    """One battery's part in the greatest current."""

    battery: str
    out: Route
    back: Route
    volts: float
    charging: bool
    """Whether the regulated voltage is the higher one."""
    ohm: float

    @property
    def amps(self) -> float:
        """What it gives."""
        return self.volts / self.ohm if self.ohm > 0 else math.inf


class FaultTogether(Struct, frozen=True, kw_only=True):
    """All that feeds the greatest current."""

    chain: Chain
    ways: tuple[FaultWay, ...]
    alternators: tuple[tuple[str, float], ...]

    @property
    def amps(self) -> float:
        """The greatest current."""
        multiple = default("alternator-fault-multiple").value
        return sum(way.amps for way in self.ways) + sum(multiple * a for _, a in self.alternators)


def least_steps(study: Study, loop: Loop) -> tuple[Step, ...]:
    """A low battery, hot wires, out and back."""
    steps: list[Step] = []
    low = Term(symbol="E", value=loop.low.value, unit="V", meaning=loop.low.meaning,
               origin=loop.low.origin)  # fmt: skip
    diodes = [p for p in (*loop.out.pieces, *loop.own) if p.forward_v]
    if diodes:
        low, step = _less_diodes(low, diodes)
        steps.append(step)
    battery = _battery(study, loop.battery, "Rb")
    steps += [battery] if battery.formula else []
    terms = [
        low,
        replace(battery.result, symbol="Rb"),
        *route_terms("p", study, loop.out, hot=True),
        *_own(study, loop.chain, loop.own),
        *route_terms("g", study, loop.back, hot=True),
    ]
    title = study.system.title("sources", loop.battery)
    steps.append(
        computed(
            "Ik", loop.drawn_a, "A",
            f"least short-circuit current, fed by {title}, {loop.scenario.title}",
            formula=f"E / ({total(terms[1:])})", terms=terms, source=OHM,
        )
    )  # fmt: skip
    if loop.limit_a is not None:
        meaning = "what the battery's management lets through before it opens"
        origin = where(study, "sources", loop.battery, "limit")
        term = Term(symbol="Im", value=loop.limit_a, unit="A", meaning=meaning, origin=origin)
        steps.append(looked_up(term, note="less than the loop would draw"))
    return tuple(steps)


def _less_diodes(low: Term, diodes: list[LoopPiece]) -> tuple[Term, Step]:
    drops = [
        Term(symbol=f"U{i}", value=piece.forward_v, unit="V", meaning=f"diode {piece.name}",
             origin="default diode forward voltage")
        for i, piece in enumerate(diodes, 1)
    ]  # fmt: skip
    source = replace(low, symbol="E0")
    value = low.value - sum(drop.value for drop in drops)
    step = computed("E", value, "V", "voltage that drives the short",
                    formula=" - ".join(["E0", *(drop.symbol for drop in drops)]),
                    terms=(source, *drops))  # fmt: skip
    return step.result, step


def _battery(study: Study, name: str, symbol: str) -> Step:
    source = study.document.sources[name]
    assert isinstance(source, LeadAcid | Lithium)  # noqa: S101 - only batteries are asked for
    step = battery_resistance(study, name, source)
    title = study.system.title("sources", name)
    return replace(
        step, result=replace(step.result, symbol=symbol, meaning=f"resistance of {title}")
    )


def route_terms(symbol: str, study: Study, route: Route, *, hot: bool) -> Iterator[Term]:
    """Resistances along a route, one of each feeder or ground connection."""
    heat = "hot" if hot else "cold"
    for i, (name, ohm) in enumerate(route.by_chain(hot=hot).items(), 1):
        chain = chains(study).by_name.get(name)
        title = chain.title if chain else name
        yield Term(
            symbol=f"{symbol}{i}", value=ohm, unit="ohm",
            meaning=f"{title}: wires, joints and what sits in it, {heat}",
            origin=f"{heat} resistance of {name}" if chain
            else default("structure-joint-resistance").origin,
        )  # fmt: skip


def _own(study: Study, chain: Chain, own: tuple[LoopPiece, ...]) -> Iterator[Term]:
    """The wires, contacts and devices of the chain itself."""
    wires = {conductor.id for conductor in chain.conductors()}
    parts = {part.id: part for part in chain.parts()}
    for i, piece in enumerate(own, 1):
        symbol = f"w{i}"
        if piece.name in wires:
            mark = marks(study)[piece.name]
            yield Term(symbol=symbol, value=piece.hot_ohm, unit="ohm", meaning=f"{mark}, hot",
                       origin=f"hot resistance of {mark}")  # fmt: skip
        elif parts[piece.name].kind == "diode":
            yield assumed(symbol, "diode-resistance", "ohm")
        else:
            term = part_term(study, chain, parts[piece.name], symbol)
            yield replace(term, value=piece.hot_ohm)


def greatest_steps(study: Study, found: FaultTogether) -> tuple[Step, ...]:
    """Every battery at its highest voltage through cold wires, and the alternators."""
    steps: list[Step] = []
    terms: list[Term] = []
    pieces: list[str] = []
    for i, way in enumerate(found.ways, 1):
        title = study.system.title("sources", way.battery)
        battery = _battery(study, way.battery, f"Rb{i}")
        steps += [battery] if battery.formula else []
        parts = [
            battery.result,
            *route_terms(f"p{i}", study, way.out, hot=False),
            *route_terms(f"g{i}", study, way.back, hot=False),
        ]
        device = found.chain.device
        if device is not None:
            parts.append(part_term(study, found.chain, device, "K"))
        ohm = computed(f"R{i}", way.ohm, "ohm", f"from {title} to the device and back, cold",
                       formula=total(parts), terms=parts)  # fmt: skip
        steps.append(ohm)
        origin = _highest(study) if way.charging else f"rest voltage of {way.battery}, full"
        terms += [
            Term(symbol=f"E{i}", value=way.volts, unit="V",
                 meaning=f"{title}, {'charging' if way.charging else 'full, at rest'}",
                 origin=origin),
            ohm.result,
        ]  # fmt: skip
        pieces.append(f"E{i} / R{i}")
    multiple = assumed("m", "alternator-fault-multiple", "")
    for i, (name, rated) in enumerate(found.alternators, 1):
        title = study.system.title("sources", name)
        terms += [multiple] if i == 1 else []
        terms.append(
            Term(symbol=f"A{i}", value=rated, unit="A", meaning=f"rated output of {title}",
                 origin=where(study, "sources", name))
        )  # fmt: skip
        pieces.append(f"m * A{i}")
    steps.append(
        Step(
            result=Term(
                symbol="Ik", value=found.amps, unit="A", origin=COMPUTED,
                meaning="greatest short-circuit current just behind the device",
            ),
            formula=" + ".join(pieces),
            terms=tuple(terms),
            source="Ohm's law",
        )
    )  # fmt: skip
    return tuple(steps)


def _highest(study: Study) -> str:
    """Where the highest regulated voltage stands."""
    regulated = {n: s for n, s in study.document.sources.items() if s.kind == "alternator"}
    name = max(regulated, key=lambda n: regulated[n].setpoint_v)
    return where(study, "sources", name, "setpoint")
