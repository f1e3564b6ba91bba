"""The whole system as the builder wrote it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from elec.finding import Place
from elec.model.entry import Entry
from elec.model.load import Connector, Equipment
from elec.model.phase import Phase
from elec.model.quantity import Celsius, Flag, Metres, Volts
from elec.model.route import Spot, Way, Zone
from elec.model.source import Source
from elec.model.wiring import Bus, Cable, Circuit, Feeder, Ground, Switch, Wire

Condition = Literal["day", "night"]
Structure = Literal["aluminium", "steel-tube", "wood", "glass", "carbon"]


class About(Entry):
    """The section `system:`."""

    name: str
    description: str = ""
    nominal_v: Volts
    return_: Literal["wired", "airframe"] = "wired"
    structure: Structure | None = None
    ceiling_m: Metres | None = None
    ambient_degc: Celsius | None = None
    conditions: tuple[Condition, ...] = ("day", "night")
    wire: str | None = None
    """The wire type used where none is given."""
    units: Literal["feet", "metric"] = "feet"
    paper: Literal["A4", "Letter"] = "A4"
    owner: str = ""
    builder: str = ""
    revision: str = ""
    date: str = ""
    ground: str | None = None
    """The ground point used where none is given; None: the first of `grounds`."""
    electrically_dependent: Flag = False
    """True when the engine stops without electricity."""


class Acceptance(Entry):
    """A finding that the builder accepts, with the reason."""

    check: str
    about: str
    reason: str


class Done(Entry):
    """How far a wire, cable or circuit is built."""

    state: Literal["planned", "cut", "pulled", "terminated", "rung out", "tested"] = "planned"
    cut_m: Metres | None = None
    remark: str = ""


def _done(value: Any) -> Any:
    return {"state": value} if isinstance(value, str) else value


DoneText = Annotated[Done, BeforeValidator(_done)]


class InlineConnector(Connector):
    """A connector between two harnesses (`connectors:` in the file)."""

    place: str


class Document(Entry):
    """The builder's file: sections of named entries."""

    system: About
    phases: Mapping[str, Phase] = Field(default_factory=dict)
    sources: Mapping[str, Source] = Field(default_factory=dict)
    buses: Mapping[str, Bus] = Field(default_factory=dict)
    grounds: Mapping[str, Ground] = Field(default_factory=dict)
    switches: Mapping[str, Switch] = Field(default_factory=dict)
    feeders: tuple[Feeder, ...] = ()
    equipment: Mapping[str, Equipment] = Field(default_factory=dict)
    circuits: Mapping[str, Circuit] = Field(default_factory=dict)
    connectors: Mapping[str, InlineConnector] = Field(default_factory=dict)
    wires: tuple[Wire, ...] = ()
    cables: Mapping[str, Cable] = Field(default_factory=dict)
    places: Mapping[str, Spot] = Field(default_factory=dict)
    ways: tuple[Way, ...] = ()
    zones: Mapping[str, Zone] = Field(default_factory=dict)
    build: Mapping[str, DoneText] = Field(default_factory=dict)
    accept: tuple[Acceptance, ...] = ()
    limits: Mapping[str, str] = Field(default_factory=dict)
    """Limits that the builder tightens: limit name → quantity; see docs/checks.md."""


@dataclass(frozen=True, kw_only=True)
class System:
    """A document together with the place in the text of each of its values."""

    document: Document
    places: Mapping[tuple[str | int, ...], Place] = field(default_factory=dict)
    """Path → where it stands: ("circuits", "beacon", "breaker") or ("feeders", 2)."""

    @property
    def about(self) -> About:
        """The section `system:`."""
        return self.document.system

    def where(self, *path: str | int) -> Place:
        """Where a value stands in the builder's text; the nearest enclosing entry where it is not given itself."""
        for end in range(len(path), 0, -1):
            found = self.places.get(path[:end])
            if found is not None:
                return found
        return Place(path=".".join(str(part) for part in path))

    def title(self, section: str, name: str) -> str:
        """The text for print of a named entry: its `name:`, else its identifier with spaces."""
        entry: Any = getattr(self.document, section).get(name)
        return getattr(entry, "name", None) or name.replace("-", " ")
