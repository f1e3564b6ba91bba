"""The log of an engine monitor beside the model: read, expected, and what is left over.

In: a study, the arrays of a log, what its columns are of. Out: `Replay`: a row a quantity with both
values and the residual, what would be written for it, and what cannot be told and why. The expected
values are those of the system as designed, so that nothing is compared with itself.
"""

from collections.abc import Iterator, Mapping

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from elec.answers.base.bodies import batteries
from elec.answers.base.points import points
from elec.answers.doubt.log_fits import (
    OutputPoint,
    Plateau,
    StartFit,
    StepFit,
    held,
    outputs,
    resting,
    running_for,
    sign_of,
    starts,
    steps,
)
from elec.answers.doubt.measured import as_designed
from elec.answers.loads.loads import loads
from elec.model.load import Draw
from elec.model.source import Alternator
from elec.network.netlist import State
from elec.physics.alternator import curve_output_a
from elec.sizing.order import cranking
from elec.standards import default
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.sources import battery_resistance, open_circuit_v

Array = npt.NDArray[np.float64]

LogWrite = tuple[tuple[str | int, ...], str | Mapping[str, str]]
"""A path of the file and what is put there."""
NEAR, NEAR_A = 0.12, 0.3
"""A load takes a step where its current there lies so near it (our judgement)."""
WIDE, WIDE_A = 0.25, 0.5
"""... and no other one lies within so much: two that may be it are none."""
MILLI = 1000.0


class LogColumns(Struct, frozen=True, kw_only=True):
    """The columns of a log that are there."""

    time_s: Array
    volts: Array
    rpm: Array | None = None
    alternator_a: Array | None = None
    battery_a: Array | None = None
    battery_head: str = ""


class LogSubjects(Struct, frozen=True, kw_only=True):
    """What the columns are of."""

    at: str
    """The bus or battery at which the volts are taken."""
    alternator: str
    """Empty where there is none."""
    battery: str


class LogRow(Struct, frozen=True, kw_only=True):
    """One quantity, read and expected, in one unit; None where it is not known."""

    what: str
    unit: str
    read: float | None
    spread: float
    expected: float | None
    basis: str
    """Where the expected value comes from: measured, data sheet, estimate, typical."""
    samples: int
    when: tuple[float, float] | None
    """From and to, s."""
    why: str = ""
    """Why it cannot be told, or what counts with it."""
    writes: tuple[LogWrite, ...] = ()
    """What --write puts where."""

    @property
    def residual(self) -> float | None:
        """Read less expected."""
        if self.read is None or self.expected is None:
            return None
        return self.read - self.expected


class Replay(Struct, frozen=True, kw_only=True):
    """Everything that the log says, beside the model."""

    rows: tuple[LogRow, ...]
    notes: tuple[str, ...]


def replay(study: Study, log: LogColumns, of: LogSubjects) -> Replay:
    """Put a log beside the model.

    Args:
        study: the run.
        log: the columns.
        of: what they are of.
    """
    made = _Replay(as_designed(study), log, of)
    return Replay(
        rows=(*made.rest(), *made.starts(), *made.setpoint(), *made.output(), *made.loads()),
        notes=tuple(made.notes),
    )


