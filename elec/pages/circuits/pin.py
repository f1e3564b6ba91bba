"""Pin tables, one a connector, and the list of all connectors."""

from collections.abc import Mapping

from elec.answers.connect.crimp_pull import crimp_pulls
from elec.answers.connect.pins import ConnectorPins, Landing, Pin, pins
from elec.answers.drop.end_to_end import end_to_end_ohm
from elec.pages.built import since, state_cell
from elec.pages.columns import amps, count, cut, gauge, place_title, text
from elec.pages.table import Cell, Column, Table, Value
from elec.physics.contact import spare_count
from elec.standards import cited
from elec.study import Study, analysis
from elec.wiring.built import wires_by_id
from elec.wiring.chains import Conductor

HALVES = {"near": "bus side", "far": "far side", "equipment": ""}
NOT_FREE = {"unwired": "no wire reaches it", "spare": "spare", "one half": "one half only"}


def pin_table(study: Study, connector: ConnectorPins) -> Table:
    """Every contact of one connector with every wire that lands on it; a row a wire."""
    rows = [row for pin in connector.pins for row in _pin_rows(study, connector, pin)]
    halves = (text("half", "Half", 2),) if connector.inline else ()
    return Table(
        id=f"contacts-{connector.id}",
        title=f"{connector.title}: {gendered(connector)}",
        columns=(
            text("contact", "Contact"),
            text("signal", "Signal"),
            *halves,
            text("mark", "Mark"),
            text("gauge_awg", "AWG"),
            text("colour", "Colour", 2),
            text("goes_to", "Goes to"),
            text("length_m", "Run"),
            text("shield", "Shield", 3),
            Column(key="end_to_end_mohm", head="End to end", unit="mohm", digits=0, importance=3),
            text("state", "State", 2),
            text("built", "Built"),
        ),
        rows=tuple(rows),
        note=_note(connector) + since(study, _wires(study, connector)),
    )


def pin_tables(study: Study, name: str = "") -> tuple[Table, ...]:
    """The tables of a connector (`radio.J1`), of all of a piece of equipment, or of everything."""
    if not name:
        return tuple(pin_tables_by_id(study).values())
    return tuple(pin_table(study, connector) for connector in pins(study).of(name))


@analysis
def pin_tables_by_id(study: Study) -> Mapping[str, Table]:
    """The tables of all connectors by their ids."""
    return {name: pin_table(study, one) for name, one in pins(study).by_id.items()}


@analysis
def connectors(study: Study) -> Table:
    """Every connector: type, gender of both halves, and how many contacts are in which state."""
    rows = [
        (
            Cell(value=one.id, ref=f"pins-{one.id}"),
            one.title,
            place_title(study, one.place),
            one.type,
            _gender(one, one.gender),
            _gender(one, one.mate),
            _contacts(one),
            one.count("used") + one.count("one half") + one.count("double"),
            one.count("spare") if one.contacts else "",
            one.count("unwired"),
            one.count("double"),
            one.rating_a,
        )
        for one in pins(study).by_id.values()
    ]
    return Table(
        id="connectors",
        title="Connectors",
        columns=(
            text("connector", "Connector"),
            text("title", "Name", 2),
            text("place", "Place", 3),
            text("type", "Type"),
            text("gender", "On the box or bus side", 2),
            text("mate", "On the harness", 2),
            count("contacts_count", "Contacts"),
            count("used_count", "Used"),
            count("spare_count", "Spare", 2),
            count("unwired_count", "Named, no wire", 2),
            count("double_count", "Two wires"),
            amps("rating_a", "One contact", 3, digits=1),
        ),
        rows=tuple(rows),
        note="One contact: alone and with the thickest wire; loaded neighbours lower it.",
    )


def has_halves(one: ConnectorPins) -> bool:
    """Whether it is plugged: screw terminals are not."""
    return one.type != "terminals"


def _gender(one: ConnectorPins, gender: str | None) -> str | None:
    return gender if has_halves(one) else ""


