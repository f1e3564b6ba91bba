"""Rows of one cable at a box, with the end of its shield; and what the shield does, in words."""

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from elec.answers.connect.pins import pins, shield_at
from elec.drawings.inputs import DrawnRow, Node
from elec.drawings.inputs import DrawnWire as Drawn
from elec.drawings.records import nodes
from elec.drawings.records.landings import (
    LandingRow,
    contacts,
    shielded,
)
from elec.model.wiring import Cable
from elec.study import Study
from elec.wiring.chains import Chain, Part, chains
from elec.wiring.ends import end_text


def with_drain(study: Study, name: str, group: Sequence[LandingRow]) -> list[DrawnRow]:
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


def _drain_row(
    study: Study, name: str, cable: tuple[str, Cable], oval: Node, box: Node
) -> DrawnRow:
    """The drain of a shield: to a ground point, a contact of the box, or a plug."""
    key, entry = cable
    chain = chains(study).by_name[key]
    wire = Drawn(ref=f"{key}/drain", mark=f"shield {chain.function}{chain.number}")
    blank = replace(box, pin="", signal="", contact="")
    owner, _, contact = (entry.drain or "").partition(".")
    if owner == name:
        connector, _, pin = contact.rpartition(".")
        home = replace(box, pin=f"{connector}-{pin}", signal="shield", contact=entry.drain or "")
        return DrawnRow(nodes=(home, oval), conductors=(wire,))
    at_from = oval.ref.endswith(" from")
    end = _drain_end(study, chain, entry, at_from=at_from) or Node(
        kind="note", ref=f"{oval.ref} ground", label="to what is not said"
    )
    return DrawnRow(nodes=(blank, oval, end), conductors=(Drawn(gap=True), wire))


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
    if owner in study.document.plugs:
        inline = study.document.plugs[owner]
        part = Part(
            id=f"{owner}.{contact}", kind="connector", name=owner, contact=contact, inlet="",
            outlet="", place=inline.place, label=study.system.title("plugs", owner),
        )  # fmt: skip
        return nodes.node(study, chain, part)
    return None


def facts(study: Study, name: str) -> Iterator[tuple[str, str]]:
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
    for _, pin in contacts(study, name):
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
        section = "plugs" if end.kind == "connector" else "equipment"
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
    section = "plugs" if owner in study.document.plugs else "equipment"
    return f"{study.system.title(section, owner)} {contact.replace('.', '-')}"
