"""Parts of chains as nodes of a drawing, and rows that share conductors as branches."""

from collections.abc import Sequence

from msgspec.structs import replace

from elec.answers.connect.panel import kind_of, panels
from elec.answers.grounds.terminals import metal_at
from elec.drawings import inputs
from elec.drawings.inputs import Inner, Node
from elec.drawings.records import words
from elec.drawings.records.behind import pole_said
from elec.drawings.records.panel import off_name, on_panel
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import STRUCTURE, Chain, Conductor, Part, Row, chains
from elec.wiring.coils import coil_loads, limit_switches

PROTECTIVE = ("breaker", "fuse", "limiter", "link")
SWITCHING = ("switch", "contactor", "changeover")


def node(study: Study, chain: Chain, part: Part) -> Node:
    """What a part looks like on a row, with its id as the point that conductors end at."""
    return replace(_node(study, chain, part), contact=part.id)


def _node(study: Study, chain: Chain, part: Part) -> Node:
    if part.kind in PROTECTIVE:
        return device_node(study, chain, part)
    if part.kind in SWITCHING:
        line, load = part.terminals
        return Node(
            kind=_contact(study, chain, part),  # type: ignore[arg-type]
            ref=part.id,
            label=part.label,
            sublabel=_said_under(study, chain, part),
            pin=line,
            pin_out=load,
            lever="" if part.kind == "contactor" else part.name,
        )
    if part.kind == "equipment":
        return equipment_node(study, part)
    if part.kind == "ground":
        kind = "chassis" if part.name == STRUCTURE else "ground"
        label = structure_name(study, part.place) if part.name == STRUCTURE else part.label
        return Node(kind=kind, ref=part.id, label=label)  # type: ignore[arg-type]
    return _other(study, part)


def structure_name(study: Study, place: str) -> str:
    """The metal at a place by the name that the sheet of grounds has for it."""
    named = metal_at(study).get(place)
    return study.system.title("grounds", named) if named else words.structure(study, place)


def _said_under(study: Study, chain: Chain, part: Part) -> str:
    """What stands under a contact: its position on the panel, its terminals, what it rests on."""
    at, pole = switch_position(study, part.name), _pole(study, chain, part)
    if at:  # its numbers tell the pole of a switch that is named
        pole = pole.rpartition(": ")[2]
    contact = " ".join(filter(None, (pole, _rests(study, part))))
    return ": ".join(filter(None, (at, contact)))


def switch_position(study: Study, name: str) -> str:
    """Where a switch stands on a panel that the builder laid out (`S-1B`); else empty."""
    position = on_panel(study, name, switch=True)
    return position.name if position is not None and position.given else ""


def _contact(study: Study, chain: Chain, part: Part) -> str:
    """The symbol of a contact; a limit switch in the lead of a motor has a diode across it."""
    entry = study.document.circuits.get(chain.name)
    if entry is not None and entry.reverse is not None and part.name in entry.reverse.limits:
        return "limit-diode"
    return "closed-contact" if _rests(study, part) else kind_of(study, part)


def _pole(study: Study, chain: Chain, part: Part) -> str:
    """The terminals of a contact; where none are given, they are counted pole by pole."""
    said = pole_said(study, chain, part)
    if any(part.terminals) or not said:
        return said
    position = panels(study).position(part.name, switch=True)
    used = position.subject.chains if position is not None and position.subject else ()
    return said if len(used) < 2 else f"pole {used.index(chain.name) + 1}: {said}"


def _rests(study: Study, part: Part) -> str:
    """Of a contact that is closed unless something moves it, what that is."""
    if part.resting:
        return "closed at rest"
    return "opens at the end" if part.name in limit_switches(study) else ""


def is_stud(study: Study, bus: str) -> bool:
    """Whether a bus is but a stud or post: of what hangs on it nothing has a device of its own."""
    return all(c.device is None for c in chains(study).of("circuit") if c.source_end == bus)


def _other(study: Study, part: Part) -> Node:
    where = words.place(study, part.place)
    if part.kind == "source" and part.contact not in ("+", "-"):
        return Node(
            kind="equipment", ref=part.id, label=part.label, sublabel=where, pin=part.contact
        )
    if part.kind == "source":
        kind = {"alternator": "alternator", "external-power": "external"}.get(
            study.document.sources[part.name].kind, "battery"
        )
        return Node(kind=kind, ref=part.id, label=part.label)  # type: ignore[arg-type]
    if part.kind == "post" and part.contact:  # a terminal of a switch, where two wires meet
        return Node(kind="splice", ref=part.id, label=f"{part.label}, terminal {part.contact}")
    if part.kind == "post":
        # a sheet has room for the name of the terminal alone; lists call it "line post"
        title = study.system.title("switches", part.name)
        return Node(kind="bus", ref=part.id, label=f"{title}, line", thin=True)
    if part.kind == "bus":
        thin = is_stud(study, part.name)
        return Node(kind="bus", ref=part.id, label=part.label, thin=thin)
    if part.kind == "shunt":
        return Node(kind="shunt", ref=part.id, label=part.label or "shunt", sublabel=part.name)
    if part.kind == "diode":
        kind = "schottky" if part.name == "schottky" else "diode"
        return Node(kind=kind, ref=part.id, label=off_name(study, part))  # type: ignore[arg-type]
    if part.kind == "splice":
        return Node(kind="splice", ref=part.id, label=part.label, sublabel=where)
    if part.kind == "connector":
        return Node(
            kind="connector", ref=part.name, label=part.label, sublabel=where, pin=part.contact
        )
    return Node(kind="equipment", ref=part.id, label=where, sublabel="place")


