"""The command `elec close`."""

import click

from elec.cli.common import (
    Print,
    Problem,
    deliver,
    no_such,
    options_of,
    printing,
    study_of,
)

FAILED = 1


@click.command(short_help="May this zone be closed? What holds it open.")
@click.argument("system")
@click.argument("zone", required=False)
@printing
def close(system: str, zone: str | None, how: Print) -> int:
    """May a zone be closed for good? Yes or no, with the list of what holds it open.

    Everything that lives in the zone or passes through it and is not far enough, what was measured
    and is off, what fails there; then what nobody reaches afterwards, the spares, what to
    photograph and to look at. Without a ZONE, all zones. Exit status 1 while one has to stay open.
    """
    from elec.answers.build.closing import closing
    from elec.check import run as findings_of
    from elec.pages.closing.page import closing_answer
    from elec.pages.document import Section

    study = study_of(system, how)
    zones = list(study.document.zones)
    if not zones:
        raise Problem(
            "There are no zones in this system. Name what closes together:\n"
            "  zones: {floor: {places: [belly], closes: before the floor goes in}}"
        )
    if zone is not None and zone not in zones:
        raise Problem(no_such("zone", zone, zones))
    findings = findings_of(study, deep=False)
    asked = zones if zone is None else [zone]
    sections = tuple(closing_answer(study, name, findings) for name in asked)
    whole = sections[0] if len(sections) == 1 else Section(
        id="close", title="Closing the zones", blocks=(), sections=sections, new_page=False
    )  # fmt: skip
    deliver(whole, how, options_of(study, how, system))
    open_ = any(not closing(study, name, findings).may_close for name in asked)
    return FAILED if open_ else 0
