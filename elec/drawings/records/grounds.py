"""Ground points with their terminals, and the wires that no other drawing shows."""

from collections.abc import Iterator, Mapping, Sequence

from msgspec.structs import replace

from elec.answers.base.marks import gauge_of, marks
from elec.answers.connect.magnetos import magneto_leads
from elec.answers.connect.pins import COLOURS, pins
from elec.answers.connect.terminals import COLOURS as COLOURS_OF_RINGS
from elec.answers.connect.terminals import counted, together
from elec.answers.grounds.grounding import Landed, ground_points
from elec.answers.grounds.terminals import metal_at, on_structure, terminal_of, terminals
from elec.answers.loads.carried import carried_a
from elec.cautions import CARE
from elec.drawings.inputs import (
    DrawnRow,
    DrawnWire,
    GroundBox,
    GroundsDrawing,
    GroundTerminal,
    GroundWire,
    Node,
)
from elec.drawings.records import landings, words
from elec.drawings.records.bench import SHIELD
from elec.drawings.records.thin import thin_homes
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.built import wires_by_id
from elec.wiring.chains import (
    STRUCTURE,
    Chain,
    Part,
    bond_ohm,
    bonded_grounds,
    chains,
    ground_node,
    joined,
)

METAL = DrawnWire(bonded=True)
RINGS = (
    "Rings: red AWG 22 to 18, blue 16 and 14, yellow 12 and 10 by most makers: check yours; "
    "thicker: bare, with a sleeve. At a battery or alternator: by its post."
)
TORQUE = "Torque: the maker's value."
CAPPED = "Spare wires: cap both ends, stow"
STUDS = "Thread ____: not known here; measure the stud, write it in."
SINGLE = "Studs on structure, in lists but not in the picture, count no ohms but their ring's"
AIRFRAME = "Airframe: in the file no ground is bonded to it."
METAL_BARE, TORQUE_SET = "bare metal", "torque"
PIGTAILS = "* Drain, gauge and length not given: measure; AWG 22 to 18: red"
SHARED = f"{PIGTAILS}; those on one bar share one ring, as thick as all of them"
THIN = "22"
"""The gauge of drains in the example of such a ring: of what gauge they are nobody says."""


