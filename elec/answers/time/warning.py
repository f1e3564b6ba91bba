"""When the low-voltage warning comes on after the loss of the alternator.

In: the network over charge, `warning:` of the buses. Out: `Warned`: on a usual day with a full
battery, which hides the loss longest, in cruise, all on. A lead-acid battery rests below 13 V and
the warning comes at once; a lithium battery holds 13 V until much of it is gone.
"""

import math
from collections.abc import Mapping

import numpy as np
from msgspec import Struct

from elec.answers.base.bodies import batteries
from elec.answers.base.days import bank, days
from elec.answers.base.points import points
from elec.answers.time.alone import LONGEST_S, Alone, lit_s, warnings
from elec.answers.time.course import Course, FlightLeg, march
from elec.answers.time.endurance import cruise_phase
from elec.answers.time.lattice import Lattice, LatticeSetting
from elec.model.system import Condition
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, Case, unshed
from elec.wiring.demand import conditions
from elec.wiring.sources import has_alternator


class Warned(Struct, frozen=True, kw_only=True):
    """The latest of day and night."""

    lit_s: float
    """From the loss until the first warning; infinite where none comes before a day is over."""
    bus: str
    """The bus whose warning is the first."""
    condition: Condition
    phase: str
    after_v: dict[str, float]
    """Each watched bus five minutes (the recognition time) after the loss."""
    before_v: dict[str, float]
    """Each watched bus in cruise, all well, with the most that is lasting."""


@analysis
def warned(study: Study) -> Warned | None:
    """The answer; None without an alternator, a battery, phases or a warning."""
    given = warnings(study)
    alternator = has_alternator(study)
    if not (given and alternator and batteries(study) and study.document.phases):
        return None
    phase, both = cruise_phase(study), conditions(study)
    usual = tuple(day for day in days(study) if day.name == "usual")
    lattice = Lattice(
        study,
        tuple(
            LatticeSetting(
                case=Case(phase=phase, condition=c, scenario=unshed(study), count="steady"), day=0
            )
            for c in both
        ),
        bank(study, usual),
        (usual[0].air_degc,),
        watched=frozenset(),
    )
    full = np.ones(len(lattice.bank.names))
    every = [
        Alone(
            start_s=0.0,
            state=full,
            first=(FlightLeg(until_s=LONGEST_S, setting=i),),
            seen_s=LONGEST_S,
            after=(),
        )
        for i in range(len(both))
    ]
    courses = march(lattice, [one.unshed() for one in every])
    first = [
        min(
            (lit_s(lattice, course, 0.0, {bus: volts}), bus)
            for bus, volts in _live(lattice, course, given).items()
        )
        for course in courses
    ]
    latest = max(range(len(both)), key=lambda i: first[i][0])
    time_s, bus = first[latest]
    at = min(default("recognition-time").si, courses[latest].ends_s)
    volts = courses[latest].results(lattice, [at])[1][0, lattice.columns.bus]
    return Warned(
        lit_s=time_s if time_s < LONGEST_S else math.inf,
        bus=bus,
        condition=both[latest],
        phase=phase,
        after_v={
            bus: float(v)
            for bus, v in zip(lattice.columns.buses, volts, strict=True)
            if bus in given
        },
        before_v=_before(study, phase),
    )


def _live(lattice: Lattice, course: Course, given: Mapping[str, float]) -> Mapping[str, float]:
    """The warnings of buses that the battery feeds on; all where it feeds none of them.

    A bus that dies with its alternator warns of nothing that happens to the battery.
    """
    volts = dict(
        zip(lattice.columns.buses, course.results(lattice, [0.0])[1][0, lattice.columns.bus],
            strict=True)
    )  # fmt: skip
    return {bus: least for bus, least in given.items() if np.isfinite(volts[bus])} or given


def _before(study: Study, phase: str) -> dict[str, float]:
    found = points(study)
    cases = found.select(phase=phase, scenario=NORMAL.name, count="steady")
    return {
        bus: float(found.solution.voltage_v[row, cases].min())
        for bus, row in found.nodes.items()
        if bus in study.document.buses and study.document.buses[bus].warning_v
    }
