"""The command `elec add`."""

from pathlib import Path

import click

from elec.cli.common import Problem, refused


@click.command(short_help="Put the contacts of a connector from a list into the files.")
@click.argument("what", type=click.Choice(["pins"]))
@click.argument("system", type=click.Path(path_type=Path))
@click.argument("connector")
@click.option(
    "--from",
    "source",
    required=True,
    type=click.Path(path_type=Path),
    metavar="LIST",
    help="A .csv or .xlsx with a column of contacts and one of signals.",
)
@click.option("--column", multiple=True, metavar="KIND=C", help="contact=A, signal=C.")
@click.option("--sheet", metavar="NAME", help="The sheet of a workbook that has several.")
def add(
    what: str,
    system: Path,
    connector: str,
    *,
    source: Path,
    column: tuple[str, ...],
    sheet: str | None,
) -> int:
    """Put the contacts of a connector from a list into the files.

    \b
      elec add pins SYSTEM radio.J1 --from table.csv
      elec add pins SYSTEM radio.J1 --from table.xlsx --sheet J1 --column signal=C

    What is written there stays; a contact that carries something else there is refused, and
    nothing is written. Every line that is put in is shown.
    """  # noqa: D301 - the mark keeps click from filling these lines
    del what  # contacts are all that can be added so
    from elec.answers.build.care import cautions_for
    from elec.read.edit import CannotEdit, CannotSave, Edits
    from elec.read.lists.grid import ListRefused
    from elec.read.lists.pin_table import add_pins
    from elec.write.values import clean

    try:
        edits = Edits.of(system)
        notes = add_pins(edits, connector, source, asked=column, sheet=sheet)
        reading = edits.reading()
        if reading.mistakes:
            raise refused(reading.mistakes, "Nothing was written.", None)
        diff, written = edits.diff(), edits.write()
    except ListRefused as error:
        said = [*error.messages, "Nothing was written."]
        raise Problem("\n".join(clean(text) for text in said)) from None
    except (CannotEdit, CannotSave) as error:
        raise Problem(str(error)) from None
    click.echo("\n".join(clean(note) for note in notes))
    if diff:
        click.echo(f"\n{diff.rstrip()}\n")
    for file in written:
        click.echo(f"Wrote {file}.")
    if not written:
        click.echo("Nothing changed; it is so already.")
    click.echo("\n".join(["", *cautions_for(None, "add")]))
    return 0
