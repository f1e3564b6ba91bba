"""The command `elec schema`."""

from pathlib import Path

import click

from elec.cli.common import write_or_print


@click.command(short_help="The JSON Schema of a system, for editors.")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--force", is_flag=True, help="Replace a file that elec did not write.")
def schema(output: Path | None, force: bool) -> int:
    """Print the JSON Schema of a system, for editors that complete and check while typing."""
    from elec.read.schema import schema as schema_of
    from elec.write.to_json import dump

    write_or_print(dump(schema_of()), "json", output, force=force)
    return 0
