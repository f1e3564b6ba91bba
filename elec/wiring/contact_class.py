"""Which gauges the contacts at the ends of a wire take, whatever wire lands there.

In: chains, connectors. Out: `ContactRange` by conductor. What is not published is left out.
"""

from collections.abc import Iterator, Mapping
from functools import cache

from msgspec import Struct

from elec.model.load import Connector
from elec.standards import AWGS, table
from elec.standards.contact import contact_class
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, Part, chains


class ContactRange(Struct, frozen=True, kw_only=True):
    """The gauges that the contacts at the ends of a conductor take."""

    thinnest: str
    thickest: str
    title: str
    """The connector that binds, for print."""


@analysis
def contact_ranges(study: Study) -> Mapping[str, ContactRange]:
    """The range of every conductor that ends on contacts of a known class, or needs one gauge."""
    found = {}
    for conductor in chains(study).conductors():
        here = [r for part in (conductor.a, conductor.b) if (r := _range(study, part)) is not None]
        if here and conductor.cable is None:
            found[conductor.id] = _narrowest(here)
    return found


def range_over(
    study: Study, conductors: Iterator[Conductor] | tuple[Conductor, ...]
) -> ContactRange | None:
    """What all contacts on the way of several conductors take; None where none is known."""
    known = contact_ranges(study)
    here = [known[c.id] for c in conductors if c.id in known]
    return _narrowest(here) if here else None


def _narrowest(ranges: list[ContactRange]) -> ContactRange:
    low = max(ranges, key=lambda r: AWGS.index(r.thinnest))
    high = min(ranges, key=lambda r: AWGS.index(r.thickest))
    return ContactRange(
        thinnest=low.thinnest,
        thickest=high.thickest,
        title=high.title if len(ranges) > 1 and high is not low else low.title,
    )


def _range(study: Study, part: Part) -> ContactRange | None:
    found = connector_at(study, part)
    if found is None:
        return None
    entry, contact, title = found
    pin = entry.pins.get(contact)
    if pin is not None and pin.gauge:
        return ContactRange(thinnest=pin.gauge, thickest=pin.gauge, title=title)
    own = study.document.connector_types.get(entry.type)
    if own is not None and own.thinnest and own.thickest:
        return ContactRange(thinnest=own.thinnest, thickest=own.thickest, title=title)
    span = _gauges(entry.type)
    return None if span is None else ContactRange(thinnest=span[0], thickest=span[1], title=title)


def connector_at(study: Study, part: Part) -> tuple[Connector, str, str] | None:
    """The connector that a part is a contact of, that contact, and a title; None for no contact."""
    if part.kind == "connector":
        title = study.system.title("plugs", part.name)
        return study.document.plugs[part.name], part.contact, title
    if part.kind != "equipment":
        return None
    connectors = study.document.equipment[part.name].connectors
    key, _, pin = part.contact.rpartition(".")
    if key not in connectors:
        return None
    title = f"{study.system.title('equipment', part.name)}, {connectors[key].name or key}"
    return connectors[key], pin, title


@cache
def _gauges(kind: str) -> tuple[str, str] | None:
    family, size = contact_class(kind)
    rows = table("elec/contact_ratings").select(family=family, contact_size=size)
    if not rows or not rows[0].has("awg_thin") or not rows[0].has("awg_thick"):
        return None
    return _known(rows[0].text("awg_thin")), _known(rows[0].text("awg_thick"))


def _known(awg: str) -> str:
    """A gauge of the table among those known here: 28 counts as the thinnest."""
    return awg if awg in AWGS else AWGS[0]
