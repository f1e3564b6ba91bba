"""The command `elec loads`."""

import click

from elec.cli.common import Print, deliver, options_of, printing, study_of


@click.command(short_help="What each phase of flight draws.")
@click.argument("system", required=False)
@printing
def loads(system: str | None, how: Print) -> int:
    """What each phase of flight draws, by day and by night, and what the sources give."""
    from elec.pages.answers import tables_answer
    from elec.pages.loads.endurance import endurance_summary
    from elec.pages.loads.leads import endurance_lead, loads_lead
    from elec.pages.loads.load import (
        conditions,
        load_lines,
        loads_by_phase,
        source_alone,
        source_margin,
    )

    study = study_of(system, how)
    each = (load_lines(study, condition) for condition in conditions(study))
    lasting = endurance_summary(study)
    held = lasting if lasting.rows else None
    tables = (source_margin(study), source_alone(study), loads_by_phase(study), held, *each)
    shown = tuple(table for table in tables if table is not None)
    lead = (*loads_lead(study), *(endurance_lead(study) if held is not None else ()))
    answer = tables_answer(study, "loads", shown, lead)
    deliver(answer, how, options_of(study, how, system))
    return 0
