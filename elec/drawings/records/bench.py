"""Connectors for the bench: wires by contact, what an ohmmeter reads, contacts and crimp test."""

import re
from collections.abc import Iterator, Mapping, Sequence

from elec import units
from elec.answers.base.marks import gauge_of
from elec.answers.base.ticked import standing, state_of
from elec.answers.connect.crimp_pull import crimp_pulls
from elec.answers.connect.pins import ON_BOX, ConnectorPins, Landing, Pin, pins
from elec.answers.connect.readings import CLOSED, EndReading, all_open, readings
from elec.answers.drop.end_to_end import meter_mv, of_small, small_current, small_share
from elec.answers.grounds.terminals import stud_of, terminal_of
from elec.drawings.inputs import TERMINALS, BenchPage, BenchRow
from elec.drawings.records import connectors, landings, words
from elec.drawings.records.pulls import natural
from elec.physics.contact import spare_count
from elec.physics.drop import warm_factor
from elec.sizing.sizing import sizing
from elec.standards import cited, default, least_sure, table
from elec.standards.wire import COPPER_ZERO_DEGC
from elec.study import Study, analysis
from elec.wiring.built import wires_by_id
from elec.wiring.chains import Conductor, Part, chains

PICTURE = (
    "Two strokes over a number: power; one under it: ground; broken ring inside: shield; broken "
    "outline: spare."
)
COAX = "centre to centre, open to the shell"
NOT_MEASURED = "not measured: fuel vapour"
"""Instead of a reading where a tester would send its current to a tank or into fuel vapour."""
CRIMP = "A test crimp of the same wire, contact and tool holds"


FEW = 15
"""A place where so few wires land on connectors shares sheets with others."""


def connectors_by_place(study: Study) -> dict[str, tuple[str, ...]]:
    """Place → connectors there, which share sheets; under no place those of small places.

    Names are in the builder's order.
    """
    found: dict[str, list[str]] = {}
    wires: dict[str, int] = {}
    for name, one in pins(study).by_id.items():
        count = sum(len(pin.landings) or pin.state == "unwired" for pin in one.pins)
        found.setdefault(one.place, []).append(name)
        wires[one.place] = wires.get(one.place, 0) + count
    few = [place for place in found if wires[place] <= FEW]
    some = {place: tuple(names) for place, names in found.items() if place not in few}
    rest = tuple(name for place in few for name in found[place])
    return {**some, "": rest} if rest else some


def bench_pages(study: Study, name: str) -> tuple[BenchPage, ...]:
    """The halves of a connector that the builder wires."""
    one = pins(study).by_id[name]
    return tuple(_page(study, one, half) for half in connectors.halves(study, name))


def _page(study: Study, one: ConnectorPins, half: connectors.Half) -> BenchPage:
    side = half[0]
    rows = tuple(_warned(study, one, side))
    rows += tuple(_shields(study, one, side))
    rows = rows or (BenchRow(contact="", reads="no wire lands on it", built=""),)
    return BenchPage(
        face=connectors.connector_record(study, one.id, half, 1),
        rows=rows,
        facts=tuple(_facts(study, one, side)),
        claims=tuple(_claims(one, side)),
    )


