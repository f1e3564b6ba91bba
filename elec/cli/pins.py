"""The command `elec pins`."""

from pathlib import Path

import click

from elec.cli.common import TEXTS, Print, Problem, deliver, no_such, options_of, printing, study_of


@click.command(short_help="What goes to which contact of a connector.")
@click.argument("system", required=False)
@click.argument("names", metavar="[EQUIPMENT[.CONNECTOR]]...", nargs=-1)
@printing
def pins(system: str | None, names: tuple[str, ...], how: Print) -> int:
    """What goes to which contact: of the connectors named (radio.J1, or radio), or of all.

    Without a SYSTEM, elec pins radio.J1 looks in the one system in this folder.
    """
    from elec.report.answers import tables_answer
    from elec.report.leads import pins_lead
    from elec.tables.pin import connectors, pin_tables
    from elec.write.values import bare

    if system is not None and not Path(system).exists() and Path(system).suffix not in TEXTS:
        names, system = (system, *names), None
    study = study_of(system, how)
    tables = [table for name in names for table in pin_tables(study, name)]
    if not names:
        tables = [connectors(study), *pin_tables(study)]
    missing = next((name for name in names if not pin_tables(study, name)), None)
    if missing is not None:
        ids = [str(bare(row[0])) for row in connectors(study).rows]
        boxes = [name.partition(".")[0] for name in ids]
        raise Problem(no_such("connector", missing, list(dict.fromkeys([*ids, *boxes]))))
    answer = tables_answer(study, "pins", tables, pins_lead(study, names))
    deliver(answer, how, options_of(study, how, system))
    return 0
