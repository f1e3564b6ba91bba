"""Equipment with connectors: every contact, what lands on it, and where that goes.

Rows begin at the box. A wire between two such boxes is drawn at both of them, one end each, with
a flag that names the other; any other wire is drawn once, whole. Wires that reach no such box are
left for a sheet of their own.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from elec.analyses.chains import Chain, Conductor, Part, chains
from elec.analyses.ends import DEVICES, end_text
from elec.analyses.pins import ConnectorPins, Landing, Pin, pins, shield_at
from elec.drawings.inputs import Conductor as Drawn
from elec.drawings.inputs import EquipmentBox, EquipmentSheet, Node, Row
from elec.drawings.records import nodes, words
from elec.drawings.records.runs import Run, signal_runs
from elec.model.wiring import Cable
from elec.record import dataclass
from elec.study import Study, analysis

POWER, GROUND, DISCRETE, DATA, AUDIO, ANTENNA = range(6)
DATA_WORDS = ("serial", "data", "bus", "can", "ethernet", "position", "commands")
AUDIO_WORDS = (
    "phone", "phones", "headphone", "microphone", "mic", "audio", "tone", "tones", "voice",
    "speaker",
)  # fmt: skip
SMALL = 8
"""Equipment with more contacts in use than this has a sheet of its own."""
SHEET_MM = 158.0
"""What small equipment that shares a sheet may take of its height."""
TITLE_MM = 24.0
ROW_MM = 7.8
FACT_MM = 3.6


@dataclass(frozen=True, kw_only=True)
class Group:
    """Equipment that shares a drawing: one large box, or small ones place by place."""

    title: str
    names: tuple[str, ...]


LETTER = "E"
"""First letter of the codes of these drawings."""


@analysis
def codes(study: Study) -> Mapping[str, str]:
    """Equipment → the code of the drawing that it is on."""
    return {
        name: f"{LETTER}{i}" for i, group in enumerate(groups(study), 1) for name in group.names
    }


def with_codes(study: Study, rows: Sequence[Row]) -> tuple[Row, ...]:
    """Rows of another drawing, with the sheet of each piece of equipment beside its place."""
    found = codes(study)

    def coded(node: Node) -> Node:
        code = found.get(node.ref, "") if node.kind == "equipment" else ""
        return replace(node, sublabel=f"{node.sublabel} · {code}") if code else node

    return tuple(replace(row, nodes=tuple(map(coded, row.nodes))) for row in rows)


def has_sheet(study: Study, name: str) -> bool:
    """Whether a piece of equipment has connectors, and so a sheet."""
    entry = study.document.equipment.get(name)
    return entry is not None and bool(entry.connectors)


@analysis
def groups(study: Study) -> tuple[Group, ...]:
    """Which equipment shares a drawing, in the builder's order; none is drawn for it."""
    found: list[Group] = []
    small: dict[str, list[str]] = {}
    for name, entry in study.document.equipment.items():
        if not entry.connectors:
            continue
        count = sum(max(1, len(p.landings)) for _, p in _contacts(study, name))
        if count > SMALL:
            found.append(Group(title=study.system.title("equipment", name), names=(name,)))
        else:
            small.setdefault(entry.place, []).append(name)
    found.extend(_shared(study, [box for boxes in small.values() for box in boxes]))
    return tuple(found)


def _shared(study: Study, boxes: Sequence[str]) -> Iterator[Group]:
    """Small equipment, place by place, as much on a sheet as it holds."""
    names: list[str] = []
    used = 0.0
    for name in boxes:
        box = _box(study, name)
        rows = max(len(box.left), len(box.right))
        high = TITLE_MM + ROW_MM * rows + FACT_MM * len(box.facts)
        if names and used + high > SHEET_MM:
            yield Group(title=_places(study, names), names=tuple(names))
            names, used = [], 0.0
        names.append(name)
        used += high
    if names:
        yield Group(title=_places(study, names), names=tuple(names))


def _places(study: Study, names: Sequence[str]) -> str:
    if len(names) == 1:
        return study.system.title("equipment", names[0])
    places = dict.fromkeys(study.document.equipment[name].place for name in names)
    return f"Equipment, {'; '.join(words.place(study, place) for place in places)}"


