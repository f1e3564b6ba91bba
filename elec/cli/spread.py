"""The command `elec spread`."""

import click

from elec.cli.common import Print, deliver, options_of, printing, study_of


@click.command(short_help="How sure the answers are, and what to measure first.")
@click.argument("system", required=False)
@click.option(
    "--samples",
    type=click.IntRange(100, 1_000_000),
    default=10_000,
    show_default=True,
    help="How many samples; the same number gives the same answer.",
)
@printing
def spread(system: str | None, samples: int, how: Print) -> int:
    """How sure the answers are: bands of margins, endurance and voltages, and what drives them.

    Every current, output, capacity and resistance is varied within its tolerance (given, or by
    its basis), and the network is solved for each sample.
    """
    from elec.answers.doubt.uncertainty import sampled
    from elec.pages.answers import tables_answer, why
    from elec.pages.doubt.page import spread_lead
    from elec.pages.doubt.table import band_tables, measure_first

    study = study_of(system, how)
    found = sampled(study, samples)
    tables = [one for one in (*band_tables(found), measure_first(study, found)) if one.rows]
    options = options_of(study, how, system)
    nearest = found.of("voltage")
    least = min(nearest, key=lambda b: b.best.low - b.limit).about if nearest else ""
    asked = {"battery-endurance": "", "alternator-idle": "", "load-voltage": least}
    leads = spread_lead(study, found)
    answer = tables_answer(study, "spread", tables, leads, why(study, options.again, asked))
    deliver(answer, how, options)
    return 0
