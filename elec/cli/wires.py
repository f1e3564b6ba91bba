"""The command `elec wires`."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

import click

from elec.cli.common import Print, Problem, deliver, no_such, options_of, printing, study_of

if TYPE_CHECKING:
    from elec.pages.table import Table
    from elec.study import Study

STATES = ("open", "planned", "cut", "pulled", "terminated", "rung out", "tested")
"""`open` is all that is not rung out; the others are those of the build file."""


@click.command(short_help="Every circuit's wire, and every wire to cut.")
@click.argument("system", required=False)
@click.option("--bus", help="Only wires that this bus feeds, or that lead to it.")
@click.option("--zone", help="Only wires that lie in this zone, or pass it.")
@click.option(
    "--state", type=click.Choice(STATES), help="Only wires in this state; open: not rung out."
)
@printing
def wires(
    system: str | None, bus: str | None, zone: str | None, state: str | None, how: Print
) -> int:
    """Every circuit's device and gauge with drop and heat, then every wire to cut and mark.

    With --bus, --zone or --state the wires of which that holds, and nothing else: what of the main
    bus in the left wing is still to be done?
    """
    from elec.pages.answers import tables_answer
    from elec.pages.circuits.reversing import bridges
    from elec.pages.circuits.switch import poles
    from elec.pages.circuits.wire import circuits, conductors
    from elec.pages.loads.leads import wires_lead

    study = study_of(system, how)
    if bus or zone or state:
        some, said = _some(study, bus, zone, state)
        answer = tables_answer(study, "wires", (some,), (said,))
    else:
        more = (poles(study), bridges(study))
        tables = (circuits(study), conductors(study), *(one for one in more if one.rows))
        answer = tables_answer(study, "wires", tables, wires_lead(study))
    deliver(answer, how, options_of(study, how, system))
    return 0


def _some(
    study: "Study", bus: str | None, zone: str | None, state: str | None
) -> "tuple[Table, str]":
    """The rows of the wires that are asked for, and how many of how many they are."""
    from msgspec.structs import replace

    from elec.pages.cards.narrow import marks_of
    from elec.pages.circuits.wire import conductors

    asked = {
        "bus": _named(study, "bus", "buses", bus),
        "zone": _named(study, "zone", "zones", zone),
    }
    whole = conductors(study)
    marks = marks_of(study, bus=asked["bus"], zone=asked["zone"], state=state or "")
    rows = tuple(row for row in whole.rows if row[0] in marks)
    terms = [
        f"on {study.system.title('buses', asked['bus'])}" if bus else "",
        f"in {study.system.title('zones', asked['zone'])}" if zone else "",
        {"open": "not rung out"}.get(state or "", state or ""),
    ]
    what = ", ".join(term for term in terms if term)
    return replace(whole, rows=rows), f"{len(rows)} of {len(whole.rows)} wires: {what}."


def _named(study: "Study", kind: str, section: str, given: str | None) -> str:
    """The name of a thing that may be asked for by its title, too."""
    known: Iterable[str] = getattr(study.document, section)
    titles = {study.system.title(section, name): name for name in known}
    found = titles | {name: name for name in known}
    if given and given not in found:
        raise Problem(no_such(kind, given, tuple(known), also=tuple(titles)))
    return found[given] if given else ""


__all__ = ["STATES", "wires"]
