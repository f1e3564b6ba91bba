"""Networks of our own invention for tests: drawn at random from a seed, or like an aircraft's."""

import numpy as np
from msgspec import Struct, field

from elec.model.laws import CURRENT, POWER, RESISTANCE, Law
from elec.network.netlist import Array, Branch, Netlist, Values

THREE = (CURRENT, POWER, RESISTANCE)


class Sketch(Struct):
    """Collects elements with their numbers, one case; `build` gives netlist and values."""

    reference: str = "0"
    resistors: list[tuple[str, str, float]] = field(default_factory=list)
    batteries: list[tuple[str, str, float, float]] = field(default_factory=list)
    alternators: list[tuple[str, str, float, float, float]] = field(default_factory=list)
    diodes: list[tuple[str, str, float, float]] = field(default_factory=list)
    loads: list[tuple[str, str, Law, float, float]] = field(default_factory=list)

    def wire(self, a: str, b: str, ohm: float) -> None:
        self.resistors.append((a, b, ohm))

    def battery(self, a: str, b: str, emf_v: float, ohm: float) -> None:
        self.batteries.append((a, b, emf_v, ohm))

    def alternator(self, a: str, b: str, set_v: float, ohm: float, limit_a: float) -> None:
        self.alternators.append((a, b, set_v, ohm, limit_a))

    def diode(self, a: str, b: str, forward_v: float, ohm: float) -> None:
        self.diodes.append((a, b, forward_v, ohm))

    def load(self, a: str, b: str, law: Law, demand: float, minimum_v: float = 9.0) -> None:
        self.loads.append((a, b, law, demand, minimum_v))

    def build(self, cases: int = 1) -> tuple[Netlist, Values]:
        """The same numbers in every case."""

        def branches(letter: str, rows: list) -> tuple[Branch, ...]:  # type: ignore[type-arg]
            return tuple(Branch(name=f"{letter}{k}", a=r[0], b=r[1]) for k, r in enumerate(rows))

        def column(rows: list, position: int) -> Array:  # type: ignore[type-arg]
            one = np.asarray([row[position] for row in rows], np.float64).reshape(-1, 1)
            return np.repeat(one, cases, axis=1)

        netlist = Netlist(
            reference=self.reference,
            resistors=branches("r", self.resistors),
            batteries=branches("b", self.batteries),
            alternators=branches("a", self.alternators),
            diodes=branches("d", self.diodes),
            loads=branches("l", self.loads),
            load_laws=tuple(row[2] for row in self.loads),
        )
        values = Values(
            resistance_ohm=column(self.resistors, 2),
            battery_emf_v=column(self.batteries, 2),
            battery_resistance_ohm=column(self.batteries, 3),
            alternator_setpoint_v=column(self.alternators, 2),
            alternator_droop_ohm=column(self.alternators, 3),
            alternator_limit_a=column(self.alternators, 4),
            diode_forward_v=column(self.diodes, 2),
            diode_resistance_ohm=column(self.diodes, 3),
            load_value=column(self.loads, 3),
            load_minimum_v=column(self.loads, 4),
        )
        return netlist, values


def _spread(rng: np.random.Generator, low: float, high: float) -> float:
    """A number whose logarithm is uniform."""
    return float(10 ** rng.uniform(np.log10(low), np.log10(high)))


