"""The whole system as the builder wrote it."""

import re
from collections.abc import Mapping
from typing import Annotated, Any, Literal

from msgspec import Struct, field
from pydantic import BeforeValidator, Field, WithJsonSchema

from elec import units
from elec.finding import Place
from elec.model.connector_type import ConnectorType
from elec.model.device import DeviceClass
from elec.model.entry import Entry
from elec.model.load import Connector, Equipment
from elec.model.names import as_words
from elec.model.panel import Interconnect, Panel
from elec.model.phase import Phase
from elec.model.quantity import Amps, Celsius, Day, Flag, Gauge, Metres, Ohms, Volts, alone
from elec.model.route import Outline, Sensor, Spot, Structure, Way, Zone
from elec.model.source import Source
from elec.model.switch import Switch
from elec.model.wire_type import WireType
from elec.model.wiring import Bus, Cable, Circuit, Coax, Feeder, Ground, Wire

Condition = Literal["day", "night"]


def _spares(value: Any) -> Any:
    if isinstance(value, list):
        raise units.UnitError("expected rating → how many, such as {5 A: 3, 15 A: 3}")
    if not isinstance(value, Mapping):
        return value
    wrong = [str(n) for n in value.values() if not re.fullmatch(r"\d{1,3}", str(n))]
    if wrong:
        raise units.UnitError(f'"{wrong[0]}" is no number of fuses; write it as in 5 A: 3')
    counts = tuple((*_fuse(str(key)), int(number)) for key, number in value.items())
    if len({fuse[:2] for fuse in counts}) < len(counts):
        raise units.UnitError("a rating is given twice")
    return counts


def _fuse(text: str) -> tuple[str, float]:
    """A class of fuse, empty where none is named, and a rating.

    >>> _fuse("5 A"), _fuse("blade-e 30 A"), _fuse("30 A blade-e")
    (('', 5.0), ('blade-e', 30.0), ('blade-e', 30.0))
    """
    name = re.search(r"(?:^|(?<=\s))[a-z][a-z0-9-]+(?=\s|$)", text)
    if name is None:
        return "", units.parse(text, "current")
    rest = f"{text[: name.start()]} {text[name.end() :]}".strip()
    return name[0], units.parse(rest, "current")


SpareFuses = Annotated[
    tuple[tuple[str, float, int], ...],
    BeforeValidator(_spares),
    WithJsonSchema(
        {
            "type": "object",
            "additionalProperties": {"type": "integer"},
            "description": "rating → how many, such as {5 A: 3, 15 A: 3}",
        }
    ),
]
"""(class of fuse or empty, A, number)."""


class About(Entry):
    """The section `system:`."""

    name: str
    """What the aeroplane is called."""
    description: str = ""
    """A line about it."""
    nominal_v: Volts
    """Nominal voltage of the system."""
    return_: Literal["wired", "airframe"] = "wired"
    """How current comes back: by a wire from each load, or through a metal structure."""
    structure: Structure | None = None
    """What the airframe is made of, where no zone or place says otherwise."""
    ceiling_m: Metres | None = None
    """The highest it flies; thin air cools wires less."""
    ambient_degc: Celsius | None = None
    """The warmest air around wires where no place says more."""
    conditions: tuple[Condition, ...] = Field(default=("day", "night"), min_length=1)
    """Which of day and night are flown."""
    wire: str | None = None
    """The wire type used where none is given."""
    units: Literal["feet", "metric"] = "feet"
    """Print lengths in feet and inches, or metric."""
    paper: Literal["A4", "Letter"] = "A4"
    """Paper of the book."""
    owner: str = ""
    """For the title page."""
    builder: str = ""
    """For the title page; who built it, where that is not the owner."""
    revision: str = ""
    """For the title page."""
    date: str = ""
    """For the title page."""
    change: str = ""
    """What this revision changed, in a few words; for the title block of every sheet."""
    registration: str = ""
    """Its registration, for the load sheet; left out, the sheet has a line to write it on."""
    serial: str = ""
    """Its serial number, for the load sheet; left out, the sheet has a line to write it on."""
    ground: str | None = None
    """The ground point used where none is given; left out: the first of `grounds`."""
    electrically_dependent: Flag | None = None
    """Whether the engine stops without electricity; left out: not known, and nothing about the
    engine passes."""
    spare_fuses: SpareFuses | None = None
    """Spare fuses within reach in flight, rating → how many; {} where none is carried. Where fuses
    of two classes have one rating, with the class: `{blade-c 30 A: 2, blade-e 30 A: 1}`."""

    @property
    def people(self) -> str:
        """Owner and builder for a title."""
        if self.owner and self.builder and self.owner != self.builder:
            return f"{self.owner}, built by {self.builder}"
        return self.owner or self.builder


class Acceptance(Entry):
    """A finding that the builder accepts, with the reason."""

    check: str
    """The check, by its name."""
    about: str
    """The thing that the finding is about."""
    reason: str
    """Why you accept it; it is printed."""


