"""The first power-up: one breaker at a time, with what the ammeter and voltmeter should say.

In: the network on a supply in place of the battery, the engine at rest. Out: `PowerUp`, one step a
circuit in the order of buses, each solved with this circuit alone switched on. What does not agree
within a fifth is looked for before the next breaker is closed.
"""

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict, replace

from elec.answers.base.points import Points, points
from elec.network.netlist import Array, State, Values
from elec.network.solve import solve
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL
from elec.wiring.chains import Chain, chains
from elec.wiring.demand import demand, modes_of


class PowerStep(Struct, frozen=True, kw_only=True):
    """One circuit switched on alone; None where its current is not known or nothing is solved."""

    circuit: str
    title: str
    bus: str
    device: str
    """The breaker or fuse to close, such as `5 A breaker`."""
    switch: str
    loads: tuple[str, ...]
    added_a: float | None
    total_a: float | None
    bus_v: float | None
    unknown: tuple[str, ...] = ()
    """Loads of it whose current nobody gave."""


class PowerUp(Struct, frozen=True, kw_only=True):
    """All steps; `idle_a` is what flows with the master on and every breaker open."""

    supply_v: float
    idle_a: float | None
    steps: tuple[PowerStep, ...]
    left_out: tuple[str, ...]
    """Circuits for the engine that are not tried at rest, such as the starter."""


@analysis
def power_up(study: Study) -> PowerUp | None:
    """The steps in the order of buses and circuits; None without a battery or a case."""
    at = points(study)
    case = _at_rest(study, at)
    if case is None or not at.model.netlist.batteries:
        return None
    order = _circuits(study)
    tried = [chain for chain in order if not _only_starts(study, chain)]
    values = _columns(at.model.values, case, len(tried) + 1)
    amounts = _master_on(at, case, len(tried) + 1)
    for column, chain in enumerate(tried, 1):
        for load in chain.loads:
            _switch_on(study, at, load, amounts[:, column : column + 1])
    found = solve(at.model.netlist, replace(values, load_value=amounts))
    solved = found.state == State.SOLVED
    total = np.where(solved, -np.nan_to_num(found.battery_a).sum(axis=0), np.nan)
    nodes = {name: row for row, name in enumerate(found.nodes)}
    steps = []
    for column, chain in enumerate(tried, 1):
        bus = study.document.circuits[chain.name].bus
        volts = found.voltage_v[nodes[bus], column] if bus in nodes else np.nan
        steps.append(_step(study, chain, total[0], total[column], float(volts)))
    return PowerUp(
        supply_v=float(np.nanmax(values.battery_emf_v[:, 0])),
        idle_a=_finite(total[0]),
        steps=tuple(steps),
        left_out=tuple(chain.title for chain in order if _only_starts(study, chain)),
    )


def _at_rest(study: Study, at: Points) -> int | None:
    """A case with all well and the engine at rest, else the first one (its alternators are off)."""
    phases = study.document.phases
    every = [i for i, c in enumerate(at.cases) if c.scenario == NORMAL and c.count == "momentary"]
    stopped = [
        i
        for i in every
        if (engine := phases[at.cases[i].phase].engine) is not None and engine.state == "stopped"
    ]
    return next(iter(stopped or every), None)


def _circuits(study: Study) -> list[Chain]:
    """Circuits by bus, in the builder's order of both."""
    order = list(study.document.buses)
    every = chains(study).of("circuit")
    return sorted(every, key=lambda chain: order.index(study.document.circuits[chain.name].bus))


def _only_starts(study: Study, chain: Chain) -> bool:
    """Whether a circuit is for cranking alone: its loads are on in no other phase."""
    phases = study.document.phases
    cranking = {n for n, p in phases.items() if p.engine and p.engine.state == "cranking"}
    known = demand(study).loads
    on = {p for load in chain.loads if load in known for p, m in known[load].phases.items() if m}
    return bool(on) and on <= cranking


def _columns(values: Values, case: int, count: int) -> Values:
    wide = np.full(count, case, np.intp)
    picked = {name: array[:, wide] for name, array in asdict(values).items()}
    picked["alternator_limit_a"] = np.zeros_like(picked["alternator_limit_a"])
    return Values(**picked)


def _master_on(at: Points, case: int, count: int) -> Array:
    """Every load off; coils as they are in the case, since the master is on."""
    ports = at.model.ports
    column = at.model.netlist.off_values().reshape(-1, 1)
    for row, port in enumerate(ports):
        if port.mode == "coil":
            column[row] = at.model.values.load_value[row, case]
    return np.repeat(column, count, axis=1)


def _switch_on(study: Study, at: Points, load: str, amounts: Array) -> None:
    """A load in its first mode."""
    mode = modes_of(study.document.equipment[load])[0][0]
    for row, port in enumerate(at.model.ports):
        if port.equipment == load and port.mode == mode:
            amounts[row] = port.draw.value


def _step(study: Study, chain: Chain, before: float, total: float, volts: float) -> PowerStep:
    circuit = study.document.circuits[chain.name]
    device = sizing(study).devices.get(chain.name)
    rating = device.rating_a if device else None
    unknown = tuple(load for load in chain.loads if _unknown(study, load))
    known = not unknown and np.isfinite(total) and np.isfinite(before)
    return PowerStep(
        circuit=chain.name,
        title=chain.title,
        bus=circuit.bus,
        device=f"{rating:g} A {device.kind}" if device and rating is not None else "no device",
        switch=study.system.title("switches", circuit.switch) if circuit.switch else "",
        loads=chain.loads,
        added_a=float(total - before) if known else None,
        total_a=_finite(total),
        bus_v=_finite(volts),
        unknown=unknown,
    )


def _unknown(study: Study, load: str) -> bool:
    entry = study.document.equipment[load]
    return not entry.passive and entry.on != "never" and modes_of(entry)[0][1] is None


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
