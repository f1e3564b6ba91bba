"""Cards: what is said of one thing on the terminal and the page, in one screen."""

import pytest

from elec.answers.base.marks import marks
from elec.answers.connect.panel import panels
from elec.answers.why.why_names import find
from elec.check import run
from elec.pages.cards.card import Card, cards
from elec.pages.cards.narrow import OPEN, marks_of, narrowed
from elec.pages.cards.page import show_answer
from elec.pages.cards.panel import panel_answer
from elec.pages.circuits.wire import conductors
from elec.pages.document import TableBlock
from elec.pages.glance import glance
from elec.pages.table import Value
from elec.wiring.chains import chains
from tests.answers.helper import whole

FOXGLOVE = "foxglove"


def named(kind: str, name: str) -> Card:
    """The card of that kind and name."""
    return next(c for c in cards(whole(FOXGLOVE)) if (c.kind, c.name) == (kind, name))


def said(card: Card) -> dict[str, Value]:
    """Key of the column → value."""
    return {column.key: value for column, value in card.facts}


@pytest.mark.parametrize("asked", ["toggles", "Switches", "main-breakers"])
def test_a_panel_shows_all_its_positions(asked: str) -> None:
    """By its name or title, free ones too; no other name is a panel's."""
    study = whole(FOXGLOVE)
    found = panel_answer(study, asked)
    assert found is not None
    (table,) = (b.table for b in found.blocks if isinstance(b, TableBlock))
    layout = next(one for one in panels(study).by_name.values()
                  if asked.casefold() in (one.name, one.title.casefold()))  # fmt: skip
    assert [row[0] for row in table.rows] == [one.name for one in layout.positions]
    shown = [row[1] for row in table.rows]
    for one, text in zip(layout.positions, shown, strict=True):
        assert str(text).startswith("free" if one.subject is None else one.subject.text)
    assert "free" in shown
    assert panel_answer(study, "no panel of this name") is None


def test_every_wire_has_a_card_that_says_what_the_schedule_says() -> None:
    """Mark by mark: ends, gauge, colour and length are the very cells of the schedule."""
    study = whole(FOXGLOVE)
    table = conductors(study)
    keys = [column.key for column in table.columns]
    made = {c.name: said(c) for c in cards(study) if c.kind == "wire"}
    assert len(made) == len({marks(study)[c.id] for c in chains(study).conductors()})
    for row in table.rows:
        for key in ("from", "to", "gauge_awg", "length_m"):
            value = row[keys.index(key)]
            assert made[str(row[0])].get(key, "") == value


def test_a_wire_knows_its_way_its_device_and_what_it_ends_on() -> None:
    """Everything that somebody asks who holds it in the hand."""
    beacon = named("wire", "L31B22")
    assert {"current_a", "warmest_degc", "used_fraction", "device", "ways", "state"} <= said(
        beacon
    ).keys()
    assert "beacon" in beacon.things
    assert "belly-beacon" in beacon.things


@pytest.mark.parametrize(
    ("ground", "hole"), [("panel-block", "32 mm"), ("avionics-block", "20 mm")]
)
def test_a_wire_passes_the_hole_of_its_own_bundle(ground: str, hole: str) -> None:
    """Through the other one it would be cut together with what it is to outlast."""
    wire = marks(whole(FOXGLOVE))[f"{ground}-ground/1"]
    passed = str(said(named("wire", wire))["holes"])
    assert passed == f"{hole} with grommet (firewall to panel)"


def test_a_contact_names_the_wire_on_it() -> None:
    """`radio.J1.1` is where R1A22 lands."""
    assert named("contact", "radio.J1.1").wires == ("R1A22",)


def test_a_spare_contact_has_a_card_without_wires() -> None:
    """It says that it is spare; it does not say nothing."""
    spare = next(c for c in cards(whole(FOXGLOVE)) if c.kind == "contact" and not c.wires)
    assert said(spare)["state"] in ("spare", "no wire reaches it", "one half only")


def test_a_way_lists_every_wire_that_lies_on_it() -> None:
    """What goes through the holes of a way, with ends: the question before it is closed."""
    study = whole(FOXGLOVE)
    ways = [c for c in cards(study) if c.kind == "way"]
    assert len(ways) == len(study.document.ways)
    answer = show_answer(study, find(study, ways[0].name))
    assert answer is not None
    tables = {b.table.id: b.table for b in answer.blocks if isinstance(b, TableBlock)}
    assert [row[0] for row in tables["its-wires"].rows] == list(ways[0].wires)


