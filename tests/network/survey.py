"""A thousand random networks against ngspice: run it as `python -m tests.network.survey`.

The test suite runs a part of it. It prints how many were compared and how close, how many ngspice
did not solve, and the seeds of any that differ; docs/performance.md keeps the result.
"""

import sys
from collections import Counter
from collections.abc import Iterable, Iterator

from msgspec import Struct, field

from elec.model.laws import RESISTANCE
from elec.network.netlist import State
from elec.network.solve import solve
from tests.network.networks import Sketch, aircraft_sketch, random_sketch
from tests.network.spice import AGREE_A, AGREE_V, NoOperatingPointError, simulate

EACH = 250
"""Networks of each kind."""


def grounded(seed: int) -> Sketch:
    """Sources and loads to ground, diodes anywhere, loops and islands."""
    return random_sketch(seed, any_way=False)


def heavy(seed: int) -> Sketch:
    """Likewise, but with demands up to collapse."""
    return random_sketch(1000 + seed, any_way=False, low_ohm=1e-4, demand_a=30.0)


def any_way(seed: int) -> Sketch:
    """Sources and loads between any two nodes, many diodes."""
    return random_sketch(2000 + seed, diodes=8)


def aircraft(seed: int) -> Sketch:
    """Like an aircraft's, meshed, with a failed alternator and a weak battery in every second."""
    sketch = aircraft_sketch(seed, circuits=15, mesh=seed % 6)
    if seed % 2:
        sketch.alternators[0] = (*sketch.alternators[0][:4], 0.0)
        sketch.batteries[0] = (*sketch.batteries[0][:3], 0.02 * (seed % 5))
    return sketch


KINDS = {"grounded": grounded, "heavy": heavy, "any way round": any_way, "aircraft": aircraft}


class Tally(Struct):
    """What became of the networks of one kind."""

    compared: int = 0
    again: int = 0
    """Of these, ngspice gave nothing at first, and agreed from another first guess."""
    changed: int = 0
    """Of these, ngspice first gave something else; it agreed from another guess or tighter."""
    unanswered: int = 0
    """ngspice gave no operating point."""
    lower: list[int] = field(default_factory=list)
    """Seeds: ngspice ended on a point below ours at every load, however it was asked."""
    second: int = 0
    """Of these, our own search from below finds a second stable point as well."""
    apart: list[int] = field(default_factory=list)
    """Seeds of networks in which the two differ otherwise."""
    volts: float = 0.0
    amps: float = 0.0
    elements: int = 0
    states: Counter[str] = field(default_factory=Counter)

    def __str__(self) -> str:
        """One line."""
        states = ", ".join(f"{count} {state}" for state, count in sorted(self.states.items()))
        return (
            f"{self.compared} compared ({self.elements} elements; worst {self.volts:.1e} V, "
            f"{self.amps:.1e} A; {self.again} from a second guess, {self.changed} after a first "
            f"answer of ngspice that differs), {self.unanswered} not solved by ngspice, "
            f"{len(self.lower)} with a lower point of ngspice {self.lower} ({self.second} found by "
            f"ours too), {len(self.apart)} apart {self.apart}; ours: {states}"
        )

    def __add__(self, other: "Tally") -> "Tally":
        """Both together."""
        return Tally(
            compared=self.compared + other.compared,
            unanswered=self.unanswered + other.unanswered,
            again=self.again + other.again,
            changed=self.changed + other.changed,
            lower=self.lower + other.lower,
            second=self.second + other.second,
            apart=self.apart + other.apart,
            volts=max(self.volts, other.volts),
            amps=max(self.amps, other.amps),
            elements=self.elements + other.elements,
            states=self.states + other.states,
        )


def constant(sketch: Sketch) -> bool:
    """Whether any load is not a plain resistance."""
    return any(law != RESISTANCE for *_, law, _, _ in sketch.loads)


def tally(kind: str, seeds: Iterable[int]) -> Tally:
    """Solve networks of a kind, have ngspice solve them, and count."""
    found = Tally()
    for seed in seeds:
        netlist, values = KINDS[kind](seed).build()
        answer = solve(netlist, values)
        found.states[State(int(answer.state[0])).name.lower()] += 1
        try:
            apart = simulate(netlist, values, answer, 0)
        except NoOperatingPointError:
            found.unanswered += 1
            continue
        if apart.within(AGREE_V, AGREE_A):
            found.compared += 1
            found.again += apart.asked > 1 and not apart.changed
            found.changed += apart.changed
            found.elements += apart.elements
            found.volts, found.amps = max(found.volts, apart.volts), max(found.amps, apart.amps)
        elif apart.below:
            found.lower.append(seed)
            found.second += bool(solve(netlist, values, after_dip=True).bistable[0])
        else:
            found.apart.append(seed)
    return found


def lines(each: int) -> Iterator[str]:
    """The result, a line a kind, then all together."""
    whole = Tally()
    for kind in KINDS:
        found = tally(kind, range(each))
        whole += found
        yield f"{kind}: {found}"
    yield f"all {4 * each}: {whole}"


if __name__ == "__main__":
    for line in lines(int(sys.argv[1]) if len(sys.argv) > 1 else EACH):
        print(line, flush=True)  # noqa: T201
