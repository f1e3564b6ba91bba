"""What every single failure takes: of sources, devices, switches, feeders, buses, connectors, ways.

In: the sweep over all failures. Out: `Effect` records. Two states are looked at: at once, with the
feeders as in normal flight; and after the pilot has changed over to the feeders for an emergency
and shed what can be shed. What is cut off follows from tracing, what is low from the solved
network: loads that may be on at one moment for voltages, loads with their share of the time for
batteries.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct, field
from msgspec.structs import asdict, replace

from elec.answers.failures.failure_battery import holds_min
from elec.answers.failures.failure_cascade import Overheated, Trip
from elec.answers.failures.failure_list import Failure
from elec.answers.failures.failure_states import CHANGED, in_both, newly
from elec.answers.failures.failure_sweep import COUNTS, After, Least, Sweep
from elec.answers.time.endurance import cruise_phase
from elec.model.system import Condition
from elec.sizing.order import cranking
from elec.study import Study, analysis
from elec.wiring.backup import engine_loads
from elec.wiring.cases import NORMAL
from elec.wiring.chains import chains
from elec.wiring.demand import conditions
from elec.working import unrounded


class Effect(Struct, frozen=True, kw_only=True):
    """What one failure does in one phase, or in all phases of flight together."""

    failure: Failure
    phase: str
    """Empty: the worst of all phases of flight."""
    condition: Condition
    lost: tuple[str, ...]
    """Equipment in use that is cut off at once, in the builder's order."""
    low: tuple[str, ...]
    """Equipment in use that falls below its minimum voltage at once and is not below it without
    the failure; `coil:NAME` for a coil. Empty where not solved."""
    sources: tuple[str, ...]
    """Sources that feed nothing any more: dead, cut off, or an alternator without its field."""
    changed_over: bool
    """Whether the pilot gains by changing over and shedding; what follows holds for that state."""
    changed_in: tuple[str, ...]
    """The phases in which he does."""
    dead: frozenset[str]
    """All equipment cut off that is fed without the failure, in use or not."""
    taken: tuple[str, ...]
    """Essential equipment whose work nothing does any more: neither it nor its backup."""
    at_once: tuple[str, ...]
    """The same before anybody has changed over."""
    least: Least | None
    """Over the essential loads that are on and fed; None where there is none, or not solved."""
    drained: tuple[str, ...]
    """Batteries that are emptied, and are not so without the failure."""
    holds_min: float | None
    """How long until the first of the drained batteries is empty, by Peukert's law at the loads of
    one phase all the time; None where none is drained, or not solved."""
    holds_in: str
    """The phase whose loads those minutes are for; empty where there are none."""
    solved: bool
    """Whether voltages were computed; else only what is cut off is known."""
    astray: tuple[str, ...]
    """Alternators that are off in the end: their regulators see no longer what they hold."""
    untold: bool
    """Whether one of them may run away, and nothing is said to take it off: then not solved."""
    served: float
    """Which part of the demand the sources can deliver at once; NaN where not known."""
    trips: tuple[Trip, ...] = ()
    """Devices that carry too much then and open, in their order."""
    hot: tuple[Overheated, ...] = ()
    """Wires that carry more than they may when all has settled."""
    carried: Mapping[str, float] = field(default_factory=dict)
    """Feeder → the most that it carries after the failure; empty where not solved, or not asked: in
    `decisive` alone."""

    @property
    def nothing(self) -> bool:
        """Whether no equipment and no source notices."""
        return not (self.lost or self.low or self.sources or self.drained)


def worst_condition(study: Study) -> Condition:
    """The condition in which failures are looked at: night where it is flown."""
    return "night" if "night" in conditions(study) else conditions(study)[0]


def flight_phases(study: Study) -> tuple[str, ...]:
    """The phases in the air or about to be: the engine runs, or there is none."""
    phases = study.document.phases
    running = [n for n, p in phases.items() if p.engine is None or p.engine.state == "running"]
    return tuple(running or phases)


def decisive(study: Study) -> tuple[Effect, ...]:
    """Every failure in cruise, in the worst condition, for the checks; batteries are not asked.

    Failures that only take loads off are not solved: that lowers no voltage elsewhere.
    """
    found = _quick(study)
    return found[cruise_phase(study)] if found else ()


