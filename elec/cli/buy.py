"""The command `elec buy`."""

import click

from elec.cli.common import Print, deliver, options_of, printing, study_of


@click.command(short_help="What to buy: wire, contacts, terminals, devices, clamps, labels.")
@click.argument("system", required=False)
@printing
def buy(system: str | None, how: Print) -> int:
    """What to buy, from wire to labels.

    Wire by type, gauge and colour; cable; devices; connectors and contacts; terminals by gauge and
    stud; clamps, ties, grommets, tubes and labels. What lies on the shelf (stock: in the file) is
    taken off; what cannot be counted is named. With -o list.csv or -o list.xlsx it is a list to
    order from.
    """
    from elec.pages.answers import tables_answer
    from elec.pages.bench.fastenings import fastenings_to_buy
    from elec.pages.bench.shopping import shopping

    study = study_of(system, how)
    tables = (*shopping(study), fastenings_to_buy(study))
    answer = tables_answer(study, "buy", [table for table in tables if table.rows])
    deliver(answer, how, options_of(study, how, system))
    return 0