def equipment_record(study: Study, group: Group) -> EquipmentSheet:
    """A group of equipment as rows."""
    return EquipmentSheet(
        title=words.title_block(study, group.title, 1),
        id="equipment " + " ".join(group.names),
        boxes=tuple(_box(study, name) for name in group.names),
        cautions=words.CAUTIONS,
        size=words.paper(study, large=False),
    )


# --- contacts ---------------------------------------------------------------------------------


def _contacts(study: Study, name: str) -> Iterator[tuple[ConnectorPins, Pin]]:
    """The contacts of a piece of equipment that are named or wired."""
    for one in pins(study).of(name):
        for pin in one.pins:
            if pin.state != "spare":
                yield one, pin


@dataclass(frozen=True, kw_only=True)
class _Entry:
    """What lands on one contact, as a row, with what decides its place."""

    rank: int
    far: str
    cable: str
    row: Row


def _box(study: Study, name: str) -> EquipmentBox:
    entries = [e for one, pin in _contacts(study, name) for e in _entries(study, name, one, pin)]
    found: dict[tuple[str, str], list[_Entry]] = {}
    for entry in _paired(entries):
        key = ("cable", entry.cable) if entry.cable else (f"rank {entry.rank}", entry.far)
        found.setdefault(key, []).append(entry)
    bundles = [
        (max(e.rank for e in group), group[0].far, _with_drain(study, name, group))
        for group in found.values()
    ]
    bundles.sort(key=lambda b: (b[0], b[1]))
    left, right = _balanced([(rank, rows) for rank, _, rows in bundles])
    return EquipmentBox(name=name, left=left, right=right, facts=tuple(_facts(study, name)))


_LEGS = frozenset({"low", "high"})


def _paired(entries: Sequence[_Entry]) -> list[_Entry]:
    """The two legs of a signal (`data`, `data low`) one after the other; cores in their order."""
    first: dict[str, int] = {}
    for i, entry in enumerate(entries):
        first.setdefault(_stem(entry), i)
    return sorted(
        entries, key=lambda e: (first[_stem(e)], e.row.conductors[0].ref if e.cable else "")
    )


def _stem(entry: _Entry) -> str:
    """What two legs of a signal have in common."""
    node = entry.row.nodes[0]
    said = [word for word in node.signal.split() if word not in _LEGS]
    return f"cable {entry.cable}" if entry.cable else " ".join(said) or node.contact


def _balanced(
    bundles: Sequence[tuple[int, Sequence[Row]]],
) -> tuple[tuple[Row, ...], tuple[Row, ...]]:
    """Power, ground and discretes left, data, audio and antennas right, as even as may be."""
    counts = [len(rows) for _, rows in bundles]
    usual = sum(rank <= DISCRETE for rank, _ in bundles)
    least = sum(rank <= GROUND for rank, _ in bundles)
    most = sum(rank < ANTENNA for rank, _ in bundles)
    cut = min(
        range(least, max(least, most) + 1),
        key=lambda k: (max(sum(counts[:k]), sum(counts[k:])), abs(k - usual)),
    )
    left = tuple(row for _, rows in bundles[:cut] for row in rows)
    return left, tuple(row for _, rows in bundles[cut:] for row in rows)


def _entries(study: Study, name: str, one: ConnectorPins, pin: Pin) -> Iterator[_Entry]:
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
        row = Row(nodes=(box, note), conductors=(Drawn(gap=True),))
        yield _Entry(rank=_rank(pin.signal, ""), far="", cable="", row=row)


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


# --- what lands on a contact ------------------------------------------------------------------


def _circuit_entry(study: Study, box: Node, landing: Landing) -> _Entry:
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
    return _Entry(
        rank=_rank(box.signal, landing.role),
        far=other.name,
        cable=twist,
        row=Row(nodes=(*parts, flag), conductors=tuple(wires)),
    )


@analysis
def _conductors(study: Study) -> Mapping[str, Conductor]:
    return {c.id: c for c in chains(study).conductors()}


@analysis
def _ends(study: Study) -> Mapping[str, Mapping[str, Run]]:
    """Contact → conductor that ends on it → its run, turned so that it begins there."""
    found: dict[str, dict[str, Run]] = {}
    for run in signal_runs(study):
        for turned in (run, run.turned()):
            start = turned.parts[0]
            if start.kind == "equipment":
                found.setdefault(start.id, {}).setdefault(turned.conductors[0].id, turned)
    return found


