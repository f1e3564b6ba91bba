"""A control switch that is off in the middle: one contact with two throws, in two rows."""

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from elec.drawings.inputs import DrawnRow, Node
from elec.drawings.records.nodes import switch_position
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Part
from elec.wiring.coils import COILED, coil_loads, contacts


@analysis
def levers(study: Study) -> Mapping[str, tuple[tuple[Chain, Part], ...]]:
    """Switch that a hand throws → its poles, each with the chain that it stands in."""
    known = study.document.switches
    return {
        name: poles
        for name, poles in contacts(study).items()
        if name in known and known[name].coil is None and known[name].kind not in COILED
    }


def thrown(study: Study, circuit: str, rows: Sequence[DrawnRow]) -> tuple[DrawnRow, ...]:
    """Rows of which two that part at one terminal of a switch share its contact."""
    found = list(rows)
    for i, row in enumerate(rows):
        k = _switch_at(row)
        joint = row.nodes[k - 1].ref if k else ""
        others = [j for j, one in enumerate(rows) if j != i and one.nodes[0].ref == joint]
        if not joint or len(others) != 1:
            continue
        (j,) = others
        one, two = row.nodes[k], rows[j].nodes[1]
        if two.kind != "switch" or two.lever != one.lever or not one.pin:
            continue
        ref, common = f"{circuit}/throw {one.lever}", row.nodes[k - 2]
        found[i] = DrawnRow(
            nodes=(*row.nodes[: k - 2], _throw(study, ref, common, row, k), *row.nodes[k + 1 :]),
            conductors=(*row.conductors[: k - 2], *row.conductors[k:]),
        )
        found[j] = DrawnRow(
            nodes=(_throw(study, ref, common, rows[j], 1), *rows[j].nodes[2:]),
            conductors=rows[j].conductors[1:],
        )
    return tuple(found)


def _switch_at(row: DrawnRow) -> int:
    """Where a switch stands behind its terminal and a joint; 0: nowhere."""
    kinds = [node.kind for node in row.nodes]
    return next(
        (k for k in range(2, len(kinds) - 1) if kinds[k - 2 : k + 1] == ["splice"] * 2 + ["switch"]
         and row.nodes[k - 1].ref == f"{row.nodes[k - 2].ref} joint"), 0,
    )  # fmt: skip


def _throw(study: Study, ref: str, common: Node, row: DrawnRow, k: int) -> Node:
    """The contact in one of its rows: with the terminal and the position of that throw."""
    contact = row.nodes[k]
    entry = study.document.switches.get(contact.lever)
    off = entry.positions[0] if entry is not None and len(entry.positions) > 2 else "off"
    return replace(
        contact,
        kind="throw",
        ref=ref,
        label=" · ".join(filter(None, (switch_position(study, contact.lever), contact.label))),
        sublabel=off,
        signal_out=_position(study, row.nodes[-1].ref),
        contact=common.contact,
        contact_out=contact.contact,
    )


def _position(study: Study, load: str) -> str:
    """The way in which a motor runs while this coil is held; empty where it is no relay's."""
    relay = coil_loads(study).get(load, "")
    for circuit in study.document.circuits.values():
        turned = circuit.reverse
        if turned is not None and relay in turned.relays:
            return turned.ways[turned.relays.index(relay)]
    return ""


__all__ = ["levers", "thrown"]
