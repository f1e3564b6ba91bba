"""Panels: given rows stay as they are, the rest is set out by bus, free positions are found."""

from pathlib import Path

import pytest

from elec.answers.connect.panel import Panels, heading, panels
from elec.answers.connect.throw import throw
from elec.read import read
from elec.study import Study
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"
TEXT = """
system: {name: Small, nominal: 14 V}
sources:
  battery: {kind: lead-acid, place: bay, capacity: 18 Ah, resistance: 9 mΩ}
buses: {main: {place: panel}, avionics: {place: panel}, hot: {place: bay}}
feeders:
  - {name: main-feed, from: battery, to: main, breaker: 30 A, switch: master}
  - {from: main, to: avionics, limiter: auto, switch: avionics}
  - {from: battery, to: hot, unprotected: short}
grounds: {g1: {place: panel}}
equipment:
  beacon: {place: panel, draw: 1 A}
  strobe: {place: panel, draw: 1 A}
  radio: {place: panel, draw: 1 A}
  clock: {place: bay, draw: 10 mA}
  spare: {place: panel, draw: 1 A}
circuits:
  beacon: {bus: main, breaker: 5 A, switch: lights, feeds: beacon, engraving: Beacon!}
  strobe: {bus: main, breaker: 5 A, switch: lights, feeds: strobe}
  radio: {bus: avionics, breaker: 5 A, feeds: radio}
  clock: {bus: hot, fuse: 1 A, feeds: clock}
  spare: {bus: main, breaker: 5 A, feeds: spare, switch: horn}
switches: {horn: {kind: button, name: horn button}}
places: {bay: {}, panel: {}}
ways: [{between: [bay, panel], length: 1 m}]
"""
ROWS = """
panels:
  breakers:
    place: panel
    columns: 4
    rows:
      - [beacon, strobe, free]
      - [free, radio]
"""


def made(folder: Path, more: str = "", text: str = TEXT) -> Study:
    file = folder / "small.yaml"
    file.write_text(text + more, encoding="utf-8")
    reading = read(file)
    assert reading.system is not None, reading.mistakes
    return Study(reading.system)


def mistakes(folder: Path, more: str) -> list[str]:
    file = folder / "small.yaml"
    file.write_text(TEXT + more, encoding="utf-8")
    return [m.message for m in read(file).mistakes]


def rows(found: Panels, name: str) -> list[list[str]]:
    return [[p.subject.name if p.subject else "-" for p in row] for row in found.by_name[name].rows]


def test_without_panels_each_bus_begins_a_row(tmp_path: Path) -> None:
    found = panels(made(tmp_path))
    assert set(found.by_name) == {
        "bay breakers", "panel breakers", "bay fuses", "panel switches", "bay switches"
    }  # fmt: skip
    assert rows(found, "panel breakers") == [["beacon", "strobe", "spare"], ["radio", "-", "-"]]
    assert rows(found, "bay fuses") == [["clock"]]
    assert not found.by_name["panel breakers"].given
    assert found.by_name["panel breakers"].title == "Breakers, panel"


def test_given_rows_stay_and_what_has_no_position_is_named(tmp_path: Path) -> None:
    found = panels(made(tmp_path, ROWS))
    layout = found.by_name["breakers"]
    assert rows(found, "breakers") == [["beacon", "strobe", "-", "-"], ["-", "radio", "-", "-"]]
    assert layout.given
    assert [s.name for s in layout.left_over] == ["spare"]
    assert found.position("radio").name == "CB-2B"  # type: ignore[union-attr]
    assert found.position("spare") is None


def test_the_free_position_beside_the_same_bus_comes_first(tmp_path: Path) -> None:
    found = panels(made(tmp_path, ROWS))
    assert [p.name for p in found.free("breakers", "avionics", "panel")] == [
        "CB-2A",
        "CB-2C",
        "CB-2D",
        "CB-1C",
        "CB-1D",
    ]
    assert [p.name for p in found.free("breakers", "main", "panel")][:2] == ["CB-1C", "CB-1D"]
    assert all(p.given for p in found.free("breakers", place="panel"))
    assert found.free("breakers", place="tail") == ()


