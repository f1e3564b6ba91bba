"""The command `elec pins`."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from elec.cli.common import (
    TEXTS,
    Print,
    Problem,
    deliver,
    no_such,
    options_of,
    printing,
    study_of,
    write_or_print,
)

if TYPE_CHECKING:
    from elec.pages.table import Table
    from elec.study import Study


@click.command(short_help="What goes to which contact of a connector.")
@click.argument("system", required=False)
@click.argument("names", metavar="[EQUIPMENT[.CONNECTOR]]...", nargs=-1)
@printing
def pins(system: str | None, names: tuple[str, ...], how: Print) -> int:
    """What goes to which contact: of the connectors named (radio.J1, or radio), or of all.

    A switch or relay by its name: which wire ends on which terminal.

    Into a .pdf or .svg goes a page a connector for the bench: the face from the wiring side and
    the mating side, every wire, what a meter reads, crimp test and spares.
    Without a SYSTEM, elec pins radio.J1 looks in the one system in this folder.
    """
    from elec.pages.answers import tables_answer
    from elec.pages.circuits.pin import connectors, pin_tables
    from elec.pages.circuits.switch import switch_terminals
    from elec.pages.loads.leads import pins_lead
    from elec.write.values import bare

    if system is not None and not Path(system).exists() and Path(system).suffix not in TEXTS:
        names, system = (system, *names), None
    study = study_of(system, how)
    names = tuple(_connector(study, name) for name in names)
    tables = [table for name in names for table in _of(study, name)]
    if not names:
        tables = [connectors(study), *pin_tables(study), *switch_terminals(study)]
    missing = next((name for name in names if not _of(study, name)), None)
    if missing is not None:
        ids = [str(bare(row[0])) for row in connectors(study).rows]
        ids += [table.id.removeprefix("terminals-") for table in switch_terminals(study)]
        boxes = [name.partition(".")[0] for name in ids]
        raise Problem(no_such("connector", missing, list(dict.fromkeys([*ids, *boxes]))))
    if how.output is not None and how.output.suffix.lower() in (".pdf", ".svg"):
        switch = next((name for name in names if not pin_tables(study, name)), None)
        if switch is not None:
            raise Problem(
                f"{switch} is a switch: its terminals are a table, and pages for the bench show "
                "connectors; leave -o out, or write into a .csv."
            )
        _pages(study, names, how)
        return 0
    boxes_asked = tuple(name for name in names if pin_tables(study, name))
    lead = () if names and not boxes_asked else pins_lead(study, boxes_asked)
    answer = tables_answer(study, "pins", tables, lead)
    deliver(answer, how, options_of(study, how, system))
    return 0


def _of(study: "Study", name: str) -> "tuple[Table, ...]":
    """The contacts of a connector or box, or the terminals of a switch."""
    from elec.pages.circuits.pin import pin_tables
    from elec.pages.circuits.switch import switch_terminals

    return pin_tables(study, name) or switch_terminals(study, name)


def _connector(study: "Study", name: str) -> str:
    """The connector that a contact is in: radio.J1 of radio.J1.7; any other name as it is."""
    from elec.answers.connect.pins import pins as known

    above, _, contact = name.rpartition(".")
    one = known(study).by_id.get(above)
    held = one is not None and any(pin.contact == contact for pin in one.pins)
    return above if held else name


def _pages(study: "Study", names: tuple[str, ...], how: Print) -> None:
    """Write a page a connector for the bench."""
    from elec.write.drawn import alone, bench_pdf, bench_sheets

    pages = bench_sheets(study, names)
    if how.output is not None and how.output.suffix.lower() == ".svg":
        sheets = [sheet for _, part in pages for sheet in part]
        if len(sheets) > 1:
            raise Problem(
                f"{how.output} holds one page, and these are {len(sheets)}; "
                "name one connector, or write a .pdf"
            )
        write_or_print(alone(sheets[0]), "svg", how.output, force=how.force)
        return
    write_or_print(bench_pdf(study, pages), "pdf", how.output, force=how.force)
