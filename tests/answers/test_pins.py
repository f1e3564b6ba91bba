"""Contacts of connectors: what lands on each, both genders, both halves, and what is wrong."""

from collections import Counter

import pytest

from elec.answers.connect.pins import ConnectorPins, arrangement_of, pins
from elec.standards import table
from elec.wiring.chains import chains
from tests.answers.helper import NAMES, small, whole
from tests.sizing.test_choices import PLUG

TEXT = """\
system: {{name: Pins, nominal: 14 V}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources: {{battery: {{kind: lead-acid, place: panel, capacity: 18 Ah}}}}
buses: {{main: {{place: panel}}}}
grounds: {{block: {{place: panel}}}}
feeders: [{{from: battery, to: main, limiter: auto}}]
equipment:
  radio:
    place: panel
    draw: 1 A
    connectors:
      J1:
        type: dsub-9
        contacts: pin
        pins: {{1: power, 6: ground, 3: audio, 4: shield-low, 5: spare}}
      aerial: {{type: BNC, contacts: socket}}
  panel-box:
    place: panel
    passive: yes
    connectors:
      P2: {{type: dsub-hd-15, contacts: socket, rating: 2 A, pins: {{2: audio, 5: core, 9: key}}}}
  far-box:
    place: tail
    passive: yes
    connectors: {{J1: {{type: terminals, pins: {{1: audio}}}}}}
  mast: {{place: tail, passive: yes}}
plugs:
  root: {{place: middle, type: circular-38999-20, contacts: socket, pins: {{A: audio, B: later}}}}
circuits:
  radio: {{bus: main, breaker: auto, feeds: radio, ground-point: block}}
wires:
  - {{from: radio.J1.3, to: panel-box.P2.2, signal: audio}}
  - {{from: panel-box.P2.9, to: root.A}}
  - {{from: root.A, to: far-box.J1.1}}
{wires}
multicores:
  pair:
    type: 2-core AWG 22 shielded
    cores: {{a: {{from: panel-box.P2.5, to: block}}}}
    shield: from
    drain: radio.J1.4

coax:
  aerial: {{type: RG-400, from: radio.aerial, to: mast, service: com}}
places: {{panel: , middle: , tail: }}
ways:
  - {{between: [panel, middle], length: 1 m}}
  - {{between: [middle, tail], length: 1 m}}
"""


def connector(name: str, wires: str = "") -> ConnectorPins:
    return pins(small(TEXT.format(wires=wires))).by_id[name]


def test_power_and_ground_are_found_by_their_signal() -> None:
    one = connector("radio.J1")
    power, ground = one.pin("1"), one.pin("6")
    assert [ln.goes_to for ln in power.landings] == ["breaker of radio"]
    assert [ln.colour for ln in power.landings] == ["white"]
    assert [ln.goes_to_id for ln in ground.landings] == ["block"]
    assert [ln.colour for ln in ground.landings] == ["black"]
    assert ground.landings[0].mark.endswith("N")


def test_both_genders_and_the_arrangement() -> None:
    one = connector("radio.J1")
    assert (one.gender, one.mate, one.arrangement, one.contacts) == ("pin", "socket", "dsub-9", 9)
    assert [pin.contact for pin in one.pins] == [str(k) for k in range(1, 10)]
    assert one.contact_size == "20"
    assert one.rating_a == pytest.approx(7.5)
    assert "memory" in one.rating_origin


def test_the_maker_s_rating_wins() -> None:
    one = connector("panel-box.P2")
    assert one.rating_a == pytest.approx(2.0)
    assert "small.yaml" in one.rating_origin


def test_states() -> None:
    one = connector("radio.J1")
    states = {pin.contact: pin.state for pin in one.pins}
    assert states["3"] == "used"
    assert states["2"] == "spare"  # nobody names it
    assert states["5"] == "spare"  # named as spare
    assert connector("root").pin("B").state == "unwired"


