"""The command `elec failures`."""

import click

from elec.cli.common import Print, Problem, deliver, no_such, options_of, printing, study_of


@click.command(short_help="What every single failure takes, and what is left.")
@click.argument("system", required=False)
@click.option("--phase", metavar="PHASE", help="In one phase; else the worst of the flight.")
@click.option("--shorts", is_flag=True, help="What a short in each wire and at each bus does.")
@click.option("--pairs", is_flag=True, help="What two failures together take.")
@printing
def failures(system: str | None, phase: str | None, shorts: bool, pairs: bool, how: Print) -> int:
    """What every single failure takes, what is left, and how long the battery then holds.

    Each source, device, switch, feeder, bus, connector, ground point and way fails in turn. With
    --shorts each power wire is shorted at both ends, and each bus, with every source feeding: which
    devices open, in which order, what is lost for good. With --pairs any two fail together: what
    they take that neither takes alone, alike ones in one row.
    """
    from elec.pages.answers import tables_answer, why
    from elec.pages.failures.coils import coils_table
    from elec.pages.failures.page import failures_lead, shorts_lead
    from elec.pages.failures.shorts import shorts_table
    from elec.pages.failures.table import failure_tables
    from elec.pages.failures.ways import doubles_lead, doubles_table, feed_ways_table

    study = study_of(system, how)
    if pairs:
        if shorts or phase is not None:
            raise Problem("--pairs looks at cruise alone; leave --phase and --shorts out")
        options = options_of(study, how, system)
        tables = [t for t in (doubles_table(study), feed_ways_table(study)) if t.rows]
        lines = why(study, options.again, {"failure-single": "", "failure-pair-supply": ""})
        deliver(tables_answer(study, "failures", tables, doubles_lead(study), lines), how, options)
        return 0
    if shorts:
        if phase is not None:
            raise Problem("--shorts looks at cruise alone; leave --phase out")
        options = options_of(study, how, system)
        asked = {"short-cleared": "", "short-essential": ""}
        found = shorts_table(study)
        answer = tables_answer(
            study, "shorts", [found] if found.rows else [], shorts_lead(study),
            why(study, options.again, asked),
        )  # fmt: skip
        deliver(answer, how, options)
        return 0
    if phase is not None and phase not in study.document.phases:
        raise Problem(no_such("phase", phase, list(study.document.phases)))
    first, *others = failure_tables(study, phase)
    every = (first, coils_table(study), feed_ways_table(study), *others)
    tables = [table for table in every if table.rows]
    options = options_of(study, how, system)
    asked = {"failure-single": "", "battery-endurance": ""}
    answer = tables_answer(
        study, "failures", tables, failures_lead(study, phase), why(study, options.again, asked)
    )
    deliver(answer, how, options)
    return 0
