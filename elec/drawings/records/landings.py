"""What lands on a contact of a box, as a row from the box to where it goes."""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.connect.pins import ConnectorPins, Landing, Pin, pins, shield_at
from elec.drawings.inputs import DrawnRow, Node
from elec.drawings.inputs import DrawnWire as Drawn
from elec.drawings.records import nodes, words
from elec.drawings.records.runs import SignalRun, signal_runs
from elec.model.wiring import Cable
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, Part, chains
from elec.wiring.ends import DEVICES, end_text

POWER, GROUND, DISCRETE, DATA, AUDIO, ANTENNA = range(6)
DATA_WORDS = ("serial", "data", "bus", "can", "ethernet", "position", "commands")
AUDIO_WORDS = (
    "phone", "phones", "headphone", "microphone", "mic", "audio", "tone", "tones", "voice",
    "speaker",
)  # fmt: skip


def has_sheet(study: Study, name: str) -> bool:
    """Whether a piece of equipment has connectors, and so a sheet."""
    entry = study.document.equipment.get(name)
    return entry is not None and bool(entry.connectors)


def contacts(study: Study, name: str) -> Iterator[tuple[ConnectorPins, Pin]]:
    """The contacts of a piece of equipment that are named or wired."""
    for one in pins(study).of(name):
        for pin in one.pins:
            if pin.state != "spare":
                yield one, pin


class LandingRow(Struct, frozen=True, kw_only=True):
    """What lands on one contact, as a row, with what decides its place."""

    rank: int
    far: str
    cable: str
    row: DrawnRow


def landed(study: Study, name: str, one: ConnectorPins, pin: Pin) -> Iterator[LandingRow]:
    """A row for each wire that lands on a contact, or one that says that none does."""
    key = one.id.removeprefix(f"{name}.")
    single = f"{name}.{key}" in _ends(study) and pin.contact == "centre"
    contact = f"{name}.{key}" if single else f"{name}.{key}.{pin.contact}"
    box = Node(
        kind="equipment",
        ref=name,
        label=study.system.title("equipment", name),
        sublabel=words.place(study, one.place),
        pin=key if single else f"{key}-{pin.contact}",
        signal=(pin.signal or ("antenna" if single else "")).replace("-", " "),
        contact=contact,
    )
    wired = [landing for landing in pin.landings if landing.role != "shield"]
    for landing in wired:
        run = _ends(study).get(contact, {}).get(landing.conductor)
        if run is not None:
            yield _run_entry(study, box, run)
        else:
            yield _circuit_entry(study, box, landing)
    if not pin.landings:
        note = Node(kind="note", ref=f"{contact} free", label="no wire reaches it")
        row = DrawnRow(nodes=(box, note), conductors=(Drawn(gap=True),))
        yield LandingRow(rank=_rank(pin.signal, ""), far="", cable="", row=row)


def _rank(signal: str, role: str) -> int:
    """What a contact is for: power, ground, discrete, data, audio or antenna."""
    if role == "coax":
        return ANTENNA
    if role == "feed" or signal == "power":
        return POWER
    if role in ("return", "ground") or signal == "ground":
        return GROUND
    said = signal.split("-")
    if any(word in said for word in AUDIO_WORDS):
        return AUDIO
    return DATA if any(word in said for word in DATA_WORDS) else DISCRETE


def _circuit_entry(study: Study, box: Node, landing: Landing) -> LandingRow:
    """A wire of a circuit: its sheet shows all of it."""
    conductor = _conductors(study)[landing.conductor]
    other = conductor.b if conductor.a.id == box.contact else conductor.a
    flag = Node(
        kind="flag",
        ref=f"{conductor.id} end",
        label=first_line(study, other),
        sublabel=second_line(study, other),
        target=f"wire {conductor.id}",
    )
    wire = replace(words.drawn_conductor(study, conductor), end=True)
    circuit = study.document.circuits.get(conductor.chain)
    twist = f"{conductor.chain}/twist" if circuit is not None and circuit.twisted else ""
    parts: list[Node] = [box]
    wires: list[Drawn] = []
    _add(parts, wires, wire, [Node(kind="twist", ref=twist)] if twist else [])
    return LandingRow(
        rank=_rank(box.signal, landing.role),
        far=other.name,
        cable=twist,
        row=DrawnRow(nodes=(*parts, flag), conductors=tuple(wires)),
    )


@analysis
def _conductors(study: Study) -> Mapping[str, Conductor]:
    return {c.id: c for c in chains(study).conductors()}


@analysis
def _ends(study: Study) -> Mapping[str, Mapping[str, SignalRun]]:
    """Contact → conductor that ends on it → its run, turned so that it begins there."""
    found: dict[str, dict[str, SignalRun]] = {}
    for run in signal_runs(study):
        for turned in (run, run.turned()):
            start = turned.parts[0]
            if start.kind == "equipment":
                found.setdefault(start.id, {}).setdefault(turned.conductors[0].id, turned)
    return found