def _run_entry(study: Study, box: Node, run: Run) -> _Entry:
    first, far = run.conductors[0], run.parts[-1]
    shown, whole = _shown(study, run)
    parts: list[Node] = [box]
    wires: list[Drawn] = []
    for k in range(shown):
        part, conductor = run.parts[k + 1], run.conductors[k]
        wire = _wire(study, conductor)
        _add(parts, wires, wire, _around(study, conductor, run.parts[k].id, whole=True))
        parts.append(nodes.node(study, run.chain, part))
    if not whole:
        wire = _wire(study, first) if shown == 0 else Drawn()
        if shown == 0:
            wire = replace(wire, end=True)
            _add(parts, wires, wire, _around(study, first, run.parts[0].id, whole=False))
        else:
            wires.append(wire)
        parts.append(_far_flag(study, run, far))
    signal = box.signal.replace(" ", "-")
    return _Entry(
        rank=_rank(signal, first.role),
        far=run.parts[1].name,
        cable=first.cable or "",
        row=Row(nodes=tuple(parts), conductors=tuple(wires)),
    )


def _shown(study: Study, run: Run) -> tuple[int, bool]:
    """How many conductors of a run this end draws whole, and whether that is all of it."""
    far = run.parts[-1]
    count = len(run.conductors)
    if far.kind != "equipment" or not has_sheet(study, far.name):
        return count, True
    if count == 1:
        return 0, False
    return (count - 1 if run.forward else 1), False


def _far_flag(study: Study, run: Run, far: Part) -> Node:
    return Node(
        kind="flag",
        ref=f"{run.conductors[-1].id} end",
        label=first_line(study, far),
        sublabel=second_line(study, far),
        target=f"contact {far.id}",
    )


def _wire(study: Study, conductor: Conductor) -> Drawn:
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
    rings = [_oval(name, at_from)]
    return [*rings, _oval(name, not at_from)] if whole else rings


def shielded(cable: Cable) -> bool:
    """Whether a cable has a shield."""
    return bool(shield_at(cable, True))


def _oval(cable: str, at_from: bool) -> Node:
    end = "from" if at_from else "to"
    return Node(kind="shield", ref=f"{cable}/shield {end}", contact=f"{cable}/shield")


# --- shields ----------------------------------------------------------------------------------


def _with_drain(study: Study, name: str, group: Sequence[_Entry]) -> list[Row]:
    """The rows of one cable or destination, and the drains that its shield has here."""
    rows = [entry.row for entry in group]
    cable = study.document.cables.get(group[0].cable)
    if cable is None or not shielded(cable):
        return rows
    ovals = list(dict.fromkeys(n for row in rows for n in row.nodes if n.kind == "shield"))
    for oval in ovals:
        if not oval.ref.startswith(f"{group[0].cable}/"):
            continue
        at_from = oval.ref.endswith(" from")
        if shield_at(cable, at_from) == "grounded here":
            rows.append(_drain_row(study, name, (group[0].cable, cable), oval, rows[0].nodes[0]))
    return rows


def _drain_row(study: Study, name: str, cable: tuple[str, Cable], oval: Node, box: Node) -> Row:
    """The drain of a shield: to a ground point, a contact of the box, or a plug."""
    key, entry = cable
    chain = chains(study).by_name[key]
    wire = Drawn(ref=f"{key}/drain", mark=f"shield {chain.function}{chain.number}")
    blank = replace(box, pin="", signal="", contact="")
    owner, _, contact = (entry.drain or "").partition(".")
    if owner == name:
        connector, _, pin = contact.rpartition(".")
        home = replace(box, pin=f"{connector}-{pin}", signal="shield", contact=entry.drain or "")
        return Row(nodes=(home, oval), conductors=(wire,))
    at_from = oval.ref.endswith(" from")
    end = _drain_end(study, chain, entry, at_from=at_from) or Node(
        kind="note", ref=f"{oval.ref} ground", label="to what is not said"
    )
    return Row(nodes=(blank, oval, end), conductors=(Drawn(gap=True), wire))


