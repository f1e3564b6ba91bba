"""A coil in its box on the circuit sheet: the diode across it, where there is one."""

import pytest

from elec.drawings.ink import Placed
from elec.drawings.inputs import Node
from elec.drawings.records.nodes import equipment_node
from elec.drawings.sheet import Sheet
from elec.wiring.chains import chains
from elec.wiring.coils import coil_loads
from tests.drawings.test_set import drawn, study
from tests.systems import NAMES


def _symbols(sheets: tuple[Sheet, ...]) -> dict[str, set[str]]:
    """Id of a thing → symbols that stand inside its box."""
    found: dict[str, set[str]] = {}
    for sheet in sheets:
        for item in sheet.items:
            if isinstance(item.ink, Placed) and item.ink.name.startswith("coil"):
                found.setdefault(item.ref, set()).add(item.ink.name)
    return found


@pytest.mark.parametrize("name", NAMES)
def test_a_diode_is_drawn_across_a_coil_that_has_one_and_no_other(name: str) -> None:
    circuits = tuple(s for s in drawn(name).sheets if s.title.label.startswith("C"))
    found, switches = _symbols(circuits), study(name).document.switches
    wanted = {}
    for load, switch in coil_loads(study(name)).items():
        coil = switches[switch].coil
        assert coil is not None
        wanted[load] = {"coil-diode" if coil.suppressor == "diode" else "coil"}
    assert found == wanted


def test_no_name_beside_a_coil_is_cut() -> None:
    for name in ("foxglove", "larkspur"):
        loads = set(coil_loads(study(name)))
        texts = [
            item.text
            for sheet in drawn(name).sheets
            if sheet.title.label.startswith("C")
            for item in sheet.items
            if item.ref in loads and item.text
        ]
        assert "coil" in texts
        assert not [text for text in texts if text.endswith("…")]


def test_what_is_no_coil_has_no_symbol_inside() -> None:
    parts = [p for chain in chains(study("foxglove")).of("circuit") for p in chain.parts()]
    nodes: list[Node] = [
        equipment_node(study("foxglove"), part) for part in parts if part.kind == "equipment"
    ]
    assert {node.inner for node in nodes} == {"", "coil-diode"}
