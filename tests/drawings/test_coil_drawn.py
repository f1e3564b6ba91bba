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


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_coil_and_contact_name_the_zone_in_which_the_other_is_drawn(name: str) -> None:
    """Not that of a title or of the beginning of a feeder, where they do not stand."""
    sheets = drawn(name).sheets
    text = " ".join(
        i.text.replace("here ", f"{s.title.label}/") for s in sheets for i in s.items if i.text
    )
    coils = {  # of starters: their contacts lie on a circuit's sheet of its own
        f"{sheet.title.label}/{_zone(sheet, item.box)}"
        for sheet in sheets
        for item in sheet.items
        if item.ref.endswith(".+") and "starter" in item.ref and sheet.title.label[0] == "C"
        and item.ref.removesuffix(".+") in coil_loads(study(name))
    }  # fmt: skip
    assert coils
    assert all(there in text for there in coils), coils
    feeders = {p.id for chain in chains(study(name)).of("feeder") for p in chain.parts()
               if p.kind == "contactor" and p.name in study(name).document.switches
               and study(name).document.switches[p.name].coil}  # fmt: skip
    contacts = {
        f"{sheet.title.label}/{_zone(sheet, item.box)}"
        for sheet in sheets
        for item in sheet.items
        if item.ref in feeders and isinstance(item.ink, Placed)
    }
    assert contacts
    assert all(there in text for there in contacts), contacts


def _zone(sheet: Sheet, box: tuple[float, float, float, float]) -> str:
    return sheet.zone((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
