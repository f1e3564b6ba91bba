"""Circuits as rows, each with what was computed about it."""

from collections.abc import Iterator, Mapping

from msgspec.structs import replace

from elec import units
from elec.answers.drop.drops import load_drops
from elec.answers.grounds.terminals import terminal_of
from elec.answers.loads.carried import carried_a
from elec.drawings.inputs import CircuitSheet, DrawnRow, DrawnWire, Node
from elec.drawings.records import nodes, words
from elec.drawings.records.bridge import bridge
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Chain, chains, ground_node
from elec.wiring.coils import coil_loads, contacts


def circuit_record(
    study: Study, name: str, sheets: Mapping[str, tuple[str, str]] | None = None
) -> CircuitSheet:
    """One circuit with what was computed about it; `sheets` says where others are drawn."""
    chain = chains(study).by_name[name]
    return CircuitSheet(
        title=words.title_block(study, chain.title, 1),
        id=name,
        rows=_led_on(study, _twisted(study, name)),
        facts=(*_moves(study, chain, sheets or {}), *_facts(study, chain)),
        cautions=words.cautions(study, chain.loads),
        bridge=bridge(study, name),
        size=words.paper(study, large=False),
    )


def _led_on(study: Study, rows: tuple[DrawnRow, ...]) -> tuple[DrawnRow, ...]:
    """Rows that say of plugs and boxes with connectors where those are, of grounds the terminal."""
    known = {(ground_node(name), wire): n for (name, wire), n in terminal_of(study).items()}

    def led(row: DrawnRow, k: int) -> Node:
        node = row.nodes[k]
        entry = study.document.equipment.get(node.ref)
        if node.kind == "equipment" and entry is not None and entry.connectors:
            return replace(node, target=f"equipment {node.ref}")
        if node.kind == "connector":
            return replace(node, target=f"contact {node.ref}.{node.pin}")
        if node.kind == "ground":
            beside = {wire.ref for wire in row.conductors[max(0, k - 1) : k + 1]}
            found = (known.get((node.contact, wire)) for wire in sorted(beside))
            numbers = ", ".join(str(number) for number in found if number is not None)
            return replace(node, sublabel=f"terminal {numbers}") if numbers else node
        return node

    return tuple(
        replace(row, nodes=tuple(led(row, k) for k in range(len(row.nodes)))) for row in rows
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


LEAST_SHOWN_V = 0.01
"""Volts of drop are shown to two places; what is less and no zero is said in words."""


def lost_volts(lost_v: float) -> str:
    """A voltage drop for print; a small one never reads as none."""
    if 0 < lost_v < LEAST_SHOWN_V:
        return f"under {units.show(LEAST_SHOWN_V, 'v', digits=2)}"
    return units.show(lost_v, "v", digits=2)


def _facts(study: Study, chain: Chain) -> Iterator[tuple[str, str]]:
    device = sizing(study).devices.get(chain.name)
    if device is not None:
        needs = (
            f"; least rating of the device {units.show(device.needed_a, 'a')}"
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
    most = "not known" if current is None else f"{words.amps(current)} A at most"
    yield "current", most
    for load in chain.loads:
        drop = load_drops(study).get((chain.name, load))
        if drop is not None and drop.lost_v is not None:
            lost = lost_volts(drop.lost_v)
            allowed = units.show(drop.limit_v, "v", digits=2)
            title = study.system.title("equipment", load)
            yield "voltage drop", f"{title}: {lost} out and back; {allowed} allowed"
        elif drop is not None:
            yield "voltage drop", f"cannot tell: {drop.unknown}"
