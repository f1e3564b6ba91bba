"""What the alternators have left in each phase.

In: the load analysis, the solved cases. Out: `Margin` by phase, in the worse of day and night.
Where several alternators are fitted only those count that deliver current when all is well: one
that stands by idles.
"""

from collections.abc import Mapping

import numpy as np

from elec.analyses.cases import NORMAL
from elec.analyses.demand import conditions
from elec.analyses.loads import LoadLine, Total, loads
from elec.analyses.points import points
from elec.analyses.sources import output
from elec.model.source import Alternator
from elec.model.system import Condition
from elec.record import dataclass
from elec.study import Study, analysis
from elec.working import Step, Term, Working

IDLE_SHARE = 0.01
"""An alternator that gives less than this share of its rating stands by."""


@dataclass(frozen=True, kw_only=True)
class Margin:
    """One phase in which the engine runs. None where a number is not known."""

    phase: str
    condition: Condition
    load_a: float
    """Continuous: each load with its share of the phase."""
    five_minute_a: float
    momentary_a: float
    carrying: tuple[str, ...]
    """The alternators that carry it."""
    rated_a: float | None
    available_a: float | None
    """What they can deliver at the engine speed of the phase."""
    unknown: tuple[str, ...]
    """Loads whose current is not known; the sums leave them out."""
    landing: bool
    """Pitot heat and landing light are on together."""
    without_landing_a: float
    lasts_s: float
    working: Working

    @property
    def share(self) -> float | None:
        """The load over the rated output."""
        return None if not self.rated_a else self.load_a / self.rated_a

    @property
    def without_landing(self) -> float | None:
        """The load less its landing lights, over the rated output."""
        return None if not self.rated_a else self.without_landing_a / self.rated_a

    @property
    def spare_a(self) -> float | None:
        """What is left; negative where the battery has to help."""
        return None if self.available_a is None else self.available_a - self.load_a

    @property
    def drained_ah(self) -> float:
        """What the battery loses over the phase; 0 where it loses nothing."""
        spare = self.spare_a
        return 0.0 if spare is None or spare >= 0 else -spare * self.lasts_s / 3600


@analysis
def margins(study: Study) -> Mapping[str, Margin]:
    """Every phase in which the engine runs, in order; empty without an alternator."""
    worst: dict[str, Margin] = {}
    for (phase, _), margin in margins_by_condition(study).items():
        if phase not in worst or _weight(margin) > _weight(worst[phase]):
            worst[phase] = margin
    return worst


def _weight(margin: Margin) -> tuple[float, int]:
    return margin.load_a, len(margin.unknown)


@analysis
def margins_by_condition(study: Study) -> Mapping[tuple[str, Condition], Margin]:
    """Every phase in which the engine runs, by day and by night; empty without an alternator."""
    alternators = _alternators(study)
    if not alternators:
        return {}
    return {
        (name, condition): _margin(study, loads(study).total(name, condition), alternators)
        for name, phase in study.document.phases.items()
        if phase.engine is None or phase.engine.state == "running"
        for condition in conditions(study)
    }


def _alternators(study: Study) -> Mapping[str, Alternator]:
    return {
        name: source
        for name, source in study.document.sources.items()
        if isinstance(source, Alternator)
    }


def _margin(study: Study, total: Total, alternators: Mapping[str, Alternator]) -> Margin:
    phase = total.phase
    carrying = _carrying(study, phase, total.condition, alternators)
    ratings = [alternators[name].rated_a() for name in carrying]
    steps = [output(study, name, alternators[name], phase) for name in carrying]
    known = [step for step in steps if step is not None]
    lights = _on(study, phase, total.condition, "landing light")
    pitot = _on(study, phase, total.condition, "pitot heat")
    off = sum(line.continuous_a or 0.0 for line in lights)
    return Margin(
        phase=phase,
        condition=total.condition,
        load_a=total.continuous_a,
        five_minute_a=total.five_minute_a,
        momentary_a=total.momentary_a,
        carrying=carrying,
        rated_a=sum(r for r in ratings if r is not None) if None not in ratings else None,
        available_a=sum(s.result.value for s in known) if len(known) == len(steps) else None,
        unknown=total.unknown,
        landing=bool(lights and pitot),
        without_landing_a=total.continuous_a - off,
        lasts_s=study.document.phases[phase].lasts_s,
        working=_working(study, total, tuple(known), carrying, ratings),
    )