def shifting(study: Study, phase: str) -> tuple[Effect, ...]:
    """Every failure in one phase that may shift current, batteries not asked."""
    return _quick(study)[phase]


def effects(study: Study, phase: str) -> tuple[Effect, ...]:
    """Every failure in one phase, solved."""
    if not chains(study).feeds:
        return ()
    return tuple(_in_phase(_sweep(study, (phase,)), phase, quick=False))


@analysis
def worst_effects(study: Study) -> tuple[Effect, ...]:
    """Every failure with the worst of all phases of flight."""
    found = list(flight_effects(study).values())
    order = {name: at for at, name in enumerate(study.document.equipment)}
    return tuple(_merged(order, of_one) for of_one in zip(*found, strict=True))


def _merged(order: Mapping[str, int], found: Sequence[Effect]) -> Effect:
    """One failure over several phases: all that is lost in any, the least that is left."""
    leasts = [effect.least for effect in found if effect.least is not None]
    held = [effect for effect in found if effect.holds_min is not None]
    soonest = min(held, key=lambda effect: unrounded(effect.holds_min or 0.0), default=None)
    served = [effect.served for effect in found]

    def together(field: str) -> tuple[str, ...]:
        names = {name: None for effect in found for name in getattr(effect, field)}
        return tuple(sorted(names, key=lambda n: order.get(n, len(order))))

    lost, taken = together("lost"), together("taken")
    return replace(
        found[0],
        phase="",
        lost=lost,
        low=tuple(name for name in together("low") if name not in lost),
        sources=together("sources"),
        changed_over=any(effect.changed_over for effect in found),
        changed_in=tuple(phase for effect in found for phase in effect.changed_in),
        dead=frozenset[str]().union(*(effect.dead for effect in found)),
        taken=taken,
        at_once=together("at_once"),
        least=min(leasts, key=lambda least: least.margin_v) if leasts else None,
        drained=together("drained"),
        holds_min=soonest.holds_min if soonest else None,
        holds_in=soonest.phase if soonest else "",
        solved=all(effect.solved for effect in found),
        astray=together("astray"),
        untold=any(effect.untold for effect in found),
        served=math.nan if any(map(math.isnan, served)) else min(served),
        trips=tuple({trip.device: trip for effect in found for trip in effect.trips}.values()),
        hot=tuple({wire.conductor: wire for effect in found for wire in effect.hot}.values()),
    )


@analysis
def _quick(study: Study) -> Mapping[str, tuple[Effect, ...]]:
    """Phase → the failures in it that may shift current, in cruise all, batteries not asked.

    Every phase of flight and every other one in which no starter turns.
    """
    return {phase: quick for phase, quick, _ in _in_phases(study, solved=False)}


@analysis
def flight_effects(study: Study) -> Mapping[str, tuple[Effect, ...]]:
    """Phase of flight → every failure in it, solved.

    What is quick comes with it: who needs both asks for this first.
    """
    found = list(_in_phases(study, solved=True))
    asked: Mapping[str, tuple[Effect, ...]] = {phase: quick for phase, quick, _ in found}
    study.keep(_quick, asked)
    every = {phase: solved for phase, _, solved in found}
    return {phase: every[phase] for phase in flight_phases(study)} if found else {}


def _in_phases(
    study: Study, *, solved: bool
) -> Iterator[tuple[str, tuple[Effect, ...], tuple[Effect, ...]]]:
    """Phase after phase, what is quick and, where asked, every failure solved.

    What was solved for one phase is of no use for the next, and there is much of it.
    """
    if not study.document.phases or not chains(study).feeds:
        return
    flight, brief, cruise = flight_phases(study), cranking(study), cruise_phase(study)
    phases = tuple(n for n in study.document.phases if n in flight or n not in brief)
    sweep = _sweep(study, phases)
    momentary = sweep.momentary()
    for phase in phases:
        which = range(sweep.healthy) if phase == cruise else sweep.shifting(phase)
        quick = tuple(_in_phase(momentary, phase, quick=True, which=which))
        every = solved and phase in flight
        yield phase, quick, tuple(_in_phase(sweep, phase, quick=False)) if every else ()
        sweep.forget()


