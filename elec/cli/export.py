"""The command `elec export`."""

from pathlib import Path

import click

from elec.cli.common import (
    Print,
    Problem,
    deliver,
    no_such,
    options_of,
    read_system,
    study_of,
    the_system,
    to_screen,
    write_or_print,
)

LISTS = ("netlist", "harness", "labels")


@click.command(short_help="Lists for others: a simulator, a harness shop, a label printer.")
@click.argument("system", required=False)
@click.option("--to", "form", type=click.Choice(["spice", *LISTS]), required=True, help="What.")
@click.option("--case", "title", metavar="TITLE", help='Such as "cruise, night, all well".')
@click.option("--phase", metavar="PHASE", help="Only cases in this phase.")
@click.option("--condition", type=click.Choice(["day", "night"]), help="Only by day or by night.")
@click.option("--scenario", metavar="SCENARIO", help="Only with these sources; normal: all well.")
@click.option(
    "--count",
    type=click.Choice(["momentary", "steady"]),
    default="momentary",
    show_default=True,
    help="All that may be on at once, or each load with its share of the time.",
)
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--force", is_flag=True, help="Replace a file that elec did not write.")
def export(
    *,
    system: str | None,
    form: str,
    title: str | None,
    phase: str | None,
    condition: str | None,
    scenario: str | None,
    count: str,
    output: Path | None,
    force: bool,
) -> int:
    """Write what another program, a shop or a printer takes.

    \b
      --to spice     one case as a netlist for a general circuit simulator
      --to netlist   what is joined to what: a row a point
      --to harness   every wire with gauge, type, colour, length and both ends: a row a wire
      --to labels    what a label printer prints: a row a label

    The lists are CSV, or what the ending of -o says. With spice, wires, contacts, sources, diodes
    and loads come with their laws and limits; comments hold your names and elec's own answer. Say
    which case, by its title or by phase, condition and scenario.
    """  # noqa: D301 - the mark keeps click from filling these lines
    if form in LISTS:
        if title or phase or condition or scenario:
            raise Problem("A case is asked for with --to spice alone; the lists hold for all")
        return _list(system, form, output, force=force)
    from elec.answers.build.export import spice_deck
    from elec.study import Study
    from elec.wiring.cases import cases

    study = Study(read_system(the_system(system), None))
    every = [case for case in cases(study) if case.count == count]
    if title is not None and title.casefold() not in {case.title.casefold() for case in every}:
        raise Problem(no_such("case", title, [case.title for case in every]))
    found = [
        case
        for case in every
        if (title is None or case.title.casefold() == title.casefold())
        and (phase is None or case.phase == phase)
        and (condition is None or case.condition == condition)
        and (scenario is None or scenario in (case.scenario.name, case.scenario.title))
    ]
    if len(found) != 1:
        listed = "\n".join(f"  {case.title}" for case in found or every)
        raise Problem(
            f"{len(found) or 'No'} cases are meant; name one with --case, such as "
            f'--case "{(found or every)[0].title}":\n{listed}'
        )
    write_or_print(spice_deck(study, found[0]).encode(), "text", output, force=force)
    return 0


def _list(system: str | None, name: str, output: Path | None, *, force: bool) -> int:
    from elec.pages.answers import tables_answer
    from elec.pages.bench.lists import harness_list, label_list, net_list

    makers = {"netlist": net_list, "harness": harness_list, "labels": label_list}
    form = "csv" if output is None or to_screen(output) else None
    how = Print(output=output, format=form, color="never", wide=True, force=force)
    study = study_of(system, how)
    deliver(tables_answer(study, name, [makers[name](study)]), how, options_of(study, how, system))
    return 0
