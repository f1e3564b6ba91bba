"""Every single failure that is looked at: what it opens, and which source it takes.

In: the document, chains, runs. Out: `Failure` records in the order of their kinds. A failure is
names of resistors of the netlist that open, and of sources that stop.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.connect.panel import kind_of
from elec.model.source import INSIDE, sense_contact
from elec.model.wiring import Wire
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains, ground_node, main_ground
from elec.wiring.coils import COILED, coil_loads, contacts
from elec.wiring.laid import laid
from elec.wiring.runs import runs

Kind = Literal["source", "device", "switch", "feeder", "bus", "connector", "ground", "way"]


class Failure(Struct, frozen=True, kw_only=True):
    """One thing that fails."""

    id: str
    """`bus:essential`, `way:3`; unique."""
    kind: Kind
    about: str
    """What fails, as findings and acceptances name it: `bus essential`, `way panel to belly`."""
    title: str
    """What happens, for print: `essential bus lost`."""
    path: tuple[str | int, ...]
    """Where the builder wrote the thing."""
    opens: frozenset[str] = frozenset()
    """Resistors of the netlist that open."""
    closes: frozenset[str] = frozenset()
    """Contacts that stay closed, whatever their coil does."""
    sources: frozenset[str] = frozenset()
    """Sources that stop."""
    senses: frozenset[str] = frozenset()
    """Alternators whose regulators lose the wire to what they hold."""
    circuit: str = ""
    """The circuit that it belongs to, where it lies in one circuit alone."""
    branches: bool = False
    """It opens nothing but circuits: no feeder, ground or source, so that it only takes loads."""
    signals: int = 0
    """Signal wires, cores and coaxial lines that it parts; what they carry is not followed."""

    @property
    def powers(self) -> bool:
        """Whether it touches the power network at all."""
        return bool(self.opens or self.closes or self.sources or self.senses)


def _through(chain: Chain) -> set[str]:
    """What opens with it: its wires, and the joint of a known resistance."""
    wires = {conductor.id for conductor in chain.conductors()}
    return wires | {part.id for part in chain.parts() if part.kind == "bond"}


@analysis
def failures(study: Study) -> tuple[Failure, ...]:
    """Every single failure, kind by kind, in the builder's order."""
    lister = _Lister(study)
    return tuple(
        replace(failure, branches=lister.only_circuits(failure))
        for found in (
            lister.sources(),
            lister.sense_wires(),
            lister.devices(),
            lister.switches(),
            lister.coils(),
            lister.welds(),
            lister.closed(),
            lister.feeders(),
            lister.buses(),
            lister.connectors(),
            lister.grounds(),
            lister.ways(),
        )
        for failure in found
    )


def ground_lost(study: Study, name: str) -> Failure:
    """A ground point lost with all that hangs on it, and not only loose from the next one."""
    ends = _Lister(study).ends.get(ground_node(name), [])
    return Failure(
        id=f"ground-lost:{name}",
        kind="ground",
        about=f"ground {name}",
        title=f"{study.system.title('grounds', name)} lost with all that hangs on it",
        path=("grounds", name),
        opens=frozenset((f"bond:{name}", *(resistor for resistor, _ in ends))),
    )


def named_by_kind(study: Study, part: Part) -> str:
    """`switch NAV`; `master contactor`, whose name says what it is."""
    kind = kind_of(study, part)
    return part.label if kind in part.label.casefold() else f"{kind} {part.label}"


def _in_bundles(count: int) -> str:
    if count == 1:
        return ""
    return ", both bundles" if count == 2 else f", all {count} bundles"


def _own_wires(chain: Chain) -> tuple[Conductor, ...]:
    """The wires of a feeder, but for that behind a changeover relay, where another one joins."""
    meets = next((p for p in chain.parts() if p.kind == "changeover" and p.terminals[1]), None)
    return tuple(c for c in chain.conductors() if meets is None or c.a.inlet != meets.inlet)