class _Replay:
    def __init__(self, study: Study, log: LogColumns, of: LogSubjects) -> None:
        self.study, self.log, self.of = study, log, of
        self.notes: list[str] = []
        self.running_s = running_for(log.time_s, log.rpm, log.alternator_a)
        self.battery = batteries(study).get(of.battery)
        self.out_a: Array | None = None
        if log.battery_a is None:
            self.no_battery = "no column has the amperes of the battery"
        else:
            sign, why = sign_of(log.volts, log.battery_a, log.battery_head)
            self.no_battery = why if sign == 0 else ""
            if sign:
                self.out_a = sign * log.battery_a
                way = "out of" if sign > 0 else "into"
                self.notes.append(f"Battery amperes: + is {way} the battery, {why}.")
        source = study.document.sources.get(of.alternator)
        self.alternator = source if isinstance(source, Alternator) else None
        self.held: Plateau | None = None

    def _basis(self, section: str, name: str) -> str:
        entry = getattr(self.study.document, section).get(name)
        return str(getattr(entry, "basis", None) or "not said")

    # -- the battery -----------------------------------------------------------------------------

    def rest(self) -> Iterator[LogRow]:
        """Its voltage at rest."""
        if self.battery is None:
            return
        most_a = self.battery.capacity_ah * default("log-rest").si
        if self.out_a is None and self.log.battery_a is None:
            found = Plateau(volts=None, sd_v=0.0, samples=0, why=self.no_battery)
        else:
            amps = self.out_a if self.out_a is not None else self.log.battery_a
            assert amps is not None  # noqa: S101 - one of the two is there
            still = self.running_s < 0
            if self.log.rpm is not None:
                still = still & ~(self.log.rpm > 0)
            found = resting(self.log.time_s, self.log.volts, amps, still, most_a)
        yield LogRow(
            what=f"{self._title()} at rest",
            unit="V",
            read=found.volts,
            spread=found.sd_v,
            expected=open_circuit_v(self.study, self.battery, 1.0),
            basis="full, rested",
            samples=found.samples,
            when=_span(found),
            why=found.why or "how full it was is not read, so nothing is written",
        )

    def _title(self) -> str:
        return self.study.system.title("sources", self.of.battery)

    def starts(self) -> Iterator[LogRow]:
        """Its resistance at each start, and over all of them."""
        if self.battery is None:
            return
        expected = self._start_ohm()
        at_it = self.of.at == self.of.battery
        whose = self._title() if at_it else f"{self._title()} and its way to {self.of.at}"
        if self.out_a is None:
            yield self._resistance(whose, expected, why=self.no_battery)
            return
        found = starts(self.log.time_s, self.log.volts, self.out_a, self.log.rpm)
        if not found:
            yield self._resistance(whose, expected, why="no start is in it")
            return
        for number, one in enumerate(found, 1):
            yield self._start(f"{whose}, start {number}", one, expected)
        good = [one for one in found if one.ohms is not None]
        if good:
            yield self._all_starts(whose, good, expected, at_it=at_it)

    def _start(self, what: str, one: StartFit, expected: float | None) -> LogRow:
        return LogRow(
            what=what,
            unit="mΩ",
            read=None if one.ohms is None else one.ohms * MILLI,
            spread=one.sd_ohms * MILLI,
            expected=expected,
            basis=self._basis("sources", self.of.battery),
            samples=one.samples,
            when=(one.at_s, one.at_s),
            why=one.why or f"{one.sag_v:.2f} V of sag at {one.amps:.0f} A",
        )

    def _all_starts(
        self, whose: str, good: list[StartFit], expected: float | None, *, at_it: bool
    ) -> LogRow:
        values = np.array([one.ohms for one in good], dtype=float) * MILLI
        middle = float(np.median(values))
        spread = max(float(np.ptp(values)) / 2, max(one.sd_ohms for one in good) * MILLI)
        why = (
            "" if at_it else "volts are taken at a bus: the way to it is in it, nothing is written"
        )
        text = f"{middle:.3g} mΩ"
        return LogRow(
            what=whose,
            unit="mΩ",
            read=middle,
            spread=spread,
            expected=expected,
            basis=self._basis("sources", self.of.battery),
            samples=sum(one.samples for one in good),
            when=(good[0].at_s, good[-1].at_s),
            why=why or f"the middle of {len(good)}",
            writes=((("measured", self.of.battery, "ohms"), text),) if at_it else (),
        )

    def _resistance(self, what: str, expected: float | None, *, why: str) -> LogRow:
        return LogRow(
            what=what, unit="mΩ", read=None, spread=0.0, expected=expected,
            basis=self._basis("sources", self.of.battery), samples=0, when=None, why=why,
        )  # fmt: skip

    def _start_ohm(self) -> float | None:
        """What the model has between the battery's inside and where the volts are taken, mΩ."""
        assert self.battery is not None  # noqa: S101 - asked for a battery alone
        own = battery_resistance(self.study, self.of.battery, self.battery).result.value
        if self.of.at == self.of.battery:
            return own * MILLI
        found = points(self.study)
        row = next(
            (
                n
                for n, branch in enumerate(found.model.netlist.batteries)
                if branch.name == self.of.battery
            ),
            None,
        )
        for n, case in enumerate(found.cases):
            wanted = case.phase in cranking(self.study) and case.count == "momentary"
            if not wanted or row is None or found.solution.state[n] != State.SOLVED:
                continue
            amps = float(found.solution.battery_a[row, n])
            post, bus = (
                float(found.node_v(node)[n]) for node in (f"{self.of.battery}.+", self.of.at)
            )
            low = float(found.node_v(f"{self.of.battery}.-")[n])
            if abs(amps) > 1.0 and np.isfinite(post) and np.isfinite(bus):
                return (own + (post - bus - low) / abs(amps)) * MILLI
        return None

    # -- the alternator --------------------------------------------------------------------------

    def setpoint(self) -> Iterator[LogRow]:
        """What its regulator holds."""
        if self.alternator is None:
            return
        title = self.study.system.title("sources", self.of.alternator)
        compensated = self.alternator.setpoint_by_temperature is not None
        if self.log.alternator_a is None:
            found = Plateau(
                volts=None, sd_v=0.0, samples=0,
                why="no column has the amperes of the alternator",
            )  # fmt: skip
        else:
            found = held(self.log.time_s, self.log.volts, self.log.alternator_a, self.running_s)
        self.held = found
        tap = self.alternator.sense
        senses = tap.from_ if tap is not None else ""
        here = senses == self.of.at
        why = found.why
        writes: tuple[LogWrite, ...] = ()
        if found.volts is not None:
            if compensated:
                why = "it moves with the warmth, which is not read: nothing is written"
            elif here:
                writes = ((("sources", self.of.alternator, "setpoint"), f"{found.volts:.2f} V"),)
            else:
                why = (
                    f"the regulator senses {senses or 'elsewhere'}, the volts are of {self.of.at}: "
                    "nothing is written"
                )
        yield LogRow(
            what=f"{title}: its regulator holds",
            unit="V",
            read=found.volts,
            spread=found.sd_v,
            expected=self.alternator.setpoint_v,
            basis=self._basis("sources", self.of.alternator),
            samples=found.samples,
            when=_span(found),
            why=why,
            writes=writes,
        )

    def output(self) -> Iterator[LogRow]:
        """What it gives hot, where the voltage sags."""
        if self.alternator is None or self.held is None:
            return
        title = self.study.system.title("sources", self.of.alternator)
        missing = [
            name
            for name, column in (("rpm", self.log.rpm), ("alternator", self.log.alternator_a))
            if column is None
        ]
        held_v = self.held.volts if self.held.volts is not None else self.alternator.setpoint_v
        found: tuple[OutputPoint, ...] = ()
        if self.log.rpm is not None and self.log.alternator_a is not None:
            found = outputs(
                self.log.volts,
                self.log.rpm,
                self.log.alternator_a,
                out_a=self.out_a,
                running_s=self.running_s,
                held_v=held_v,
            )
        if not found:
            why = (
                f"no column of {' and '.join(missing)}"
                if missing
                else "hot, the voltage never sags below what is held, so it never gave all it can"
            )
            yield self._output_row(f"{title}, most it gives hot", None, why)
            return
        for one in found:
            yield self._output_row(f"{title}, most it gives hot at {one.rpm:.0f} rpm", one, one.why)
        good = [one for one in found if one.amps is not None]
        if good:
            yield self._curve(title, good)

    def _output_row(self, what: str, one: OutputPoint | None, why: str) -> LogRow:
        assert self.alternator is not None  # noqa: S101 - asked for an alternator alone
        expected = None if one is None else _curve_a(self.alternator, one.rpm)
        return LogRow(
            what=what,
            unit="A",
            read=None if one is None else one.amps,
            spread=0.0 if one is None else one.spread_a / 2,
            expected=expected,
            basis=self._basis("sources", self.of.alternator),
            samples=0 if one is None else one.samples,
            when=None,
            why=why or (f"at {one.volts:.2f} V" if one is not None else ""),
        )

    def _curve(self, title: str, good: list[OutputPoint]) -> LogRow:
        """The curve with what was read in it, in place of the points within its speeds."""
        assert self.alternator is not None  # noqa: S101 - asked for an alternator alone
        low, high = good[0].rpm, good[-1].rpm
        curve = {rpm: amps for rpm, amps in self.alternator.output or () if not low <= rpm <= high}
        curve.update({round(one.rpm): round(one.amps or 0.0, 1) for one in good})
        points_ = {f"{rpm:.0f} rpm": f"{curve[rpm]:g} A" for rpm in sorted(curve)}
        return LogRow(
            what=f"{title}: curve",
            unit="",
            read=None,
            spread=0.0,
            expected=None,
            basis=self._basis("sources", self.of.alternator),
            samples=sum(one.samples for one in good),
            when=None,
            why=f"points beyond {low:.0f} to {high:.0f} rpm stay as they are, and so does basis",
            writes=((("sources", self.of.alternator, "output"), points_),),
        )

    # -- loads -----------------------------------------------------------------------------------

    def loads(self) -> Iterator[LogRow]:
        """Loads that come and go, by the size of their steps."""
        if self.out_a is None:
            yield _untold("loads that step", self.no_battery)
            return
        given = self.log.alternator_a
        if given is None and self.alternator is not None:
            yield _untold("loads that step", "no column has the amperes of the alternator")
            return
        whole = self.out_a if given is None else self.out_a + given
        found = steps(self.log.time_s, self.log.volts, whole)
        if not found:
            yield _untold("loads that step", "no step of one size comes and goes three times")
        for one in found:
            yield self._step(one)

    def _step(self, one: StepFit) -> LogRow:
        candidates = self._taking(one)
        share = (
            "its cycles differ, so no duty is told"
            if one.duty is None
            else f"on {one.duty * 100:.0f} % of the time"
        )
        seen = f"{one.cycles} cycles, {share}"
        only = next(iter(candidates.values())) if len(candidates) == 1 else None
        if only is None or not _near(only, one.amps):
            unknown = [name for name, amps in candidates.items() if amps is None]
            names = ", ".join(self._load(name) for name in candidates)
            why = (
                "nothing in the file takes that much"
                if not candidates
                else f"{names} takes {only:.1f} A there by the file, too far from it"
                if only is not None
                else f"may be {'any of ' if len(candidates) > 1 else ''}{names}"
                + (" (what some of them draw is not known)" if unknown else "")
            )
            return LogRow(
                what=f"a load of {one.amps:.1f} A", unit="A", read=None, spread=one.spread_a,
                expected=None, basis="", samples=one.cycles, when=(one.from_s, one.to_s),
                why=f"{seen}; {why}",
            )  # fmt: skip
        ((name, amps),) = candidates.items()
        writes: tuple[LogWrite, ...] = ()
        if name in self.study.document.equipment:
            writes = (
                (("measured", name, "amps"), f"{one.amps:.2f} A"),
                (("measured", name, "volts"), f"{one.volts:.1f} V"),
            )
        return LogRow(
            what=self._load(name),
            unit="A",
            read=one.amps,
            spread=one.spread_a,
            expected=amps,
            basis=self._basis("equipment", name),
            samples=one.cycles,
            when=(one.from_s, one.to_s),
            why=f"{seen}; told by its current: no other load has about as much"
            + ("" if writes else "; of several loads on one circuit: nothing is written"),
            writes=writes,
        )

    def _load(self, name: str) -> str:
        return self.study.system.title("equipment", name)

    def _taking(self, one: StepFit) -> Mapping[str, float | None]:
        """What may be the step: loads and whole circuits near it, and loads that nobody knows."""
        equipment = self.study.document.equipment
        found: dict[str, float | None] = {}
        on = self._in_use()
        for name in (name for name in chains(self.study).feeds if name in on):
            entry = equipment[name]
            draws = [entry.peak or entry.draw, *(m.peak or m.draw for m in entry.modes.values())]
            known = [_amps(draw, one.volts) for draw in draws if draw is not None]
            if not known and not entry.passive:
                found[name] = None
            near = [amps for amps in known if _wide(amps, one.amps)]
            if near:
                found[name] = min(near, key=lambda amps: abs(amps - one.amps))
        for name, circuit in self.study.document.circuits.items():
            held = [feed.partition(".")[0] for feed in circuit.feeds]
            each = [equipment[h].peak or equipment[h].draw for h in dict.fromkeys(held)]
            if len(each) > 1 and all(each) and set(held) <= on:
                amps = sum(_amps(draw, one.volts) for draw in each if draw is not None)
                if _wide(amps, one.amps):
                    found[f"circuit {name}"] = amps
        return found

    def _in_use(self) -> set[str]:
        """What may be on then: of what is on at all, not what is on while a starter turns alone."""
        short = cranking(self.study)
        return {line.equipment for line in loads(self.study).lines if line.phase not in short}


def _amps(draw: Draw, volts: float) -> float:
    return draw.current_a(volts)


def _near(amps: float, step_a: float) -> bool:
    return abs(amps - step_a) <= max(NEAR * step_a, NEAR_A)


def _wide(amps: float, step_a: float) -> bool:
    return abs(amps - step_a) <= max(WIDE * step_a, WIDE_A)


def _untold(what: str, why: str) -> LogRow:
    return LogRow(
        what=what, unit="A", read=None, spread=0.0, expected=None, basis="", samples=0, when=None,
        why=why,
    )  # fmt: skip


def _span(found: Plateau) -> tuple[float, float] | None:
    return None if found.volts is None else (found.from_s, found.to_s)


def _curve_a(alternator: Alternator, rpm: float) -> float | None:
    """What the file says of it hot at a speed; None below its curve, or where it has none."""
    curve = alternator.output or ()
    if not curve or rpm < curve[0][0]:
        return None
    return curve_output_a(curve=curve, speed_rpm=rpm)


__all__ = ["LogColumns", "LogRow", "LogSubjects", "Replay", "replay"]