def test_two_wires_on_one_contact_are_shown() -> None:
    one = connector("radio.J1", "  - {from: radio.J1.3, to: far-box.J1.1}\n")
    pin = one.pin("3")
    assert pin.state == "double"
    assert len({ln.mark for ln in pin.landings}) == 2


def test_a_drain_lands_on_its_contact() -> None:
    pin = connector("radio.J1").pin("4")
    assert [(ln.role, ln.cable) for ln in pin.landings] == [("shield", "pair")]
    assert pin.state == "used"


def test_shield_is_grounded_at_one_end_only() -> None:
    (landing,) = connector("panel-box.P2").pin("5").landings
    assert landing.shield == "grounded here"


def test_a_plug_between_harnesses_has_a_wire_on_each_half() -> None:
    pin = connector("root").pin("A")
    assert {ln.side: ln.goes_to_id for ln in pin.landings} == {
        "near": "panel-box.P2.9",
        "far": "far-box.J1.1",
    }
    assert pin.state == "used"


def test_a_wire_on_one_half_only_is_said() -> None:
    text = TEXT.format(wires="").replace("  - {from: root.A, to: far-box.J1.1}\n", "")
    assert pins(small(text)).by_id["root"].pin("A").state == "one half"


def test_a_third_wire_in_a_plug_is_one_too_many() -> None:
    pin = connector("root", "  - {from: root.A, to: far-box.J1.1}\n").pin("A")
    assert pin.state == "double"


def test_a_coaxial_line_lands_on_the_centre() -> None:
    one = connector("radio.aerial")
    assert [(pin.contact, pin.state) for pin in one.pins] == [("centre", "used")]
    assert one.pins[0].landings[0].gauge == ""


def test_arrangements_are_those_of_the_table() -> None:
    for row in table("elec/dsub_shells"):
        kind = row.text("arrangement")
        name, contacts = arrangement_of(kind)
        assert name == kind
        assert len(contacts) == int(row.number("contacts_count"))
        assert contacts == tuple(str(k) for k in range(1, len(contacts) + 1))
    assert arrangement_of("circular-38999-20") == (None, ())


@pytest.mark.parametrize("name", NAMES)
def test_every_wire_end_on_a_contact_is_listed_once(name: str) -> None:
    study = whole(name)
    listed = Counter(
        (one.id, pin.contact, ln.conductor)
        for one in pins(study).by_id.values()
        for pin in one.pins
        for ln in pin.landings
        if ln.role != "shield"
    )
    assert set(listed.values()) == {1}
    ends = 0
    for conductor in chains(study).conductors():
        for part in (conductor.a, conductor.b):
            if part.kind == "connector":
                ends += 1
            elif part.kind == "equipment":
                boxes = study.document.equipment[part.name].connectors
                ends += part.contact.rpartition(".")[0] in boxes or part.contact in boxes
    assert sum(listed.values()) == ends


@pytest.mark.parametrize("name", NAMES)
def test_every_pin_that_the_builder_names_is_there(name: str) -> None:
    study = whole(name)
    found = pins(study).by_id
    for equipment, entry in study.document.equipment.items():
        for key, box in entry.connectors.items():
            contacts = {pin.contact for pin in found[f"{equipment}.{key}"].pins}
            assert set(box.pins) <= contacts
    for key, plug in study.document.plugs.items():
        assert set(plug.pins) <= {pin.contact for pin in found[key].pins}


def test_a_contact_that_is_called_spare_says_what_it_carries() -> None:
    """*spare* over a wire on the bench page invites a second one onto it."""
    text = PLUG.replace("pins: {A: feed,", "pins: {A: spare,")
    pin = next(one for one in pins(small(text)).by_id["plug"].pins if one.contact == "A")
    assert (pin.signal, pin.called) == ("lamp-feed, spare in the file", "spare")
    assert pin.state == "used"
