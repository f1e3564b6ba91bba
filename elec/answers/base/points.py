"""The operating point of every case.

Voltage at every load, current in every wire, feeder and source.

In: sizing, cases. Out: `Points`, by name. A case without a solution says so; nothing is filled in.
"""

from collections.abc import Mapping

import numpy as np
from msgspec import Struct

from elec.network.netlist import Array, Solution, State
from elec.network.solve import solve
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.cases import Case, Count, cases
from elec.wiring.circuit_model import Model, build


class Points(Struct, frozen=True, kw_only=True):
    """All cases solved. Arrays run over `cases`."""

    cases: tuple[Case, ...]
    model: Model
    solution: Solution
    rows: Mapping[str, int]
    """Resistor name → row; conductors and devices go by their id."""
    loads: Mapping[str, int]
    nodes: Mapping[str, int]

    def select(
        self,
        *,
        phase: str | None = None,
        condition: str | None = None,
        scenario: str | None = None,
        count: Count | None = None,
    ) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Which cases match."""
        return np.array(
            [
                (phase is None or c.phase == phase)
                and (condition is None or c.condition == condition)
                and (scenario is None or c.scenario.name == scenario)
                and (count is None or c.count == count)
                for c in self.cases
            ],
            dtype=bool,
        )

    def current_a(self, name: str) -> Array:
        """Current of a conductor or device in every case, from a to b."""
        found: Array = self.solution.resistor_a[self.rows[name]]
        return found

    def node_v(self, node: str) -> Array:
        """Voltage of a node to the main ground in every case; NaN where no source reaches it."""
        found: Array = self.solution.voltage_v[self.nodes[node]]
        return found

    def load_v(self, port: str) -> Array:
        """Voltage across a load in every case."""
        found: Array = self.solution.load_v[self.loads[port]]
        return found

    def load_a(self, port: str) -> Array:
        """Current of a load in every case."""
        found: Array = self.solution.load_a[self.loads[port]]
        return found

    def unsolved(self) -> tuple[int, ...]:
        """Cases that have no solution."""
        return tuple(int(i) for i in np.flatnonzero(self.solution.state != State.SOLVED))


@analysis
def points(study: Study) -> Points:
    """Solve all cases at the chosen sizes."""
    every = cases(study)
    model = build(study, every, sizing(study).sizes())
    solution = solve(model.netlist, model.values, served=True)
    return Points(
        cases=every,
        model=model,
        solution=solution,
        rows={b.name: i for i, b in enumerate(model.netlist.resistors)},
        loads={b.name: i for i, b in enumerate(model.netlist.loads)},
        nodes={name: i for i, name in enumerate(solution.nodes)},
    )
