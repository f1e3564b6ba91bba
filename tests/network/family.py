"""A family of systems of any size with the shape of real ones, for tests alone.

A battery and an alternator feed a stud; every twenty circuits have a bus with its feeder and a
ground block with its cable; a circuit is device, wire, switch, wire, contact, load, contact and
return wire. Demand and cables grow with the number of circuits, so that voltages stay usual.
"""

import numpy as np

from elec.model.laws import CURRENT, POWER, RESISTANCE
from tests.network.networks import THREE, Sketch

PER_BUS = 20
MOST_BY_PLUG_A = 5
NODES_PER_CIRCUIT = 7
DRAWS_A = (0.3, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0)


def circuits_for(nodes: int) -> int:
    """How many circuits make about so many nodes."""
    return max(1, round(nodes / (NODES_PER_CIRCUIT + 3 / PER_BUS)))


def family_sketch(circuits: int, seed: int = 0) -> Sketch:
    """The netlist with its numbers."""
    rng = np.random.default_rng(seed)
    draws = rng.choice(DRAWS_A, circuits)
    scale = float(draws.sum()) / 60.0
    sketch = Sketch(reference="ground")
    sketch.battery("battery", "battery-", 12.7, 0.012 / scale)
    sketch.wire("battery-", "ground", 0.5e-3 / scale)
    sketch.wire("battery", "contactor", 0.4e-3 / scale)
    sketch.wire("contactor", "stud", 0.3e-3 / scale)
    sketch.alternator("alternator", "engine", 14.2, 0.004 / scale, 75.0 * scale)
    sketch.wire("engine", "ground", 0.8e-3 / scale)
    sketch.wire("alternator", "stud", 1.5e-3 / scale)
    for k, amps in enumerate(draws.tolist()):
        bus = k // PER_BUS
        if k % PER_BUS == 0:
            sketch.wire("stud", f"fuse{bus}", 0.4e-3)
            sketch.wire(f"fuse{bus}", f"bus{bus}", 1.2e-3)
            sketch.wire(f"block{bus}", "ground", 0.6e-3)
        wire = float(rng.uniform(0.1, 0.3)) / (2.0 * max(amps, 1.0))
        sketch.wire(f"bus{bus}", f"breaker{k}", 0.025 / max(amps, 1.0))
        sketch.wire(f"breaker{k}", f"switch{k}", wire)
        sketch.wire(f"switch{k}", f"switched{k}", 0.005 / max(amps, 1.0))
        sketch.wire(f"switched{k}", f"hot{k}", wire)
        sketch.wire(f"hot{k}", f"feed{k}", 0.007 / max(amps, 1.0))
        sketch.wire(f"return{k}", f"low{k}", 0.007 / max(amps, 1.0))
        sketch.wire(f"low{k}", f"block{bus}", wire)
        law = THREE[int(rng.choice(3, p=[0.3, 0.4, 0.3]))]
        demand = {CURRENT: amps, POWER: 13.8 * amps, RESISTANCE: 13.8 / amps}[law]
        sketch.load(f"feed{k}", f"return{k}", law, demand, 8.0)
    return sketch


def family_text(circuits: int, seed: int = 0) -> str:
    """A whole system as text: five places, a bus, a ground block and a switch panel per twenty."""
    rng = np.random.default_rng(seed)
    draws = rng.choice(DRAWS_A, circuits).tolist()
    total = sum(draws)
    buses = range(-(-circuits // PER_BUS))
    lines = [
        "system: {name: Family, nominal: 14 V, return: wired, structure: glass}",
        "phases:",
        "  taxi: {lasts: 10 min, engine: 1200 rpm}",
        "  cruise: {lasts: 1 h, engine: 2400 rpm}",
        "sources:",
        f"  battery: {{kind: lead-acid, place: firewall, capacity: {max(18, total / 2):.0f} Ah}}",
        "  alternator: {kind: alternator, place: engine, setpoint: 14.2 V, ground: engine-block,",
        f"               rating: {1.4 * total:.0f} A, output: {{1000 rpm: {1.3 * total:.0f} A}}}}",
        "buses:",
        "  power: {place: firewall}",
        *(f"  bus-{b}: {{place: panel}}" for b in buses),
        "feeders:",
        "  - {from: battery, to: power, limiter: auto}",
        "  - {from: alternator, to: power, limiter: auto}",
        *(f"  - {{from: power, to: bus-{b}, limiter: auto}}" for b in buses),
        "grounds:",
        "  stud: {place: firewall, kind: block}",
        "  engine-block: {place: engine, kind: stud, to: stud}",
        *(f"  block-{b}: {{place: panel, kind: block, to: stud}}" for b in buses),
        "places:",
        "  engine: {station: 20 in, ambient: 80 °C}",
        "  firewall: {station: 40 in, ambient: 50 °C}",
        "  panel: {station: 60 in}",
        "  cabin: {station: 100 in}",
        "  tail: {station: 220 in}",
        "ways:",
        "  - {name: through the firewall, between: [engine, firewall], length: 2 ft}",
        "  - {name: to the panel, between: [firewall, panel], length: 3 ft}",
        "  - {name: to the cabin, between: [panel, cabin], length: 5 ft}",
        "  - {name: to the tail, between: [cabin, tail], length: 11 ft}",
        "switches:",
        *(f"  switch-{k}: {{place: panel, rating: 10 A}}" for k in range(circuits)),
        "equipment:",
        *(_equipment(k, amps) for k, amps in enumerate(draws)),
        "circuits:",
        *(
            f"  load-{k}: {{bus: bus-{k // PER_BUS}, breaker: auto, switch: switch-{k}, "
            f"feeds: load-{k}}}"
            for k in range(circuits)
        ),
    ]
    return "\n".join(lines) + "\n"


def _equipment(k: int, amps: float) -> str:
    place = ("panel", "cabin", "tail", "panel")[k % 4]
    draw = f"{amps} A" if k % 3 else f"{13.8 * amps:.1f} W"
    plug = ", connectors: {J1: {type: dsub-15, contacts: pin, pins: {1: power, 9: ground}}}"
    # contacts of size 20 take AWG 20 at most, which loses too much of 5 A at a low bus
    fitted = plug if k % 4 == 3 and amps < MOST_BY_PLUG_A else ""
    return (
        f"  load-{k}: {{place: {place}, draw: {draw}, on: always, basis: typical, "
        f"ground: block-{k // PER_BUS}{fitted}}}"
    )
