"""A motor that runs both ways, as its sheet shows it: two rows with the bridge in both."""

from collections.abc import Iterator

from elec.answers.connect.reversing import Bridge, reversing
from elec.answers.loads.carried import carried_a
from elec.drawings.inputs import DrawnBridge, DrawnRow, Node
from elec.drawings.records import nodes, words
from elec.drawings.records.behind import SIDES, side_of, throws
from elec.study import Study
from elec.wiring.chains import Chain, Part


def bridge_ref(circuit: str) -> str:
    """What everything of a bridge on a sheet goes by."""
    return f"{circuit}/bridge"


def turned_rows(study: Study, chain: Chain) -> tuple[DrawnRow, ...] | None:
    """From plus through the bridge to the − of the motor, from ground to its +.

    None where its motor runs one way.
    """
    found = reversing(study).get(chain.name)
    if found is None:
        return None
    feed, back, *more = chain.rows
    plus, minus = found.poles
    k, m = feed.parts.index(plus), back.parts.index(minus)
    fed, grounded = feed.parts[k - 1], back.parts[m + 1]
    rows = (
        ((*feed.parts[: k - 1], fed, *back.parts[:m][::-1]),
         (*feed.conductors[: k - 1], *back.conductors[:m][::-1]),
         {fed.id: _bridge(study, found, fed, minus)}),
        ((*back.parts[m + 2 :][::-1], grounded, *feed.parts[k + 1 :]),
         (*back.conductors[m + 1 :][::-1], *feed.conductors[k:]),
         {grounded.id: _bridge(study, found, grounded, plus)}),
        *((row.parts[: row.parts.index(minus) + 1][::-1],
           row.conductors[: row.parts.index(minus)][::-1], {}) for row in more),
    )  # fmt: skip
    return tuple(
        DrawnRow(
            nodes=tuple(own.get(part.id) or nodes.node(study, chain, part) for part in parts),
            conductors=tuple(words.drawn_conductor(study, wire) for wire in wires),
        )
        for parts, wires, own in rows
    )


def _bridge(study: Study, found: Bridge, left: Part, right: Part) -> Node:
    """The bridge in one of its rows, with the points that its conductors end at."""
    plus, minus = found.poles
    across, back = found.wires[1], found.wires[4]
    names = (minus.label, plus.label)
    if found.by != "relays":
        at = nodes.switch_position(study, plus.name)
        names = (" · ".join(filter(None, (at, plus.label))), "")
    drawn = DrawnBridge(
        names=names,
        marks=found.marks,
        wires=(words.drawn_conductor(study, across), words.drawn_conductor(study, back)),
        ends=((across.a.id, across.b.id), (back.b.id, back.a.id)),
        poles=(minus.id, plus.id),
        centred=found.by == "switch",
    )
    return Node(
        kind="bridge", ref=bridge_ref(found.circuit), bridge=drawn,
        contact=left.id, contact_out=right.id,
    )  # fmt: skip


def way_facts(study: Study, circuit: str) -> Iterator[tuple[str, str]]:
    """What happens in each way of a motor, a fact for each."""
    found = reversing(study).get(circuit)
    if found is None:
        return
    held = study.system.title("switches", found.control)
    for way in found.ways:
        pairs = ", ".join(sorted("–".join(sorted(p.split(" and "))) for p in way.joined))
        by = f"{way.pulled} pulled in by {held}" if way.pulled else pairs
        stop = f", stopped by {way.stops}" if way.stops else ""
        side = "" if way.pulled else _lever(study, found.control, way.name)
        yield way.name, f"{side}{by}, plus on {way.plus}{stop}"
    if found.by == "switch" and found.ways[0].stops:
        least = _carry(study, circuit)
        said = "across each limit switch, band away from the motor: they let it come back"
        yield "diodes", f"{said} and carry its current: at least {least}"


def _carry(study: Study, circuit: str) -> str:
    """What the diodes at the ends of a motor's travel carry; their type is not in the file."""
    amps = carried_a(study, circuit)
    return "its amps (neither is in the file)" if amps is None else (
        f"{words.amps(amps)} A (their type: not in the file)")  # fmt: skip


def _lever(study: Study, switch: str, word: str) -> str:
    """Where the lever of a switch is in a position, as a sentence begins; empty: not known."""
    entry = study.document.switches.get(switch)
    if entry is None or word not in entry.lever:
        return ""
    return f"lever {SIDES[side_of(entry.lever, word)]} joins "


def throw_facts(study: Study, chain: Chain) -> Iterator[tuple[str, str]]:
    """Of a switch with two throws that turns no motor itself, what it joins where its lever is."""
    for sides in throws(study, chain).values():
        said = (f"{SIDES[k]} joins {', '.join(sides[k])}" for k in sorted(sides))
        yield "lever", ", ".join(said)


__all__ = ["bridge_ref", "throw_facts", "turned_rows", "way_facts"]
