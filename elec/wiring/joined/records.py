"""Parts, conductors, rows and chains: the records of what is joined to what."""

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

from elec.model.wiring import Protection

PartKind = Literal[
    "bus",
    "source",
    "post",
    "breaker",
    "fuse",
    "limiter",
    "link",
    "shunt",
    "switch",
    "contactor",
    "changeover",
    "diode",
    "splice",
    "connector",
    "equipment",
    "ground",
    "bond",
    "place",
]
ChainKind = Literal["circuit", "feeder", "ground", "wire", "cable"]
Role = Literal["feed", "return", "ground", "signal", "shield", "coax", "spare"]
STRUCTURE = "structure"
"""The node of the metal airframe."""


class Part(Struct, frozen=True, kw_only=True):
    """A thing that a row passes through or ends at; `inlet` and `outlet` are network nodes."""

    id: str
    kind: PartKind
    name: str
    """The builder's identifier in its section."""
    contact: str = ""
    """Connector and contact where the wire ends: `J1.8`, `+`, `A`."""
    place: str
    inlet: str
    outlet: str
    label: str = ""
    protection: Protection | None = None
    rated: str = ""
    """Under which name its rating is kept, of a protective device."""
    terminals: tuple[str, str] = ("", "")
    """Of a switch, the terminals of this pole: line and load."""
    resting: bool = False
    """A contact of a relay that is closed while its coil is not energised."""


class Conductor(Struct, frozen=True, kw_only=True):
    """One physical wire or core from the outlet of part `a` to the inlet of part `b`."""

    id: str
    """`chain/ordinal`: stays the same as long as the chain does."""
    chain: str
    role: Role
    a: Part
    b: Part
    gauge: str | None = None
    """What the builder gave; None: to be chosen."""
    wire: str | None = None
    colour: str | None = None
    length_m: float | None = None
    """What the builder gave or measured; None: from the ways."""
    via: tuple[str, ...] = ()
    segment: str = ""
    cable: str | None = None
    core: str | None = None
    signal: str = ""
    parallel: int = 1
    """How many wires share this load's current."""
    path: tuple[str | int, ...] = ()
    """Where the builder wrote it, where that is not with its chain."""
    stub: bool = False
    """Whether it lies before the device that protects the others."""
    tail: bool = False
    """Whether it leads on from a diode to the bus."""


class Row(Struct, frozen=True, kw_only=True):
    """Parts in order with the conductors between them.

    None where two parts touch (a breaker on a bus bar).
    """

    parts: tuple[Part, ...]
    conductors: tuple[Conductor | None, ...]
    equipment: str = ""
    role: Role = "feed"


class Chain(Struct, frozen=True, kw_only=True, dict=True):
    """Everything one circuit, feeder, ground connection, wire or cable consists of."""

    name: str
    kind: ChainKind
    path: tuple[str | int, ...]
    """Where the builder wrote it."""
    title: str
    function: str
    number: int
    rows: tuple[Row, ...]
    device: Part | None = None
    far_device: Part | None = None
    """A second protective device, at the far end."""
    source_end: str = ""
    """The bus or source that it is fed from."""
    far_end: str = ""
    loads: tuple[str, ...] = ()
    hot: bool = False
    """Of a wire under `wires:`: a source feeds a short in it, as one of a bus, a post, a contact,
    of a lamp, or of a wire that goes on from such a one through a connector: a thin wire."""
    guards: tuple[str, ...] = ()
    """Of a thin wire: the chains whose devices guard it; its own alone where it has one. Of a
    circuit without a device, alone on its bus: the feeders of that bus, each with one."""
    output: str = ""
    """Of a thin wire: the equipment that it comes out of, as that of a lamp."""
    after: str = ""
    """Of a thin wire: the circuit or wire behind which it begins; empty at a bus or post."""

    @property
    def brings_power(self) -> bool:
        """Whether a short in it is fed by a source: a circuit, a feeder, a thin wire."""
        return self.kind in ("circuit", "feeder") or self.hot

    @property
    def ground(self) -> str:
        """The ground point from which it leads to the next one; empty where it is something else.

        The negative of a source is none, nor is a second wire beside it (`seconds`).
        """
        return str(self.path[1]) if self.path[0] == "grounds" and len(self.path) == 2 else ""

    @property
    def seconds(self) -> str:
        """The ground point from which it leads as its second wire; empty otherwise."""
        return str(self.path[1]) if self.path[0] == "grounds" and len(self.path) > 2 else ""

    @cached_property
    def far(self) -> "Chain | None":
        """The same chain as its second device sees it, from the far end; None without one."""
        if self.far_device is None:
            return None
        return replace(
            self,
            name=self.far_device.rated,
            path=(*self.path, "far-end"),
            title=f"{self.title}, far end",
            device=self.far_device,
            far_device=None,
            source_end=self.far_end,
            far_end=self.source_end,
        )

    def parts(self) -> tuple[Part, ...]:
        """Every part once, in order."""
        return self._parts

    def ends(self) -> tuple[Part, ...]:
        """Where its rows end."""
        return tuple(row.parts[-1] for row in self.rows)

    def conductors(self) -> tuple[Conductor, ...]:
        """Every conductor once, in order."""
        return self._conductors

    @cached_property
    def _parts(self) -> tuple[Part, ...]:
        return tuple({part.id: part for row in self.rows for part in row.parts}.values())

    @cached_property
    def _conductors(self) -> tuple[Conductor, ...]:
        found = {c.id: c for row in self.rows for c in row.conductors if c is not None}
        return tuple(found.values())


class Chains(Struct, frozen=True, kw_only=True, dict=True):
    """All chains of the system by name."""

    by_name: Mapping[str, Chain]
    feeds: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Equipment → names of the circuits that feed it."""

    def of(self, kind: ChainKind) -> Iterator[Chain]:
        """The chains of one kind in the builder's order."""
        return iter(self._of.get(kind, ()))

    @cached_property
    def _of(self) -> Mapping[str, list[Chain]]:
        found: dict[str, list[Chain]] = {}
        for chain in self.by_name.values():
            found.setdefault(chain.kind, []).append(chain)
        return found

    def fed_from(self, end: str) -> Sequence[Chain]:
        """Circuits and feeders that begin at a bus or source, in the builder's order."""
        return self._fed_from.get(end, ())

    @cached_property
    def _fed_from(self) -> Mapping[str, list[Chain]]:
        found: dict[str, list[Chain]] = {}
        for chain in self.by_name.values():
            if chain.kind in ("circuit", "feeder"):
                found.setdefault(chain.source_end, []).append(chain)
        return found

    def guarded(self) -> Iterator[Chain]:
        """Every chain, and after a feeder with two devices the feeder as its second one sees it."""
        for chain in self.by_name.values():
            yield chain
            if chain.far is not None:
                yield chain.far

    def named(self, name: str) -> Chain:
        """The chain of that name, or as its second device of that name sees it."""
        if name in self.by_name:
            return self.by_name[name]
        return self._far[name]

    @cached_property
    def _far(self) -> Mapping[str, Chain]:
        every = (chain.far for chain in self.by_name.values())
        return {far.name: far for far in every if far is not None}

    def conductors(self) -> Iterator[Conductor]:
        """Every conductor of the system once."""
        return (c for chain in self.by_name.values() for c in chain.conductors())


def is_live(part: Part) -> bool:
    """Whether a wire on it has the full voltage of a source: a bus, a post, behind a contact."""
    return part.kind in ("bus", *CONTACTS) or (part.kind == "source" and part.contact == "+")


CONTACTS = ("switch", "contactor", "changeover")
"""Kinds of part that `switches:` says more of."""
