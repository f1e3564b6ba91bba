"""The command `elec wires`."""

import click

from elec.cli.common import Print, deliver, options_of, printing, study_of


@click.command(short_help="Every circuit's wire, and every wire to cut.")
@click.argument("system", required=False)
@printing
def wires(system: str | None, how: Print) -> int:
    """Every circuit's device and gauge with drop and heat, then every wire to cut and mark."""
    from elec.pages.answers import tables_answer
    from elec.pages.circuits.reversing import bridges
    from elec.pages.circuits.switch import poles
    from elec.pages.circuits.wire import circuits, conductors
    from elec.pages.loads.leads import wires_lead

    study = study_of(system, how)
    more = (poles(study), bridges(study))
    tables = (circuits(study), conductors(study), *(one for one in more if one.rows))
    answer = tables_answer(study, "wires", tables, wires_lead(study))
    deliver(answer, how, options_of(study, how, system))
    return 0
