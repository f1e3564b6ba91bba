"""What every load draws in every phase, before any voltage is known.

In: equipment, phases. Out: `Demand`: for each load and phase its modes with their share of the
time. A load without a current is unknown, never zero.
"""

from collections.abc import Mapping
from functools import cache, cached_property
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from elec.model.load import Draw, Equipment, On, Use
from elec.model.phase import Phase, uses
from elec.model.system import Condition
from elec.physics.load import pulsing_a
from elec.standards import default, table
from elec.standards.table import TableRow
from elec.study import Study, analysis

Count = Literal["heat", "peak"]
"""`heat`: the root mean square, which warms wires and devices. `peak`: the most at any instant."""
Sum = tuple[tuple[str, ...], str, Condition, Count]
"""Loads, phase, condition, and how they are counted."""

FIVE_MINUTES_S = 300.0
"""On for longer is lasting: the alternator has to carry it (AC 43.13-1B 11-35)."""


class ModeShare(Struct, frozen=True, kw_only=True):
    """One mode of a load in one phase: what it draws and for which share of the time."""

    mode: str
    draw: Draw | None
    """On the average, for the balance of charge; None: not known."""
    heating: Draw | None
    """Its root mean square where it pulses; else the same."""
    peak: Draw | None
    """The most that it takes at any instant where it pulses; else the same."""
    share: float
    time_s: float
    """Longest time on at a stretch in this phase."""
    counted: float
    """Its share in the average: what is on for a while only while the starter turns has none, for
    the average of a start over its seconds says nothing about what lasts."""

    def drawn(self, count: Count) -> Draw | None:
        """What warms, or the most at any instant."""
        return self.heating if count == "heat" else self.peak


class LoadDemand(Struct, frozen=True, kw_only=True):
    """One load over all phases; the first mode of a phase is the one it falls back to."""

    equipment: str
    phases: Mapping[str, tuple[ModeShare, ...]]
    when: Literal["day", "night", "always"]
    known: bool
    intermittent: bool
    """On for short times only; what ends the flight safely or stands by for another never is,
    unless the builder says so."""
    peak_unknown: bool
    """It pulses by its kind, and only its average is given."""

    def active(self, phase: str, condition: Condition) -> tuple[ModeShare, ...]:
        """The modes that run in a phase by day or night."""
        if self.when not in ("always", condition):
            return ()
        return self.phases.get(phase, ())


class Demand(Struct, frozen=True, kw_only=True, dict=True):
    """All loads."""

    loads: Mapping[str, LoadDemand]
    design_v: float
    """The low voltage at which devices are sized: constant-power loads draw more there."""
    highest_v: float
    """The highest regulated voltage: resistive loads draw more there."""

    def highest_a(self, draw: Draw) -> float:
        """The most a load draws between the low and the regulated voltage."""
        key = draw.law, draw.value
        if key not in self._highest_a:
            most = max(draw.current_a(self.design_v), draw.current_a(self.highest_v))
            self._highest_a[key] = most
        return self._highest_a[key]

    @cached_property
    def _highest_a(self) -> dict[tuple[str, float], float]:
        """What was asked for so far: every load is, in every phase of every circuit."""
        return {}


@analysis
def demand(study: Study) -> Demand:
    """The demand of every load that draws current."""
    about = study.system.about
    alternators = [s for s in study.document.sources.values() if s.kind == "alternator"]
    setpoints = [v for s in alternators for v in s.setpoints()]
    standing_by = stand_ins(study)
    loads = {
        name: _load(study, name, entry, lasts=entry.essential or name in standing_by)
        for name, entry in study.document.equipment.items()
        if draws(entry)
    }
    return Demand(
        loads=loads,
        design_v=default("design-low-voltage").value * cells_factor(about.nominal_v),
        highest_v=max([about.nominal_v, *setpoints]),
    )


@analysis
def greatest_modes(study: Study) -> Mapping[str, tuple[float, str]]:
    """The most that a load draws at any instant, and in which mode, where that is known."""
    found = demand(study)
    every = {
        name: [
            (found.highest_a(m.peak), m.mode)
            for modes in load.phases.values()
            for m in modes
            if m.peak is not None
        ]
        for name, load in found.loads.items()
    }
    return {name: max(modes) for name, modes in every.items() if modes}


def cells_factor(nominal_v: float) -> float:
    """1 for a 12 or 14 V system, 2 for 24 or 28 V (factor on values for 14 V)."""
    return 2.0 if nominal_v > 18.0 else 1.0


