"""Circuits as rows, each with what was computed about it."""

import math
from collections.abc import Iterator, Mapping, Sequence

from msgspec.structs import replace

from elec import units
from elec.answers.base.marks import marks
from elec.answers.drop.drops import load_drops
from elec.answers.grounds.terminals import stud_of, terminal_of
from elec.answers.loads.carried import carried_a
from elec.answers.time.release import releases
from elec.drawings import inputs
from elec.drawings.inputs import SPOT, CircuitSheet, DrawnRow, DrawnWire, Node, drawn_at
from elec.drawings.records import nodes, words
from elec.drawings.records.ahead import ahead_said
from elec.drawings.records.bridge import throw_facts, turned_rows, way_facts
from elec.drawings.records.panel import off_name
from elec.drawings.records.thin import (
    load_name,
    tap_ref,
    taps,
    thin_facts,
    thin_homes,
    thin_rows,
)
from elec.drawings.records.throws import levers, thrown
from elec.sizing.choices import least_for_inrush
from elec.sizing.picking import asks
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains, ground_node
from elec.wiring.coils import CONTACTS, coil_chain, coil_loads, contacts


def circuit_record(study: Study, name: str) -> CircuitSheet:
    """One circuit with what was computed about it."""
    chain = chains(study).by_name[name]
    moves = (
        *_moves(study, chain), *_tapped(study, chain), *_other_poles(study, chain),
    )  # fmt: skip
    said = [(what, value) for what, value, _ in moves]
    rows = _led_on(study, name, _through((*_twisted(study, name), *thin_rows(study, name))))
    also = _apart(study, chain, rows)
    own = (*way_facts(study, name), *throw_facts(study, chain), *said, *_facts(study, chain))
    return CircuitSheet(
        title=words.title_block(study, chain.title, 1),
        id=name,
        rows=tuple(row for row in rows if not any(row in one.rows for one in also)),
        also=also,
        facts=own,
        spots=tuple(spot for _, _, spots in moves for spot in spots),
        cautions=_cautions(study, chain),
        size=words.paper(study, large=False),
    )


def _apart(study: Study, chain: Chain, rows: Sequence[DrawnRow]) -> tuple[CircuitSheet, ...]:
    """The fused thin wires on the strip of a circuit that no box joins to it.

    They have a heading of their own, for nothing that is said of the circuit holds for them.
    """
    own = {wire.id for wire in chain.conductors()}
    of = {wire.id: name for name, home in thin_homes(study).items() if home == chain.name
          for wire in chains(study).by_name[name].conductors()}  # fmt: skip
    also: list[CircuitSheet] = []
    for group in _joined(rows):
        refs = [wire.ref for row in group for wire in row.conductors if wire.ref]
        fused = [name for name in dict.fromkeys(of[ref] for ref in refs if ref in of)
                 if chains(study).by_name[name].device is not None]  # fmt: skip
        if own.isdisjoint(refs) and fused:
            first = chains(study).by_name[fused[0]]
            facts = thin_facts(study, first, [ref for ref in refs if ref in of])
            title = words.title_block(study, load_name(first), 1)
            also.append(CircuitSheet(title=title, id=chain.name, rows=group, facts=tuple(facts)))
    return tuple(also)


def _joined(rows: Sequence[DrawnRow]) -> list[tuple[DrawnRow, ...]]:
    """Rows in groups that share a box, plug or splice."""
    groups: list[tuple[set[str], list[DrawnRow]]] = []
    for row in rows:
        refs = {node.ref for node in row.nodes if node.kind not in ("bus", "ground", "chassis")}
        own = [row]
        for other in [one for one in groups if one[0] & refs]:
            groups.remove(other)
            refs, own = refs | other[0], [*other[1], *own]
        groups.append((refs, own))
    return [tuple(own) for _, own in groups]


def _cautions(study: Study, chain: Chain) -> tuple[str, ...]:
    """Cautions about its loads; one load need not be named on its own sheet."""
    found = words.cautions(study, chain.loads)
    if len(chain.loads) > 1:
        return found
    own = tuple(f"{study.system.title('equipment', load)}: " for load in chain.loads)
    return tuple(text.removeprefix(own[0]) if own else text for text in found)


def _through(rows: tuple[DrawnRow, ...]) -> tuple[DrawnRow, ...]:
    """Rows of which one that begins at a box goes on in the first that ends at it."""
    left = list(rows)
    for row in rows:
        first = row.nodes[0]
        before = next(
            (one for one in left if one is not row and one.nodes[-1].ref == first.ref
             and not one.nodes[-1].pin_out), None,
        ) if first.kind == "equipment" and first.pin_out else None  # fmt: skip
        if before is None:
            continue
        last = before.nodes[-1]
        box = replace(last, pin_out=first.pin_out, signal_out=first.signal_out,
                      contact_out=first.contact_out)  # fmt: skip
        left[left.index(before)] = DrawnRow(
            nodes=(*before.nodes[:-1], box, *row.nodes[1:]),
            conductors=(*before.conductors, *row.conductors),
        )
        left.remove(row)
    return tuple(left)


