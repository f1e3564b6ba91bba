"""Circuits, grounds and the wires that reach no equipment with connectors, as rows."""

from collections.abc import Iterator, Mapping

from elec import units
from elec.answers.base.marks import marks
from elec.answers.connect.magnetos import magneto_leads
from elec.answers.drop.drops import load_drops
from elec.answers.grounds.grounding import Landed, ground_points
from elec.answers.loads.carried import carried_a
from elec.cautions import CARE
from elec.drawings.inputs import CircuitSheet, DrawnRow, DrawnWire, Node
from elec.drawings.records import equipment, landings, nodes, words
from elec.drawings.records.bridge import bridge
from elec.drawings.records.runs import signal_runs
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Chain, Part, chains, joined
from elec.wiring.coils import coil_loads, contacts


def circuit_record(
    study: Study, name: str, sheets: Mapping[str, tuple[str, str]] | None = None
) -> CircuitSheet:
    """One circuit with what was computed about it; `sheets` says where others are drawn."""
    chain = chains(study).by_name[name]
    return CircuitSheet(
        title=words.title_block(study, chain.title, 1),
        id=name,
        rows=equipment.with_codes(study, _twisted(study, name)),
        facts=(*_moves(study, chain, sheets or {}), *_facts(study, chain)),
        cautions=words.cautions(study, chain.loads),
        bridge=bridge(study, name),
        size=words.paper(study, large=False),
    )


def _twisted(study: Study, name: str) -> tuple[DrawnRow, ...]:
    """The rows of a circuit; where feed and return are twisted, each pair is marked at its load."""
    chain = chains(study).by_name[name]
    rows = nodes.drawn_rows(study, chain, chain.rows)
    if not study.document.circuits[name].twisted:
        return rows
    return tuple(_with_twist(row, name) for row in rows)


def _with_twist(row: DrawnRow, circuit: str) -> DrawnRow:
    load = row.nodes[-1]
    if load.kind != "equipment" or not row.conductors[-1].ref:
        return row
    twist = Node(kind="twist", ref=f"{circuit}/twist {load.ref}")
    return DrawnRow(
        nodes=(*row.nodes[:-1], twist, load),
        conductors=(*row.conductors, DrawnWire(ref=row.conductors[-1].ref)),
    )


def _moves(
    study: Study, chain: Chain, sheets: Mapping[str, tuple[str, str]]
) -> Iterator[tuple[str, str]]:
    """The coils on this sheet with their contacts, and the contacts with their coils."""
    for load in chain.loads:
        switch = coil_loads(study).get(load)
        entry = study.document.switches.get(switch or "")
        if switch is None or entry is None or entry.coil is None:
            continue
        places = dict.fromkeys(
            f"{other.title} ({sheets.get(other.name if other.kind == 'circuit' else '', ('',))[0]})"
            for other, _ in contacts(study).get(switch, ())
        )
        if places:
            yield "contact", f"{study.system.title('switches', switch)} in {', '.join(places)}"
        said = {"diode": "diode across the coil, band to +", "inside": "inside the coil"}
        yield "suppressor", said.get(entry.coil.suppressor or "", entry.coil.suppressor or "?")
    for part in chain.parts():
        where = words.coil_sheet(study, part, sheets)
        if where:
            yield "coil", f"{part.label}: {where}"


def _facts(study: Study, chain: Chain) -> Iterator[tuple[str, str]]:
    device = sizing(study).devices.get(chain.name)
    if device is not None:
        needs = (
            f"; the load needs {units.show(device.needed_a, 'a')} or more"
            if device.needed_a
            else ""
        )
        yield (
            "protection",
            device.label + needs + (f" ({device.unknown})" if device.unknown else ""),
        )
    circuit = study.document.circuits[chain.name]
    if circuit.unprotected:
        yield "no protection", circuit.unprotected
    if circuit.twisted:
        yield "twisted", "feed and return of each load with one another"
    current = carried_a(study, chain.name)
    most = "not known" if current is None else f"{words.amps(current)} A at most in any phase"
    yield "current", most
    for load in chain.loads:
        drop = load_drops(study).get((chain.name, load))
        if drop is not None and drop.lost_v is not None:
            lost = units.show(drop.lost_v, "v", digits=2)
            allowed = units.show(drop.limit_v, "v", digits=2)
            title = study.system.title("equipment", load)
            yield "voltage drop", f"{title}: {lost} out and back; {allowed} allowed"
        elif drop is not None:
            yield "voltage drop", f"cannot tell: {drop.unknown}"


