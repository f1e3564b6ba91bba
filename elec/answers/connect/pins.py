"""Every contact of every connector: what it carries, which wires land on it, and where they go.

In: chains, marks, runs, sizing. Out: `Pins`, a record a connector. A contact that two wires claim
says so; one that the builder named and that no wire reaches says so too.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.marks import gauge_of, marks
from elec.model.connector_type import ConnectorType
from elec.model.load import Connector
from elec.model.wiring import Cable
from elec.sizing.sizing import sizing
from elec.standards import table
from elec.standards.contact import contact_class
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains
from elec.wiring.ends import end_id, end_text
from elec.wiring.graph import drained_at
from elec.wiring.runs import runs
from elec.wiring.ways import distances
from elec.wiring.wires import tap_current

Side = Literal["equipment", "near", "far"]
"""`near` is the half of a connector between two harnesses that lies towards the bus."""
State = Literal["used", "one half", "double", "unwired", "spare"]
"""`one half`: between two harnesses, a wire lands on one half only. `unwired`: the builder names
the contact and no wire reaches it. `spare`: nobody names it."""
Gender = Literal["pin", "socket"]

COLOURS: Mapping[str, str] = {"return": "black", "ground": "black", "coax": "black"}
"""Colour of a wire where none is given, by its role; else white (common practice)."""

SPARE_WORDS = ("spare", "not connected")
"""Signals that mean a contact is left free on purpose."""


class Landing(Struct, frozen=True, kw_only=True):
    """One wire, core or shield drain that lands on a contact."""

    conductor: str
    """Id of the conductor; of a drain: `cable/drain`."""
    chain: str
    mark: str
    gauge: str
    """Empty for a coaxial line and a drain."""
    colour: str
    cable: str
    """Name of the cable that it is a core of; empty for a single wire."""
    shield: str
    """What becomes of the cable's shield at this end; empty without a shield."""
    goes_to: str
    goes_to_id: str
    length_m: float | None
    current_a: float | None
    """The most it carries; None where it is not known or the wire is no power wire."""
    role: str
    signal: str
    side: Side
    parallel: int = 1
    """Wires that share its current, itself among them."""


class Pin(Struct, frozen=True, kw_only=True):
    """One contact with everything that lands on it."""

    contact: str
    signal: str
    state: State
    landings: tuple[Landing, ...]
    needs_gauge: str | None = None
    """The gauge that the contact needs, where the builder says."""
    known: bool = True
    """False where the connector's type has no such contact."""
    called: str = ""
    """What the file calls it that calls it spare though a wire lands on it."""


class ConnectorPins(Struct, frozen=True, kw_only=True):
    """One connector. `equipment` is empty for one between two harnesses."""

    id: str
    """`radio.J1`, `wing-root`."""
    title: str
    equipment: str
    place: str
    path: tuple[str | int, ...]
    type: str
    gender: Gender | None
    """Of the half on the equipment, or of the half towards the bus."""
    mate: Gender | None
    """Of the other half, which the harness (or the far harness) carries; of a jack its own, for
    the wires end on the jack itself and a headset has the other half."""
    arrangement: str | None
    """The published arrangement, such as `dsub-15`, or the builder's own connector type; None:
    drawn schematically."""
    contacts: int | None
    """How many contacts the type has; None: not known here."""
    pins: tuple[Pin, ...]
    family: str = ""
    contact_size: str = ""
    rating_a: float | None = None
    """What one contact may carry alone; None: not known."""
    rating_origin: str = ""
    thinnest_awg: str = ""
    thickest_awg: str = ""

    @property
    def jack(self) -> bool:
        """Whether the wires end on the thing itself: a jack has no half on the harness."""
        return is_jack(self.type)

    @property
    def inline(self) -> bool:
        """Whether it sits between two harnesses."""
        return not self.equipment

    def pin(self, contact: str) -> Pin:
        """A contact by its name."""
        return next(pin for pin in self.pins if pin.contact == contact)

    def count(self, state: State) -> int:
        """How many contacts are in a state."""
        return sum(pin.state == state for pin in self.pins)


OTHER: Mapping[Gender | None, Gender | None] = {"pin": "socket", "socket": "pin", None: None}


def is_jack(kind: str) -> bool:
    """Whether a type of connector is a jack, which a plug in a hand goes into.

    >>> is_jack("mic-jack"), is_jack("dsub-15")
    (True, False)
    """
    return "jack" in kind.split("-")


