"""What feeders carry when another feeder or a source has failed: for what elec chooses itself.

In: a netlist and its values in the cases that are solved anyway. Out: amperes by conductor. A
feeder that shares its load with another, or takes over in a loop, has to hold all of it alone.
"""

from collections import Counter
from collections.abc import Mapping, Sequence

import numpy as np

from elec.network.netlist import Array, Netlist, State, Values
from elec.network.series import shortened
from elec.network.solve import at_once, solve
from elec.study import Study
from elec.wiring.cases import NORMAL, Case
from elec.wiring.chains import chains
from elec.wiring.circuit_model import Model
from elec.wiring.demand import conditions


def left_to_elec(study: Study) -> frozenset[str]:
    """Feeders whose device or gauge elec chooses."""
    found = set()
    for chain in chains(study).of("feeder"):
        parts = [part for part in (chain.device, chain.far_device) if part is not None]
        free = any(part.protection and part.protection.rating_a is None for part in parts)
        if free or any(c.gauge is None for c in chain.conductors()):
            found.add(chain.name)
    return frozenset(found)


def after_failure_a(
    study: Study,
    model: Model,
    solved: Sequence[Case],
    carried: Array,
    brief: frozenset[str],
) -> Mapping[str, float]:
    """The most that each wire of the feeders left to elec carries after any single failure.

    Args:
        study: the run.
        model: the network at the sizes so far.
        solved: the cases that its values hold.
        carried: what its resistors carry in them, in A. Where a feeder carries nothing, nothing
            changes without it.
        brief: phases too short to count, in which the starter turns.
    """
    wanted = left_to_elec(study)
    feeders = [c for c in chains(study).of("feeder") if c.conductors()]
    if not wanted or len(feeders) < 2:
        return {}
    condition = "night" if "night" in conditions(study) else conditions(study)[0]
    picks = [
        i for i, case in enumerate(solved)
        if case.condition == condition
        and case.phase not in brief
        and (case.scenario == NORMAL or case.scenario.emergency)
    ]  # fmt: skip
    row = {branch.name: i for i, branch in enumerate(model.netlist.resistors)}
    short = shortened(model.netlist)
    every = short.values(model.values)
    cuts = [[row[c.id] for c in chain.conductors()] for chain in feeders]
    cases = [(i, short.runs(cut), "") for cut in cuts for i in picks if carried[cut, i].any()]
    cases += [(i, [], name) for name in _several_feeders(study) for i in picks]
    if not cases:
        return {}
    asked = [c.id for chain in feeders if chain.name in wanted for c in chain.conductors()]
    rows = [row[name] for name in asked]
    most = np.zeros(len(asked))
    at_a_time = at_once(short.netlist)
    for first in range(0, len(cases), at_a_time):
        values = _values(short.netlist, every, cases[first : first + at_a_time])
        solution = solve(short.netlist, values)
        amps = np.abs(short.resistor_a(solution, rows)[:, solution.state == State.SOLVED])
        most = np.maximum(most, amps.max(axis=1, initial=0.0))
    return dict(zip(asked, most.tolist(), strict=True))


def _values(
    netlist: Netlist, every: Values, cases: Sequence[tuple[int, Sequence[int], str]]
) -> Values:
    """Cases with these rows of resistors open and this source lost."""
    values = every.take(np.array([i for i, _, _ in cases], np.intp))
    for at, (_, cut, lost) in enumerate(cases):
        values.resistance_ohm[cut, at] = np.inf
        for row, branch in enumerate(netlist.batteries):
            if branch.name == lost:
                values.battery_resistance_ohm[row, at] = np.inf
        for row, branch in enumerate(netlist.alternators):
            if branch.name == lost:
                values.alternator_limit_a[row, at] = 0.0
    return values


def _several_feeders(study: Study) -> tuple[str, ...]:
    """Sources with more than one feeder; one with a single feeder is lost where that is open."""
    ends = Counter(end for feeder in study.document.feeders for end in (feeder.from_, feeder.to))
    return tuple(name for name in study.document.sources if ends[name] > 1)