def ground_record(study: Study) -> GroundsDrawing | None:
    """The ground points, the wires between them, and the negative side of every source."""
    every = list(chains(study).of("ground"))
    others = other_wires(study)
    if not every and not others and not _structure_boxes(study):
        return None
    rest = "spare wires" if _all_spare(study, others) else "other wires"
    title = "Grounds and negative cables" if every else rest.capitalize()
    title = f"{title}; {rest}" if every and others else title
    magneto = (CARE["magneto"],) if magneto_leads(study) else ()
    return GroundsDrawing(
        title=words.title_block(study, title, 1),
        rows=_grouped(
            _bonded(
                study,
                [
                    *(_ground_row(study, chain) for chain in every if chain.conductors()),
                    *_heavy_returns(study),
                    *_joints(study, every),
                ],
            )
        ),
        boxes=(
            *(_box(study, name) for name in study.document.grounds),
            *_structure_boxes(study),
        ),
        others=others,
        others_title=CAPPED if _all_spare(study, others) else rest.capitalize(),
        notes=tuple(_notes(study)),
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


def _heavy_returns(study: Study) -> Iterator[DrawnRow]:
    """The way back of what draws as much as a starter: through the same joints as all else."""
    for chain in chains(study).of("circuit"):
        if (carried_a(study, chain.name) or 0.0) < default("heavy-cable").value:
            continue
        for row in (one for one in chain.rows if one.role == "return"):
            load, end, wire = row.parts[0], row.parts[-1], row.conductors[0]
            if len(row.parts) == 2 and load.kind == "equipment" and wire is not None:
                box = Node(
                    kind="equipment", ref=load.name, label=load.label,
                    sublabel=words.place(study, load.place), pin="−", contact=load.id,
                )  # fmt: skip
                ends = (box, _ground_end(study, end, [wire.id]))
                drawn = replace(words.drawn_conductor(study, wire), ref="")  # its circuit draws it
                yield DrawnRow(nodes=ends, conductors=(drawn,))


def _grouped(rows: Sequence[DrawnRow]) -> tuple[DrawnRow, ...]:
    """Rows with those next to each other whose boxes are joined."""
    groups: list[tuple[set[str], list[DrawnRow]]] = []
    for row in rows:
        refs, own = {node.ref for node in row.nodes}, [row]
        for other in [one for one in groups if one[0] & refs]:
            groups.remove(other)
            refs, own = refs | other[0], [*other[1], *own]
        groups.append((refs, own))
    return tuple(row for _, own in groups for row in own)


def _joints(study: Study, every: Sequence[Chain]) -> Iterator[DrawnRow]:
    """Ground points that are joined to the next one without a wire."""
    for chain in every:
        if not chain.conductors():
            here, there = chain.rows[0].parts[0], chain.rows[0].parts[-1]
            ohm, said = _ohm(study, here.name)
            ends = tuple(_ground_end(study, part, []) for part in (here, there))
            joint = DrawnWire(length=ohm, gauge=said or "no wire", bonded=True)
            yield DrawnRow(nodes=ends, conductors=(joint,))


def _bonded(study: Study, rows: list[DrawnRow]) -> list[DrawnRow]:
    """The rows with the structure behind each ground point that is bonded to it."""
    for name in bonded_grounds(study):
        entry = study.document.grounds[name]
        title = study.system.title("grounds", name)
        where = words.place(study, entry.place)
        box = Node(kind="equipment", ref=ground_node(name), label=title, sublabel=where)
        ohm, said = _ohm(study, name)
        metal = Node(
            kind="chassis",
            ref=f"{name} {STRUCTURE}",
            label=f"structure, {said}" if said else "structure",
            sublabel=ohm,
        )
        last = [row for row in rows if row.nodes[-1].ref == box.ref]
        if last:
            rows[rows.index(last[-1])] = DrawnRow(
                nodes=(*last[-1].nodes, metal), conductors=(*last[-1].conductors, METAL)
            )
        else:
            rows.append(DrawnRow(nodes=(box, metal), conductors=(METAL,)))
    return rows


def _all_spare(study: Study, others: Sequence[tuple[str, ...]]) -> bool:
    """Whether the wires that stand nowhere else are cores that nobody uses."""
    spare = {c.id for c in chains(study).conductors() if c.role == "spare"}
    return bool(others) and {row[0] for row in others} <= spare


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
    bare = on_structure(study).get(ground.place, ()) if name in metal_at(study).values() else ()
    said = [f"{ground.kind}, {words.place(study, ground.place)}"]
    hang = (
        f"on the structure here {_count(bare)}" if bare else "no wire ends on this point: a spare"
    )
    said.append(_landed(study, name) if point.landed else hang)
    chain = chains(study).by_name.get(f"{name}-ground")
    if chain is not None and joined(study, name):
        ohm = " ".join(filter(None, _ohm(study, name)))
        said.append(f"{ohm} without a wire to {chain.rows[0].parts[-1].label}")
    found = [
        GroundTerminal(number=str(number), wires=tuple(_wire(study, end) for end in ends))
        for number, ends in enumerate(terminals(study)[name], 1)
    ]
    if point.landed or bare:
        single = tuple((end,) for end in bare)
        said.append(_rings(study, ground.stud, (*terminals(study)[name], *single)))
    return GroundBox(
        id=name,
        label=study.system.title("grounds", name),
        detail="; ".join(said),
        terminals=(*found, *_bare(study, bare)),
        ticks=_ticks(study, name) if point.landed or bare else (),
    )


def _ticks(study: Study, name: str) -> tuple[str, ...]:
    """What is ticked at a ground: its nuts, and bare metal under what is bolted to metal."""
    bolted = name in bonded_grounds(study) or joined(study, name)
    block = study.document.grounds[name].kind == "block"
    return (TORQUE_SET,) if block and not bolted else (METAL_BARE, TORQUE_SET)


def _landed(study: Study, name: str) -> str:
    """How many wires end on a ground point, and on how many of its terminals."""
    point = ground_points(study)[name]
    if point.terminals is None:
        return point.wires
    wires, taken = point.wires.partition(" on ")[0], len(terminals(study)[name])
    full = ", full" if taken == point.terminals else ""
    return f"{wires} on {taken} of {point.terminals} terminals{full}"


def _structure_boxes(study: Study) -> tuple[GroundBox, ...]:
    """The metal of each place that is no ground point's box already, with the wires on it."""
    return tuple(
        GroundBox(
            id=f"{STRUCTURE}@{place}",
            label=words.structure(study, place),
            detail=f"{_count(landed)}; {_rings(study, None, tuple((end,) for end in landed))}",
            terminals=_bare(study, landed),
            ticks=(METAL_BARE, TORQUE_SET),
        )
        for place, landed in on_structure(study).items()
        if place not in metal_at(study)
    )


def _bare(study: Study, landed: Sequence[Landed]) -> tuple[GroundTerminal, ...]:
    """Wires on metal, each on a stud of its own."""
    return tuple(
        GroundTerminal(number=str(number), wires=(_wire(study, end),), own=len(landed) > 1)
        for number, end in enumerate(landed, 1)
    )


def _rings(study: Study, stud: str | None, ends: Sequence[Sequence[Landed]]) -> str:
    """The ring terminals of a ground point: its thread, and one ring a terminal by gauge.

    As colours do, the word shield says what a ring is for: it counts no drains. Shields that share
    a terminal share a ring; of what gauge their drains are nobody says.
    """
    gauges, every = sizing(study).gauges, wires_by_id(study)
    wires = [gauge_of(gauges, every[one[0].wire]) for one in ends if one[0].other is not None]
    shields = len(ends) - len(wires)
    said = counted(None if awg == "?" else awg for awg in wires)
    more = f"{shields} shield*" if shields else ""
    asked = ", ".join(filter(None, (said, more)))
    return f"rings for {stud}: {asked}" if stud else f"rings: {asked}; thread ____"


def _ohm(study: Study, name: str) -> tuple[str, str]:
    """The resistance of a ground point's joint, and a word where it is not as the file has it."""
    found = study.designed.document.measured.get(name)
    said = "" if study.document.grounds[name].resistance_ohm is not None else "typical"
    if found is not None and found.ohms_ohm is not None:
        said = "measured"
    return milliohms(bond_ohm(study, name)), said


def milliohms(ohm: float) -> str:
    """The resistance of a joint, in one unit on all these sheets.

    >>> milliohms(0.0005), milliohms(0.0025)
    ('0.5 mΩ', '2.5 mΩ')
    """
    return f"{ohm * 1000:.3g} mΩ"


def _notes(study: Study) -> Iterator[str]:
    """How resistances, numbers and colours of these sheets are to be read."""
    if any(joined(study, name) for name in study.document.grounds) or bonded_grounds(study):
        yield (
            "Broken line: metal bolted together, no wire; its ohms are the file's where it does "
            "not say typical or measured."
        )
    elif study.document.grounds and not on_structure(study):
        yield AIRFRAME
    yield f"Numbers of terminals and studs: a proposal in the order of the file. {TORQUE}"
    yield RINGS
    points = ground_points(study)
    landed = [name for name, one in points.items() if one.landed]
    if _structure_boxes(study) or any(study.document.grounds[name].stud is None for name in landed):
        yield STUDS
    if on_structure(study):
        ohm = milliohms(default("joint-resistance").si)
        yield f"{SINGLE} ({ohm}): measure."
    if any(end.other is None for one in points.values() for end in one.landed):
        most = max(len(ends) for every in terminals(study).values() for ends in every)
        yield _shared(most) if most > 1 else f"{PIGTAILS}."
    if study.document.grounds:
        yield (
            f"{COLOURS['return'].capitalize()}, where the file gives no colour: each wire on the "
            "way back from a load, with N in its mark where it ends on a ground. White: to a "
            "switch or relay that grounds a load (plus is on it while that is open), leads of a "
            "motor that runs both ways, signals to a ground."
        )


def _shared(most: int) -> str:
    """That drains on one bar share a ring, with the gauge of the thickest one's ring."""
    awg = together(THIN, most)
    colour = COLOURS_OF_RINGS.get(awg, "bare")
    return f"{SHARED} ({most} drains, were they AWG {THIN}: AWG {awg}, {colour})."


def _count(landed: Sequence[Landed]) -> str:
    """How many wires lie on metal."""
    if len(landed) == 1:
        return "1 wire, on its own stud"
    return f"{len(landed)} wires, each on its own stud"


def _wire(study: Study, end: Landed) -> GroundWire:
    """Mark and other end of a wire, or whose shield it is."""
    if end.other is not None:
        wire, contact = f"wire {end.wire}", f"contact {end.other.id}"
        signal = chains(study).by_name[end.wire.partition("/")[0]].kind in ("wire", "cable")
        return GroundWire(
            id=end.wire,
            mark=marks(study)[end.wire],
            text=landings.first_line(study, end.other),
            # a wire of a circuit stands on its sheet, any other on that of its connector
            target=f"{contact} {wire}" if signal else f"{wire} {contact}",
        )
    chain = chains(study).by_name[end.wire]
    return GroundWire(
        id=f"{end.wire}/drain",
        mark=f"{chain.function}{chain.number} shield",
        text=chain.title,
        target=_shield_at(study).get(end.wire, ""),
    )


@analysis
def _shield_at(study: Study) -> Mapping[str, str]:
    """Cable → what the row of shields is looked up by in which its own has a box to tick."""
    return {
        landing.chain: f"contact {one.id}.{SHIELD} wire {landing.conductor}"
        for one in tuple(pins(study).by_id.values())[::-1]
        for pin in one.pins[::-1]
        for landing in pin.landings
        if landing.shield == "grounded here" and landing.role != "shield"
    }


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
                if conductor.id not in shown and chain.name not in thin_homes(study):
                    wire = words.drawn_conductor(study, conductor)
                    ends = (
                        landings.end_of(study, conductor.a),
                        landings.end_of(study, conductor.b),
                    )
                    texts = (wire.mark, wire.gauge, wire.colour, wire.length, *ends, wire.cable)
                    rows.append((conductor.id, *texts))
    return tuple(rows)