class Pins(Struct, frozen=True, kw_only=True):
    """All connectors by id, equipment first, in the builder's order."""

    by_id: Mapping[str, ConnectorPins]

    def of(self, name: str) -> tuple[ConnectorPins, ...]:
        """The connectors that a name means: one connector, or all of one piece of equipment."""
        if name in self.by_id:
            return (self.by_id[name],)
        return tuple(c for c in self.by_id.values() if c.equipment == name)


@analysis
def pins(study: Study) -> Pins:
    """Every connector with its contacts."""
    landed = _landings(study)
    contacts: dict[str, list[str]] = {}
    for key, contact in landed:
        contacts.setdefault(key, []).append(contact)
    found: dict[str, ConnectorPins] = {}
    for name, entry in study.document.equipment.items():
        for key, connector in entry.connectors.items():
            one = _connector(
                study, f"{name}.{key}", connector, landed, contacts.get(f"{name}.{key}", ())
            )
            found[one.id] = replace(
                one,
                title=f"{study.system.title('equipment', name)}, {connector.name or key}",
                equipment=name,
                place=entry.place,
                path=("equipment", name, "connectors", key),
            )
    for name, inline in study.document.plugs.items():
        one = _connector(study, name, inline, landed, contacts.get(name, ()))
        found[name] = replace(
            one,
            title=study.system.title("plugs", name),
            place=inline.place,
            path=("plugs", name),
        )
    return Pins(by_id=found)


# -- what lands where -----------------------------------------------------------------------------


def _landings(study: Study) -> Mapping[tuple[str, str], list[Landing]]:
    """(connector id, contact) → landings, in the order of the chains."""
    found: dict[tuple[str, str], list[Landing]] = {}
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            for part, other in ((conductor.a, conductor.b), (conductor.b, conductor.a)):
                key = _contact(study, part)
                if key is not None:
                    found.setdefault(key, []).append(_landing(study, chain, conductor, part, other))
    for name, cable in study.document.cables.items():
        drained = _drain(study, name, cable)
        if drained is not None:
            found.setdefault(drained[0], []).append(drained[1])
    for (connector, _), landings in found.items():
        if connector in study.document.plugs:
            landings[:] = _split(landings)
    return found


def _contact(study: Study, part: Part) -> tuple[str, str] | None:
    """The connector and contact that a part stands for; None where it is no contact."""
    if part.kind == "connector":
        return part.name, part.contact
    if part.kind != "equipment":
        return None
    connectors = study.document.equipment[part.name].connectors
    connector, _, pin = part.contact.rpartition(".")
    if connector in connectors:
        return f"{part.name}.{connector}", pin
    if part.contact in connectors:
        return f"{part.name}.{part.contact}", "centre"
    return None


def _landing(study: Study, chain: Chain, conductor: Conductor, part: Part, other: Part) -> Landing:
    coax = conductor.role == "coax"
    cable = study.document.cables.get(conductor.cable or "")
    return Landing(
        conductor=conductor.id,
        chain=chain.name,
        mark=marks(study)[conductor.id],
        gauge="" if coax else gauge_of(sizing(study).gauges, conductor),
        colour=colour_of(conductor),
        cable=conductor.cable or "",
        shield="" if cable is None or coax else _shield_at(chain, cable, conductor, part),
        goes_to=end_text(study, other),
        goes_to_id=end_id(other),
        length_m=runs(study)[conductor.id].length_m,
        current_a=_current(study, chain, conductor),
        parallel=conductor.parallel,
        role=conductor.role,
        signal=conductor.signal,
        side=_side(study, chain, conductor, part, other),
    )


def colour_of(conductor: Conductor) -> str:
    """The colour of a conductor: given, else by its role; of thermocouple wire its maker's."""
    if conductor.colour is None and (conductor.wire or "").startswith("thermocouple-"):
        return "by maker"
    return conductor.colour or COLOURS.get(conductor.role, "white")


def _shield_at(chain: Chain, cable: Cable, conductor: Conductor, part: Part) -> str:
    """As `shield_at`; grounded at both ends, it has its drain at one and its box at the other."""
    at_from = part is conductor.a
    ends = (chain.rows[0].parts[0], chain.rows[0].parts[-1])
    drained = drained_at(cable, ends) == ("from" if at_from else "to")
    boxed = cable.shield == "both" and cable.drain is not None and part.kind == "equipment"
    return ON_BOX if boxed and not drained else shield_at(cable, at_from)


