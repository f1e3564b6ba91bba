"""Connectors for the bench: wires by contact, what an ohmmeter reads, contacts and crimp test."""

from collections.abc import Iterator, Sequence

from elec import units
from elec.answers.base.ticked import standing, state_of
from elec.answers.connect.crimp_pull import crimp_pulls
from elec.answers.connect.pins import ConnectorPins, Landing, Pin, pins
from elec.answers.connect.readings import EndReading, readings
from elec.answers.drop.end_to_end import meter_mv
from elec.drawings.inputs import TERMINALS, BenchPage, BenchRow
from elec.drawings.records import connectors, words
from elec.physics.contact import spare_count
from elec.standards import cited, default, least_sure
from elec.study import Study
from elec.wiring.built import wires_by_id

PICTURE = (
    "+ over a number: power; − under it: ground; broken ring inside: shield; broken outline: spare."
)
COAX = "centre joined to the other end's centre; centre open to the shell"
CRIMP = "A test crimp of the same wire, contact and tool holds"


def connectors_by_place(study: Study) -> dict[str, tuple[str, ...]]:
    """Place → connectors there with more than one contact; those of a place share sheets."""
    found: dict[str, list[str]] = {}
    for name, one in pins(study).by_id.items():
        if len(one.pins) > 1:
            found.setdefault(one.place, []).append(name)
    return {place: tuple(names) for place, names in found.items()}


def bench_pages(study: Study, name: str) -> tuple[BenchPage, ...]:
    """The halves of a connector that the builder wires."""
    one = pins(study).by_id[name]
    return tuple(_page(study, one, half) for half in connectors.halves(study, name))


def _page(study: Study, one: ConnectorPins, half: connectors.Half) -> BenchPage:
    side = half[0]
    rows = tuple(row for pin in one.pins for row in _rows(study, one, pin, side))
    return BenchPage(
        face=connectors.connector_record(study, one.id, half, 1),
        rows=rows,
        facts=tuple(_facts(study, one, side)),
        claims=tuple(_claims(one, side)),
    )


def how_to_measure() -> str:
    """What the meter is to show, and what is sound."""
    share, lead = default("measured-resistance-share"), default("measured-resistance-lead")
    amperes = units.show(default("ring-out-current").si, "a")
    sure = least_sure((share.cite, lead.cite)).remark
    return (
        f"Battery off, plugs apart; {amperes} from a limited supply through that wire alone, none "
        f"into tank senders, vapour, electronics. At 20 °C; {100 * share.si:.0f} % and "
        f"{units.show(lead.si, 'ohm')} more is sound ({sure}). Not named: open, over 1 MΩ to "
        "ground, bus and other contacts. ☑: crimped."
    )


def _here(pin: Pin, side: str) -> list[Landing]:
    return [landing for landing in pin.landings if landing.side == side]


def _claims(one: ConnectorPins, side: str) -> Iterator[str]:
    for pin in one.pins:
        here = _here(pin, side)
        if len(here) > 1:
            ends = "; ".join(f"{landing.mark} from {landing.goes_to}" for landing in here)
            yield f"Contact {pin.contact} is claimed by {len(here)} wires: {ends}."


def _rows(study: Study, one: ConnectorPins, pin: Pin, side: str) -> Iterator[BenchRow]:
    here = _here(pin, side)
    signal = pin.signal.replace("-", " ")
    if not here and pin.state == "unwired":
        yield BenchRow(contact=pin.contact, signal=signal, reads="named, but no wire reaches it")
    found = readings(study).get((one.id, side, pin.contact), ())
    for n, landing in enumerate(here):
        drain = landing.role == "shield"
        yield BenchRow(
            contact=pin.contact,
            signal=signal,
            wire=landing.mark,
            gauge=landing.gauge if landing.gauge != "?" else "?",
            colour=landing.colour,
            goes_to=landing.goes_to,
            length="" if drain else words.length(study, landing.length_m),
            shield="" if drain else landing.shield,
            reads=_drain(study, landing) if drain else "" if n else _reads(found, landing),
            built="☐" if drain else _built(study, landing),
        )