def random_sketch(
    seed: int,
    *,
    low_ohm: float = 1e-3,
    high_ohm: float = 1.0,
    demand_a: float = 3.0,
    diodes: int = 5,
    any_way: bool = True,
) -> Sketch:
    """Any topology: a tree with loops and cuts (so islands), sources and loads anywhere.

    `any_way` grows the tree from the reference and puts some sources and loads between any two
    nodes, so that many loads see a reversed or hardly any voltage. Otherwise wires leave the
    reference alone and every source and load is grounded.
    """
    rng = np.random.default_rng(seed)
    sketch = Sketch()
    count = int(rng.integers(6, 60))
    first = 1 if any_way else 2
    for k in range(first, count):
        low = first - 1
        near = int(rng.integers(max(low, k - 5), k))
        if rng.random() > 0.6:
            near = int(rng.integers(low, k))
        if rng.random() > 0.05:
            sketch.wire(str(near), str(k), _spread(rng, low_ohm, high_ohm))
    for _ in range(int(rng.integers(0, count // 6 + 1))):
        a, b = first - 1 + rng.choice(count - first + 1, 2, replace=False)
        sketch.wire(str(a), str(b), _spread(rng, low_ohm, high_ohm))

    def pair(grounded: float = 0.8 if any_way else 1.0) -> tuple[str, str]:
        a, b = rng.choice(count, 2, replace=False)
        if a == 0:
            a, b = b, a
        if rng.random() < grounded:
            b = 0
        return str(a), str(b)

    for _ in range(int(rng.integers(1, 4))):
        sketch.battery(*pair(), rng.uniform(11.5, 13.2), _spread(rng, 3e-3, 0.1))
    for _ in range(int(rng.integers(0, 3))):
        sketch.alternator(
            *pair(), rng.uniform(13.8, 14.6), _spread(rng, 1e-3, 3e-2), rng.uniform(5, 70)
        )
    for _ in range(int(rng.integers(0, diodes + 1))):
        sketch.diode(*pair(0.2), rng.uniform(0.2, 0.7), _spread(rng, 1e-3, 3e-2))
    for _ in range(int(rng.integers(1, max(2, count // 4)))):
        law = THREE[int(rng.integers(3))]
        amps = _spread(rng, 0.1, demand_a)
        demand = {CURRENT: amps, POWER: 13.8 * amps, RESISTANCE: 13.8 / amps}[law]
        ends = pair()
        sketch.load(*ends, law, demand, rng.uniform(6.0, 10.0))
    return sketch


def aircraft_sketch(seed: int, *, circuits: int = 60, mesh: int = 0) -> Sketch:
    """Battery, alternator, main, essential and avionics bus, circuits with breaker and returns."""
    rng = np.random.default_rng(seed)
    sketch = Sketch(reference="ground")
    sketch.battery("battery", "ground", 12.7, 0.012)
    sketch.wire("battery", "contactor", 0.3e-3)
    sketch.wire("contactor", "main", 0.8e-3)
    sketch.alternator("alternator", "engine", 14.2, 0.004, 1.0 * circuits)
    sketch.wire("engine", "ground", 0.8e-3)
    sketch.wire("alternator", "main", 2.5e-3)
    sketch.diode("main", "essential", 0.35, 0.004)
    sketch.wire("contactor", "essential", np.inf)
    sketch.wire("main", "avionics", 5e-3)
    sketch.wire("frame", "ground", 1.2e-3)
    buses = ("main", "essential", "avionics")
    for k in range(circuits):
        amps = float(rng.choice([0.3, 0.5, 1, 1.5, 2, 3, 5]))
        sketch.wire(str(rng.choice(buses)), f"breaker{k}", 0.02 if amps < 2 else 0.008)
        sketch.wire(f"breaker{k}", f"pin{k}", (0.05 + 0.1 * rng.random()) / max(amps, 1))
        sketch.wire(f"pin{k}", f"hot{k}", (0.05 + 0.1 * rng.random()) / max(amps, 1))
        sketch.wire(f"return{k}", str(rng.choice(("ground", "frame"))), 0.01 + 0.02 * rng.random())
        law = THREE[int(rng.choice(3, p=[0.2, 0.5, 0.3]))]
        demand = {CURRENT: amps, POWER: 13.8 * amps, RESISTANCE: 13.8 / amps}[law]
        sketch.load(f"hot{k}", f"return{k}", law, demand, 9.0)
    for _ in range(mesh):
        a, b = rng.choice(circuits, 2, replace=False)
        sketch.wire(f"pin{a}", f"pin{b}", _spread(rng, 0.01, 1.0))
    return sketch
