"""The least voltage at every load over all cases of the solved network."""

import numpy as np
from msgspec import Struct

from elec.answers.base.points import Points, points
from elec.network.netlist import State
from elec.pages.columns import count, marked, text, volts
from elec.pages.table import Cell, Table, Value
from elec.study import Study
from elec.wiring.circuit_model import minimum_v

KEEPS = ("load-voltage", "battery-start")
"""The checks of a load's voltage in flight and while the starter turns."""


class LeastVoltage(Struct, frozen=True, kw_only=True):
    """The least voltage of one load (or coil) over the cases in which it is on and fed."""

    name: str
    equipment: str
    title: str
    least_v: float | None
    """None: it is on in no solved case."""
    where: str
    """The case in words."""
    minimum_v: float
    assumed: bool
    """True where the minimum is not the maker's."""
    unfed: int
    """Cases in which it is on and no source reaches it."""
    unsolved: int
    """Cases in which it is on and the network has no solution."""

    @property
    def margin_v(self) -> float | None:
        """How far the least voltage lies above the minimum."""
        return None if self.least_v is None else self.least_v - self.minimum_v


def voltages(study: Study) -> Table:
    """Every load with its least voltage, the case in which it has it, and what it works down to."""
    return Table(
        id="voltages",
        title="Least voltage at every load",
        columns=(
            text("load", "Load"),
            volts("least_v", "Least"),
            volts("minimum_v", "Works down to", digits=1),
            volts("margin_v", "Margin"),
            text("where", "In"),
            count("unfed_count", "Off the bus", 2),
            count("unsolved_count", "No solution", 2),
        ),
        rows=tuple(_row(study, least) for least in least_voltages(study)),
        note=(
            "Over all phases, by day and by night, with every source lost in turn; brackets: "
            "assumed, not the "
            "maker's. Off the bus: cases in which it is on and its bus is dead. No solution: "
            "cases in which "
            "the sources cannot deliver what is asked of them."
        ),
    )


def least_voltages(study: Study) -> tuple[LeastVoltage, ...]:
    """One record a load and coil, in the order of the network; modes of one load together."""
    found = points(study)
    by_thing: dict[str, list[int]] = {}
    for index, port in enumerate(found.model.ports):
        by_thing.setdefault(port.equipment, []).append(index)
    return tuple(_least(study, found, name, rows) for name, rows in by_thing.items())


def _least(study: Study, found: Points, name: str, rows: list[int]) -> LeastVoltage:
    values, solution = found.model.values, found.solution
    demand = values.load_value[rows]
    on = np.isfinite(demand) & (demand != 0)
    solved = (solution.state == State.SOLVED)[None, :]
    fed = on & solved & ~solution.unpowered[rows]
    across = np.where(fed, solution.load_v[rows], np.inf)
    best = np.unravel_index(int(np.argmin(across)), across.shape)
    some = bool(np.isfinite(across[best]))
    entry = study.document.equipment.get(name)
    if entry is None:
        title = f"{study.system.title('switches', name)} coil"
        minimum, assumed = float(values.load_minimum_v[rows[0], 0]), True
    else:
        title = study.system.title("equipment", name)
        minimum, assumed = minimum_v(study, entry), entry.minimum_v is None
    return LeastVoltage(
        name=found.model.ports[rows[0]].name,
        equipment=name,
        title=title,
        least_v=float(across[best]) if some else None,
        where=found.cases[int(best[1])].title if some else "",
        minimum_v=minimum,
        assumed=assumed,
        unfed=int((on & solved & solution.unpowered[rows]).any(axis=0).sum()),
        unsolved=int((on & ~solved).any(axis=0).sum()),
    )


def _row(study: Study, least: LeastVoltage) -> tuple[Value, ...]:
    return (
        least.title,
        least.least_v,
        Cell(value=least.minimum_v, text=f"({least.minimum_v:.1f})" if least.assumed else None),
        marked(study, least.margin_v, least.equipment, *KEEPS),
        least.where,
        least.unfed or "",
        least.unsolved or "",
    )
