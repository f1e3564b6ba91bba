"""Does the voltage come back after a dip? A second stable point, below the one that is hoped for.

In: points. Out: cases in which the system may stay low, with what it then has. An alternator at its
limit and boxes that keep their power make it possible: as the voltage sinks they draw more, the
battery helps, and nothing leads back up.
"""

import numpy as np
from msgspec import Struct

from elec.answers.base.points import points
from elec.network.netlist import State
from elec.network.solve import solve
from elec.study import Study, analysis
from elec.wiring.cases import Case

LEAST_A = 0.5
"""A load that draws less brings no voltage back."""


class Stay(Struct, frozen=True, kw_only=True):
    """A case in which the voltage may stay low after a dip."""

    case: Case
    load: str
    """The load port that is then lowest, as a part of its voltage before."""
    equipment: str
    """The equipment that this port belongs to."""
    spare: tuple[tuple[str, float], ...]
    """The loads that draw most there and are not essential, with their amperes; two at the most."""
    before_v: float
    after_v: float


class Recovery(Struct, frozen=True, kw_only=True):
    """What was looked at, and what was found."""

    looked: int
    """Cases with a working alternator, everything on at once, that have an operating point."""
    unknown: tuple[Case, ...]
    """Such cases that could not be computed."""
    stays: tuple[Stay, ...]


@analysis
def recovery(study: Study) -> Recovery:
    """Look for a second point in every case in which an alternator works."""
    found = points(study)
    values, state = found.model.values, found.solution.state
    turning = (values.alternator_limit_a > 0.0).any(axis=0) & found.select(count="momentary")
    which = np.flatnonzero(turning & (state == State.SOLVED))
    broken = np.flatnonzero(turning & (state == State.NUMERICAL))
    stays: list[Stay] = []
    if len(which):
        again = solve(found.model.netlist, values.take(which), after_dip=True)
        for k in np.flatnonzero(again.bistable):
            before, after = again.load_v[:, k], again.low_v[:, k]
            part = np.where(before > 0.0, after / np.where(before > 0.0, before, 1.0), np.inf)
            load = int(part.argmin())
            stays.append(
                Stay(
                    case=found.cases[which[k]],
                    load=found.model.ports[load].name,
                    equipment=found.model.ports[load].equipment,
                    spare=_spare(study, int(which[k])),
                    before_v=float(before[load]),
                    after_v=float(after[load]),
                )
            )
    return Recovery(
        looked=len(which),
        unknown=tuple(found.cases[k] for k in broken),
        stays=tuple(stays),
    )


def _spare(study: Study, case: int) -> tuple[tuple[str, float], ...]:
    """What draws most in a case and is not essential."""
    found, drawn = points(study), dict[str, float]()
    for row, port in enumerate(found.model.ports):
        entry = study.document.equipment.get(port.equipment)  # None: a contactor's coil
        if entry is not None and not entry.essential:
            amps = float(found.solution.load_a[row, case])
            drawn[port.equipment] = drawn.get(port.equipment, 0.0) + amps
    most = sorted(drawn.items(), key=lambda item: (-item[1], item[0]))
    return tuple(item for item in most[:2] if item[1] > LEAST_A)
