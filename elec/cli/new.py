"""The command `elec new`."""

from pathlib import Path

import click

from elec.cli.common import TEXTS, Problem, quoted


@click.command(short_help="Write a small system to begin with.")
@click.argument("name", metavar="FILE", required=False, type=click.Path(path_type=Path))
@click.option(
    "--from",
    "source",
    type=click.Path(path_type=Path),
    metavar="LIST",
    help="Loads from a .csv or .xlsx, in place of the example's.",
)
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="As FILE.")
@click.option("--column", multiple=True, metavar="KIND=C", help="name=A, amps=C, watts=none.")
@click.option("--sheet", metavar="NAME", help="The sheet of a workbook that has several.")
@click.option("--sample", is_flag=True, help="Print a small list of loads to begin with.")
@click.option("--force", is_flag=True, help="Replace the file.")
def new(
    name: Path | None,
    *,
    source: Path | None,
    output: Path | None,
    column: tuple[str, ...],
    sheet: str | None,
    sample: bool,
    force: bool,
) -> int:
    """Write a small system to begin with, to be changed line by line.

    \b
      elec new my-plane.yaml
      elec new --sample > loads.csv
      elec new my-plane.yaml --from loads.csv
      elec new --from loads.xlsx --sheet Loads --column amps=C

    With --from its loads come from a list: a name, amperes or watts, and, where there are such
    columns, breaker or fuse, switch, gauge, and phases of flight marked by x, a share or a time.
    Amperes, watts, breakers, fuses and gauges have their unit in the head, Breaker (A), or in each
    cell, 5 A. All else is typical, with a comment where it has to be put right. --sample prints a
    small list to begin with.
    """  # noqa: D301 - the mark keeps click from filling these lines
    from elec.answers.build.care import cautions_for
    from elec.read.starter import starter
    from elec.write.files import CannotWrite, write_file

    if sample:
        from elec.read.lists.loads import SAMPLE

        if name is not None or output is not None or source is not None:
            raise Problem("--sample prints a list by itself: elec new --sample > loads.csv")
        click.echo(SAMPLE, nl=False)
        return 0
    name = _file(name, output, source)
    if source is None and (column or sheet is not None):
        raise Problem("--column and --sheet go with a list: --from loads.csv")
    if name.suffix not in TEXTS:
        raise Problem(f"{name}: a system is a file that ends in .yaml, such as {name.name}.yaml")
    if name.exists() and not force:
        raise Problem(f"{name} is there already; choose another name, or add --force to replace it")
    title = name.stem.replace("-", " ")
    text, notes = (starter(title), ()) if source is None else _listed(title, source, column, sheet)
    try:
        write_file(name, text.encode(), force=force)
    except CannotWrite as error:
        raise Problem(str(error)) from error
    shown = quoted(str(name))
    for note in notes:
        click.echo(note)
    click.echo(f"Wrote {name}. Look at it, then:\n  elec check {shown}\n  elec book {shown}")
    click.echo("\n".join(["", *cautions_for(None, "new")]))
    return 0


def _file(name: Path | None, output: Path | None, source: Path | None) -> Path:
    """The file to write."""
    if name is not None and output is not None:
        raise Problem(f"{name} and -o {output} are two files; name one")
    found = name or output or (source.with_suffix(".yaml") if source is not None else None)
    if found is None:
        raise click.UsageError("Missing argument 'FILE'.", click.get_current_context())
    return Path(found.name) if name is None and output is None else found


def _listed(
    title: str, source: Path, column: tuple[str, ...], sheet: str | None
) -> tuple[str, tuple[str, ...]]:
    """The text with the loads of a list, and what to tell about it."""
    from elec.read.lists.first_system import RESERVED, first_system
    from elec.read.lists.grid import ListRefused
    from elec.read.lists.loads import read_loads
    from elec.write.values import clean

    try:
        found = read_loads(source, RESERVED, asked=column, sheet=sheet)
        text = first_system(title, found, source.name)
    except ListRefused as error:
        said = [*error.messages, "Nothing was written."]
        raise Problem("\n".join(clean(one) for one in said)) from None
    count = len(found.loads)
    loads = f"{count} load{'' if count == 1 else 's'} from {source.name}, each an estimate."
    return text, tuple(clean(note) for note in (*found.notes, loads, ""))
