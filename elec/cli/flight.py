"""The command `elec flight`."""

import click

from elec.cli.common import Print, deliver, options_of, printing, study_of

WHY = ("battery-worst-minute", "battery-endurance", "battery-recharge", "battery-cold-start")


@click.command(short_help="A flight over time: charge, start, the worst minute.")
@click.argument("system", required=False)
@printing
def flight(system: str | None, how: Print) -> int:
    """A flight over time: the worst minute to lose the alternator, and how long then.

    The state of charge through the flight, when the start is paid back, and what the starter does
    to the voltage; by day and night, on a cold, a usual and a hot day.
    """
    from elec.pages.answers import tables_answer, why
    from elec.pages.flight.page import flight_lead, flight_tables

    study = study_of(system, how)
    options = options_of(study, how, system)
    asked = dict.fromkeys(WHY, "")
    behind = why(study, options.again, asked)
    answer = tables_answer(study, "flight", flight_tables(study), flight_lead(study), behind)
    deliver(answer, how, options)
    return 0
