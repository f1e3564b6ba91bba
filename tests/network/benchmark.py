"""Time the network solution against ngspice and dense linear algebra, as ratios of one run.

Run it from the root of the repository: `python -m tests.network.benchmark`. Absolute times depend
on the machine; ratios within one run hold.
"""

import math
import time
from collections.abc import Callable
from functools import partial

import numpy as np

from elec.network import circuit
from elec.network.netlist import Law, Netlist, Values
from elec.network.solve import solve
from elec.network.spice import to_spice
from tests.network.networks import aircraft_sketch
from tests.network.spice import operating_point


def best_s(work: Callable[[], object], times: int = 5) -> float:
    """Least wall time of some runs."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return min(spent)


def cold(netlist: Netlist, values: Values) -> None:
    """Solve with nothing prepared."""
    circuit._cache.clear()
    solve(netlist, values)


def varied(circuits: int, cases: int) -> tuple[Netlist, Values]:
    """An aircraft's network with other demands in every case."""
    netlist, values = aircraft_sketch(1, circuits=circuits).build(cases)
    rng = np.random.default_rng(0)
    values.load_value[:] *= rng.uniform(0.5, 1.0, values.load_value.shape)
    return netlist, values


def against_others() -> None:
    """Ours per case against ngspice's process and one dense solution of the same size."""
    netlist, values = varied(60, 40)
    count = len(netlist.nodes()) - 1
    deck = to_spice(netlist, values, 0)
    matrix = np.eye(count) * 4.0 + np.random.default_rng(0).random((count, count)) / count
    dense = best_s(lambda: np.linalg.solve(matrix, np.ones(count)))
    outside = best_s(lambda: operating_point(deck))
    first = best_s(lambda: cold(netlist, values))
    again = best_s(lambda: solve(netlist, values))
    one = varied(60, 1)
    single = best_s(lambda: cold(*one))
    print(f"{count} nodes, 40 cases: first {first * 1e3:.1f} ms, again {again * 1e3:.1f} ms")
    print(f"  one case alone, first: {single * 1e3:.1f} ms, {single / outside:.2f} of ngspice")
    print(f"  per case, of ngspice's process on the same network: {first / 40 / outside:.4f}")
    print(f"  per case, of one dense numpy.linalg.solve: {first / 40 / dense:.2f}")
    print("  (a case takes about six linear solutions, the dense figure is for one)")
    hungry = Values(**{**vars(values), "load_minimum_v": np.full_like(values.load_value, 13.9)})
    print(f"  all 40 cases collapsed: {best_s(lambda: solve(netlist, hungry)) * 1e3:.1f} ms")
    many = varied(60, 2000)
    print(f"  2000 cases: {best_s(lambda: solve(*many), 2) / 2000 * 1e6:.0f} µs a case")


def growth() -> None:
    """How time grows with the number of nodes of a radial network."""
    sizes, set_up, again = [], [], []
    for circuits in (74, 749, 7499):
        netlist, values = aircraft_sketch(2, circuits=circuits).build()
        light = [0.02 if law != Law.RESISTANCE else 50.0 for law in netlist.load_laws]
        values.load_value[:] *= np.asarray(light)[:, None]
        times = 5 if circuits < 1000 else 2
        whole = best_s(partial(cold, netlist, values), times)
        warm = best_s(partial(solve, netlist, values), times)
        outside = best_s(partial(operating_point, to_spice(netlist, values, 0)), times)
        sizes.append(len(netlist.nodes()))
        set_up.append(whole)
        again.append(warm)
        print(
            f"{sizes[-1]} nodes: first {whole * 1e3:.1f} ms ({whole / outside:.2f} of ngspice), "
            f"again {warm * 1e3:.1f} ms"
        )
    for name, spent in (("first", set_up), ("again", again)):
        for k in (1, 2):
            power = math.log(spent[k] / spent[k - 1]) / math.log(sizes[k] / sizes[k - 1])
            print(f"  {name}: grows with nodes to the power {power:.2f} up to {sizes[k]}")


if __name__ == "__main__":
    against_others()
    growth()
