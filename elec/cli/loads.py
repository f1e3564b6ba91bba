"""The command `elec loads`."""

from pathlib import Path

import click

from elec.cli.common import (
    Print,
    Problem,
    deliver,
    options_of,
    printing,
    read_system,
    study_of,
)


@click.command(short_help="What each phase of flight draws.")
@click.argument("system", required=False)
@click.option("--sheet", is_flag=True, help="The analysis as one sheet to be signed.")
@click.option("--since", metavar="OLD", help="On the sheet: what differs from this older system.")
@printing
def loads(system: str | None, sheet: bool, since: str | None, how: Print) -> int:
    """What each phase of flight draws, by day and by night, and what the sources give.

    With --sheet all of it as a form of one page: every load, each alternator by itself, the time on
    the battery, placards, lines for names and date. After a change, --since OLD states on it what
    differs from the system as it was, and whether there is no net increase.
    """
    if sheet:
        return _sheet(system, since, how)
    if since is not None:
        raise Problem("--since stands on the sheet; add --sheet")
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
    from elec.pages.loads.thin import thin_currents

    study = study_of(system, how)
    each = (load_lines(study, condition) for condition in conditions(study))
    lasting = endurance_summary(study)
    held = lasting if lasting.rows else None
    tables = (source_margin(study), source_alone(study), loads_by_phase(study), held, *each,
              thin_currents(study))  # fmt: skip
    shown = tuple(table for table in tables if table is not None and table.rows)
    lead = (*loads_lead(study), *(endurance_lead(study) if held is not None else ()))
    answer = tables_answer(study, "loads", shown, lead)
    deliver(answer, how, options_of(study, how, system))
    return 0


def _sheet(system: str | None, since: str | None, how: Print) -> int:
    from elec.pages.book import digest_of
    from elec.pages.loads.sheet import load_sheet_section

    study = study_of(system, how)
    difference = ""
    if since is not None:
        from elec.pages.loads.difference import difference_words
        from elec.study import Study

        difference = difference_words(Study(read_system(Path(since), how)), study, since)
    section = load_sheet_section(study, digest=digest_of(study), difference=difference)
    deliver(section, how, options_of(study, how, system))
    return 0
