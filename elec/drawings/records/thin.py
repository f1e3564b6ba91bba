"""Thin wires of power on the strip of the circuit that they belong to: sense, lamp, light.

A wire with a fuse of its own, and one at a terminal that no connector's sheet shows, stand with the
circuit of that box, else with the circuit that they are tapped from.
"""

from collections.abc import Iterator, Mapping, Sequence

from msgspec.structs import replace

from elec.answers.drop.end_to_end import end_to_end_ohm
from elec.answers.heat.heat import heat
from elec.drawings.inputs import DrawnRow, DrawnWire, Node, drawn_at
from elec.drawings.records import nodes, words
from elec.drawings.records.panel import off_name
from elec.study import Study, analysis
from elec.wiring.chains import CONTACTS, Chain, Conductor, Part, chains, is_live
from elec.wiring.coils import contacts


@analysis
def thin_homes(study: Study) -> Mapping[str, str]:
    """Wire under `wires:` → the circuit on whose strip it is drawn."""
    known = chains(study)
    at: dict[str, str] = {}
    for circuit in known.of("circuit"):
        for part in circuit.parts():
            if part.kind == "equipment" and not study.document.equipment[part.name].passive:
                at.setdefault(part.name, circuit.name)
    for circuit in known.of("circuit"):
        at.update(dict.fromkeys(circuit.loads, circuit.name))
    wires = [chain for chain in known.of("wire") if _asked(study, chain)]
    found: dict[str, str] = {}
    for chain in wires:
        home = next((at[name] for name in _bare(study, chain) if name in at), "")
        after = chain.after if chain.device is not None else ""
        home = home or (after if after in study.document.circuits else "")
        if not home and chain.device is not None:
            ends = (part.name for part in chain.ends() if part.kind == "equipment")
            home = next((at[name] for name in ends if name in at), "")
        if home:
            found[chain.name] = home
            for name in _bare(study, chain):  # its other wires go with it: a light's ground
                at.setdefault(name, home)
    for chain in wires:
        home = next((at[name] for name in _bare(study, chain) if name in at), "")
        if home:
            found.setdefault(chain.name, home)
    return {chain.name: found[chain.name] for chain in wires if chain.name in found}


def _asked(study: Study, chain: Chain) -> bool:
    """Whether a wire has a fuse, or a terminal that stands on no connector's sheet."""
    return chain.device is not None or bool(_bare(study, chain))


def _bare(study: Study, chain: Chain) -> list[str]:
    """Equipment that a wire meets at a terminal beside its connectors."""
    return [
        part.name
        for part in chain.parts()
        if part.kind == "equipment" and not on_connector(study, part)
    ]


def on_connector(study: Study, part: Part) -> bool:
    """Whether a contact stands on the sheet of a connector."""
    if part.kind != "equipment":
        return part.kind == "connector"
    known = study.document.equipment[part.name].connectors
    return part.contact in known or part.contact.rpartition(".")[0] in known


def thin_rows(study: Study, circuit: str) -> Iterator[DrawnRow]:
    """The rows of the thin wires of a circuit, the box of the circuit at their right."""
    own = {part.id for part in chains(study).by_name[circuit].parts()}
    names = {part.name for part in chains(study).by_name[circuit].parts()}
    wires = [chains(study).by_name[w] for w, home in thin_homes(study).items() if home == circuit]
    for chain in sorted(wires, key=lambda one: one.device is None):  # feeds before returns
        for row in chain.rows:
            parts, along = row.parts, row.conductors
            here = parts[0].kind == "equipment" and not on_connector(study, parts[0])
            if here and not (parts[-1].id in own or parts[-1].name in names):
                parts, along = parts[::-1], along[::-1]
            yield _row(study, chain, parts, along)


def _row(
    study: Study, chain: Chain, parts: tuple[Part, ...], wires: tuple[Conductor | None, ...]
) -> DrawnRow:
    found = [_node(study, chain, part) for part in parts]
    drawn = [words.drawn_conductor(study, wire) for wire in wires]
    if parts[0] is chain.device:
        # what it sits on stands beside it
        called = " · ".join(filter(None, (off_name(study, parts[0]), found[0].sublabel)))
        found[0] = replace(found[0], label="", sublabel=called)
        on_bus = parts[0].inlet in study.document.buses
        thin = not on_bus or nodes.is_stud(study, parts[0].inlet)
        label, target = _tapped(study, chain, parts[0])
        tap = Node(kind="bus", ref=tap_ref(chain.name), label=label, thin=thin, target=target)
        found.insert(0, tap)
        drawn.insert(0, DrawnWire())
    return DrawnRow(nodes=tuple(found), conductors=tuple(drawn))


