"""Ground points with their terminals, and the wires that no other drawing shows."""

from collections.abc import Sequence

from elec import units
from elec.answers.base.marks import marks
from elec.answers.connect.magnetos import magneto_leads
from elec.answers.connect.pins import pins
from elec.answers.grounds.grounding import Landed, ground_points
from elec.answers.grounds.terminals import terminal_of, terminals
from elec.cautions import CARE
from elec.drawings.inputs import (
    DrawnRow,
    GroundBox,
    GroundsDrawing,
    GroundTerminal,
    GroundWire,
    Node,
)
from elec.drawings.records import landings, words
from elec.study import Study
from elec.wiring.chains import STRUCTURE, Chain, Part, chains, joined
from elec.wiring.ends import end_text


def ground_record(study: Study) -> GroundsDrawing | None:
    """The ground points, the wires between them, and the negative side of every source."""
    every = list(chains(study).of("ground"))
    others = other_wires(study)
    if not every and not others and not _structure_boxes(study):
        return None
    title = "Grounds and negative cables" if every else "Spare cables and other wires"
    title = f"{title}; other wires" if every and others else title
    magneto = (CARE["magneto"],) if magneto_leads(study) else ()
    return GroundsDrawing(
        title=words.title_block(study, title, 1),
        rows=tuple(_ground_row(study, chain) for chain in every if chain.conductors()),
        boxes=(
            *(_box(study, name) for name in study.document.grounds),
            *_structure_boxes(study),
        ),
        others=others,
        cautions=(*words.CAUTIONS, *magneto),
        size=words.paper(study, large=False),
    )


def _ground_row(study: Study, chain: Chain) -> DrawnRow:
    row = chain.rows[0]
    wires = [c.id for c in row.conductors if c is not None]
    return DrawnRow(
        nodes=tuple(_ground_end(study, part, wires) for part in row.parts),
        conductors=tuple(words.drawn_conductor(study, c) for c in row.conductors),
    )


def _ground_end(study: Study, part: Part, wires: list[str]) -> Node:
    """A ground point as a box, with the terminal of the wire that lies on it."""
    known = terminal_of(study)
    numbers = [known[part.name, wire] for wire in wires if (part.name, wire) in known]
    number = str(numbers[0]) if part.kind == "ground" and numbers else ""
    return Node(
        kind="equipment",
        ref=part.id,
        label=part.label,
        sublabel=words.place(study, part.place),
        pin="−" if part.kind == "source" else number,
        contact=part.id,
    )


def _box(study: Study, name: str) -> GroundBox:
    """A ground point with what lies on each of its terminals.

    Where no wire ends on a piece of structure itself, those on the metal at its place stand here.
    """
    ground, point = study.document.grounds[name], ground_points(study)[name]
    bare = _on_structure(study).get(ground.place, []) if name in _metal(study) else []
    said = [f"{ground.kind}, {words.place(study, ground.place)}"]
    hang = f"{_count(bare)} on the structure here" if bare else "no wire ends on this point"
    said.append(point.wires if point.landed else hang)
    chain = chains(study).by_name.get(f"{name}-ground")
    if chain is not None and joined(study, name):
        ohm = units.show(ground.resistance_ohm or 0.0, "ohm")
        said.append(f"{ohm} without a wire to {chain.rows[0].parts[-1].label}")
    found = [
        GroundTerminal(number=str(number), wires=tuple(_wire(study, end) for end in ends))
        for number, ends in enumerate(terminals(study)[name], 1)
    ]
    if ground.terminals is not None:
        free = ground.terminals - len(found)
        said.append(f"{max(0, free)} of {ground.terminals} terminals free")
    return GroundBox(
        id=name,
        label=study.system.title("grounds", name),
        detail="; ".join(said),
        terminals=(*found, *_bare(study, bare)),
    )


def _structure_boxes(study: Study) -> tuple[GroundBox, ...]:
    """The metal of each place that is no ground point's box already, with the wires on it."""
    boxed = {study.document.grounds[name].place for name in _metal(study)}
    return tuple(
        GroundBox(
            id=f"{STRUCTURE}@{place}",
            label=f"structure, {words.place(study, place)}",
            detail=_count(landed),
            terminals=_bare(study, landed),
        )
        for place, landed in _on_structure(study).items()
        if place not in boxed
    )


def _metal(study: Study) -> tuple[str, ...]:
    """Ground points that stand for the structure at their place: no wire ends on them alone."""
    first: dict[str, str] = {}
    for name, ground in study.document.grounds.items():
        if ground.kind == "structure" and not ground_points(study)[name].landed:
            first.setdefault(ground.place, name)
    return tuple(first.values())


def _on_structure(study: Study) -> dict[str, list[Landed]]:
    """Place → the wires that end on the metal there, and not on a ground point of the file."""
    found: dict[str, list[Landed]] = {}
    for conductor in chains(study).conductors():
        for part, other in ((conductor.a, conductor.b), (conductor.b, conductor.a)):
            if part.kind == "ground" and part.name == STRUCTURE:
                found.setdefault(part.place, []).append(Landed(wire=conductor.id, other=other))
    return found


def _bare(study: Study, landed: Sequence[Landed]) -> tuple[GroundTerminal, ...]:
    """Wires on metal, where no terminal has a number."""
    return tuple(GroundTerminal(number="", wires=(_wire(study, end),)) for end in landed)


def _count(landed: Sequence[Landed]) -> str:
    return f"{len(landed)} wire{'s' if len(landed) != 1 else ''}"


def _wire(study: Study, end: Landed) -> GroundWire:
    """Mark and other end of a wire, or whose shield it is."""
    if end.other is not None:
        return GroundWire(
            id=end.wire,
            mark=marks(study)[end.wire],
            text=landings.first_line(study, end.other),
            target=f"wire {end.wire} contact {end.other.id}",
        )
    chain = chains(study).by_name[end.wire]
    return GroundWire(
        id=f"{end.wire}/drain",
        mark=f"{chain.function}{chain.number} shield",
        text=chain.title,
        target="",
    )


def other_wires(study: Study) -> tuple[tuple[str, ...], ...]:
    """Wires and spare cores that end on no connector and in no circuit: a row of a table each."""
    shown = {
        landing.conductor
        for one in pins(study).by_id.values()
        for pin in one.pins
        for landing in pin.landings
    }
    rows = []
    for kind in ("wire", "cable"):
        for chain in chains(study).of(kind):
            for conductor in chain.conductors():
                if conductor.id not in shown:
                    wire = words.drawn_conductor(study, conductor)
                    ends = (end_text(study, conductor.a), end_text(study, conductor.b))
                    texts = (wire.mark, wire.gauge, wire.colour, wire.length, *ends, wire.cable)
                    rows.append((conductor.id, *texts))
    return tuple(rows)