def draws(entry: Equipment) -> bool:
    """Whether a piece of equipment draws current at all (or should, its current being unknown)."""
    return not entry.passive and (
        entry.draw is not None or bool(entry.modes) or entry.on != "never"
    )


def modes_of(entry: Equipment) -> tuple[tuple[str, Draw | None, On], ...]:
    """Modes in order; a load with `draw` alone has one mode without a name."""
    if entry.modes:
        return tuple((name, mode.draw, mode.on) for name, mode in entry.modes.items())
    return (("", entry.draw, "always" if entry.on is None else entry.on),)


@analysis
def stand_ins(study: Study) -> Mapping[str, tuple[str, ...]]:
    """Each load that `backup:` names or that names one → those it takes over for."""
    found: dict[str, tuple[str, ...]] = {}
    for name, entry in study.document.equipment.items():
        if entry.backup is not None and entry.backup in study.document.equipment:
            found[name] = (*found.get(name, ()), entry.backup)
            found[entry.backup] = (*found.get(entry.backup, ()), name)
    return found


def pulses(name: str, entry: Equipment) -> bool:
    """Whether a load flashes, sounds or fires by its kind: by character, role, or its name."""
    if len(entry.modes) > 1:
        return False  # what it takes at its worst is a mode of its own
    if entry.character == "pulsed" or entry.role == "anticollision light":
        return True
    return _word(name, entry) is not None


def _word(name: str, entry: Equipment) -> TableRow | None:
    """The row of the word in a load's name that says that it pulses."""
    if entry.character not in ("electronic", "lamp", "pulsed"):
        return None
    return _row_of(f"{name} {entry.name or ''}")


@cache
def _row_of(title: str) -> TableRow | None:
    words = title.casefold().replace("-", " ").split()
    rows = table("elec/pulsing").rows
    return next((r for r in rows if any(word.startswith(r.text("word")) for word in words)), None)


def kind_of_pulse(name: str, entry: Equipment) -> tuple[str, str]:
    """(what such a load does, what is usual of its kind), in words; the latter may be empty."""
    row = _word(name, entry)
    if row is None:
        return "by its kind it pulses", ""
    usual = table("elec/equipment").select(key=row.text("equipment"))[0]
    typical, most = usual.number("typical_14v_a"), usual.number("greatest_14v_a")
    words = f" (of an average of {typical:g} A {most:g} A is usual)" if most > typical else ""
    return f"by its name {row.text('kind')}", words


def pulse(
    draw: Draw | None, peak: Draw | None, duty: float | None, nominal_v: float
) -> tuple[Draw | None, Draw | None]:
    """(root mean square, peak) of a draw, both by its law; itself where it does not pulse.

    A peak in another unit than the average holds at the nominal voltage.
    """
    if draw is None or draw.value == 0:
        return draw, draw
    mean, most = draw.amount, draw.amount
    if peak is not None:
        most = peak.amount
        if peak.law != draw.law:
            unit = draw.with_amount(1.0).current_a(nominal_v)
            most = peak.current_a(nominal_v) / unit
        most = max(mean, most)
    elif duty is not None:
        most = mean / duty
    if most <= mean:
        return draw, draw
    heat = pulsing_a(average_a=mean, peak_a=most, duty=duty)
    return draw.with_amount(heat), draw.with_amount(most)


def _load(study: Study, name: str, entry: Equipment, *, lasts: bool) -> LoadDemand:
    phases, nominal_v = study.document.phases, study.system.about.nominal_v
    names = list(phases)
    found: dict[str, list[ModeShare]] = {}
    silent = pulses(name, entry)
    for mode, draw, on in modes_of(entry):
        said = entry.modes.get(mode, entry)
        if said.peak is not None or said.duty is not None:
            silent = False
        heating, peak = pulse(draw, said.peak, said.duty, nominal_v)
        for phase, use in uses(on, names).items():
            lasts_s = phases[phase].lasts_s
            found.setdefault(phase, []).append(
                ModeShare(
                    mode=mode,
                    draw=draw,
                    heating=heating,
                    peak=peak,
                    share=use.share_of(lasts_s),
                    time_s=_time(use, lasts_s),
                    counted=use.share_of(lasts_s),
                )
            )
    every = [m for shares in found.values() for m in shares]
    brief_s = default("intermittent-time").si
    short = bool(every) and all(m.time_s <= brief_s and m.share < 1 for m in every)
    return LoadDemand(
        equipment=name,
        phases={
            phase: _displaced(shares, turning=turns(phases[phase]))
            for phase, shares in found.items()
        },
        when=entry.when,
        known=all(m.draw is not None for m in every)
        and (entry.draw is not None or bool(entry.modes)),
        intermittent=entry.intermittent or (short and not lasts),
        peak_unknown=silent,
    )


