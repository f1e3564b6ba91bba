# ruff: noqa: T201 (a script that prints)
"""Time the sweep over all failures of larkspur against solving each alone, as ratios of one run.

Run it from the root of the repository: `python -m tests.answers.benchmark_failures`. Absolute
times depend on the machine; ratios within one run hold.
"""

import time
from collections.abc import Callable
from functools import partial

from elec.answers.base.points import points
from elec.answers.failures.failure_sweep import COUNTS, Sweep
from elec.answers.failures.failures import decisive, flight_phases, worst_condition, worst_effects
from elec.network import circuit
from elec.network.solve import solve
from elec.study import Study
from elec.wiring.cases import NORMAL
from tests.answers.helper import SYSTEMS, _study


def _best_s(prepare: Callable[[], Callable[[], object]], times: int = 3) -> float:
    spent = []
    for _ in range(times):
        work = prepare()
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return min(spent)


def _fresh() -> Study:
    study = _study(SYSTEMS / "larkspur")
    points(study)
    return study


def _sweep() -> tuple[Sweep, list[tuple[int, int]]]:
    study = _fresh()
    sweep = Sweep(study, (flight_phases(study)[-1],), (NORMAL,), COUNTS[:1], worst_condition(study))
    wanted = [(0, c) for c in range(sweep.healthy) if sweep.failures[c].powers]
    sweep.traced(0)
    return sweep, wanted


def _prepared() -> Callable[[], object]:
    sweep, wanted = _sweep()
    return partial(sweep.solve, wanted)


def _alone(sweep: Sweep, wanted: list[tuple[int, int]], *, cold: bool) -> None:
    for pick in wanted:
        if cold:
            circuit._cache.clear()
        solve(sweep.model.netlist, sweep._values([pick]))


def main() -> None:
    """Measure and print."""
    sweep, wanted = _sweep()
    together = _best_s(_prepared)
    warm = _best_s(lambda: partial(_alone, sweep, wanted, cold=False), 1)
    cold = _best_s(lambda: partial(_alone, sweep, wanted, cold=True), 1)
    print(f"larkspur, {len(wanted)} failures of the power network, one phase:")
    print(f"  together {together * 1e3:.0f} ms, {together / len(wanted) * 1e6:.0f} µs a failure")
    print(f"  of each alone with the netlist prepared: 1/{warm / together:.0f}")
    print(f"  of each alone from the netlist on: 1/{cold / together:.0f}")
    quick = _best_s(lambda: partial(decisive, _fresh()))
    whole = _best_s(lambda: partial(worst_effects, _fresh()), 1)
    solved = _best_s(lambda: partial(points, _study(SYSTEMS / "larkspur")))
    print(
        f"for the checks (cruise): {quick * 1e3:.0f} ms, {quick / solved:.2f} of sizing and cases"
    )
    print(f"all phases of flight: {whole * 1e3:.0f} ms, {whole / solved:.1f} of sizing and cases")


if __name__ == "__main__":
    main()
