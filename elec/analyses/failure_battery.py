"""How long batteries hold after a failure, estimated by ampere-minutes.

In: the current that each battery gives at once, and after changing over and shedding. Out: minutes
until the first of them is empty. The simulation of `endurance` is the better answer for the case
that matters most; this one is for comparing a hundred failures.
"""

from collections.abc import Mapping

from elec.analyses.endurance import batteries
from elec.analyses.sources import capacity_share, one_hour_ah
from elec.physics.battery import budget_ampere_minutes
from elec.standards import default
from elec.study import Study

LONG_MIN = 24 * 60.0
"""A battery that would last longer than this is not being emptied: a clock, a contactor's coil."""


def countable_ampere_minutes(study: Study, name: str) -> float:
    """The charge to count on: the share that the builder or the default gives, less in the cold.

    Of the capacity at the one-hour rate; at the coldest that the battery gets.
    """
    battery = batteries(study)[name]
    share = default("battery-factor").si if battery.usable is None else battery.usable
    degc = battery.coldest_degc
    cold = capacity_share(battery, default("battery-temperature").value if degc is None else degc)
    return budget_ampere_minutes(capacity_ah=one_hour_ah(battery), factor=share * min(1.0, cold))


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
    charge, now = countable_ampere_minutes(study, name), at_once_a.get(name, 0.0)
    if later_a is None:
        return charge / now
    seen = default("recognition-time").value
    if now * seen >= charge:
        return charge / now
    return seen + (charge - now * seen) / later_a[name]