def ground_record(study: Study, sheet: int) -> CircuitSheet | None:
    """The ground points, the wires between them, and the negative side of every source."""
    every = list(chains(study).of("ground"))
    rows = [_ground_row(study, chain) for chain in every if chain.conductors()]
    if not every:
        return None
    return CircuitSheet(
        title=words.title_block(study, "Grounds and negative cables", sheet),
        id="grounds",
        rows=tuple(rows),
        facts=tuple(_on_grounds(study)),
        cautions=words.CAUTIONS,
        size=words.paper(study, large=False),
    )


def _ground_row(study: Study, chain: Chain) -> DrawnRow:
    row = chain.rows[0]
    return DrawnRow(
        nodes=tuple(_ground_end(study, part) for part in row.parts),
        conductors=tuple(words.drawn_conductor(study, c) for c in row.conductors),
    )


def _ground_end(study: Study, part: Part) -> Node:
    """A ground point as a box, so that its wires meet on it."""
    point = ground_points(study).get(part.name) if part.kind == "ground" else None
    wires = point.wires if point is not None and point.landed else ""
    return Node(
        kind="equipment",
        ref=part.id,
        label=part.label,
        sublabel=" · ".join(t for t in (words.place(study, part.place), wires) if t),
        pin="−" if part.kind == "source" else "",
        contact=part.id,
    )


def _on_grounds(study: Study) -> Iterator[tuple[str, str]]:
    """Each ground point with the count of what hangs on it, and all of that by name."""
    for name, ground in study.document.grounds.items():
        point = ground_points(study)[name]
        listed = ", ".join(_named(study, end) for end in point.landed)
        count = f"{point.wires} of {ground.terminals}" if ground.terminals else point.wires
        where = f"{ground.kind}, {words.place(study, ground.place)}"
        text = f"{where}; {count}: {listed}" if point.landed else f"{where}; nothing hangs on it"
        chain = chains(study).by_name.get(f"{name}-ground")
        if chain is not None and joined(study, name):
            ohm = units.show(ground.resistance_ohm or 0.0, "ohm")
            text += f"; {ohm} without a wire to {chain.rows[0].parts[-1].label}"
        yield study.system.title("grounds", name), text


def _named(study: Study, end: Landed) -> str:
    """Mark and other end of a wire, or whose shield it is."""
    if end.other is not None:
        return f"{marks(study)[end.wire]} {landings.first_line(study, end.other)}"
    chain = chains(study).by_name[end.wire]
    return f"{chain.function}{chain.number} shield of {chain.title}"


def other_record(study: Study) -> CircuitSheet | None:
    """Spare cables, and wires that reach no equipment with connectors."""
    rows = [
        DrawnRow(
            nodes=tuple(nodes.node(study, run.chain, part) for part in run.parts),
            conductors=tuple(words.drawn_conductor(study, c) for c in run.conductors),
        )
        for run in signal_runs(study)
        if not any(
            part.kind == "equipment" and landings.has_sheet(study, part.name)
            for part in (run.parts[0], run.parts[-1])
        )
    ]
    if not rows:
        return None
    magneto = (CARE["magneto"],) if magneto_leads(study) else ()
    return CircuitSheet(
        title=words.title_block(study, "Spare cables and other wires", 1),
        id="wires",
        rows=tuple(rows),
        cautions=(*words.CAUTIONS, *magneto),
        size=words.paper(study, large=False),
    )