def test_where_nothing_is_laid_out_there_is_always_a_next_position(tmp_path: Path) -> None:
    found = panels(made(tmp_path))
    names = [(p.panel, p.name, p.given) for p in found.free("fuses", "hot")]
    assert names == [("bay fuses", "2A", False)]
    (first, *_) = found.free("breakers", "avionics", "panel")
    assert first.name == "CB-2B"


def test_a_full_panel_that_is_laid_out_has_none(tmp_path: Path) -> None:
    full = "panels: {p: {place: panel, rows: [[beacon, strobe, radio, spare]]}}\n"
    assert panels(made(tmp_path, full)).free("breakers", place="panel") == ()


def test_columns_without_rows_give_rows_of_that_length(tmp_path: Path) -> None:
    found = panels(made(tmp_path, "panels: {p: {name: Left, place: panel, columns: 2}}\n"))
    assert rows(found, "p") == [["beacon", "strobe"], ["spare", "-"], ["radio", "-"]]
    assert found.by_name["p"].title == "Left"


def test_switches_say_what_they_do(tmp_path: Path) -> None:
    study = made(tmp_path)
    found = panels(study)
    lights = found.position("lights", switch=True)
    horn = found.position("horn", switch=True)
    assert lights is not None
    assert lights.subject is not None
    assert lights.subject.chains == ("beacon", "strobe")
    assert throw(study, lights.subject).up == "on: beacon, strobe"
    assert horn is not None
    assert horn.subject is not None
    assert throw(study, horn.subject).down == "off"


LEVER = """
  flap: {kind: switch, name: FLAP, positions: [off, down, up], lever: [up, off, down]}
"""


def test_a_lever_of_three_says_its_words_from_the_top(tmp_path: Path) -> None:
    text = TEXT.replace("switch: lights, feeds: beacon", "switch: flap, feeds: beacon")
    study = made(tmp_path, text=text.replace("switches: {horn", "switches:\n" + LEVER + "  horn")
                 .replace("name: horn button}}", "name: horn button}"))  # fmt: skip
    spot = panels(study).position("flap", switch=True)
    assert spot is not None
    assert spot.subject is not None
    does = throw(study, spot.subject)
    assert (does.up, does.middle, does.down) == ("beacon UP", "off", "beacon DOWN")
    assert does.lever == ("up", "off", "down")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (
            "positions: [off, down, up], lever: [up, down]",
            "write all positions as they lie from the top: off, down, up",
        ),
        ("lever: [up, off, down]", "what its positions are is not said"),
    ],
)
def test_mistakes_in_a_lever_are_found(tmp_path: Path, given: str, said: str) -> None:
    file = tmp_path / "small.yaml"
    file.write_text(TEXT.replace("kind: button,", f"kind: switch, {given},"), encoding="utf-8")
    (found,) = read(file).mistakes
    assert said in found.message


@pytest.mark.parametrize(
    ("panel", "said"),
    [
        ("holds: switches, rows: [[horn]]", '"horn" sits in bay, this panel in panel'),
        ("rows: [[spare]], pitch: 20 mm, row-pitch: 30 mm, hole: 20 mm", "is 20 mm away (pitch)"),
        ("rows: [[spare]], pitch: 2 in, row-pitch: 1/2 in, hole: 13 mm", "away (row-pitch)"),
    ],
)
def test_a_switch_elsewhere_and_holes_that_meet_are_refused(
    tmp_path: Path, panel: str, said: str
) -> None:
    text = TEXT.replace("kind: button,", "kind: button, place: bay,")
    file = tmp_path / "small.yaml"
    file.write_text(f"{text}panels: {{p: {{place: panel, {panel}}}}}\n", encoding="utf-8")
    (found,) = read(file).mistakes
    assert said in found.message


def test_rows_that_are_no_lists_are_told_once_as_they_are_meant(tmp_path: Path) -> None:
    """Nothing is said of headings over positions that are not known yet."""
    more = "panels: {p: {place: panel, rows: [beacon, strobe], headings: {LIGHTS: 1A-1B}}}\n"
    (said,) = mistakes(tmp_path, more)
    assert "each a list: [[beacon, strobe]]" in said


def test_a_hole_as_the_makers_say_fits_and_a_switch_may_say_its_panels_place(
    tmp_path: Path,
) -> None:
    text = TEXT.replace("kind: button,", "kind: button, place: panel,")
    made(tmp_path, "panels: {p: {place: panel, holds: switches, rows: [[horn]], pitch: 25 mm, "
         "hole: 12 mm}}\n", text)  # fmt: skip