@analysis
def sense_wires(study: Study) -> Mapping[str, str]:
    """Conductor of a sense wire → its alternator; with its ways through connectors."""
    document, found = study.document, dict[str, str]()
    for name, source in document.sources.items():
        if source.kind != "alternator" or source.sense is None or not source.senses():
            continue
        box = source.field_wire.from_ if source.field_wire is not None else INSIDE
        inside = box == INSIDE
        usual = sense_contact(name if inside else box.partition(".")[0], inside=inside)
        end = source.sense.to or usual
        own: set[str] = set()
        for chain in chains(study).of("wire"):
            wire = document.wires[int(chain.path[1])]
            if chain.after in own or _is_sense(wire, source.senses(), end):
                own.add(chain.name)
                found |= {conductor.id: name for conductor in chain.conductors()}
    return found


def _is_sense(wire: Wire, bus: str, end: str) -> bool:
    return wire.fuse is not None and wire.from_ == bus and end in wire.to


class _Lister:
    """Lists the failures of one system."""

    def __init__(self, study: Study) -> None:
        self.study = study
        self.document = study.document
        every = chains(study).by_name.values()
        self.guarded = [
            chain
            for chain in chains(study).guarded()
            if chain.kind in ("circuit", "feeder", "ground")
        ]
        self.power = [chain for chain in every if chain.kind in ("circuit", "feeder", "ground")]
        self.signal = [chain for chain in every if chain.kind in ("wire", "cable")]
        self.sensing = sense_wires(study)
        self.ends = self._ends()
        self.shared = self._shared()

    def _ends(self) -> dict[str, list[tuple[str, Chain]]]:
        """Node → the resistors that end on it, with their chains."""
        found: dict[str, list[tuple[str, Chain]]] = {}
        for chain in self.power:
            for conductor in chain.conductors():
                for node in (conductor.a.outlet, conductor.b.inlet):
                    found.setdefault(node, []).append((conductor.id, chain))
            for part in chain.parts():
                if part.inlet != part.outlet and part.kind != "diode":
                    for node in (part.inlet, part.outlet):
                        found.setdefault(node, []).append((part.id, chain))
        return found

    def only_circuits(self, failure: Failure) -> bool:
        """Whether what it opens belongs to circuits alone, none of whose loads has another."""
        other = failure.sources or failure.closes or failure.senses
        return not (other or failure.opens & self.shared)

    def _shared(self) -> frozenset[str]:
        """Resistors of feeders, grounds, coils, and of circuits whose loads have another too."""
        fed = chains(self.study).feeds
        return frozenset(
            resistor
            for found in self.ends.values()
            for resistor, chain in found
            if not self._alone(chain) or any(len(fed[load]) > 1 for load in chain.loads)
        ) | frozenset(
            (
                *(f"bond:{name}" for name in self.document.grounds),
                *(contact for coil in coil_loads(self.study) for contact in self._contacts(coil)),
            )
        )

    def _title(self, section: str, name: str) -> str:
        return self.study.system.title(section, name)

    # -- what feeds ------------------------------------------------------------------------------

    def sources(self) -> Iterator[Failure]:
        """Each source dead; and the terminal that several things hang on loose."""
        for name, source in self.document.sources.items():
            if source.kind == "external-power":
                continue
            title = self._title("sources", name)
            managed = source.kind == "lithium-iron-phosphate"
            yield Failure(
                id=f"source:{name}",
                kind="source",
                about=f"source {name}",
                title=f"{title} opened by its management system" if managed else f"{title} dead",
                path=("sources", name),
                sources=frozenset({name}),
            )
            hanging = self.ends.get(f"{name}.+", [])
            if len({chain.name for _, chain in hanging}) > 1:
                yield Failure(
                    id=f"terminal:{name}",
                    kind="source",
                    about=f"terminal {name}",
                    title=f"{title}, positive terminal loose",
                    path=("sources", name),
                    opens=frozenset(resistor for resistor, _ in hanging),
                    sources=frozenset({name}),
                )

    def sense_wires(self) -> Iterator[Failure]:
        """Each sense wire of a regulator open, or its fuse."""
        for name in dict.fromkeys(self.sensing.values()):
            yield Failure(
                id=f"sense:{name}",
                kind="source",
                about=f"sense wire {name}",
                title=f"sense wire of {self._title('sources', name)} open, or its fuse",
                path=("sources", name, "sense"),
                senses=frozenset({name}),
            )

    def devices(self) -> Iterator[Failure]:
        """Each breaker, fuse, limiter and link open."""
        for chain in self.guarded:
            if chain.device is None:
                continue
            yield Failure(
                id=f"device:{chain.name}",
                kind="device",
                about=f"{chain.device.kind} {chain.name}",
                title=f"{chain.device.kind} of {chain.title} open",
                path=(*chain.path, chain.device.kind),
                opens=frozenset({chain.device.id}),
                circuit=chain.name if self._alone(chain) else "",
            )

    def switches(self) -> Iterator[Failure]:
        """Each switch, relay, contactor and changeover open, with all its poles."""
        for name, poles in contacts(self.study).items():
            alone = {chain.name for chain, _ in poles}
            first, part = poles[0]
            yield Failure(
                id=f"switch:{name}",
                kind="switch",
                about=f"switch {name}",
                title=f"{named_by_kind(self.study, part)} open",
                path=("switches", name) if name in self.document.switches else first.path,
                opens=frozenset(part.id for _, part in poles),
                circuit=first.name if len(alone) == 1 and self._alone(first) else "",
            )

    def coils(self) -> Iterator[Failure]:
        """Each coil open, or the wire to it: its contacts open with it."""
        for load, switch in coil_loads(self.study).items():
            if load in chains(self.study).feeds:
                title = self._title("switches", switch)
                yield Failure(
                    id=f"coil:{switch}",
                    kind="switch",
                    about=f"coil {switch}",
                    title=f"coil of {title} open, or a wire of it",
                    path=("switches", switch, "coil"),
                    opens=self._contacts(load),
                )

    def welds(self) -> Iterator[Failure]:
        """Relays that change feeders over, stuck: pulled in, at rest, and on both at once."""
        for name, poles in contacts(self.study).items():
            over = [part for _, part in poles if part.kind == "changeover"]
            rest = frozenset(part.id for part in over if part.resting)
            pulled = frozenset(part.id for part in over) - rest
            if not (rest and pulled):
                continue
            title = self._title("switches", name)
            for word, said, closes, opens in (
                ("pulled-in", "welded where its coil pulls them", pulled, rest),
                ("at-rest", "welded where they rest", rest, pulled),
                ("bridged", "closed on both sides, by an arc or a broken part", rest | pulled, ()),
            ):
                yield Failure(
                    id=f"weld:{name}:{word}",
                    kind="switch",
                    about=f"contacts {name} {word.replace('-', ' ')}",
                    title=f"contacts of {title} {said}",
                    path=("switches", name),
                    opens=frozenset(opens),
                    closes=closes,
                )

    def closed(self) -> Iterator[Failure]:
        """Contactors and relays of feeders, stuck closed: in either state of the feeders."""
        for name, poles in contacts(self.study).items():
            kinds = {kind_of(self.study, part) for _, part in poles}
            own = frozenset(
                part.id
                for chain, part in poles
                if chain.kind == "feeder"
                and part.kind != "changeover"
                and not part.resting
                and self.document.feeders[int(chain.path[1])].used != "always"
            )
            if own and kinds & set(COILED):
                yield Failure(
                    id=f"weld:{name}:closed",
                    kind="switch",
                    about=f"contacts {name} closed",
                    title=f"contacts of {self._title('switches', name)} welded closed",
                    path=("switches", name) if name in self.document.switches else poles[0][0].path,
                    closes=own,
                )

    def _contacts(self, load: str) -> frozenset[str]:
        """What lies between the terminals of a piece of equipment and its inside."""
        return frozenset(
            f"{part.id}/contact"
            for name in chains(self.study).feeds.get(load, ())
            for part in chains(self.study).by_name[name].parts()
            if part.kind == "equipment" and part.name == load
        )

    def _alone(self, chain: Chain) -> bool:
        """Whether what happens in a circuit stays there: no coil hangs on it."""
        return chain.kind == "circuit" and not set(chain.loads) & coil_loads(self.study).keys()

    def feeders(self) -> Iterator[Failure]:
        """Each feeder open: a wire off, a diode gone."""
        for chain in self.power:
            if chain.kind == "feeder":
                yield Failure(
                    id=f"feeder:{chain.name}",
                    kind="feeder",
                    about=f"feeder {chain.name}",
                    title=f"feeder {chain.name.replace('-', ' ')} open",
                    path=chain.path,
                    opens=frozenset(conductor.id for conductor in _own_wires(chain)),
                )

    def buses(self) -> Iterator[Failure]:
        """Each bus lost with all that hangs on it, its feeders included."""
        for name in self.document.buses:
            opens = {resistor for resistor, _ in self.ends.get(name, [])}
            for chain in self.power:
                if chain.kind == "feeder" and name in (chain.source_end, chain.far_end):
                    wires = chain.conductors() if name == chain.far_end else _own_wires(chain)
                    opens |= {conductor.id for conductor in wires}
            yield Failure(
                id=f"bus:{name}",
                kind="bus",
                about=f"bus {name}",
                title=f"{self._title('buses', name)} lost",
                path=("buses", name),
                opens=frozenset(opens),
            )

    # -- what joins ------------------------------------------------------------------------------

    def connectors(self) -> Iterator[Failure]:
        """Each connector off, with all its contacts."""
        contacts: dict[str, dict[str, str]] = {}
        for chain in self.power:
            for part in chain.parts():
                connector = self._connector(part)
                if connector:
                    inline = part.kind == "connector"
                    resistor = part.id if inline else f"{part.id}/contact"
                    contacts.setdefault(connector, {})[resistor] = chain.name
        signals, sensed = self._signals(), self._sensed()
        for name, title, path in self._every_connector():
            found = contacts.get(name, {})
            alone = set(found.values())
            yield Failure(
                id=f"connector:{name}",
                kind="connector",
                about=f"connector {name}",
                title=f"{title} off",
                path=path,
                opens=frozenset(found),
                circuit=self._lone_circuit(alone),
                signals=signals.get(name, 0),
                senses=sensed.get(name, frozenset()),
            )

    def _every_connector(self) -> Iterator[tuple[str, str, tuple[str, ...]]]:
        """Id, title and path of each connector, those of equipment first."""
        for name, entry in self.document.equipment.items():
            for key in entry.connectors:
                title = f"{self._title('equipment', name)}, connector {key}"
                yield f"{name}.{key}", title, ("equipment", name, "connectors", key)
        for name in self.document.plugs:
            yield name, self._title("plugs", name), ("connectors", name)

    def _connector(self, part: Part) -> str:
        """The connector that a part is a contact of; empty where it is none."""
        if part.kind == "connector":
            return part.name
        if part.kind != "equipment":
            return ""
        connector = part.contact.rpartition(".")[0] or part.contact
        known = self.document.equipment[part.name].connectors
        return f"{part.name}.{connector}" if connector in known else ""

    def _signals(self) -> dict[str, int]:
        """Connector → the signal conductors that end on it."""
        found: dict[str, int] = {}
        for chain in self.signal:
            for conductor in chain.conductors():
                for name in {self._connector(conductor.a), self._connector(conductor.b)} - {""}:
                    found[name] = found.get(name, 0) + 1
        return found

    def _sensed(self) -> dict[str, frozenset[str]]:
        """Connector → alternators whose sense wire passes it."""
        found: dict[str, frozenset[str]] = {}
        for chain in self.signal:
            for conductor in chain.conductors():
                names = self._sense_of([conductor.id])
                for part in (conductor.a, conductor.b) if names else ():
                    connector = self._connector(part)
                    found[connector] = found.get(connector, frozenset()) | names
        return found

    def _sense_of(self, conductors: Iterable[str]) -> frozenset[str]:
        return frozenset(self.sensing[one] for one in conductors if one in self.sensing)

    def grounds(self) -> Iterator[Failure]:
        """Each ground point lifted.

        Its way to the next one, and its bond to the structure, open; of the main ground everything
        that hangs on it, for there is no next one. Of two wires each has a terminal of its own on a
        block, and one comes loose at a time; on a stud one nut holds both.
        """
        main = main_ground(self.study)
        first = {chain.ground: chain for chain in self.power if chain.ground}
        second = {chain.seconds: chain for chain in self.power if chain.seconds}
        for name, ground in self.document.grounds.items():
            opens = {f"bond:{name}"}
            if name == main:
                opens |= {resistor for resistor, _ in self.ends.get(ground_node(name), [])}
            if name in first:
                opens |= _through(first[name])
            apart = name in second and ground.kind == "block"
            if name in second and not apart:
                opens |= _through(second[name])
            title = self._title("grounds", name)
            yield Failure(
                id=f"ground:{name}",
                kind="ground",
                about=f"ground {name}",
                title=f"{title}, first wire loose" if apart else f"{title} loose",
                path=("grounds", name),
                opens=frozenset(opens),
            )
            if apart:
                yield Failure(
                    id=f"ground:{name}:second",
                    kind="ground",
                    about=f"ground {name}, second wire",
                    title=f"{title}, second wire loose",
                    path=("grounds", name, "second"),
                    opens=frozenset(_through(second[name])),
                )

    def ways(self) -> Iterator[Failure]:
        """Each way cut: every wire and core that lies on it."""
        power, signal = self._by_way(self.power), self._by_way(self.signal)
        for index, way in enumerate(self.document.ways):
            opens = power.get(index, {})
            title = way.title
            yield Failure(
                id=f"way:{index}",
                kind="way",
                about=f"way {title}",
                title=f"all wires cut on the way {title}{_in_bundles(way.bundles)}",
                path=("ways", index),
                opens=frozenset(opens),
                circuit=self._lone_circuit(set(opens.values())),
                signals=len(signal.get(index, {})),
                senses=self._sense_of(signal.get(index, {})),
            )
            if index in laid(self.study):
                yield from self._bundles(index, title, opens, signal.get(index, {}))

    def _bundles(
        self, index: int, way: str, opens: dict[str, str], signals: dict[str, str]
    ) -> Iterator[Failure]:
        """Each bundle of a way cut, where it is known what lies in it."""
        found = laid(self.study)[index]
        for bundle in found.names:
            own = {c: chain for c, chain in opens.items() if found.of.get(chain) == bundle}
            yield Failure(
                id=f"bundle:{index}:{bundle}",
                kind="way",
                about=f"bundle {bundle} of way {way}",
                title=f"bundle {bundle} cut on the way {way}",
                path=("ways", index, "bundled", bundle),
                opens=frozenset(own),
                circuit=self._lone_circuit(set(own.values())),
                signals=sum(found.of.get(chain) == bundle for chain in signals.values()),
                senses=self._sense_of(
                    c for c, chain in signals.items() if found.of.get(chain) == bundle
                ),
            )

    def _by_way(self, which: list[Chain]) -> dict[int, dict[str, str]]:
        """Way → the conductors that lie on it, with the names of their chains."""
        found: dict[int, dict[str, str]] = {}
        routes = runs(self.study)
        for chain in which:
            for conductor in chain.conductors():
                for leg in routes[conductor.id].legs:
                    found.setdefault(leg.index, {})[conductor.id] = chain.name
        return found

    def _lone_circuit(self, owners: set[str]) -> str:
        name = next(iter(owners)) if len(owners) == 1 else ""
        return name if name in self.document.circuits else ""
