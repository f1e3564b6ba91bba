"""Every contact, coil and post of every switch, relay and contactor has its wires.

Counted by hand in the files of the systems: contactors and relays, and switches and buttons.
"""

import pytest

from elec.answers.base.marks import marks
from elec.answers.connect.coils import coil_paths
from elec.answers.connect.panel import panels
from elec.pages.bench import table as bench
from elec.wiring.chains import chains
from elec.wiring.coils import contacts
from tests.answers.helper import NAMES, whole

MOVED = {"foxglove": 3, "larkspur": 7, "thistledown": 0, "yarrow": 3}
"""Contactors and relays: masters, starter contactor, relays."""
ENDS = {"bus", "source", "post", "ground", "equipment", "place"}


@pytest.mark.parametrize("name", NAMES)
def test_both_sides_of_every_contact_lead_somewhere(name: str) -> None:
    study = whole(name)
    assert study.document.switches.keys() <= contacts(study).keys()
    for poles in contacts(study).values():
        for chain, part in poles:
            rows = [row for row in chain.rows if part.id in {p.id for p in row.parts}]
            for row in rows:
                at = [p.id for p in row.parts].index(part.id)
                assert 0 < at < len(row.parts) - 1, part.id
                touching = row.parts[at - 1].outlet == part.inlet
                assert row.conductors[at - 1] is not None or touching, part.id


@pytest.mark.parametrize("name", NAMES)
def test_both_terminals_of_every_coil_have_a_wire(name: str) -> None:
    study = whole(name)
    found = coil_paths(study)
    assert len(found) == MOVED[name]
    for one in found.values():
        assert one.circuit is not None, one.switch
        ends = {
            end.contact
            for wire in one.circuit.conductors()
            for end in (wire.a, wire.b)
            if end.kind == "equipment"
        }
        assert ends == {"+", "-"}, one.switch
        assert one.openers, one.switch
        for row in one.circuit.rows:
            assert {row.parts[0].kind, row.parts[-1].kind} <= ENDS


@pytest.mark.parametrize("name", NAMES)
def test_every_coil_wire_is_cut_and_its_switch_has_a_position(name: str) -> None:
    study = whole(name)
    if not coil_paths(study):
        return
    cut = str(bench.cut_list(study).rows)
    for one in coil_paths(study).values():
        assert one.circuit is not None
        for wire in one.circuit.conductors():
            assert marks(study)[wire.id] in cut
        for part in one.openers:
            assert panels(study).position(part.name, switch=True), part.name


def test_a_system_without_its_coils_says_so() -> None:
    """Thistledown has neither contactor nor relay: fuses in the battery plugs stand for them."""
    every = chains(whole("thistledown")).by_name.values()
    kinds = {part.kind for chain in every for part in chain.parts()}
    assert "contactor" not in kinds