def _sweep(study: Study, phases: tuple[str, ...]) -> Sweep:
    return Sweep(study, phases, (NORMAL, CHANGED), COUNTS, worst_condition(study))


def in_other(study: Study, phases: tuple[str, ...], condition: Condition) -> Iterator[Effect]:
    """What `shifting` says, in any condition."""
    if not phases:
        return
    sweep = Sweep(study, phases, (NORMAL, CHANGED), COUNTS[:1], condition)
    for phase in phases:
        yield from _in_phase(sweep, phase, quick=True, which=sweep.shifting(phase))
        sweep.forget()


def _in_phase(
    sweep: Sweep, phase: str, *, quick: bool, which: Iterable[int] | None = None
) -> Iterator[Effect]:
    """Every failure in one phase, or some; changing over is looked at where it may help."""
    every = [(phase, column) for column in (range(sweep.healthy) if which is None else which)]
    if not every:
        return
    both = in_both(sweep, every, quick=quick)
    healthy = both.first[phase, sweep.healthy]
    for key in every:
        found = both.first[key], both.second.get(key)
        yield replace(
            _effect(sweep, *key, found, healthy),
            **asdict(both.loaded(key)),
            carried=both.carried(sweep.study, key) if quick else {},
        )


def _effect(
    sweep: Sweep, phase: str, column: int, found: tuple[After, After | None], healthy: After
) -> Effect:
    once, later = found
    order = sweep.in_use[phase]
    changed_over = later is not None and _gains(sweep, once, later, healthy)
    final = later if changed_over and later is not None else once
    at_once, taken = _taken(sweep, once), _taken(sweep, final)
    drained = newly(final.drained, healthy.drained)
    minutes = _holds(sweep.study, once, final, healthy)
    return Effect(
        failure=sweep.failures[column],
        phase=phase,
        condition=sweep.condition,
        lost=tuple(sorted((once.dead - healthy.dead) & order.keys(), key=order.__getitem__)),
        low=tuple(name for name in once.low if name not in healthy.low),
        sources=tuple(
            name
            for name in sweep.study.document.sources
            if name in healthy.serving and name not in once.serving
        ),
        changed_over=changed_over,
        changed_in=(phase,) if changed_over else (),
        dead=final.dead - healthy.dead,
        taken=tuple(name for name in taken if name not in healthy.dead),
        at_once=tuple(name for name in at_once if name not in healthy.dead),
        least=final.least,
        drained=drained,
        holds_min=minutes,
        holds_in=phase if minutes is not None else "",
        solved=final.solved and once.solved,
        astray=once.astray,
        untold=once.untold or final.untold,
        served=once.served,
    )


GAINS_MIN = 1.0
"""A hand is worth moving for a minute more on the battery: the least that is printed."""


def _gains(sweep: Sweep, once: After, later: After, healthy: After) -> bool:
    """Whether changing over and shedding leaves the pilot better off.

    The engine counts before all else, then how many essential loads are taken, then how long the
    first battery lasts that the failure empties: what empties it sooner is no help.
    """
    before, after = _weight(sweep, once), _weight(sweep, later)
    if before != after:
        return after < before
    if not newly(once.drained, healthy.drained):
        return False
    stays, goes = (_holds(sweep.study, once, final, healthy) for final in (once, later))
    return stays is not None and (goes is None or goes >= stays + GAINS_MIN)


def _weight(sweep: Sweep, after: After) -> tuple[bool, int]:
    taken = _taken(sweep, after)
    return not engine_loads(sweep.study).isdisjoint(taken), len(taken)


def _taken(sweep: Sweep, after: After) -> tuple[str, ...]:
    return sweep.taken(after.dead | frozenset(after.low))


def _holds(study: Study, once: After, final: After, healthy: After) -> float | None:
    """Minutes until the first battery is empty that the failure empties."""
    drained = newly(final.drained, healthy.drained)
    return holds_min(study, once.drained, final.drained if final is not once else None, drained)


__all__ = [
    "Effect", "Least", "decisive", "effects", "flight_effects", "flight_phases", "in_other",
    "shifting", "worst_condition", "worst_effects",
]  # fmt: skip
