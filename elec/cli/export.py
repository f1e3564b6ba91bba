"""The command `elec export`."""

from pathlib import Path

import click

from elec.cli.common import Problem, no_such, read_system, the_system, write_or_print


@click.command(short_help="A netlist for a circuit simulator.")
@click.argument("system", required=False)
@click.option("--to", "form", type=click.Choice(["spice"]), required=True, help="The format.")
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
    """Write one case as a netlist, to check it with a general circuit simulator.

    Wires, contacts, sources, diodes and loads come with their laws and limits; comments hold your
    names and elec's own answer. Say which case, by its title or by phase, condition and scenario.
    """
    from elec.answers.build.export import spice_deck
    from elec.study import Study
    from elec.wiring.cases import cases

    del form  # one so far
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
