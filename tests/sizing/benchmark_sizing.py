# ruff: noqa: T201 (a script that prints)
"""Time the choice of all devices and gauges, as ratios and growth within one run.

Run it from the root of the repository: `python -m tests.sizing.benchmark_sizing`. CPU time in
process, analyses only; reading and imports are not counted. Absolute times depend on the machine.
"""

import math
import time
from pathlib import Path

from elec.answers.base.nothing_given import from_nothing
from elec.network import circuit
from elec.network.solve import solve
from elec.read import read_texts
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.cases import cases
from elec.wiring.circuit_model import build
from tests.answers.helper import NAMES, SYSTEMS, _study
from tests.network.family import family_text

SIZES = (250, 500, 1000, 2000)


def _family(circuits: int) -> Study:
    system = read_texts({Path("family.yaml"): family_text(circuits).encode()}).system
    assert system is not None
    return Study(system)


def _bare(name: str) -> Study:
    return from_nothing(_study(SYSTEMS / name)).study


def _sized_s(study: Study) -> float:
    circuit._cache.clear()
    start = time.process_time()
    sizing(study)
    return time.process_time() - start


def _solved_s(study: Study) -> float:
    """One solution of all cases that sizing looks at, from the records on, gauges being known."""
    sizes = sizing(study).sizes()
    found = tuple(case for case in cases(study) if case.count == "momentary")
    circuit._cache.clear()
    start = time.process_time()
    model = build(study, found, sizes)
    solve(model.netlist, model.values)
    return time.process_time() - start


def main() -> None:
    """Measure and print."""
    for name in NAMES:
        sized = min(_sized_s(_bare(name)) for _ in range(5))
        study = _bare(name)
        sizing(study)
        solved = min(_solved_s(study) for _ in range(3))
        rounds = sizing(study).rounds
        print(f"{name} from nothing: {sized:.3f} s, {sized / solved:.1f} network solutions; "
              f"the network solved {rounds} times")  # fmt: skip
    spent: dict[int, float] = {}
    for circuits in SIZES:
        spent[circuits] = min(_sized_s(_family(circuits)) for _ in range(2))
        study = _family(circuits)
        sizing(study)
        solved, rounds = _solved_s(study), sizing(study).rounds
        took = spent[circuits]
        print(f"{circuits} circuits: {took:.2f} s, {took / circuits * 1e3:.2f} ms each, "
              f"{took / solved:.1f} network solutions; solved {rounds} times")  # fmt: skip
    first, last = SIZES[0], SIZES[-1]
    growth = math.log(spent[last] / spent[first]) / math.log(last / first)
    print(f"time grows as the {growth:.2f} power of the number of circuits")


if __name__ == "__main__":
    main()