def how_to_measure(study: Study) -> tuple[str, ...]:
    """What is done to ring out a wire, step by step, and what is sound."""
    share, lead = default("measured-resistance-share"), default("measured-resistance-lead")
    amperes = units.show(default("ring-out-current").si, "a")
    sure = least_sure((share.cite, lead.cite)).remark
    warmer = f"{100 * (warm_factor(conductor_degc=21.0, zero_degc=COPPER_ZERO_DEGC) - 1):.1f} %"
    more = f"{100 * share.si:.0f} % and {units.show(lead.si, 'ohm')} more"
    return (
        (
            "1. Battery disconnected (what lies before a switch is live with it off), plugs apart, "
            f"{all_open(study)}; {CLOSED}. In the book: each wire alone."
        ),
        (
            f"2. Send {amperes} from a limited supply; never into tank senders, fuel vapour or "
            f"electronics. Through a device of {amperes} or less send {small_current()}. "
            f"{of_small()}"
        ),
        (
            f'3. Good if not above "at most": "mV at 1 A" and {more}, less in thick wires '
            f"({sure}). They are for 20 °C; copper: {warmer} more a degree."
        ),
        "4. What shares no bus, ground or load reads open: over 1 MΩ to all else.",
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
    conductors = wires_by_id(study)
    found = readings(study).get((one.id, side, pin.contact), ())
    for n, landing in enumerate(here):
        drain = landing.role == "shield"
        yield BenchRow(
            contact=pin.contact,
            signal=signal,
            wire=landing.mark,
            conductor=landing.conductor,
            target="" if drain else _target(conductors[landing.conductor], one, pin),
            gauge=landing.gauge if landing.gauge != "?" else "?",
            colour=landing.colour,
            goes_to=_goes_to(study, landing, conductors.get(landing.conductor)),
            length="" if drain else words.length(study, landing.length_m),
            shield="" if drain else _cable(study, landing, one.id),
            reads=_drain(study, landing) if drain else "" if n else _reads(found, landing),
            most="" if drain or n else _most(found, landing),
            built="☐" if drain else _built(study, landing),
        )


_PROBE = re.compile(r"cht|egt|thermocouple", re.IGNORECASE)
COPPER = "copper is for probes of resistance; a thermocouple has wires of its own two metals"


def _warned(study: Study, one: ConnectorPins, side: str) -> Iterator[BenchRow]:
    """The rows of contacts; behind all of them what wires of copper to probes are not for."""
    found = [(pin, row) for pin in one.pins for row in _rows(study, one, pin, side)]
    hot = [
        (k, pin.contact)
        for k, (pin, row) in enumerate(found)
        if _PROBE.match(pin.signal) and _copper(study, row.conductor)
    ]
    yield from (row for _, row in found)
    if hot:
        yield BenchRow(contact="⚠", across=f"{_run(hot)}: {COPPER}", built="")


def _run(hot: Sequence[tuple[int, str]]) -> str:
    """Contacts, the neighbours among them as from – to."""
    groups: list[list[tuple[int, str]]] = []
    for one in hot:
        if groups and groups[-1][-1][0] == one[0] - 1:
            groups[-1].append(one)
        else:
            groups.append([one])
    return ", ".join(
        group[0][1] if len(group) == 1 else f"{group[0][1]}–{group[-1][1]}" for group in groups
    )


def _copper(study: Study, conductor: str) -> bool:
    wire = wires_by_id(study).get(conductor)
    return wire is not None and not (wire.wire or "").startswith("thermocouple-")


def _target(conductor: Conductor, one: ConnectorPins, pin: Pin) -> str:
    """What the sheet of a wire's other end is looked up by: a contact, else the wire itself.

    A wire of a circuit is drawn on the circuit's sheet.
    """
    here = one.id if pin.contact == "centre" else f"{one.id}.{pin.contact}"
    other = conductor.b if conductor.a.id == here else conductor.a
    return f"wire {conductor.id} contact {other.id}"


def _goes_to(study: Study, landing: Landing, conductor: Conductor | None) -> str:
    """The other end of a wire; of a ground with the terminal that the sheet of grounds numbers."""
    ends = (conductor.a, conductor.b) if conductor is not None else ()
    for end in ends:
        called = landings.designation(study, end)
        if called:
            return called
        number = (
            terminal_of(study).get((end.name, landing.conductor)) if end.kind == "ground" else 0
        )
        if number:
            return f"{landing.goes_to}, terminal {number}"
        stud = stud_of(study).get((end.place, landing.conductor)) if end.kind == "ground" else 0
        if stud:
            return f"{words.structure(study, end.place)}, stud {stud}"
    return ", ".join((landing.goes_to, *_by_its_body(study, ends)))


def _by_its_body(study: Study, ends: Sequence[Part]) -> Iterator[str]:
    """How a sender of one wire returns, in the builder's own words; nobody looks for a second."""
    for end in ends:
        box = study.document.equipment.get(end.name) if end.kind == "equipment" else None
        if box is None or box.connectors:
            continue
        said = next((text for text in box.note.split("; ") if text.startswith(RETURNS)), "")
        if said:
            yield said
        elif box.passive and _wires_at(study).get(end.name, 0) == 1:
            yield NO_RETURN


NO_RETURN = "its return: not said"
"""Of a thing of one wire whose note does not say what it returns through."""


@analysis
def _wires_at(study: Study) -> Mapping[str, int]:
    """Equipment without connectors → how many wires end there."""
    found: dict[str, int] = {}
    for wire in wires_by_id(study).values():
        for end in (wire.a, wire.b):
            if end.kind == "equipment":
                found[end.name] = found.get(end.name, 0) + (wire.role != "coax")
    return found


RETURNS = "returns through "
"""So a note begins that says which metal is the way back."""


def _coaxial(study: Study, landing: Landing, connector: str) -> str:
    """The type of a coaxial line, and the connector on it at the other end."""
    cable = study.document.cables[landing.cable or landing.chain]
    ends = [end for end in (cable.from_, cable.to) if end and end != connector]
    there = pins(study).by_id.get(ends[0]) if ends else None
    far = f"{there.type} at its other end" if there is not None else "other end not given"
    return f"{cable.type}, {far}"


_GAUGE = re.compile(r"\s*\b(AWG \S+|shielded)")
"""What a column of its own and the row of shields say."""


def _cable(study: Study, landing: Landing, connector: str) -> str:
    """What a wire is twisted with, or which cable it is a core of and of what kind that is."""
    circuit = study.document.circuits.get(landing.chain)
    if circuit is not None and circuit.twisted:
        return "twisted with its return"
    cable = study.document.cables.get(landing.cable)
    if landing.role == "coax":
        return _coaxial(study, landing, connector)
    if cable is None:
        return ""
    return f"{_numbered(study, landing.cable)}, {_GAUGE.sub('', cable.type)}"


def _numbered(study: Study, cable: str) -> str:
    own = chains(study).by_name[cable]
    return f"{own.function}{own.number}"


def _shields(study: Study, one: ConnectorPins, side: str) -> Iterator[BenchRow]:
    """The ends of shields at a connector, in one row, with a box to tick for each.

    A shield that lands on a contact here has its row there.
    """
    landed = [landing for pin in one.pins for landing in _here(pin, side)]
    told = {landing.cable for landing in landed if landing.role == "shield"}
    ends: dict[str, dict[str, None]] = {}
    for landing in landed:
        if landing.shield and landing.role != "shield" and landing.cable not in told:
            named = f"☐ {_numbered(study, landing.cable)}"
            ends.setdefault(_shield(study, landing, one), {})[named] = None
    groups = sorted(
        ((sorted(named, key=natural), end) for end, named in ends.items()),
        key=lambda one: natural(one[0][0]),
    )
    said = "; ".join(f"{', '.join(named)} {end}" for named, end in groups)
    if said:
        yield BenchRow(contact=SHIELD, across=said, built="")


SHIELD = "shield"
"""In place of a contact, of shields that end at a connector and land on none."""


def _shield(study: Study, landing: Landing, one: ConnectorPins) -> str:
    """What becomes of a shield at this end."""
    if landing.shield == ON_BOX:
        return f"to {'box' if one.type == TERMINALS else 'backshell'} here, {FAR_DRAIN}"
    drain = study.document.cables[landing.cable].drain
    if landing.shield == "grounded here" and drain:
        return f"to {_drained(study, landing.cable, drain, one.id)}"
    return {"grounded here": "to ground here, where is not said", "not said": "?: not said"}.get(
        landing.shield, landing.shield
    )


FAR_DRAIN = "drain at the other end"


def _drained(study: Study, cable: str, drain: str, connector: str) -> str:
    """The terminal or contact that a shield is joined to, as said at a connector."""
    owner, _, contact = drain.partition(".")
    if owner == connector:
        return f"contact {contact}"
    if owner in study.document.grounds:
        number = terminal_of(study).get((owner, cable))
        terminal = f", terminal {number}" if number else ""
        return f"{study.system.title('grounds', owner)}{terminal}"
    if owner in study.document.plugs:
        return f"{study.system.title('plugs', owner)}, contact {contact}"
    return f"contact {contact.rpartition('.')[2]}"


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
    if any(reading.barred for reading in found):
        return NOT_MEASURED
    texts = []
    for reading in found:
        there = "" if reading.end == landing.goes_to else f" to {reading.end}"
        closed = "".join(f", {what}" for what in reading.through)
        texts.append(ohms(reading.ohm, gently=reading.gently) + there + closed)
    return "; ".join(texts) or "open"


NO_LIMIT = "no limit known"
"""Where a length or gauge is not known."""


def _most(found: Sequence[EndReading], landing: Landing) -> str:
    """The greatest reading that passes, end by end; one for ends that have the same."""
    if landing.role == "coax" or any(reading.barred for reading in found):
        return ""
    said = [
        NO_LIMIT if one.most_ohm is None else ohms(one.most_ohm, gently=one.gently) for one in found
    ]
    return "; ".join(said if len(set(said)) > 1 else said[:1])


def ohms(ohm: float | None, *, gently: bool = False) -> str:
    """A resistance as a hand-held meter shows it: in millivolts at the ring-out current.

    >>> ohms(0.0324), ohms(1.63), ohms(None), ohms(1.08, gently=True)
    ('32.4', '1630', '?', '108.0 at 0.1 A')
    """
    if not gently:
        return meter_mv(ohm)
    return f"{meter_mv(None if ohm is None else ohm * small_share())} at {small_current()}"


def contact_facts(study: Study) -> tuple[str, ...]:
    """What holds for the contacts of all connectors: their size, and which gauges they take."""
    alike: dict[str, list[str]] = {}
    for one in pins(study).by_id.values():
        said = " ".join(_contact(one))
        if said and one.type not in alike.setdefault(said, []):
            alike[said].append(one.type)
    return tuple(f"{', '.join(types)}: {said}" for said, types in alike.items())


SENSE = "For a crimped contact its maker's value counts."


def crimp_facts(study: Study) -> tuple[str, ...]:
    """What a test crimp of a ring terminal holds, for every gauge of the system, surest first."""
    sized = sizing(study).gauges
    found = [gauge_of(sized, c) for c in chains(study).conductors() if c.id in sized]
    gauges = dict.fromkeys(size for size in found if size != "?")
    by_certainty: dict[str, list[str]] = {}
    for row in table("elec/crimp_pull").rows:
        if row.text("awg") in gauges:
            by_certainty.setdefault(row.text("certainty"), []).append(row.text("awg"))
    held = "; ".join(crimp_pulls(own, short=n > 0) for n, own in enumerate(by_certainty.values()))
    known = {size for own in by_certainty.values() for size in own}
    without = ", ".join(units.show_gauge(size) for size in gauges if size not in known)
    return (
        *((f"A test crimp holds: {held}. {SENSE}",) * bool(held)),
        *((f"None is at hand for {without}: ask the maker of the terminal.",) * bool(without)),
    )


def _facts(study: Study, one: ConnectorPins, side: str) -> Iterator[tuple[str, str]]:
    spare = [pin.contact for pin in one.pins if not _here(pin, side) and pin.state != "unwired"]
    yield "meter", f"{' '.join(how_to_measure(study))} ☑: done, this end is crimped."
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
        yield f"Contact size {one.contact_size}."
    if one.thinnest_awg:
        yield f"They take AWG {one.thinnest_awg} to {one.thickest_awg}."
    if one.rating_a is not None:
        yield f"One alone carries {units.show(one.rating_a, 'a')} ({one.rating_origin})."
