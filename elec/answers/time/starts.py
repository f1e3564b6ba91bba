"""The start on a cold, a usual and a hot day: how low buses and loads go in both its parts.

In: the simulated flights. Out: `Start` by day and condition, with the charge that the battery has
by then and its resistance at the day's temperature; all that may be on at that moment is on.
"""

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.days import Day
from elec.answers.time.cranking import (
    LoadDip,
    first_turn,
    first_turned,
    least_v,
    load_dips,
    starter_of,
)
from elec.answers.time.flight import flights, simulation
from elec.model.system import Condition
from elec.network.netlist import State
from elec.network.solve import solve
from elec.sizing.order import cranking
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL


class Start(Struct, frozen=True, kw_only=True):
    """One start."""

    day: Day
    condition: Condition
    phase: str
    charge: Mapping[str, float]
    battery_a: Mapping[str, float]
    bus_v: Mapping[str, float]
    """NaN where no source reaches a bus."""
    loads: tuple[LoadDip, ...]
    solved: bool
    """False where what is asked cannot be delivered."""

    @property
    def title(self) -> str:
        """`cold day, night`."""
        return f"{self.day.title}, {self.condition}"

    def brown_outs(self) -> tuple[LoadDip, ...]:
        """What gets less than it works at, the worst first."""
        low = [one for one in self.loads if one.browns_out]
        return tuple(sorted(low, key=lambda one: one.turning_v - one.minimum_v))


@analysis
def starts(study: Study) -> tuple[Start, ...]:
    """Every start; empty without a phase in which a starter turns, or without a battery."""
    made, found = simulation(study), flights(study)
    turning = cranking(study)
    if made is None or found is None:
        return ()
    part = next((p for p in made.parts if p.phase in turning), None)
    starter = None if part is None else starter_of(study, part.phase)
    if part is None or starter is None:
        return ()
    numbers = np.array(
        [made.setting(part, condition, NORMAL, day) for day, condition in made.keys], dtype=np.intp
    )
    at = [made.courses[key].at([np.nextafter(part.start_s, part.end_s)]) for key in made.keys]
    state = np.concatenate([one[1] for one in at])
    opened = np.concatenate([one[2] for one in at])
    lattice = made.lattice
    values = lattice.at_state(numbers, state, opened)
    solution = solve(lattice.model.netlist, values)
    turns = [first_turn(study, starter, part.phase, condition) for _, condition in made.keys]
    still = values.take(slice(None))
    still = replace(still, load_value=still.load_value.copy())
    for k, turn in enumerate(turns):
        first_turned(still, lattice.model.ports, starter, turn.factor, [k])
    first = solve(lattice.model.netlist, still)
    nodes = {name: i for i, name in enumerate(solution.nodes)}
    order = [b.name for b in lattice.model.netlist.batteries]
    names = lattice.bank.names
    result = []
    for k, (day, condition) in enumerate(made.keys):
        turning_v, first_v = (
            least_v(
                study, lattice.model.ports, values.load_value[:, k], np.nan_to_num(one.load_v[:, k])
            )
            for one in (solution, first)
        )
        result.append(
            Start(
                day=made.days[day],
                condition=condition,
                phase=part.phase,
                charge=dict(zip(names, state[k].tolist(), strict=True)),
                battery_a={n: -float(solution.battery_a[order.index(n), k]) for n in names},
                bus_v={
                    bus: float(solution.voltage_v[nodes[bus], k])
                    for bus in study.document.buses
                    if bus in nodes
                },
                loads=tuple(
                    load_dips(
                        study,
                        starter,
                        turning_v,
                        first_v,
                        phase=part.phase,
                        first_s=turns[k].lasts_s,
                        assumed=turns[k].assumed,
                        computed=True,
                    )
                ),
                solved=int(solution.state[k]) == State.SOLVED,
            )
        )
    return tuple(result)
