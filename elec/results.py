"""Everything elec finds out about a system, for programs and notebooks.

In: a path, then a `System`. Out: `Results` to ask for findings, tables as frames, quantities with
units, the graph of feeders. The numbers are those of the commands: the same tables, not printed.
"""

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from elec import units
from elec.attempt.compared import compared
from elec.check import run
from elec.finding import Finding
from elec.model.system import System
from elec.pages.circuits import bundle, equipment, feeder, ground, pin, protection, wire
from elec.pages.compare import table as compare_table
from elec.pages.loads import endurance, voltage
from elec.pages.loads import load as load_table
from elec.pages.table import Cell, Table, Value
from elec.pages.things import weight
from elec.read.kept.earlier import read_earlier
from elec.study import Study

if TYPE_CHECKING:
    import networkx as nx
    import pandas as pd
    import pint


def load(path: str | Path) -> System:
    """Read a system: a file, a folder, a book that elec wrote, or `HEAD~3:systems/foxglove`.

    Raises:
        Mistaken: with every mistake in the text, each with file, line and column.

    >>> load("systems/foxglove").about.name
    'Foxglove'
    """
    return read_earlier(str(path)).good()


def analyse(system: System) -> "Results":
    """Everything there is to ask about a system; each thing is computed when it is first asked for.

    >>> analyse(load("systems/yarrow")).system.about.name
    'Yarrow'
    """
    return Results(system)


TABLES: Mapping[str, Callable[[Study], Table]] = MappingProxyType(
    {
        "loads": load_table.loads_by_phase,
        "loads-by-bus": load_table.loads_by_bus,
        "margins": load_table.source_margin,
        "endurance": endurance.endurance_summary,
        "circuits": wire.circuits,
        "wires": wire.conductors,
        "feeders": feeder.feeders,
        "protection": protection.protection,
        "grounds": ground.grounds,
        "connectors": pin.connectors,
        "equipment": equipment.equipment,
        "voltages": voltage.voltages,
        "bundles": bundle.bundles,
        "weight": weight.weight_by_kind,
    }
)
"""Name → the table of that name; `elec loads`, `wires` and the others print the same."""


class Results:
    """The answers about one system."""

    def __init__(self, system: System) -> None:
        """Begin with nothing computed."""
        self.system = system
        self.study = Study(system)

    @property
    def digest(self) -> str:
        """The SHA-256 that stands, shortened, on every print of this text."""
        from elec.pages.book import digest_of

        return digest_of(self.study)

    @property
    def names(self) -> tuple[str, ...]:
        """The tables that there are; pin tables have the names of their connectors."""
        from elec.answers.connect.pins import pins

        return (*TABLES, *pins(self.study).by_id)

    def findings(self, *, deep: bool = False) -> tuple[Finding, ...]:
        """What every check says, worst first; `deep` also follows whole flights through time."""
        return run(self.study, deep=deep)

    def table(self, name: str) -> Table:
        """A table by its name.

        Raises:
            KeyError: there is none; it says which there are.
        """
        if name in TABLES:
            return TABLES[name](self.study)
        tables = pin.pin_tables(self.study, name) if name else ()
        if len(tables) != 1:
            raise KeyError(f"there is no table {name!r}; there are {', '.join(self.names)}")
        return tables[0]

    def frame(self, name: str) -> "pd.DataFrame":
        """A table as a frame of pandas: units in the heads, numbers as floats, unknown is NaN."""
        return self.table(name).frame()

    def quantities(self, name: str) -> "list[dict[str, pint.Quantity[float] | str | None]]":
        """The rows of a table by the keys of its columns, each number with its unit (pint).

        What is not known is None; what there is none of is an empty text.
        """
        found = self.table(name)
        return [
            {
                column.key: _quantity(value, column.measure)
                for column, value in zip(found.columns, row, strict=True)
            }
            for row in found.rows
        ]

    def feeders(self) -> "nx.MultiDiGraph[str]":
        """Sources and buses as nodes, feeders as edges (networkx).

        A node has its `kind`; an edge what the table of feeders says of it, by the keys of its
        columns.
        """
        import networkx as nx

        document = self.system.document
        graph: nx.MultiDiGraph[str] = nx.MultiDiGraph(name=self.system.about.name)
        for name, source in document.sources.items():
            graph.add_node(name, kind=source.kind)
        for name in document.buses:
            graph.add_node(name, kind="bus")
        found = feeder.feeders(self.study)
        for entry, row in zip(document.feeders, found.rows, strict=True):
            says = {c.key: _bare(value) for c, value in zip(found.columns, row, strict=True)}
            graph.add_edge(entry.from_, entry.to, key=str(says["feeder"]), **says)
        return graph


def compare(old: System, new: System) -> Mapping[str, Table]:
    """What differs between two systems, as `elec compare` tells it; a table is empty where nothing.

    >>> plane = load("systems/yarrow")
    >>> [name for name, found in compare(plane, plane).items() if found.rows]
    []
    """
    from elec.answers.build.wire_changes import wire_changes

    found = compared(Study(old), Study(new))
    before, after = found.before, found.after
    return {
        "verdicts": compare_table.verdicts_table(found.changes),
        "loads": compare_table.loads_table(before, after),
        "devices": compare_table.devices_table(before, after),
        "wires": compare_table.wires_table(wire_changes(before, after)),
        "contacts": compare_table.contacts_table(before, after),
        "weight": compare_table.weight_table(before, after),
        "text": compare_table.written_table(before, after),
    }


def _bare(value: Value) -> Any:
    return value.value if isinstance(value, Cell) else value


def _quantity(value: Value, suffix: str) -> "pint.Quantity[float] | str | None":
    import pint

    plain = _bare(value)
    if isinstance(plain, str) or plain is None:
        return plain
    registry: Any = pint.application_registry
    unit = units.SUFFIXES[suffix].unit if suffix else ""
    found: pint.Quantity[float] = registry.Quantity(float(plain), unit)
    return found


__all__ = ["Results", "analyse", "compare", "load"]