ON_BOX = "on its box here, too"
"""Of a shield that is grounded at both ends: the end that its drain does not lead from."""


def shield_at(cable: Cable, at_from: bool) -> str:
    """What becomes of a cable's shield at one of its ends; empty where it has none.

    >>> shield_at(Cable(type="2-core AWG 22 shielded", shield="from"), True)
    'grounded here'
    """
    if "shielded" not in cable.type and cable.shield is None:
        return ""
    if cable.shield is None:
        return "not said"
    grounded = cable.shield in ("both", "from" if at_from else "to")
    return "grounded here" if grounded else "left open here"


def _current(study: Study, chain: Chain, conductor: Conductor) -> float | None:
    if chain.kind == "wire":
        return tap_current(study, chain)
    if chain.kind == "cable":
        return None
    from elec.wiring.demand import worst_circuit_amps

    if worst_circuit_amps(study).get(chain.name, 0.0) is None:
        return None
    return max(sizing(study).currents_a.get(conductor.id, {}).values(), default=None)


def _drain(study: Study, name: str, cable: Cable) -> tuple[tuple[str, str], Landing] | None:
    """The drain of a shield that ends on a contact."""
    owner, _, contact = (cable.drain or "").partition(".")
    if not contact:
        return None
    if owner in study.document.plugs:
        key = (owner, contact)
    else:
        connector, _, pin = contact.rpartition(".")
        key = (f"{owner}.{connector}", pin)
    chain = chains(study).by_name[name]
    end = chain.rows[0].parts[-1 if cable.shield == "from" else 0] if chain.rows else None
    return key, Landing(
        conductor=f"{name}/drain",
        chain=name,
        mark=f"{chain.function}{chain.number} shield",
        gauge="",
        colour="",
        cable=name,
        shield="drain",
        goes_to=f"shield of {chain.title}",
        goes_to_id=name,
        length_m=math.nan,
        current_a=None,
        role="shield",
        signal="shield",
        side="equipment" if owner in study.document.equipment else _nearer(study, owner, end),
    )


# -- the two halves of a connector between harnesses ----------------------------------------------


def _side(study: Study, chain: Chain, conductor: Conductor, part: Part, other: Part) -> Side:
    if part.kind != "connector":
        return "equipment"
    if chain.kind == "circuit":
        towards_load = conductor.role == "feed"
        return "near" if (part.id == conductor.b.id) == towards_load else "far"
    return _nearer(study, part.name, other)


@analysis
def _from_buses(study: Study) -> Mapping[str, float]:
    """Way length from the nearest bus to every place."""
    found: dict[str, float] = {}
    for bus in study.document.buses.values():
        for place, length in distances(study, bus.place).items():
            found[place] = min(length, found.get(place, math.inf))
    return found


def _nearer(study: Study, connector: str, other: Part | None) -> Side:
    """The half that a signal wire lands on: `near` when its other end is no farther from a bus."""
    far = _from_buses(study)
    here = far.get(study.document.plugs[connector].place, math.inf)
    there = math.inf if other is None else far.get(other.place, math.inf)
    return "near" if there <= here + 1e-9 else "far"


def _split(landings: list[Landing]) -> list[Landing]:
    """Two signal wires at one place are taken for one on each half: the first one is the nearer."""
    if len(landings) != 2 or landings[0].side != landings[1].side:
        return landings
    if any(ln.role in ("feed", "return") for ln in landings):
        return landings
    return [replace(landings[0], side="near"), replace(landings[1], side="far")]


# -- one connector --------------------------------------------------------------------------------