def _on(study: Study, phase: str, condition: Condition, role: str) -> list[LoadLine]:
    return [
        line
        for line in loads(study).lines
        if (line.phase, line.condition) == (phase, condition)
        and not line.coil
        and study.document.equipment[line.equipment].role == role
    ]


def _carrying(
    study: Study, phase: str, condition: Condition, alternators: Mapping[str, Alternator]
) -> tuple[str, ...]:
    """Those that deliver in normal operation; all of them where none does."""
    if len(alternators) == 1:
        return tuple(alternators)
    found = points(study)
    names = [branch.name for branch in found.model.netlist.alternators]
    mask = found.select(phase=phase, condition=condition, scenario=NORMAL.name, count="steady")
    index = int(np.flatnonzero(mask)[0])
    delivered = {
        name: float(found.solution.alternator_a[names.index(name), index]) for name in alternators
    }
    least = {name: IDLE_SHARE * (a.rated_a() or 0.0) for name, a in alternators.items()}
    carrying = tuple(name for name, amps in delivered.items() if amps > least[name])
    return carrying or tuple(alternators)


def _working(
    study: Study,
    total: Total,
    outputs: tuple[Step, ...],
    carrying: tuple[str, ...],
    ratings: list[float | None],
) -> Working:
    load = (
        total.steps[-1].result
        if total.steps
        else Term(symbol="I", value=0.0, unit="A", meaning="no load is on")
    )
    steps = [*total.steps, *outputs]
    if all(ratings):
        rated = [
            Term(
                symbol=f"Ir{i}",
                value=rating or 0.0,
                unit="A",
                meaning=f"rated output of {name}",
                origin=str(study.system.where("sources", name, "rating")),
            )
            for i, (name, rating) in enumerate(zip(carrying, ratings, strict=True), 1)
        ]
        steps.append(
            Step(
                result=Term(
                    symbol="s",
                    value=load.value / sum(t.value for t in rated),
                    unit="",
                    meaning="share of the rated output",
                    origin="computed",
                ),
                formula=f"I / ({' + '.join(t.symbol for t in rated)})",
                terms=(load, *rated),
                source="AC 43.13-1B 11-35",
            )
        )
    return Working(title=f"Alternator margin in {total.phase}", steps=tuple(steps))


@dataclass(frozen=True, kw_only=True)
class Dip:
    """The lowest voltage of a bus in one phase when everything that may be on is on."""

    phase: str
    condition: Condition
    bus: str
    voltage_v: float
    alternators_a: float
    batteries_a: float
    solved: bool


@analysis
def dips(study: Study) -> Mapping[str, Dip]:
    """The momentary case of every phase in which the engine runs, all sources working."""
    found = points(study)
    buses = [name for name in study.document.buses if name in found.nodes]
    rows = [found.nodes[name] for name in buses]
    result: dict[str, Dip] = {}
    for index, case in enumerate(found.cases):
        engine = study.document.phases[case.phase].engine
        running = engine is None or engine.state == "running"
        if case.scenario != NORMAL or case.count != "momentary" or not running or not rows:
            continue
        volts = found.solution.voltage_v[rows, index]
        if np.isnan(volts).all():
            continue
        lowest = int(np.nanargmin(volts))
        one = Dip(
            phase=case.phase,
            condition=case.condition,
            bus=buses[lowest],
            voltage_v=float(volts[lowest]),
            alternators_a=float(found.solution.alternator_a[:, index].sum()),
            batteries_a=-float(found.solution.battery_a[:, index].sum()),
            solved=int(found.solution.state[index]) == 0,
        )
        if case.phase not in result or one.voltage_v < result[case.phase].voltage_v:
            result[case.phase] = one
    return result


__all__ = ["Dip", "Margin", "dips", "margins", "margins_by_condition"]