def _node(study: Study, chain: Chain, part: Part) -> Node:
    """A part of a thin wire; what is drawn on another sheet is a flag that leads there."""
    if part.kind == "equipment" and on_connector(study, part):
        title = study.system.title("equipment", part.name)
        connector, _, pin = part.contact.rpartition(".")
        label = f"{title} {connector}-{pin}" if connector else f"{title} {part.contact}"
        return Node(kind="flag", ref=f"{chain.name} {part.id}", label=label,
                    contact=part.id, target=f"contact {part.id}")  # fmt: skip
    if part.kind in CONTACTS:
        every = contacts(study).get(part.name, ())
        on = next((one for one in every if one[0].name != chain.name), None)
        target = drawn_at(on[0].name, on[1].id) if on is not None else ""
        return Node(kind="bus", ref=part.id, label=f"{part.label}, load", contact=part.id,
                    thin=True, target=target)  # fmt: skip
    return replace(nodes.node(study, chain, part), inner="")


def thin_facts(study: Study, chain: Chain, wires: Sequence[str]) -> Iterator[tuple[str, str]]:
    """What protects a thin wire with a fuse, what it carries, and what its `wires` drop at that."""
    fuse = chain.device
    if fuse is None:
        return
    called = off_name(study, fuse) or nodes.panel_position(study, chain, fuse) or fuse.kind
    on = "bus" if fuse.inlet in study.document.buses else "post"
    at = f" on the {on} itself, no tail in the file" if chain.rows[0].parts[0] is fuse else ""
    yield "protection", f"{called}, {nodes.rating(study, chain, fuse)},{at}".rstrip(",")
    amps = carried(study, chain)
    yield "current", "not known" if amps is None else f"{words.amps(amps)} A at most"
    ohms = [end_to_end_ohm(study).get(wire) for wire in wires]
    known = [ohm for ohm in ohms if ohm is not None]
    if amps is not None and ohms and len(known) == len(ohms):
        yield "drop", f"{words.lost_volts(amps * sum(known))} in its wires, no limit"


def carried(study: Study, chain: Chain) -> float | None:
    """The most amperes that last in a thin wire; None where they are not known."""
    wires = [wire for wire in chain.rows[0].conductors if wire is not None]
    hot = [heat(study).get(wire.id) for wire in wires]
    known = [one.current_a for one in hot if one is not None and not one.unknown]
    return max(known) if known and len(known) == len(wires) else None


def load_name(chain: Chain) -> str:
    """What a thin wire leads to, with its terminal: `regulator, sense`, `annunciator J1-9`."""
    parts = chain.rows[0].parts
    part = parts[0] if is_live(parts[-1]) and not is_live(parts[0]) else parts[-1]
    connector, _, pin = part.contact.rpartition(".")
    if connector:
        return f"{part.label} {connector}-{pin}"
    return part.label if part.contact in ("", "1") else f"{part.label}, {part.contact}"


def tap_ref(wire: str) -> str:
    """What the post or bar goes by on a sheet that a thin wire is tapped from."""
    return f"{wire} tap"


@analysis
def taps(study: Study) -> Mapping[str, tuple[Chain, Part]]:
    """Thin wire → the contact on whose load side its fuse sits, with the chain of that."""
    sides = {part.outlet: (chain, part) for every in contacts(study).values()
             for chain, part in every}  # fmt: skip
    fused = ((name, chains(study).by_name[name].device) for name in thin_homes(study))
    return {name: sides[fuse.inlet] for name, fuse in fused if fuse and fuse.inlet in sides}


def _tapped(study: Study, chain: Chain, fuse: Part) -> tuple[str, str]:
    """What a fuse sits on, a bus or the load side of a contact, and where that is drawn."""
    if chain.name in taps(study):
        other, part = taps(study)[chain.name]
        return f"{part.label}, load", drawn_at(other.name, part.id)
    if fuse.inlet in study.document.buses:
        return study.system.title("buses", fuse.inlet), f"bar {fuse.inlet}"
    return fuse.label, ""


__all__ = [
    "carried", "load_name", "on_connector", "tap_ref", "taps", "thin_facts", "thin_homes",
    "thin_rows",
]  # fmt: skip
