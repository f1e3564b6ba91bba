"""The command `elec schema`."""

from pathlib import Path

import click

from elec.cli.common import Problem, read_system, write_or_print


@click.command(short_help="The JSON Schema of a system, for editors.")
@click.argument("system", required=False, type=click.Path(path_type=Path, exists=True))
@click.option("--answers", is_flag=True, help="Of what elec answers with --format json instead.")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--force", is_flag=True, help="Replace a file that elec did not write.")
def schema(system: Path | None, *, answers: bool, output: Path | None, force: bool) -> int:
    """Print the JSON Schema of a system, for editors that complete and check while typing.

    With SYSTEM the names of its places, buses, switches, grounds and equipment are offered where
    they are asked for. With --answers that of the JSON output, for programs that read it.
    """
    from elec.read.schema import schema as schema_of
    from elec.write.answer import answer_schema
    from elec.write.to_json import dump

    if answers and system is not None:
        raise Problem("--answers is the same for every system; leave the system out")
    document = None if system is None else read_system(system, None).document
    found = answer_schema() if answers else schema_of(document)
    write_or_print(dump(found), "json", output, force=force)
    return 0