def _connector(
    study: Study,
    name: str,
    entry: Connector,
    landed: Mapping[tuple[str, str], list[Landing]],
    contacts: Sequence[str],
) -> ConnectorPins:
    """A connector with what lands on it; `contacts` are those on which anything does."""
    own = study.document.connector_types.get(entry.type)
    arrangement, names = (entry.type, tuple(own.contacts)) if own else arrangement_of(entry.type)
    inline = name in study.document.plugs
    listed = list(entry.pins) + [c for c in contacts if c not in entry.pins]
    order = [*names, *(c for c in listed if c not in names)]
    found = [
        _pin(c, entry, landed.get((name, c), []), inline=inline, known=c in names or not names)
        for c in order
    ]
    one = ConnectorPins(
        id=name,
        title=name,
        equipment="" if inline else name.rpartition(".")[0],
        place="",
        path=(),
        type=entry.type,
        gender=entry.contacts,
        mate=entry.contacts if is_jack(entry.type) else OTHER[entry.contacts],
        arrangement=arrangement,
        contacts=len(names) or None,
        pins=tuple(found),
    )
    return _own_rated(study, one, entry, own) if own else _rated(study, one, entry)


def _pin(
    contact: str, entry: Connector, landings: list[Landing], *, inline: bool, known: bool
) -> Pin:
    given = entry.pins.get(contact)
    signal = given.signal if given else next((ln.signal for ln in landings if ln.signal), "")
    called = signal if signal in SPARE_WORDS and landings else ""
    if called:
        signal = f"{_carried(landings)}, {called} in the file"
    return Pin(
        contact=contact,
        signal=signal,
        state=_state(landings, named=given is not None, signal=signal, inline=inline),
        landings=tuple(landings),
        needs_gauge=given.gauge if given else None,
        known=known,
        called=called,
    )


def _carried(landings: Sequence[Landing]) -> str:
    """What wires carry that land on a contact which the file calls spare."""
    one = landings[0]
    named = next((ln.signal for ln in landings if ln.signal and ln.signal not in SPARE_WORDS), "")
    return named or (f"{one.chain}-{one.role}" if one.role in ("feed", "return") else one.chain)


def _state(landings: list[Landing], *, named: bool, signal: str, inline: bool) -> State:
    if not landings:
        return "unwired" if named and signal not in SPARE_WORDS else "spare"
    sides = [ln.side for ln in landings]
    if len(set(sides)) < len(sides):
        return "double"
    return "one half" if inline and len(sides) == 1 else "used"


@cache
def arrangement_of(kind: str) -> tuple[str | None, tuple[str, ...]]:
    """The published arrangement of a connector type, and the names of its contacts in order.

    >>> arrangement_of("dsub-9")
    ('dsub-9', ('1', '2', '3', '4', '5', '6', '7', '8', '9'))
    >>> arrangement_of("mic-jack")
    (None, ())
    """
    rows = table("elec/dsub_contacts").select(arrangement=kind)
    names = sorted((row.text("pin") for row in rows), key=int)
    return (kind, tuple(names)) if names else (None, ())


def _rated(study: Study, one: ConnectorPins, entry: Connector) -> ConnectorPins:
    """Contact size and what one contact may carry: from the maker, else from the table."""
    family, size = contact_class(entry.type)
    rows = table("elec/contact_ratings").select(family=family, contact_size=size)
    row = rows[0] if rows else None
    rating = entry.rating_a
    origin = str(study.system.where(*_path(one), "rating")) if rating is not None else ""
    if rating is None and row is not None:
        rating, origin = row.number("current_a"), str(row.cite)
    return replace(
        one,
        family=family if row else "",
        contact_size=size if row else "",
        rating_a=rating,
        rating_origin=origin,
        thinnest_awg=row.text("awg_thin") if row else "",
        thickest_awg=row.text("awg_thick") if row else "",
    )


def _own_rated(
    study: Study, one: ConnectorPins, entry: Connector, own: ConnectorType
) -> ConnectorPins:
    """The same for a connector type of the builder's, from what he wrote about it."""
    rating, path = entry.rating_a, (*_path(one), "rating")
    if rating is None:
        rating, path = own.rating_a, ("connector-types", one.type, "rating")
    return replace(
        one,
        contact_size=own.contact_size,
        rating_a=rating,
        rating_origin="" if rating is None else str(study.system.where(*path)),
        thinnest_awg=own.thinnest or "",
        thickest_awg=own.thickest or "",
    )


def _path(one: ConnectorPins) -> Iterator[str]:
    if one.inline:
        yield from ("plugs", one.id)
    else:
        equipment, _, key = one.id.rpartition(".")
        yield from ("equipment", equipment, "connectors", key)


__all__ = [
    "ConnectorPins",
    "Landing",
    "Pin",
    "Pins",
    "arrangement_of",
    "colour_of",
    "pins",
    "shield_at",
]