class Done(Entry):
    """How far a wire, cable or circuit is built."""

    state: Literal["planned", "cut", "pulled", "terminated", "rung out", "tested"] = "planned"
    """How far it is."""
    cut_m: Metres | None = None
    """Length that was cut."""
    ohms_ohm: Ohms | None = None
    """Its resistance from end to end, measured."""
    insulation_ohm: Ohms | None = None
    """Its insulation resistance to everything else, measured."""
    date: Day = ""
    """When, as year-month-day."""
    remark: str = ""
    """Anything worth printing."""
    for_: str = ""
    """What it was ticked for, written by `elec done`: ends; wire; length; places on its way. A
    tick without it counts for nothing."""


class Measured(Entry):
    """What was measured on a piece of equipment, a source, a bus, a ground or a switch."""

    amps_a: Amps | None = None
    """Current that it draws."""
    volts_v: Volts | None = None
    """Voltage at it: at a bus to ground, at equipment between its contacts."""
    ohms_ohm: Ohms | None = None
    """Resistance: of a battery, of a ground's connection, of a closed switch."""
    phase: str | None = None
    """The phase of flight that the engine and the loads were like."""
    condition: Condition | None = None
    """By day or by night."""
    date: Day = ""
    """When, as year-month-day."""
    remark: str = ""
    """Anything worth printing."""


DoneText = Annotated[Done, alone("state")]


def _crimps(value: Any) -> Any:
    if not isinstance(value, Mapping):
        return value
    counts = []
    for key, number in value.items():
        kind, _, gender = str(key).strip().rpartition(" ")
        if gender not in ("pin", "socket") or not kind:
            raise units.UnitError(
                f'"{key}" does not say which half; write it as in {{dsub-15 socket: 40}}'
            )
        if not re.fullmatch(r"\d{1,5}", str(number)):
            raise units.UnitError(f'"{number}" is no number of contacts; write it as in {key}: 40')
        counts.append((" ".join(kind.split()), gender, int(number)))
    if len({one[:2] for one in counts}) < len(counts):
        raise units.UnitError("a contact is given twice")
    return tuple(counts)


def _reels(value: Any) -> Any:
    if not isinstance(value, Mapping):
        return value
    found = []
    for key, length in value.items():
        size = re.match(r"(?:AWG\s*)?[0-9/]+", str(key), re.IGNORECASE)
        if size is None:
            raise units.UnitError(
                f'"{key}" names no gauge; write it as in {{AWG 22 white: 100 ft}}'
            )
        colour = str(key)[size.end() :].strip()
        found.append((units.parse(size[0], "gauge"), colour, units.parse(str(length), "length")))
    if len({one[:2] for one in found}) < len(found):
        raise units.UnitError("a reel is given twice; add their lengths")
    return tuple(found)


Reels = Annotated[
    tuple[tuple[str, str, float], ...],
    BeforeValidator(_reels),
    WithJsonSchema(
        {
            "type": "object",
            "additionalProperties": {"type": "string"},
            "description": "gauge and colour → length on the reel, such as {AWG 22 white: 100 ft}",
        }
    ),
]
"""(gauge, colour or empty for white, m)."""


CrimpContacts = Annotated[
    tuple[tuple[str, Literal["pin", "socket"], int], ...],
    BeforeValidator(_crimps),
    WithJsonSchema(
        {
            "type": "object",
            "additionalProperties": {"type": "integer"},
            "description": "contact → how many, such as {dsub-15 socket: 40, "
            "circular-38999 16 pin: 12}",
        }
    ),
]
"""(connector type or contact class, pin or socket, number)."""


class Stock(Entry):
    """What lies on the builder's shelf (`stock:` in the file): the choice begins with it."""

    breakers: tuple[Amps, ...] = ()
    """Ratings of breakers."""
    fuses: tuple[Amps, ...] = ()
    """Ratings of fuses."""
    limiters: tuple[Amps, ...] = ()
    """Ratings of limiters."""
    gauges: tuple[Gauge, ...] = ()
    """Gauges of wire."""
    contacts: tuple[Gauge, ...] = ()
    """Gauges that the crimp contacts and terminals on the shelf take; wire is chosen among
    them."""
    crimp_contacts: CrimpContacts = ()
    """Crimp contacts on the shelf, by a connector type that takes them or by family and size, and
    pin or socket: taken off what is to buy."""

    reels: Reels = ()
    """Wire on the shelf: gauge and colour → the length that is on its reel; the cut list says what
    is left."""
    crimp_tools: Mapping[str, str] = Field(default_factory=dict)
    """Connector type, `ring` or `splice` → tool, locator and die, from its maker."""

    def ratings(self, kind: str) -> tuple[float, ...]:
        """The ratings of a kind of device, in order; empty where none is listed."""
        found = {"breaker": self.breakers, "fuse": self.fuses, "limiter": self.limiters}
        return tuple(sorted(set(found.get(kind, ()))))