def test_what_belongs_to_a_thing_has_a_card() -> None:
    """No dead end: a load leads to its circuit and its connectors, a wire to both its ends."""
    every = cards(whole(FOXGLOVE))
    names = {c.name for c in every}
    assert {name for c in every for name in c.things} <= names
    assert {"radio", "radio.J1", "panel"} <= set(named("equipment", "radio").things)


@pytest.mark.parametrize("name", ["no-such-thing", "cruise"])
def test_what_has_no_card(name: str) -> None:
    """Nothing of that name, or a phase, which is no thing."""
    study = whole(FOXGLOVE)
    assert show_answer(study, find(study, name)) is None


def test_what_takes_essential_loads_has_no_mark_of_a_pass() -> None:
    """Nine failures of Foxglove take some; that no check is against them is no praise."""
    study = whole(FOXGLOVE)
    answer = next(a for a in glance(study, run(study)) if a.question.startswith("What if"))
    assert "take essential loads" in answer.text
    assert answer.verdict == ""


def test_a_box_has_the_wires_that_end_on_it_and_not_those_of_its_breaker() -> None:
    """A circuit may bear the name of its load; what lies before the switch is the circuit's."""
    assert "L20A16" not in named("equipment", "landing-light").wires
    assert "L20C16" in named("equipment", "landing-light").wires
    assert "L20A16" in named("circuit", "landing-light").wires


def test_a_bus_has_the_wires_on_its_breakers() -> None:
    """A wire of every circuit and feeder that hangs on it, and none that begins behind a switch."""
    study = whole(FOXGLOVE)
    own = set(named("bus", "main").wires)
    for chain in chains(study).by_name.values():
        if "main" in (chain.source_end, chain.far_end):
            assert own & {marks(study)[c.id] for c in chain.conductors()}, chain.name
    assert "L10A20" in own  # from the breaker of nav left to the switch
    assert "L10B20" not in own  # from the switch on


def test_a_card_says_by_what_lists_of_it_are_narrowed() -> None:
    """Zone from where it lies, bus from what feeds it, state from the work, verdict as found."""
    study = whole(FOXGLOVE)
    found = run(study)
    made = {(c.kind, c.name): c for c in narrowed(study, cards(study), found)}
    wire = made["wire", "L10C20"]
    assert (wire.zones, wire.buses, wire.states) == (("wings",), ("main bus",), ("terminated",))
    assert made["bus", "essential"].buses == ("essential bus",)
    assert made["place", "belly"].zones == ("under the baggage floor",)
    spare = made["contact", "radio.J1.2"]
    assert (spare.buses, spare.states, spare.verdict) == ((), (), "")


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_wires_are_narrowed_as_the_page_narrows_their_cards(name: str) -> None:
    """The terminal's answer, wire by wire, is what the cards say of themselves."""
    study = whole(name)
    wires = [c for c in narrowed(study, cards(study), ()) if c.kind == "wire"]
    some = 0
    for zone in study.document.zones:
        for bus in study.document.buses:
            for state in ("planned", "terminated", OPEN):
                asked = set(marks_of(study, bus=bus, zone=zone, state=state))
                far = {"rung out", "tested"}
                held = {
                    c.name
                    for c in wires
                    if study.system.title("zones", zone) in c.zones
                    and study.system.title("buses", bus) in c.buses
                    and (
                        any(s not in far for s in c.states) if state == OPEN else state in c.states
                    )
                }
                assert asked == held
                some += len(asked)
    assert some
    assert len(marks_of(study, bus="", zone="", state="")) == len(wires)


def test_the_verdict_of_a_card_is_the_worst_finding_about_it() -> None:
    study = whole("larkspur")
    found = run(study)
    open_ = [f for f in found if f.verdict.value != "pass"]
    made = narrowed(study, cards(study), found)
    told = {id(f) for c in made for f in c.said}
    assert told
    assert told <= {id(f) for f in open_}
    for one in made:
        assert (one.verdict in ("pass", "")) == (not one.said), one.name


@pytest.mark.parametrize(
    ("kind", "name", "wires"),
    [
        ("switch", "fuel-pump", {"Q1A22", "Q1B22"}),
        ("equipment", "fuel-pump", {"Q1B22", "Q1C22N"}),
        ("switch", "alternator", {"P10A20", "P10B20"}),
        ("source", "alternator", {"P10C20", "P2A6", "P6A6N"}),
        ("switch", "master", {"P14A22", "P1A4", "P1B4"}),  # the coil's wire is on its post
    ],
)
def test_things_of_one_name_have_their_own_wires_only(
    kind: str, name: str, wires: set[str]
) -> None:
    assert set(named(kind, name).wires) == wires