def _drain_end(study: Study, chain: Chain, cable: Cable, *, at_from: bool) -> Node | None:
    owner, _, contact = (cable.drain or "").partition(".")
    if cable.shield == "both" and not at_from:
        return None
    if owner in study.document.grounds:
        part = Part(
            id=f"ground:{owner}", kind="ground", name=owner, inlet="", outlet="",
            place=study.document.grounds[owner].place, label=study.system.title("grounds", owner),
        )  # fmt: skip
        return nodes.node(study, chain, part)
    if owner in study.document.connectors:
        inline = study.document.connectors[owner]
        part = Part(
            id=f"{owner}.{contact}", kind="connector", name=owner, contact=contact, inlet="",
            outlet="", place=inline.place, label=study.system.title("connectors", owner),
        )  # fmt: skip
        return nodes.node(study, chain, part)
    return None


# --- words ------------------------------------------------------------------------------------


def first_line(study: Study, part: Part) -> str:
    """What a flag names: the equipment, plug, ground point or device at the other end."""
    if part.kind in ("equipment", "connector"):
        section = "equipment" if part.kind == "equipment" else "connectors"
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


def _facts(study: Study, name: str) -> Iterator[tuple[str, str]]:
    """Spare contacts, contacts with two wires, and what becomes of each shield."""
    for one in pins(study).of(name):
        key = one.id.removeprefix(f"{name}.")
        spare = [pin.contact for pin in one.pins if pin.state == "spare"]
        halves = f"{one.gender}s on it, {one.mate}s on the harness" if one.gender else ""
        said = "; ".join(text for text in (one.type, halves) if text)
        if len(one.pins) > 1:
            text = f"spare: {_listed(spare)}" if spare else "no spare contact"
            yield key, f"{said}; {text}" if said else text
        double = [pin.contact for pin in one.pins if pin.state == "double"]
        if double:
            yield f"{key} doubtful", f"two wires claim {', '.join(double)}: settle it first"
    for cable in _cables_at(study, name):
        yield _shield_words(study, name, cable)


def _listed(contacts: Sequence[str]) -> str:
    """Contacts in few words.

    >>> _listed(["2", "5", "6", "7", "9", "10", "S"])
    '2, 5 to 7, 9, 10, S'
    """
    found: list[list[str]] = []
    for name in contacts:
        last = found[-1][-1] if found else ""
        if name.isdigit() and last.isdigit() and int(name) == int(last) + 1:
            found[-1].append(name)
        else:
            found.append([name])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in found)


def _cables_at(study: Study, name: str) -> list[str]:
    found: dict[str, None] = {}
    for _, pin in _contacts(study, name):
        for landing in pin.landings:
            cable = study.document.cables.get(landing.cable)
            if cable is not None and shielded(cable):
                found[landing.cable] = None
    return list(found)


def _shield_words(study: Study, name: str, cable: str) -> tuple[str, str]:
    entry = study.document.cables[cable]
    title = entry.name or cable.replace("-", " ")
    chain = chains(study).by_name[cable]
    head = f"shield {chain.function}{chain.number}"
    where = {
        "from": "grounded at its one end", "to": "grounded at its other end",
        "both": "grounded at both ends", "none": "grounded nowhere",
    }  # fmt: skip
    conductor = next(c for c in chain.conductors() if name in (c.a.name, c.b.name))
    if entry.shield in ("from", "to"):
        end = conductor.a if entry.shield == "from" else conductor.b
        point = (
            f", to {_drain_words(study, entry.drain)}"
            if entry.drain
            else ", it is not said to what"
        )
        if end.name == name:
            return head, f"{title} ({entry.type}): grounded here{point}"
        section = "connectors" if end.kind == "connector" else "equipment"
        place = (
            study.system.title(section, end.name)
            if end.kind in ("connector", "equipment")
            else end_text(study, end)
        )
        return head, f"{title} ({entry.type}): open here; grounded at {place}{point}"
    said = where.get(entry.shield or "", "not said where it is grounded")
    return head, f"{title} ({entry.type}): {said}"


def _drain_words(study: Study, drain: str) -> str:
    owner, _, contact = drain.partition(".")
    if owner in study.document.grounds:
        return study.system.title("grounds", owner)
    section = "connectors" if owner in study.document.connectors else "equipment"
    return f"{study.system.title(section, owner)} {contact.replace('.', '-')}"