class InlineConnector(Connector):
    """A connector between two harnesses (`plugs:` in the file)."""

    place: str
    """The place it sits in."""


class Document(Entry):
    """The builder's file: sections of named entries."""

    system: About
    """What holds for all of it."""
    phases: Mapping[str, Phase] = Field(default_factory=dict)
    """Phases of flight, in order."""
    sources: Mapping[str, Source] = Field(default_factory=dict)
    """Alternators, batteries, external power."""
    buses: Mapping[str, Bus] = Field(default_factory=dict)
    """Buses."""
    grounds: Mapping[str, Ground] = Field(default_factory=dict)
    """Ground points; the first is the battery's."""
    switches: Mapping[str, Switch] = Field(default_factory=dict)
    """Switches, relays and contactors with more to say than a name."""
    panels: Mapping[str, Panel] = Field(default_factory=dict)
    """Where breakers, fuses and switches stand side by side."""
    interconnects: Mapping[str, Interconnect] = Field(default_factory=dict)
    """Which equipment shares a sheet of its signal wires; left out: all that is fed."""
    device_classes: Mapping[str, DeviceClass] = Field(default_factory=dict)
    """Breakers and fuses by their makers' sheets."""
    feeders: tuple[Feeder, ...] = ()
    """Heavy conductors between sources and buses."""
    equipment: Mapping[str, Equipment] = Field(default_factory=dict)
    """Everything that is fed, or has signal wires."""
    circuits: Mapping[str, Circuit] = Field(default_factory=dict)
    """From a bus through a protective device to loads, and back."""
    plugs: Mapping[str, InlineConnector] = Field(default_factory=dict)
    """Connectors between two harnesses."""
    connector_types: Mapping[str, ConnectorType] = Field(default_factory=dict)
    """Connectors whose contacts are not published here, by their makers' drawings."""
    wires: tuple[Wire, ...] = ()
    """Signal wires."""
    wire_types: Mapping[str, WireType] = Field(default_factory=dict)
    """Wire that the published types do not describe."""
    multicores: Mapping[str, Cable] = Field(default_factory=dict)
    """Cables: several cores in a jacket."""
    coax: Mapping[str, Coax] = Field(default_factory=dict)
    """Coaxial lines."""
    places: Mapping[str, Spot] = Field(default_factory=dict)
    """Named points in the airframe."""
    ways: tuple[Way, ...] = ()
    """Paths between places."""
    sensors: Mapping[str, Sensor] = Field(default_factory=dict)
    """Compasses and magnetometers, which currents disturb."""
    zones: Mapping[str, Zone] = Field(default_factory=dict)
    """Places that close together."""
    outline: Mapping[str, Outline] = Field(default_factory=dict)
    """Lines of the airframe that the map is drawn over."""
    build: Mapping[str, DoneText] = Field(default_factory=dict)
    """Circuit, cable or wire mark → how far it is built."""
    measured: Mapping[str, Measured] = Field(default_factory=dict)
    """Equipment, source, bus, ground or switch → what was measured on it; measured values count in
    place of computed ones."""
    accept: tuple[Acceptance, ...] = ()
    """Findings that you accept, each with its reason."""
    stock: Stock = Field(default_factory=Stock)
    """What lies on your shelf: ratings and gauges that are chosen before others."""
    limits: Mapping[str, str] = Field(default_factory=dict)
    """Limits that the builder tightens: limit name → quantity; see docs/checks.md."""

    @property
    def cables(self) -> Mapping[str, Cable]:
        """Multicores and coaxial lines by name."""
        return {**self.multicores, **self.coax}

    def cable_path(self, name: str) -> tuple[str, str]:
        """Where a multicore or a coaxial line stands in the file."""
        return ("coax" if name in self.coax else "multicores"), name


class System(Struct, frozen=True, kw_only=True):
    """A document together with the place in the text of each of its values."""

    document: Document
    places: Mapping[tuple[str | int, ...], Place] = field(default_factory=dict)
    """Path → where it stands: ("circuits", "beacon", "breaker") or ("feeders", 2)."""

    @property
    def about(self) -> About:
        """The section `system:`."""
        return self.document.system

    def where(self, *path: str | int) -> Place:
        """Where a value stands in the text; where it is not given, its nearest enclosing entry."""
        for end in range(len(path), 0, -1):
            if path[:end] in self.places:
                return self.places[path[:end]]
        return Place(path=".".join(str(part) for part in path))

    def end_title(self, name: str) -> str:
        """The text for print of what a feeder or circuit begins at: a bus or a source."""
        return self.title("sources" if name in self.document.sources else "buses", name)

    def title(self, section: str, name: str) -> str:
        """The text for print of a named entry: its `name:`, else its identifier with spaces."""
        entry: Any = getattr(self.document, section).get(name)
        return getattr(entry, "name", None) or as_words(name)
