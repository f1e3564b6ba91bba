"""What every load draws in every phase, before any voltage is known.

In: equipment, phases. Out: `Demand`: for each load and phase its modes with their share of the
time. A load without a current is unknown, never zero.
"""

from collections.abc import Mapping
from typing import Literal

from elec.model.load import Draw, Equipment, On, Use
from elec.model.phase import Phase, uses
from elec.model.system import Condition
from elec.record import dataclass
from elec.standards import default
from elec.study import Study, analysis

SHORT_TIME_S = 120.0
"""On for two minutes or less is intermittent (AC 43.13-1B table 11-6, the limit from memory)."""

FIVE_MINUTES_S = 300.0
"""On for longer is lasting: the alternator has to carry it (AC 43.13-1B 11-35)."""


@dataclass(frozen=True, kw_only=True)
class ModeShare:
    """One mode of a load in one phase: what it draws and for which share of the time."""

    mode: str
    draw: Draw | None
    """None: not known."""
    share: float
    time_s: float
    """Longest time on at a stretch in this phase."""
    counted: float
    """Its share in the average: what is on for a while only while the starter turns has none, for
    the average of a start over its seconds says nothing about what lasts."""


@dataclass(frozen=True, kw_only=True)
class LoadDemand:
    """One load over all phases; the first mode of a phase is the one it falls back to."""

    equipment: str
    phases: Mapping[str, tuple[ModeShare, ...]]
    when: Literal["day", "night", "always"]
    known: bool
    intermittent: bool

    def active(self, phase: str, condition: Condition) -> tuple[ModeShare, ...]:
        """The modes that run in a phase by day or night."""
        if self.when not in ("always", condition):
            return ()
        return self.phases.get(phase, ())


@dataclass(frozen=True, kw_only=True)
class Demand:
    """All loads."""

    loads: Mapping[str, LoadDemand]
    design_v: float
    """The low voltage at which devices are sized: constant-power loads draw more there."""
    highest_v: float
    """The highest regulated voltage: resistive loads draw more there."""

    def highest_a(self, draw: Draw) -> float:
        """The most a load draws between the low and the regulated voltage."""
        return max(draw.current_a(self.design_v), draw.current_a(self.highest_v))


@analysis
def demand(study: Study) -> Demand:
    """The demand of every load that draws current."""
    about = study.system.about
    alternators = [s for s in study.document.sources.values() if s.kind == "alternator"]
    setpoints = [v for s in alternators for v in s.setpoints()]
    loads = {
        name: _load(study.document.phases, name, entry)
        for name, entry in study.document.equipment.items()
        if draws(entry)
    }
    return Demand(
        loads=loads,
        design_v=default("design-low-voltage").value * cells_factor(about.nominal_v),
        highest_v=max([about.nominal_v, *setpoints]),
    )


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


def _load(phases: Mapping[str, Phase], name: str, entry: Equipment) -> LoadDemand:
    names = list(phases)
    found: dict[str, list[ModeShare]] = {}
    for mode, draw, on in modes_of(entry):
        for phase, use in uses(on, names).items():
            lasts = phases[phase].lasts_s
            found.setdefault(phase, []).append(
                ModeShare(
                    mode=mode,
                    draw=draw,
                    share=use.share_of(lasts),
                    time_s=_time(use, lasts),
                    counted=use.share_of(lasts),
                )
            )
    every = [m for shares in found.values() for m in shares]
    return LoadDemand(
        equipment=name,
        phases={
            phase: _displaced(shares, turning=turns(phases[phase]))
            for phase, shares in found.items()
        },
        when=entry.when,
        known=all(m.draw is not None for m in every)
        and (entry.draw is not None or bool(entry.modes)),
        intermittent=entry.intermittent
        or (bool(every) and all(m.time_s <= SHORT_TIME_S and m.share < 1 for m in every)),
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
    from dataclasses import replace

    if turning:
        shares = [replace(m, counted=m.share if m.share >= 1 else 0.0) for m in shares]
    base, *others = shares
    if not others:
        return (base,)
    taken = min(1.0, sum(m.share for m in others))
    left = max(0.0, min(base.share, 1.0 - taken))
    lasting = min(1.0, sum(m.counted for m in others))
    counted = max(0.0, min(base.counted, 1.0 - lasting))
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
    study: Study, equipment: tuple[str, ...], phase: str, condition: Condition
) -> float:
    """The most that these loads draw together at one moment in a phase; exclusive loads count once.

    Unknown loads count nothing here: who uses the sum must ask `LoadDemand.known` as well.
    """
    known = _known_amps(study)
    key = equipment, phase, condition
    if key not in known:
        known[key] = _circuit_amps(study, equipment, phase, condition)
    return known[key]


@analysis
def _known_amps(study: Study) -> dict[tuple[tuple[str, ...], str, Condition], float]:
    """The sums asked for so far."""
    del study
    return {}


def _circuit_amps(
    study: Study, equipment: tuple[str, ...], phase: str, condition: Condition
) -> float:
    found = demand(study)
    groups: dict[str, float] = {}
    total = 0.0
    for name in equipment:
        load = found.loads.get(name)
        if load is None:
            continue
        modes = load.active(phase, condition)
        most = max((found.highest_a(m.draw) for m in modes if m.draw is not None), default=0.0)
        group = study.document.equipment[name].exclusive
        if group is None:
            total += most
        else:
            groups[group] = max(groups.get(group, 0.0), most)
    return total + sum(groups.values())


@analysis
def worst_circuit_amps(study: Study) -> Mapping[str, float | None]:
    """Circuit → the most it carries in any phase; None where a load's current is not known."""
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
                circuit_amps(study, loads, phase, condition)
                for phase in study.document.phases
                for condition in conditions(study)
            ),
            default=0.0,
        )
        result[name] = None if unknown else most
    return result