@analysis
def _ground_ends(study: Study) -> tuple[Mapping[tuple[str, str], int], Mapping[str, int]]:
    """(Node of a ground point, wire) → its terminal there, and wire → its stud."""
    known = {(ground_node(name), wire): n for (name, wire), n in terminal_of(study).items()}
    return known, {wire: n for (_, wire), n in stud_of(study).items()}


def _led_on(study: Study, circuit: str, rows: tuple[DrawnRow, ...]) -> tuple[DrawnRow, ...]:
    """Rows that say where plugs and boxes with connectors are, and each bus and ground terminal."""
    source = chains(study).by_name[circuit].rows[0].parts[0]
    tapped: dict[str, list[str]] = {}
    for name, (_, on) in taps(study).items():
        fuse = chains(study).by_name[name].device  # what comes first at that post
        said = off_name(study, fuse) if fuse is not None else ""
        text = ", ".join(filter(None, (said, _tap_mark(study, name))))
        tapped.setdefault(on.id, []).append(text)
    known, studs = _ground_ends(study)

    def led(row: DrawnRow, k: int) -> Node:
        node = row.nodes[k]
        if node.ref in tapped:
            return replace(node, tapped=", ".join(tapped[node.ref]))
        entry = study.document.equipment.get(node.ref)
        if node.kind == "equipment" and entry is not None and entry.connectors:
            return replace(node, target=f"equipment {node.ref}")
        if node.kind == "connector":
            more = inputs.PART if len(passing(study).get(node.ref, ())) > 1 else ""
            return replace(node, label=node.label + more, target=f"contact {node.ref}.{node.pin}")
        if node.kind == "bus" and node.ref == source.id:
            on = next(iter(contacts(study).get(source.name, ())), None)
            if source.kind == "post" and on is not None:  # a post of the contact itself
                return replace(node, target=drawn_at(on[0].name, on[1].id))
            return replace(node, target=f"bar {source.name}")
        if node.kind == "chassis":
            wire = row.conductors[k - 1 if k else 0].ref
            said = f"stud {studs[wire]}" if wire in studs else ""
            return replace(node, sublabel=said, target=f"ground {wire}") if said else node
        if node.kind == "ground":
            beside = {wire.ref for wire in row.conductors[max(0, k - 1) : k + 1]}
            found = (known.get((node.contact, wire)) for wire in sorted(beside))
            numbers = ", ".join(str(number) for number in found if number is not None)
            there = f"ground {min(beside)}"
            return replace(node, sublabel=f"terminal {numbers}", target=there) if numbers else node
        return node

    return tuple(
        replace(row, nodes=tuple(led(row, k) for k in range(len(row.nodes)))) for row in rows
    )


@analysis
def passing(study: Study) -> Mapping[str, tuple[str, ...]]:
    """Plug → the circuits, wires and cables that pass it: each has a part of its contacts."""
    found: dict[str, dict[str, None]] = {}
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind == "connector":
                found.setdefault(part.name, {})[chain.name] = None
    return {name: tuple(used) for name, used in found.items()}


def _tap_mark(study: Study, wire: str) -> str:
    return marks(study)[chains(study).by_name[wire].conductors()[0].id]


def _twisted(study: Study, name: str) -> tuple[DrawnRow, ...]:
    """The rows of a circuit; where feed and return are twisted, each pair is marked at its load."""
    chain = chains(study).by_name[name]
    rows = turned_rows(study, chain) or thrown(
        study, name, nodes.drawn_rows(study, chain, chain.rows)
    )
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


def _moves(study: Study, chain: Chain) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """The coils on this sheet with their contacts, and the contacts with their coils.

    With each goes where else on the sheets it is drawn, in the order of the `SPOT`s in the text.
    """
    switches = study.document.switches
    own = {switch: load for load, switch in coil_loads(study).items() if load in chain.loads}
    where: list[str] = []
    spots: list[str] = []
    kept: dict[str, None] = {}
    for switch in own:
        others = {
            other.name: (other.title, drawn_at(other.name, part.id))
            for other, part in contacts(study).get(switch, ())
        }
        if others:
            listed = ", ".join(f"{title} ({SPOT})" for title, _ in others.values())
            where.append(f"{study.system.title('switches', switch)} in {listed}")
            spots += [spot for _, spot in others.values()]
        coil = switches[switch].coil
        fitted = (coil.suppressor if coil is not None else None) or "?"
        kept[fitted if isinstance(fitted, str) else f"{fitted.said} across the coil"] = None
    if where:
        yield ("contacts" if len(where) > 1 else "contact"), ", ".join(where), tuple(spots)
    if kept:
        across = "each coil" if len(own) > 1 else "the coil"
        said = {"diode": f"diode across {across}, band to +", "inside": f"inside {across}"}
        yield "suppressor", ", ".join(said.get(one, one) for one in kept), ()
    soon = {
        time: None
        for switch in own
        for release in (releases(study).get(switch),)
        if release is not None and release.fitted is not None
        for time in (
            release.fitted.soon,
            *(f"{late.soon} from {late.hand} on" for late in release.before),
        )
    }
    if soon:
        yield "lets go after", ", ".join(soon), ()
    load_of = {switch: load for load, switch in coil_loads(study).items()}
    coils = {}
    for part in chain.parts():
        fed = coil_chain(study, part.name) if part.kind in CONTACTS else None
        if fed is not None and fed.name != chain.name:
            # by its terminal: a coil is called like its circuit, whose title stands first
            coils[part.label] = drawn_at(fed.name, f"{load_of.get(part.name, '')}.+")
    if coils:
        said_of = ", ".join(f"{label} ({SPOT})" for label in coils)
        yield ("coils" if len(coils) > 1 else "coil"), said_of, tuple(coils.values())