def _contacts(one: ConnectorPins) -> int | None:
    """How many contacts it has: published, or as many as are named where it has no others."""
    if one.contacts is not None or one.type.startswith("circular"):
        return one.contacts
    return len(one.pins)


def gendered(one: ConnectorPins) -> str:
    """Type and genders in words: `dsub-15, pins on the box, sockets on the harness`."""
    if not has_halves(one):
        return one.type
    if one.gender is None or one.mate is None:
        return f"{one.type}, which half has the pins is not said"
    if one.jack:
        return f"{one.type}, {one.gender}s, the wires on the jack itself"
    here, there = ("bus side", "far side") if one.inline else ("box", "harness")
    return f"{one.type}, {one.gender}s on the {here}, {one.mate}s on the {there}"


def _pin_rows(study: Study, connector: ConnectorPins, pin: Pin) -> list[tuple[Value, ...]]:
    if not pin.landings:
        half: tuple[Value, ...] = ("",) if connector.inline else ()
        state = NOT_FREE[pin.state]
        return [(pin.contact, pin.signal, *half, "", "", "", "", "", "", "", state, "")]
    return [_landing_row(study, connector, pin, landing) for landing in pin.landings]


def _landing_row(
    study: Study, connector: ConnectorPins, pin: Pin, landing: Landing
) -> tuple[Value, ...]:
    drain = landing.role == "shield"
    half: tuple[Value, ...] = (HALVES[landing.side],) if connector.inline else ()
    return (
        pin.contact,
        pin.signal,
        *half,
        landing.mark,
        gauge(landing.gauge) if landing.gauge else "",
        landing.colour,
        Cell(value=landing.goes_to_id, text=landing.goes_to),
        "" if drain else cut(study, landing.length_m),
        landing.shield,
        "" if drain or not landing.gauge else end_to_end_mohm(study, landing),
        _state(pin),
        "" if drain else state_cell(study, wires_by_id(study)[landing.conductor]),
    )


def _wires(study: Study, connector: ConnectorPins) -> tuple[Conductor, ...]:
    """The wires and cores that end in a connector."""
    landings = [landing for pin in connector.pins for landing in pin.landings]
    return tuple(wires_by_id(study)[ln.conductor] for ln in landings if ln.role != "shield")


def _state(pin: Pin) -> Value:
    if pin.state == "double":
        return Cell(value=f"{len(pin.landings)} wires claim it", verdict="fail")
    if not pin.known:
        return Cell(value="the connector has no such contact", verdict="fail")
    return NOT_FREE.get(pin.state, "")


def end_to_end_mohm(study: Study, landing: Landing) -> float | None:
    """What a wire has from one end to the other at 20 °C, in mΩ; None where it is not known."""
    ohm = end_to_end_ohm(study).get(landing.conductor)
    return None if ohm is None else 1000 * ohm


def _note(one: ConnectorPins) -> str:
    texts = []
    if one.rating_a is not None:
        size = f" of size {one.contact_size}" if one.contact_size else ""
        texts.append(f"One contact{size} carries {one.rating_a:g} A ({one.rating_origin}).")
    if one.thinnest_awg:
        texts.append(f"Contacts take AWG {one.thinnest_awg} to {one.thickest_awg}.")
    pulls = crimp_pulls({ln.gauge for pin in one.pins for ln in pin.landings})
    if pulls:
        texts.append(f"A test crimp must hold {pulls}.")
    if one.contacts:
        wanted = spare_count(contacts=one.contacts)
        texts.append(
            f"{one.count('spare')} of {one.contacts} spare; {wanted:.0f} is good practice "
            f"({cited(spare_count)})."
        )
    texts.append("End to end: the wire with its two crimps at 20 °C, the meter's own leads off.")
    return " ".join(texts)


__all__ = [
    "connectors",
    "end_to_end_mohm",
    "gendered",
    "pin_table",
    "pin_tables",
    "pin_tables_by_id",
]