def _time(use: Use, lasts_s: float) -> float:
    return min(use.time_s, lasts_s) if use.time_s is not None else use.share_of(lasts_s) * lasts_s


def turns(phase: Phase) -> bool:
    """Whether the starter turns in a phase."""
    return phase.engine is not None and phase.engine.state == "cranking"


def turning_s(study: Study, phase: str) -> float:
    """How long the longest of those loads is on that are on for a part of the phase."""
    times = [
        mode.time_s
        for load in demand(study).loads.values()
        for mode in load.phases.get(phase, ())
        if mode.share < 1
    ]
    return max(times, default=study.document.phases[phase].lasts_s)


def _displaced(shares: list[ModeShare], *, turning: bool) -> tuple[ModeShare, ...]:
    """The base mode gives way to the others for their share of the time."""
    if turning:
        shares = [replace(m, counted=m.share if m.share >= 1 else 0.0) for m in shares]
    base, *others = shares
    if not others:
        return (base,)
    taken = min(1.0, sum(m.share for m in others))
    left = min(base.share, 1.0 - taken)
    lasting = min(1.0, sum(m.counted for m in others))
    counted = min(base.counted, 1.0 - lasting)
    return (replace(base, share=left, counted=counted), *others)


def five_minute_shares(modes: tuple[ModeShare, ...]) -> tuple[tuple[ModeShare, float], ...]:
    """Each mode with its part of the worst five minutes.

    What is on for longer, or for a whole phase, counts in full; each short mode falls wholly into
    them, and the base, which is the first one, fills the rest.
    """
    if not modes:
        return ()
    base, *others = modes
    times = [min(mode.time_s, FIVE_MINUTES_S) for mode in others]
    left = FIVE_MINUTES_S - min(FIVE_MINUTES_S, sum(times))
    own = base.time_s if base.share < 1 and not others else FIVE_MINUTES_S
    found = zip(modes, (min(own, left), *times), strict=True)
    return tuple((mode, time_s / FIVE_MINUTES_S) for mode, time_s in found)


@analysis
def conditions(study: Study) -> tuple[Condition, ...]:
    """Day, night, or both, as the builder chose."""
    return study.system.about.conditions


def circuit_amps(
    study: Study,
    equipment: tuple[str, ...],
    phase: str,
    condition: Condition,
    count: Count = "heat",
) -> float:
    """The most that these loads draw together at one moment in a phase.

    Exclusive loads count once; what pulses counts by its root mean square, or by its peak. Unknown
    loads count nothing here: who uses the sum must ask `LoadDemand.known` as well.
    """
    known = _known_amps(study)
    key = equipment, phase, condition, count
    if key not in known:
        known[key] = _circuit_amps(study, key)
    return known[key]


@analysis
def _known_amps(study: Study) -> dict[Sum, float]:
    """The sums asked for so far."""
    del study
    return {}


def _circuit_amps(study: Study, asked: Sum) -> float:
    equipment, phase, condition, count = asked
    found = demand(study)
    groups: dict[str, float] = {}
    total = 0.0
    for name in equipment:
        load = found.loads.get(name)
        if load is None:
            continue
        modes = load.active(phase, condition)
        draws = [d for m in modes if (d := m.drawn(count)) is not None]
        most = max((found.highest_a(draw) for draw in draws), default=0.0)
        group = study.document.equipment[name].exclusive
        if group is None:
            total += most
        else:
            groups[group] = max(groups.get(group, 0.0), most)
    return total + sum(groups.values())


@analysis
def worst_circuit_amps(study: Study) -> Mapping[str, float | None]:
    """Circuit → the most it carries in any phase, where pulses count by their root mean square.

    None where a load's current is not known.
    """
    return _worst(study, "heat")


@analysis
def worst_circuit_peak(study: Study) -> Mapping[str, float | None]:
    """Circuit → the most it takes at any instant; None where a load's current is not known."""
    return _worst(study, "peak")


def _worst(study: Study, count: Count) -> Mapping[str, float | None]:
    found = demand(study)
    result: dict[str, float | None] = {}
    for name, circuit in study.document.circuits.items():
        loads = tuple(dict.fromkeys(feed.split(".")[0] for feed in circuit.feeds))
        unknown = any(
            load not in found.loads or not found.loads[load].known
            for load in loads
            if not study.document.equipment[load].passive
        )
        most = max(
            (
                circuit_amps(study, loads, phase, condition, count)
                for phase in study.document.phases
                for condition in conditions(study)
            ),
            default=0.0,
        )
        result[name] = None if unknown else most
    return result
