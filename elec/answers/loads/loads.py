"""The load analysis.

What each bus and the whole aircraft draw in each phase, against what the sources give.

In: demand, chains, sources. Out: `Loads`. A hand calculation on purpose: one voltage a phase, sums
that a reader can redo; the solved network stands beside it.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.model.system import Condition
from elec.physics.load import average_a, momentary_a
from elec.standards import cited
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, closed
from elec.wiring.chains import Chain, chains
from elec.wiring.coils import contacts, held
from elec.wiring.demand import (
    FIVE_MINUTES_S,
    ModeShare,
    conditions,
    demand,
    five_minute_shares,
)
from elec.wiring.sources import open_circuit_v, output
from elec.working import Step, Term, computed, total


class LoadUse(Struct, frozen=True, kw_only=True):
    """One mode of a load in one phase."""

    mode: str
    amps_a: float | None
    """When it is on; None: not known."""
    counted: float
    """The share of the phase for which it is, as the average counts it."""

    @property
    def average_a(self) -> float | None:
        """Its part of the phase's average."""
        return None if self.amps_a is None else self.counted * self.amps_a


class LoadLine(Struct, frozen=True, kw_only=True):
    """One piece of equipment in one phase and condition."""

    equipment: str
    bus: str
    phase: str
    condition: Condition
    connected_a: float | None
    """Its greatest current when on; None: not known."""
    five_minute_a: float | None
    continuous_a: float | None
    """Averaged over the phase; while the starter turns only what is on throughout."""
    group: str
    uses: tuple[LoadUse, ...]
    """Its modes, of which the average is the sum."""
    coil: bool = False
    """True for the coil of a switch or contactor; `equipment` is then its name in `switches`."""


class Total(Struct, frozen=True, kw_only=True):
    """The sum of a bus, or of the aircraft (`bus` empty), in one phase and condition.

    Sums leave out loads whose current is not known and name them in `unknown`.
    """

    bus: str
    phase: str
    condition: Condition
    voltage_v: float
    connected_a: float
    momentary_a: float
    five_minute_a: float
    continuous_a: float
    unknown: tuple[str, ...]
    steps: tuple[Step, ...] = ()


class Capacity(Struct, frozen=True, kw_only=True):
    """What each alternator can give in one phase, where that is known; they are never added."""

    phase: str
    running: bool
    steps: tuple[Step, ...]


class Loads(Struct, frozen=True, kw_only=True):
    """The whole load analysis."""

    lines: tuple[LoadLine, ...]
    buses: tuple[Total, ...]
    totals: tuple[Total, ...]
    capacity: Mapping[str, Capacity]

    def total(self, phase: str, condition: Condition) -> Total:
        """The aircraft's total in a phase."""
        return next(t for t in self.totals if t.phase == phase and t.condition == condition)


@analysis
def loads(study: Study) -> Loads:
    """Sum the loads of every phase, by day and by night."""
    capacity = {phase: _capacity(study, phase) for phase in study.document.phases}
    volts_in = {phase: analysis_v(study, found) for phase, found in capacity.items()}
    lines = lines_at(study, volts_in)
    buses, totals = [], []
    for condition in conditions(study):
        for phase in study.document.phases:
            here = [ln for ln in lines if ln.phase == phase and ln.condition == condition]
            volts = volts_in[phase]
            buses += [
                _total(
                    study,
                    bus=bus,
                    phase=phase,
                    condition=condition,
                    volts=volts,
                    lines=[ln for ln in here if ln.bus == bus],
                )
                for bus in study.document.buses
            ]
            totals.append(
                _total(study, bus="", phase=phase, condition=condition, volts=volts, lines=here)
            )
    return Loads(lines=lines, buses=tuple(buses), totals=tuple(totals), capacity=capacity)


def analysis_v(study: Study, capacity: Capacity) -> float:
    """The voltage at which loads are counted.

    The highest regulated one, or that of a full battery at rest.
    """
    sources = study.document.sources.values()
    if capacity.running:
        return max(s.setpoint_v for s in sources if s.kind == "alternator")
    rests = [
        open_circuit_v(study, s, 1.0)
        for s in sources
        if s.kind in ("lead-acid", "lithium-iron-phosphate")
    ]
    return max(rests, default=study.system.about.nominal_v)


def _capacity(study: Study, phase: str) -> Capacity:
    found = (
        output(study, name, source, phase)
        for name, source in study.document.sources.items()
        if source.kind == "alternator"
    )
    steps = tuple(step for step in found if step is not None)
    running = any(step.result.value > 0 for step in steps)
    return Capacity(phase=phase, running=running, steps=steps)


def lines_at(study: Study, volts_in: Mapping[str, float]) -> tuple[LoadLine, ...]:
    """Every load in every phase, each phase at one voltage."""
    return (*_lines(study, volts_in), *_coil_lines(study, volts_in))


class _LoadOn(Struct, frozen=True, kw_only=True):
    """What a line of a load has at every voltage."""

    equipment: str
    bus: str
    phase: str
    condition: Condition
    group: str
    modes: tuple[ModeShare, ...]
    times_s: tuple[float, ...]
    """Of the worst five minutes, mode by mode."""


@analysis
def _loads_on(study: Study) -> tuple[_LoadOn, ...]:
    """The loads that are fed in normal operation, in each phase and condition where they are on."""
    fed = chains(study).feeds
    able = {
        name: (load, _bus(study, fed[name][0]))
        for name, load in demand(study).loads.items()
        if fed.get(name) and held(study, name, NORMAL)
    }
    return tuple(
        _LoadOn(
            equipment=name,
            bus=bus,
            phase=phase,
            condition=condition,
            group=study.document.equipment[name].exclusive or "",
            modes=modes,
            times_s=tuple(part * FIVE_MINUTES_S for _, part in five_minute_shares(modes)),
        )
        for condition in conditions(study)
        for phase in study.document.phases
        for name, (load, bus) in able.items()
        if (modes := load.active(phase, condition))
    )


