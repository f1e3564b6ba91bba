"""The loop of a short-circuit current, piece by piece: its sums, and the hand calculation of them.

In: routes of least resistance. Out: numbers and steps.
"""

import math
from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.grounds.loops import LoopPiece, Route, piece_terms, route_terms
from elec.model.source import LeadAcid, Lithium
from elec.physics.fault import prospective_current_a
from elec.standards import Cite, Default, default
from elec.study import Study
from elec.wiring.cases import Scenario
from elec.wiring.chains import Chain
from elec.wiring.hand import assumed, looked_up, said, where
from elec.wiring.sources import battery_resistance
from elec.working import Step, Term, computed, given, leading_to, total

PROSPECTIVE = Cite("iec_60050_441", "441-17-01", "memory")


class Ring(Struct, frozen=True, kw_only=True):
    """All resistances around a loop: what is summed is what is listed."""

    battery: str
    battery_ohm: float
    hot: bool
    """Wires at the rating of their insulation; else at 20 °C."""
    parts: tuple[tuple[str, Route], ...]
    """(letter, pieces): those of `w` belong to the chain itself and are listed one by one."""

    @property
    def ohm(self) -> float:
        """Battery, wires, contacts and devices."""
        return self.battery_ohm + sum(
            route.hot_ohm if self.hot else route.cold_ohm for _, route in self.parts
        )

    def terms(self, study: Study, chain: Chain) -> Iterator[Term | Step]:
        """The same, each with its origin."""
        yield _battery(study, self.battery, "Rb")
        for letter, route in self.parts:
            if letter == "w":
                yield from piece_terms(letter, study, chain, route.pieces, hot=self.hot)
            else:
                yield from route_terms(letter, study, route, hot=self.hot)


class Loop(Struct, frozen=True, kw_only=True):
    """The way of the least current: from a battery to the short and back."""

    chain: Chain
    scenario: Scenario
    ring: Ring
    low: Default
    """The voltage of a battery that is low."""
    limit_a: float | None
    """What the battery's management lets through."""

    @property
    def diodes(self) -> tuple[LoopPiece, ...]:
        """What takes away from the voltage that drives the short."""
        return tuple(p for _, route in self.ring.parts for p in route.pieces if p.forward_v)

    @property
    def drawn_a(self) -> float:
        """What the resistances let through."""
        volts = self.low.value - sum(p.forward_v for p in self.diodes)
        return prospective_current_a(source_v=volts, loop_ohm=self.ring.ohm)

    @property
    def limited(self) -> bool:
        """Whether the management lets through less."""
        return self.limit_a is not None and self.limit_a < self.drawn_a

    @property
    def amps(self) -> float:
        """The least current."""
        return self.limit_a if self.limit_a is not None and self.limited else self.drawn_a


class FaultWay(Struct, frozen=True, kw_only=True):
    """One battery's part in the greatest current."""

    ring: Ring
    """The battery, cold wires out and back, and what lies ahead of the device."""
    volts: float
    charging: bool
    """Whether the regulated voltage is the higher one."""

    @property
    def amps(self) -> float:
        """What it gives."""
        if self.ring.ohm <= 0:
            return math.inf
        return prospective_current_a(source_v=self.volts, loop_ohm=self.ring.ohm)


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
    low: Term | Step = said(loop.low, loop.low.value, "E", "V")
    if loop.diodes:
        terms = [
            said(loop.low, loop.low.value, "E0", "V"),
            *(Term(f"U{i}", piece.forward_v, "V", f"diode {piece.name}",
                   "default diode forward voltage")
              for i, piece in enumerate(loop.diodes, 1)),
        ]  # fmt: skip
        low = computed("E", "V", "voltage that drives the short",
                       " - ".join(term.symbol for term in terms), terms)  # fmt: skip
    ohms = list(loop.ring.terms(study, loop.chain))
    title = study.system.title("sources", loop.ring.battery)
    short = prospective_current_a.step(
        source_v=low,
        loop_ohm=computed("R", "ohm", "all resistances of the loop", total(ohms), ohms),
        meaning=f"least short-circuit current, fed by {title}, {loop.scenario.title}",
    )
    if not loop.limited:
        return leading_to(short)
    meaning = "what the battery's management lets through before it opens"
    term = Term("Im", loop.amps, "A", meaning, where(study, "sources", loop.ring.battery, "limit"))
    return (*leading_to(short), looked_up(term, note="less than the loop would draw"))


def _battery(study: Study, name: str, symbol: str) -> Step | Term:
    source = study.document.sources[name]
    assert isinstance(source, LeadAcid | Lithium)  # noqa: S101 - only batteries are asked for
    step = battery_resistance(study, name, source)
    meaning = f"resistance of {study.system.title('sources', name)}"
    named = replace(step, result=replace(step.result, symbol=symbol, meaning=meaning))
    return named if step.formula else named.result


def greatest_steps(study: Study, found: FaultTogether) -> tuple[Step, ...]:
    """Every battery at its highest voltage through cold wires, and the alternators."""
    terms: list[Term | Step] = []
    for i, way in enumerate(found.ways, 1):
        battery = way.ring.battery
        title = study.system.title("sources", battery)
        parts = list(way.ring.terms(study, found.chain))
        origin = _highest(study) if way.charging else f"rest voltage of {battery}, full"
        state = "charging" if way.charging else "full, at rest"
        around = f"from {title} to the device and back, cold"
        terms.append(
            prospective_current_a.step(
                source_v=given(way.volts, origin, f"{title}, {state}"),
                loop_ohm=computed("R", "ohm", around, total(parts), parts),
                symbol=f"I{i}",
                meaning=f"what {title} gives",
            )
        )
    pieces = [total(terms)]
    for i, (name, rated) in enumerate(found.alternators, 1):
        title = study.system.title("sources", name)
        terms += [assumed("alternator-fault-multiple", "m")] if i == 1 else []
        terms.append(
            Term(f"A{i}", rated, "A", f"rated output of {title}", where(study, "sources", name))
        )
        pieces.append(f"m * A{i}")
    meaning = "greatest short-circuit current just behind the device"
    note = "the device itself is not counted: what it breaks is given for the current without it"
    short = computed(
        "Ik", "A", meaning, " + ".join(pieces), terms, source=str(PROSPECTIVE), note=note
    )
    return leading_to(short)


def _highest(study: Study) -> str:
    """Where the highest regulated voltage stands."""
    regulated = {n: s for n, s in study.document.sources.items() if s.kind == "alternator"}
    name = max(regulated, key=lambda n: regulated[n].setpoint_v)
    return where(study, "sources", name, "setpoint")
