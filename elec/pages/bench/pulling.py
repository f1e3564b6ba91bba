"""Which connectors are put on after their wires are pulled."""

from elec.answers.connect.pulling import Passing, passings
from elec.pages.columns import text
from elec.pages.table import Cell, Column, Table, Value
from elec.study import Study


def pulling(study: Study) -> Table:
    """Every connector whose wires pass a hole or a tube."""
    return Table(
        id="pulling",
        title="Pull first, or put the connector on first",
        columns=(
            text("connector", "Connector"),
            text("type", "Type", 2),
            Column(key="size_mm", head="Needs", unit="mm", digits=0),
            text("opening", "Narrowest opening"),
            Column(key="free_mm", head="Free", unit="mm", digits=0),
            text("then", "So"),
        ),
        rows=tuple(_row(study, one) for one in passings(study).values()),
        note=(
            "Needs: the diagonal of the flange without backshell, or the coaxial plug; free: the "
            "opening less its grommet, with nothing else in it. What is put on after pulling is "
            "terminated in the aircraft: leave room for the tool, and pull before you tie it."
        ),
    )


def _row(study: Study, one: Passing) -> tuple[Value, ...]:
    from elec.answers.connect.pins import pins

    hole = one.narrowest
    return (
        one.title,
        pins(study).by_id[one.connector].type,
        None if one.size_m is None else one.size_m * 1000,
        f"{hole.kind} of {hole.diameter_m * 1000:.0f} mm, {hole.way}",
        hole.free_m * 1000,
        Cell(value=_so(one)),
    )


def _so(one: Passing) -> str:
    if one.passes is None:
        return "its size is not known here: measure it"
    return "goes through before others fill the hole" if one.passes else "put it on after pulling"