def _lines(study: Study, volts_in: Mapping[str, float]) -> list[LoadLine]:
    lines = []
    for one in _loads_on(study):
        each = _uses(one.modes, volts_in[one.phase])
        amps = _currents(each)
        lines.append(
            LoadLine(
                equipment=one.equipment,
                bus=one.bus,
                phase=one.phase,
                condition=one.condition,
                connected_a=None if amps is None else max(amps),
                five_minute_a=None if amps is None else _five_minutes(one, amps),
                continuous_a=_continuous(each),
                group=one.group,
                uses=each,
            )
        )
    return lines


def _bus(study: Study, circuit: str) -> str:
    """The bus of a circuit; empty where it begins at a source."""
    bus = study.document.circuits[circuit].bus
    return bus if bus in study.document.buses else ""


def _coil_lines(study: Study, volts_in: Mapping[str, float]) -> list[LoadLine]:
    """Coils held in normal operation of which nobody says how they are fed."""
    lines = []
    for name, switch in study.document.switches.items():
        chain = contacts(study)[name][0][0] if name in contacts(study) else None
        coil = switch.coil
        if coil is None or coil.draw is None or coil.load is not None or chain is None:
            continue
        for condition in conditions(study):
            for phase in study.document.phases:
                share, time_s = _held(study, chain, phase, condition)
                if time_s <= 0:
                    continue
                amps = coil.draw.current_a(volts_in[phase])
                lines.append(
                    LoadLine(
                        equipment=name,
                        bus=chain.source_end if chain.source_end in study.document.buses else "",
                        phase=phase,
                        condition=condition,
                        connected_a=amps,
                        five_minute_a=amps * min(time_s, FIVE_MINUTES_S) / FIVE_MINUTES_S,
                        continuous_a=amps * share,
                        group="",
                        uses=(LoadUse(mode="", amps_a=amps, counted=share),),
                        coil=True,
                    )
                )
    return lines


def _held(study: Study, chain: Chain, phase: str, condition: Condition) -> tuple[float, float]:
    """Share of the phase and longest time for which the coil in a feeder or circuit is held."""
    if chain.kind == "feeder":
        held = closed(study.document.feeders[int(chain.path[1])], NORMAL)
        return (1.0, FIVE_MINUTES_S) if held else (0.0, 0.0)
    found = demand(study).loads
    uses = [found[load].active(phase, condition) for load in chain.loads if load in found]
    share = max((min(1.0, sum(m.counted for m in modes)) for modes in uses), default=0.0)
    times = [m.time_s if m.share < 1 else FIVE_MINUTES_S for modes in uses for m in modes]
    return share, max(times, default=0.0)


def line_title(study: Study, line: LoadLine) -> str:
    """A load for print."""
    if line.coil:
        return f"{study.system.title('switches', line.equipment)} coil"
    return study.system.title("equipment", line.equipment)


def _line_origin(study: Study, line: LoadLine) -> str:
    path = ("switches", line.equipment, "coil") if line.coil else ("equipment", line.equipment)
    return str(study.system.where(*path))


def _currents(uses: tuple[LoadUse, ...]) -> list[float] | None:
    """What each mode draws; None when one is not known."""
    found = [use.amps_a for use in uses if use.amps_a is not None]
    return found if len(found) == len(uses) else None


def _five_minutes(one: _LoadOn, amps: list[float]) -> float:
    """The worst average over five minutes."""
    return average_a(uses=list(zip(amps, one.times_s, strict=True)), interval_s=FIVE_MINUTES_S)


def _uses(modes: tuple[ModeShare, ...], volts: float) -> tuple[LoadUse, ...]:
    return tuple(
        LoadUse(
            mode=mode.mode,
            amps_a=None if mode.draw is None else mode.draw.current_a(volts),
            counted=mode.counted,
        )
        for mode in modes
    )


def _continuous(uses: tuple[LoadUse, ...]) -> float | None:
    known = [use.average_a for use in uses if use.average_a is not None]
    return sum(known) if len(known) == len(uses) else None


def _total(
    study: Study, *, bus: str, phase: str, condition: Condition, volts: float, lines: list[LoadLine]
) -> Total:
    known = [ln for ln in lines if ln.connected_a is not None]
    pairs = [(ln.connected_a or 0.0, ln.group) for ln in known]
    lasting = [(ln.five_minute_a or 0.0, ln.group) for ln in known]
    terms = tuple(
        Term(f"i{i}", ln.continuous_a or 0.0, "A", line_title(study, ln), _line_origin(study, ln))
        for i, ln in enumerate(known, 1)
    )
    step = computed(
        "I", "A", f"continuous load in {phase} by {condition} at {volts:.1f} V", total(terms),
        terms, source=f"{cited(average_a)}: each current times its share of the phase",
    )  # fmt: skip
    return Total(
        bus=bus,
        phase=phase,
        condition=condition,
        voltage_v=volts,
        connected_a=sum(a for a, _ in pairs),
        momentary_a=momentary_a(currents=pairs) if pairs else 0.0,
        five_minute_a=momentary_a(currents=lasting) if lasting else 0.0,
        continuous_a=step.result.value,
        unknown=tuple(ln.equipment for ln in lines if ln.connected_a is None),
        steps=(step,) if terms else (),
    )
