"""The command `elec checks`."""

import click

from elec.cli.common import Print, Problem, deliver, no_such, options_of, printing


@click.command(short_help="List the checks, or explain one.")
@click.argument("check_", metavar="[CHECK]", required=False)
@printing
def checks(check_: str | None, how: Print) -> int:
    """List the checks, or say why one of them matters."""
    from elec.check import checks as all_checks
    from elec.pages.answers import checks_table
    from elec.pages.document import Paragraph, Section, TableBlock

    every = all_checks()
    options = options_of(None, how, None)
    if check_ is None:
        table = checks_table(every)
        section = Section(id="checks", title=table.title, blocks=(TableBlock(table=table),))
    else:
        found = next((one for one in every if one.id == check_), None)
        if found is None:
            raise Problem(no_such("check", check_, [one.id for one in every]))
        texts = [found.title + ".", *found.why.split("\n\n")]
        texts += ["Sources: " + "; ".join(str(cite) for cite in found.sources)]
        texts += ["Limits: " + ", ".join(found.limits)] if found.limits else []
        section = Section(
            id=found.id, title=found.id, blocks=tuple(Paragraph(text=text) for text in texts)
        )
    deliver(section, how, options)
    return 0
