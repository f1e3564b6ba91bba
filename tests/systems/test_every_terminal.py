"""Every contact, coil, terminal and post of every thing has its wires, or says why not.

Counted by hand in the files of the systems: contactors and relays, posts of sources, diodes.
"""

from collections.abc import Iterator
from itertools import pairwise

import pytest

from elec.answers.base.marks import marks
from elec.answers.connect.coils import coil_paths
from elec.answers.connect.panel import panels
from elec.model.source import Alternator
from elec.pages.bench import table as bench
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.coils import contacts, limit_switches
from tests.answers.helper import NAMES, whole

MOVED = {"foxglove": 5, "larkspur": 9, "thistledown": 0, "yarrow": 3}
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
            stands = panels(study).position(part.name, switch=True) is not None
            by_hand = study.document.switches[part.name].coil is None
            assert stands is (by_hand and part.name not in limit_switches(study)), part.name


def test_a_system_without_its_coils_says_so() -> None:
    """Thistledown has neither contactor nor relay: fuses in the battery plugs stand for them."""
    every = chains(whole("thistledown")).by_name.values()
    kinds = {part.kind for chain in every for part in chain.parts()}
    assert "contactor" not in kinds


SMALL = {
    # posts of batteries, + and -; terminals of alternators, B and -; field terminals with a wire
    "foxglove": (2, 2, 1),
    "larkspur": (4, 4, 2),
    "thistledown": (4, 0, 0),
    "yarrow": (2, 2, 1),
}
DIODES = {"foxglove": 1, "larkspur": 6, "thistledown": 0, "yarrow": 1}
THROUGH = (
    "breaker",
    "fuse",
    "limiter",
    "link",
    "shunt",
    "diode",
    "switch",
    "contactor",
    "changeover",
)


def _ends(study: Study) -> set[str]:
    """Every node that a wire ends on, or a part that touches another one."""
    found: set[str] = set()
    for chain in chains(study).by_name.values():
        for row in chain.rows:
            for (a, b), wire in zip(pairwise(row.parts), row.conductors, strict=True):
                found |= {a.outlet, b.inlet} if wire is None else {wire.a.outlet, wire.b.inlet}
    return found


def _posts(study: Study, *, alternator: bool) -> Iterator[str]:
    for name, source in study.document.sources.items():
        if isinstance(source, Alternator) == alternator:
            yield from (f"{name}.+", f"{name}.-")


@pytest.mark.parametrize("name", NAMES)
def test_every_post_of_a_source_has_a_wire(name: str) -> None:
    study = whole(name)
    batteries, machines = (list(_posts(study, alternator=kind)) for kind in (False, True))
    ends = _ends(study)
    fields = [node for node in ends if node.endswith(".F")]
    assert (len(batteries), len(machines), len(fields)) == SMALL[name]
    assert {*batteries, *machines} <= ends


@pytest.mark.parametrize("name", NAMES)
def test_small_terminals_of_an_alternator_have_a_wire_or_say_why_not(name: str) -> None:
    study = whole(name)
    ends = _ends(study)
    for source, entry in study.document.sources.items():
        if isinstance(entry, Alternator):
            for said, contact in (
                (entry.field_wire, "field"),
                (entry.sense, "sense"),
                (entry.warning_lamp, "lamp"),
            ):
                assert said is not None, (source, contact)
                box = entry.field_wire.from_ if entry.field_wire else source
                if contact == "field":
                    assert f"{source}.F" in ends
                elif said.from_ != "inside":
                    assert f"{box}.{contact}" in ends, (source, contact)


@pytest.mark.parametrize("name", NAMES)
def test_a_regulator_has_its_feed_its_return_and_its_field(name: str) -> None:
    study = whole(name)
    for entry in study.document.sources.values():
        if isinstance(entry, Alternator):
            chain = chains(study).by_name[entry.field_circuit or ""]
            contacts = {
                end.contact
                for wire in chain.conductors()
                for end in (wire.a, wire.b)
                if end.kind == "equipment"
            }
            assert contacts == {"+", "-", "field"}


@pytest.mark.parametrize("name", NAMES)
def test_both_sides_of_every_device_diode_and_shunt_lead_somewhere(name: str) -> None:
    study = whole(name)
    ends = _ends(study)
    found = [p for c in chains(study).by_name.values() for p in c.parts() if p.kind in THROUGH]
    assert sum(part.kind == "diode" for part in found) == DIODES[name]
    for part in found:
        assert {part.inlet, part.outlet} <= ends, part.id


@pytest.mark.parametrize("name", NAMES)
def test_every_bus_and_stud_has_something_that_feeds_it_and_something_that_it_feeds(
    name: str,
) -> None:
    study = whole(name)
    for bus in study.document.buses:
        touching = [c for c in chains(study).by_name.values() if bus in (c.source_end, c.far_end)]
        assert len(touching) > 1, bus
        assert bus in _ends(study)
