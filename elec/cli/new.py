"""The command `elec new`."""

from pathlib import Path

import click

from elec.cli.common import TEXTS, Problem, quoted


@click.command(short_help="Write a small system to begin with.")
@click.argument("name", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--force", is_flag=True, help="Replace the file.")
def new(name: Path, force: bool) -> int:
    """Write a small system to begin with, to be changed line by line."""
    from elec.answers.build.care import cautions_for
    from elec.read.starter import starter
    from elec.write.files import CannotWrite, write_file

    if name.suffix not in TEXTS:
        raise Problem(f"{name}: a system is a file that ends in .yaml, such as {name.name}.yaml")
    if name.exists() and not force:
        raise Problem(f"{name} is there already; choose another name, or add --force to replace it")
    try:
        write_file(name, starter(name.stem.replace("-", " ")).encode(), force=force)
    except CannotWrite as error:
        raise Problem(str(error)) from error
    shown = quoted(str(name))
    click.echo(f"Wrote {name}. Look at it, then:\n  elec check {shown}\n  elec book {shown}")
    click.echo("\n".join(["", *cautions_for(None, "new")]))
    return 0