def _other_poles(study: Study, chain: Chain) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Of each lever, where else on the sheets its other poles are drawn."""
    found: dict[str, list[str]] = {}
    for part in chain.parts():
        poles = levers(study).get(part.name, ())
        if any(pole.id == part.id for _, pole in poles):
            found[part.name] = [
                drawn_at(other.name, pole.id) for other, pole in poles if other.name != chain.name
            ]
    several = sum(map(bool, found.values())) > 1
    for name, others in found.items():
        if others:
            what = "other pole" if len(others) == 1 else "other poles"
            of = f" of {study.system.title('switches', name)}" if several else ""
            yield what + of, ", ".join([SPOT] * len(others)), tuple(others)


def _tapped(study: Study, chain: Chain) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """The thin wires that are tapped from a contact on this sheet, and where they are drawn."""
    for part in chain.parts():
        wires = [name for name, (_, on) in taps(study).items() if on.id == part.id]
        if wires:
            listed = ", ".join(f"{_tap_mark(study, name)} ({SPOT})" for name in wires)
            at = tuple(drawn_at(thin_homes(study)[name], tap_ref(name)) for name in wires)
            yield ("taps" if len(at) > 1 else "tap"), listed, at


def _least(needed_a: float) -> str:
    """The least rating for a load: one decimal, below 1 A two, and never less than it is.

    >>> _least(0.00665), _least(0.08), _least(0.458), _least(5.15)
    ('0.01 A', '0.08 A', '0.46 A', '5.2 A')
    """
    places = 1 if int(needed_a) else 2
    return f"{math.ceil(needed_a * 10**places - ROUNDING) / 10**places:.{places}f} A"


ROUNDING = 1e-6
"""What an exact decimal may be above itself in binary."""


def _facts(study: Study, chain: Chain) -> Iterator[tuple[str, str]]:
    device = sizing(study).devices.get(chain.name)
    if device is not None:
        needs = f", at least {_least(device.needed_a)} for its load" if device.needed_a else ""
        more_a = least_for_inrush(study, chain, device) if needs else None
        needs += f", {more_a:g} A for its inrush" if more_a else ""
        asked = asks(study, chain)
        needs += f", {asked.rating_a:g} A as its maker asks" if asked else ""
        yield (
            "protection",
            device.label + needs + (f" ({device.unknown})" if device.unknown else ""),
        )
    circuit = study.document.circuits[chain.name]
    if circuit.unprotected:
        before = ahead_said(study, chain)
        if before:
            yield "protection", f"none of its own, ahead: {before}; {circuit.unprotected}"
        else:
            yield "no protection", circuit.unprotected
    if circuit.twisted:
        yield "twisted", "feed and return of each load"
    current = carried_a(study, chain.name)
    most = "not known" if current is None else f"{words.amps(current)} A at most"
    yield "current", most
    yield from _dropped(study, chain)


def _dropped(study: Study, chain: Chain) -> Iterator[tuple[str, str]]:
    """What each load loses on the way out and back, those with one limit together."""
    lost: dict[str, list[str]] = {}
    for load in chain.loads:
        drop = load_drops(study).get((chain.name, load))
        if drop is not None and drop.lost_v is not None:
            of = f" ({study.system.title('equipment', load)})" if len(chain.loads) > 1 else ""
            at = f" at its peak of {words.amps(drop.current_a)} A" if drop.at_peak else ""
            allowed = f"out and back{at}, {units.show(drop.limit_v, 'v', digits=2)} allowed"
            lost.setdefault(allowed, []).append(f"{words.lost_volts(drop.lost_v)}{of}")
        elif drop is not None:
            yield "drop", f"cannot tell: {drop.unknown}"
    for allowed, volts in lost.items():
        yield "drop", f"{', '.join(volts)} {allowed}"
