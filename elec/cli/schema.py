"""The command `elec schema`."""

from pathlib import Path

import click

from elec.cli.common import write_or_print


@click.command(short_help="The JSON Schema of a system, for editors.")
@click.option("--answers", is_flag=True, help="Of what elec answers with --format json instead.")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--force", is_flag=True, help="Replace a file that elec did not write.")
def schema(answers: bool, output: Path | None, force: bool) -> int:
    """Print the JSON Schema of a system, for editors that complete and check while typing.

    With --answers that of the JSON output, for programs that read it.
    """
    from elec.read.schema import schema as schema_of
    from elec.write.answer import answer_schema
    from elec.write.to_json import dump

    found = answer_schema() if answers else schema_of()
    write_or_print(dump(found), "json", output, force=force)
    return 0