def _run_entry(study: Study, box: Node, run: SignalRun) -> LandingRow:
    first, far = run.conductors[0], run.parts[-1]
    shown, whole = _shown(study, run)
    parts: list[Node] = [box]
    wires: list[Drawn] = []
    for k in range(shown):
        part, conductor = run.parts[k + 1], run.conductors[k]
        wire = drawn_wire(study, conductor)
        _add(parts, wires, wire, _around(study, conductor, run.parts[k].id, whole=True))
        parts.append(nodes.node(study, run.chain, part))
    if not whole:
        wire = drawn_wire(study, first) if shown == 0 else Drawn()
        if shown == 0:
            wire = replace(wire, end=True)
            _add(parts, wires, wire, _around(study, first, run.parts[0].id, whole=False))
        else:
            wires.append(wire)
        parts.append(_far_flag(study, run, far))
    signal = box.signal.replace(" ", "-")
    return LandingRow(
        rank=_rank(signal, first.role),
        far=run.parts[1].name,
        cable=first.cable or "",
        row=DrawnRow(nodes=tuple(parts), conductors=tuple(wires)),
    )


def _shown(study: Study, run: SignalRun) -> tuple[int, bool]:
    """How many conductors of a run this end draws whole, and whether that is all of it."""
    far = run.parts[-1]
    count = len(run.conductors)
    if far.kind != "equipment" or not has_sheet(study, far.name):
        return count, True
    if count == 1:
        return 0, False
    return (count - 1 if run.forward else 1), False


def _far_flag(study: Study, run: SignalRun, far: Part) -> Node:
    return Node(
        kind="flag",
        ref=f"{run.conductors[-1].id} end",
        label=first_line(study, far),
        sublabel=second_line(study, far),
        target=f"contact {far.id}",
    )


def drawn_wire(study: Study, conductor: Conductor) -> Drawn:
    """A conductor with its texts; gauge and cable of a shielded core stand in the facts."""
    wire = words.drawn_conductor(study, conductor)
    cable = study.document.cables.get(conductor.cable or "")
    if cable is None or conductor.role == "coax":
        return replace(wire, cable="")
    return replace(wire, gauge="", cable="") if shielded(cable) else wire


def _add(parts: list[Node], wires: list[Drawn], wire: Drawn, rings: Sequence[Node]) -> None:
    """A conductor with what lies around it: its texts stand on the longest piece."""
    if not rings:
        wires.append(wire)
        return
    bare = Drawn(ref=wire.ref, end=wire.end)
    parts.append(rings[0])
    wires.extend((bare, wire))
    for ring in rings[1:]:
        parts.append(ring)
        wires.append(bare)


def _around(study: Study, conductor: Conductor, here: str, *, whole: bool) -> list[Node]:
    """The coaxial mark or the shield's ovals on a conductor, the near one first."""
    if conductor.role == "coax":
        return [Node(kind="coax", ref=f"coax {conductor.cable}")]
    cable = study.document.cables.get(conductor.cable or "")
    name = conductor.cable or ""
    if cable is not None and not shielded(cable) and "twisted" in cable.type:
        return [Node(kind="twist", ref=f"{name}/twist")]
    if cable is None or not shielded(cable):
        return []
    at_from = conductor.a.id == here
    rings = [oval(name, at_from)]
    return [*rings, oval(name, not at_from)] if whole else rings


def shielded(cable: Cable) -> bool:
    """Whether a cable has a shield."""
    return bool(shield_at(cable, True))


def oval(cable: str, at_from: bool) -> Node:
    """The sign of a shield around the wires of a cable, at one of its ends."""
    end = "from" if at_from else "to"
    return Node(kind="shield", ref=f"{cable}/shield {end}", contact=f"{cable}/shield")


def first_line(study: Study, part: Part) -> str:
    """What a flag names: the equipment, plug, ground point or device at the other end."""
    if part.kind in ("equipment", "connector"):
        section = "equipment" if part.kind == "equipment" else "plugs"
        return study.system.title(section, part.name)
    if part.kind in DEVICES:
        chain = chains(study).by_name[part.name]
        return part.label or chain.title
    return end_text(study, part)


def second_line(study: Study, part: Part) -> str:
    """Its contact, or what kind of device it is."""
    if part.kind == "equipment":
        known = study.document.equipment[part.name].connectors
        connector, _, pin = part.contact.rpartition(".")
        return f"{connector}-{pin}" if connector else part.contact if part.contact in known else ""
    if part.kind == "connector":
        return part.contact
    if part.kind in DEVICES:
        return f"{nodes.rating(study, chains(study).by_name[part.name], part)} {part.kind}"
    return words.place(study, part.place)
