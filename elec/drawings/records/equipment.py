"""Equipment with connectors: every contact, what lands on it, and where that goes.

Rows begin at the box. A wire between two such boxes is drawn at both of them, one end each, with
a flag that names the other; any other wire is drawn once, whole. Wires that reach no such box are
left for a sheet of their own.
"""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings.inputs import DrawnRow, EquipmentBox, EquipmentSheet, Node
from elec.drawings.records import words
from elec.drawings.records.drains import facts, with_drain
from elec.drawings.records.landings import (
    ANTENNA,
    DISCRETE,
    GROUND,
    LandingRow,
    contacts,
    landed,
)
from elec.study import Study, analysis

SMALL = 8
"""Equipment with more contacts in use than this has a sheet of its own."""
SHEET_MM = 158.0
"""What small equipment that shares a sheet may take of its height."""
TITLE_MM = 24.0
ROW_MM = 7.8
FACT_MM = 3.6


class EquipmentGroup(Struct, frozen=True, kw_only=True):
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


def with_codes(study: Study, rows: Sequence[DrawnRow]) -> tuple[DrawnRow, ...]:
    """Rows of another drawing, with the sheet of each piece of equipment beside its place."""
    found = codes(study)

    def coded(node: Node) -> Node:
        code = found.get(node.ref, "") if node.kind == "equipment" else ""
        return replace(node, sublabel=f"{node.sublabel} · {code}") if code else node

    return tuple(replace(row, nodes=tuple(map(coded, row.nodes))) for row in rows)


@analysis
def groups(study: Study) -> tuple[EquipmentGroup, ...]:
    """Which equipment shares a drawing, in the builder's order; none is drawn for it."""
    found: list[EquipmentGroup] = []
    small: dict[str, list[str]] = {}
    for name, entry in study.document.equipment.items():
        if not entry.connectors:
            continue
        count = sum(max(1, len(p.landings)) for _, p in contacts(study, name))
        if count > SMALL:
            found.append(EquipmentGroup(title=study.system.title("equipment", name), names=(name,)))
        else:
            small.setdefault(entry.place, []).append(name)
    found.extend(_shared(study, [box for boxes in small.values() for box in boxes]))
    return tuple(found)


def _shared(study: Study, boxes: Sequence[str]) -> Iterator[EquipmentGroup]:
    """Small equipment, place by place, as much on a sheet as it holds."""
    names: list[str] = []
    used = 0.0
    for name in boxes:
        box = _box(study, name)
        rows = max(len(box.left), len(box.right))
        high = TITLE_MM + ROW_MM * rows + FACT_MM * len(box.facts)
        if names and used + high > SHEET_MM:
            yield EquipmentGroup(title=_places(study, names), names=tuple(names))
            names, used = [], 0.0
        names.append(name)
        used += high
    if names:
        yield EquipmentGroup(title=_places(study, names), names=tuple(names))


def _places(study: Study, names: Sequence[str]) -> str:
    if len(names) == 1:
        return study.system.title("equipment", names[0])
    places = dict.fromkeys(study.document.equipment[name].place for name in names)
    return f"Equipment, {'; '.join(words.place(study, place) for place in places)}"


def equipment_record(study: Study, group: EquipmentGroup) -> EquipmentSheet:
    """A group of equipment as rows."""
    return EquipmentSheet(
        title=words.title_block(study, group.title, 1),
        id="equipment " + " ".join(group.names),
        boxes=tuple(_box(study, name) for name in group.names),
        cautions=words.cautions(study, group.names),
        size=words.paper(study, large=False),
    )


# --- contacts ---------------------------------------------------------------------------------


def _box(study: Study, name: str) -> EquipmentBox:
    entries = [e for one, pin in contacts(study, name) for e in landed(study, name, one, pin)]
    found: dict[tuple[str, str], list[LandingRow]] = {}
    for entry in _paired(entries):
        key = ("cable", entry.cable) if entry.cable else (f"rank {entry.rank}", entry.far)
        found.setdefault(key, []).append(entry)
    bundles = [
        (max(e.rank for e in group), group[0].far, with_drain(study, name, group))
        for group in found.values()
    ]
    bundles.sort(key=lambda b: (b[0], b[1]))
    left, right = _balanced([(rank, rows) for rank, _, rows in bundles])
    return EquipmentBox(name=name, left=left, right=right, facts=tuple(facts(study, name)))


_LEGS = frozenset({"low", "high"})


def _paired(entries: Sequence[LandingRow]) -> list[LandingRow]:
    """The two legs of a signal (`data`, `data low`) one after the other; cores in their order."""
    first: dict[str, int] = {}
    for i, entry in enumerate(entries):
        first.setdefault(_stem(entry), i)
    return sorted(
        entries, key=lambda e: (first[_stem(e)], e.row.conductors[0].ref if e.cable else "")
    )


def _stem(entry: LandingRow) -> str:
    """What two legs of a signal have in common."""
    node = entry.row.nodes[0]
    said = [word for word in node.signal.split() if word not in _LEGS]
    return f"cable {entry.cable}" if entry.cable else " ".join(said) or node.contact


def _balanced(
    bundles: Sequence[tuple[int, Sequence[DrawnRow]]],
) -> tuple[tuple[DrawnRow, ...], tuple[DrawnRow, ...]]:
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
