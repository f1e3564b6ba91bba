"""How long batteries hold after a failure, by Peukert's law at the current that each gives.

In: the current that each battery gives at once, and after changing over and shedding. Out: minutes
until the first of them is empty, aged and on the cold day. The simulation of `endurance` is the
better answer for the case that matters most, since it follows the falling voltage; this one is for
comparing a hundred failures.
"""

from collections.abc import Mapping

import numpy as np

from elec.answers.base.bodies import Bank, batteries
from elec.answers.base.days import bank, days
from elec.network.netlist import Array
from elec.standards import default
from elec.study import Study, analysis

LONG_MIN = 24 * 60.0
"""A battery that would last longer than this is not being emptied: a clock, a contactor's coil."""


@analysis
def cold_bank(study: Study) -> Bank:
    """The batteries, aged, on the cold day alone."""
    return bank(study, tuple(day for day in days(study) if day.name == "cold"))


def emptied_min(study: Study, name: str, current_a: float) -> float:
    """Minutes in which one current takes all the charge that a battery has at the failure."""
    return float(each_emptied_min(study, name, np.array([current_a]))[0])


def each_emptied_min(study: Study, name: str, current_a: Array) -> Array:
    """The same of many currents."""
    return 1 / _per_min(study, name, current_a)


def _per_min(study: Study, name: str, current_a: Array) -> Array:
    """The part of the charge at the failure that each current takes in a minute."""
    every = cold_bank(study)
    at = every.names.index(name)
    amps = np.zeros((len(current_a), len(every.names)))
    amps[:, at] = current_a
    slope = every.slope_per_s(np.zeros(len(amps), dtype=np.intp), amps)
    taken: Array = -60 * slope[:, at] / every.days[0][at].start
    return taken


def holds_min(
    study: Study,
    at_once_a: Mapping[str, float],
    later_a: Mapping[str, float] | None,
    which: tuple[str, ...],
) -> float | None:
    """Minutes until the first of the batteries named is empty; None where none is named.

    Args:
        study: the run.
        at_once_a: what each gives at once, A.
        later_a: what each gives after changing over, which takes the pilot the recognition time;
            None where he does not change over.
        which: the batteries to look at.
    """
    known = batteries(study)
    times = [_minutes(study, name, at_once_a, later_a) for name in which if name in known]
    return min(times) if times else None


def _minutes(
    study: Study, name: str, at_once_a: Mapping[str, float], later_a: Mapping[str, float] | None
) -> float:
    now, later = at_once_a.get(name, 0.0), (later_a or at_once_a).get(name, 0.0)
    at_once, then = map(float, _per_min(study, name, np.array([now, later])))
    if later_a is None:
        return 1 / at_once
    seen = default("recognition-time").value
    left = 1.0 - seen * (at_once if now > 0 else 0.0)
    return 1 / at_once if left <= 0 else seen + left / then