def equipment_node(study: Study, part: Part) -> Node:
    """A contact of a piece of equipment."""
    entry = study.document.equipment[part.name]
    connector, _, pin = part.contact.rpartition(".")
    signal = ""
    if connector in entry.connectors and pin in entry.connectors[connector].pins:
        signal = entry.connectors[connector].pins[pin].signal
    return Node(
        kind="equipment",
        ref=part.name,
        label=part.label,
        sublabel=words.place(study, part.place),
        pin=f"{connector}-{pin}" if connector else part.contact.replace("-", "−"),
        inner=_inner(study, part.name),
        signal=signal.replace("-", " "),
    )


def _inner(study: Study, equipment: str) -> Inner:
    """The symbol of a coil, with the diode that lies across it; empty for all else."""
    entry = study.document.switches.get(coil_loads(study).get(equipment, ""))
    if entry is None or entry.coil is None:
        return ""
    return "coil-diode" if entry.coil.suppressor == "diode" else "coil"


def device_node(study: Study, chain: Chain, part: Part) -> Node:
    """A protective device with its rating, and its position where it stands on a panel."""
    where = panel_position(study, chain, part, given=True)
    return Node(
        kind=part.kind,  # type: ignore[arg-type]
        ref=part.id,
        label=part.label or where or off_name(study, part),
        sublabel=" · ".join(
            filter(None, (rating(study, chain, part), where if part.label else ""))
        ),
    )


def panel_position(study: Study, chain: Chain, part: Part, *, given: bool = False) -> str:
    """Where a protective device stands on its panel (`1A`, or `CB2-1A` where there are several).

    Empty where it stands on none. With `given` only where the builder laid the panel out: one more
    circuit moves what nobody did.
    """
    position = on_panel(study, part.rated or chain.name)
    return "" if position is None or (given and not position.given) else position.name


def rating(study: Study, chain: Chain, part: Part) -> str:
    """The rating of a protective device: given or chosen; `? A` where it cannot be told."""
    found = sizing(study).devices.get(part.rated or chain.name)
    if found is not None and found.link_awg is not None and found.rating_a is None:
        return f"AWG {found.link_awg}"
    amps = found.rating_a if found else part.protection.rating_a if part.protection else None
    return "? A" if amps is None else f"{amps:g} A"


# --- rows -------------------------------------------------------------------------------------

_Path = tuple[tuple[Part, ...], tuple[Conductor | None, ...]]


def drawn_rows(study: Study, chain: Chain, rows: Sequence[Row]) -> tuple[inputs.DrawnRow, ...]:
    """The rows of a chain, each conductor once; where several go on, a joint is drawn."""
    paths = [_from_left(row) for row in rows]
    shared = [_shared(paths, i) for i in range(len(paths))]
    joints = {paths[i][0][n].id for i, n in enumerate(shared) if n}
    return tuple(
        _drawn(study, chain, path, first, joints)
        for path, first in zip(paths, shared, strict=True)
        if first < len(path[1])
    )


def _from_left(row: Row) -> _Path:
    """A row with its load at the right: returns are turned."""
    if row.role == "return":
        return tuple(reversed(row.parts)), tuple(reversed(row.conductors))
    return row.parts, row.conductors


def _shared(paths: Sequence[_Path], index: int) -> int:
    """How many conductors from the left an earlier row has drawn already."""
    parts, conductors = paths[index]
    best = 0
    for others, earlier in paths[:index]:
        count = 0
        for a, b, k in zip(conductors, earlier, range(len(conductors)), strict=False):
            same = a.id == b.id if a and b else a is b and parts[k + 1].id == others[k + 1].id
            if not same or parts[k].id != others[k].id:
                break
            count = k + 1
        best = max(best, count)
    return best


def _left_again(box: Node) -> Node:
    """The same contact at the right side of its box."""
    return replace(
        box, pin="", signal="", contact="",
        pin_out=box.pin, signal_out=box.signal, contact_out=box.contact,
    )  # fmt: skip


def _drawn(
    study: Study, chain: Chain, path: _Path, first: int, joints: set[str]
) -> inputs.DrawnRow:
    parts, conductors = path
    nodes: list[Node] = []
    wires: list[inputs.DrawnWire] = []
    for k in range(first, len(parts)):
        part = parts[k]
        if k > first:
            wires.append(words.drawn_conductor(study, conductors[k - 1]))
        if part.kind == "equipment" and k == first < len(parts) - 1:
            leads = conductors[k]  # a daisy chain or a field wire leads on from it
            from_ = leads.a if leads is not None and leads.a.kind == "equipment" else part
            nodes.append(_left_again(node(study, chain, from_)))
            continue
        joined = part.id in joints and part.kind != "splice" and k < len(parts) - 1
        if k > first or not joined:
            nodes.append(node(study, chain, part))
        if joined:
            if nodes:
                wires.append(inputs.DrawnWire())
            name = " ".join(t for t in (part.label or part.kind, part.contact) if t)
            nodes.append(Node(kind="splice", ref=f"{part.id} joint", signal=name, contact=part.id))
    return inputs.DrawnRow(nodes=tuple(nodes), conductors=tuple(wires))