def _built(study: Study, landing: Landing) -> str:
    """The box of a wire: ticked from the crimp on."""
    wire = wires_by_id(study)[landing.conductor]
    how = standing(study, wire, "terminated")
    if how in ("changed", "not held"):
        return "☐ changed since" if how == "changed" else "☐ tick not held"
    state = state_of(study, wire)
    told = "" if state in ("planned", "terminated") else state
    return f"{'☑' if how else '☐'} {told}".strip()


def _drain(study: Study, landing: Landing) -> str:
    """A shield that lands on a contact."""
    cable = study.document.cables[landing.cable]
    if cable.shield == "both":
        return "joined to the shield, which is grounded at its other end, too"
    return "joined to the shield; open to everything else"


def _reads(found: Sequence[EndReading], landing: Landing) -> str:
    """What an ohmmeter shows, end by end."""
    if landing.role == "coax":
        return COAX
    texts = []
    for reading in found:
        there = "" if reading.end == landing.goes_to else f" to {reading.end}"
        closed = "".join(f", {what}" for what in reading.through)
        texts.append(ohms(reading.ohm) + there + closed)
    return "; ".join(texts) or "open"


def ohms(ohm: float | None) -> str:
    """A resistance as a hand-held meter shows it: in millivolts at the ring-out current.

    >>> ohms(0.0324), ohms(1.63), ohms(None)
    ('32.4 mV', '1630 mV', '? mV')
    """
    return f"{meter_mv(ohm)} mV"


def _facts(study: Study, one: ConnectorPins, side: str) -> Iterator[tuple[str, str]]:
    spare = [pin.contact for pin in one.pins if not _here(pin, side) and pin.state != "unwired"]
    yield "meter", how_to_measure()
    if len(one.pins) > 1 and one.type != TERMINALS:
        yield "picture", PICTURE
    together = list(_together(study, one, side))
    if together:
        yield "joined contacts", " ".join(together)
    contacts = list(_contact(one))
    if contacts:
        yield "contacts", " ".join(contacts)
    pulls = crimp_pulls({landing.gauge for pin in one.pins for landing in _here(pin, side)})
    if pulls:
        yield "crimp test", f"{CRIMP} {pulls}."
    if one.contacts:
        wanted = spare_count(contacts=one.contacts)
        listed = f": {', '.join(spare)}" if spare else ""
        yield (
            "spare",
            (
                f"{len(spare)} of {one.contacts} contacts{listed}. {wanted:.0f} is good practice "
                f"({cited(spare_count)})."
            ),
        )


def _together(study: Study, one: ConnectorPins, side: str) -> Iterator[str]:
    """Contacts of this plug that meet at one ground point or one splice."""
    at: dict[str, tuple[str, list[str]]] = {}
    for pin in one.pins:
        for reading in readings(study).get((one.id, side, pin.contact), ()):
            own = reading.key.startswith(f"{one.id}.")
            end = f"contact {reading.key.rpartition('.')[2]}" if own else reading.end
            if reading.kind == "ground" or own:
                at.setdefault(reading.key, (end, []))[1].append(pin.contact)
    for key, (end, names) in at.items():
        if key.startswith(f"{one.id}."):
            yield f"{', '.join(names)} with {end}."
        elif len(names) > 1:
            yield f"{', '.join(names)} meet at {end}: between two of them, the sum of their values."


def _contact(one: ConnectorPins) -> Iterator[str]:
    if one.contact_size:
        yield f"Size {one.contact_size}."
    if one.thinnest_awg:
        yield f"They take AWG {one.thinnest_awg} to {one.thickest_awg}."
    if one.rating_a is not None:
        yield f"One alone carries {units.show(one.rating_a, 'a')} ({one.rating_origin})."