SEVERAL = """
panels:
  left: {place: panel, rows: [[beacon, strobe]]}
  right: {place: panel, rows: [[radio, spare, free]], headings: {RADIO: 1A, LATER: 1B-1C}}
"""


def test_positions_bear_the_mark_of_their_panel_where_there_are_several(tmp_path: Path) -> None:
    found = panels(made(tmp_path, SEVERAL))
    names = {p.name for one in found.by_name.values() for p in one.positions if not one.lone}
    assert names == {"CB1-1A", "CB1-1B", "CB2-1A", "CB2-1B", "CB2-1C", "S-1A", "S-1B", "S-1C"}


def test_one_thing_alone_stands_on_no_panel_and_needs_no_mark(tmp_path: Path) -> None:
    fuses = panels(made(tmp_path)).by_name["bay fuses"]
    assert (fuses.lone, fuses.mark, fuses.positions[0].name) == (True, "", "1A")


def test_headings_stand_over_their_positions_with_the_bus(tmp_path: Path) -> None:
    study = made(tmp_path, SEVERAL)
    right = panels(study).by_name["right"]
    assert [heading(study, p, "breakers") for p in right.positions] == [
        "AVIONICS · RADIO", "MAIN · LATER", "MAIN · LATER"
    ]  # fmt: skip


def test_what_is_engraved(tmp_path: Path) -> None:
    found = panels(made(tmp_path))
    texts = {
        p.subject.name: (p.subject.text, p.subject.given_text)
        for layout in found.by_name.values()
        for p in layout.positions
        if p.subject
    }
    assert texts["beacon"] == ("Beacon!", True)
    assert texts["strobe"] == ("STROBE", False)
    assert texts["main-feed"] == ("MAIN FROM BATTERY", False)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("panels: {p: {place: panel, rows: [[beacn]]}}", 'no circuit or feeder "beacn"'),
        ("panels: {p: {place: panel, rows: [[main fed]]}}", 'did you mean "main-feed"?'),
        ("panels: {p: {place: panel, rows: [[clock]]}}", '"clock" has no breaker'),
        ("panels: {p: {place: nowhere, rows: [[radio]]}}", 'no place "nowhere"'),
        ("panels: {p: {place: panel, rows: [[radio, radio]]}}", "has a position already"),
        ("panels: {p: {place: panel, holds: switches, rows: [[mastr]]}}", 'no switch "mastr"'),
        ("panels: {p: {place: panel, rows: [radio]}}", "list"),
        (
            "panels: {p: {place: panel, headings: {A: 1B-2A}, rows: [[radio, spare], [beacon]]}}",
            '"1B-2A": from left to right in one row, such as 1A-1E',
        ),
        (
            "panels: {p: {place: panel, headings: {A: first}, rows: [[radio]]}}",
            '"first" is no position, such as 1A, and no positions, such as 1A-1E',
        ),
        (
            "panels: {p: {place: panel, headings: {A: [1A-1B, 1C]}, rows: [[radio, spare]]}}",
            "1C: the panel has 1 rows of 2 positions",
        ),
        (
            "panels: {p: {place: panel, headings: {A: 1A-1B, B: 1B}, rows: [[radio, spare]]}}",
            "1B stands under a heading already, A",
        ),
        ("panels: {p: {place: panel, pitch: 0 mm, rows: [[radio]]}}", "more than zero"),
    ],
)
def test_mistakes_in_rows_are_found(tmp_path: Path, more: str, said: str) -> None:
    found = mistakes(tmp_path, more + "\n")
    assert any(said in message for message in found), found


@pytest.mark.parametrize("name", NAMES)
def test_every_breaker_and_switch_of_the_systems_has_one_position(name: str) -> None:
    system = read(SYSTEMS / name).system
    assert system is not None
    found = panels(Study(system))
    taken = [
        (layout.holds, p.subject.name)
        for layout in found.by_name.values()
        for p in layout.positions
        if p.subject
    ]
    assert len(taken) == len(set(taken))
    circuits = system.document.circuits.items()
    breakers = {key for key, circuit in circuits if circuit.breaker is not None}
    left = {s.name for layout in found.by_name.values() for s in layout.left_over}
    assert breakers <= {key for _, key in taken} | left
