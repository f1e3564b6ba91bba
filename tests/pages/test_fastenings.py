"""Clamps, ties, grommets: counted by hand."""

from elec.pages.bench.fastenings import fastenings_to_buy
from tests.answers.helper import NAMES, small, whole

TEXT = """\
system: {name: Hold, nominal: 14 V}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: panel, capacity: 18 Ah}}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders: [{from: battery, to: main, limiter: auto, length: 1 ft}]
equipment: {lamp: {place: tail, draw: 2 A, ground: block}}
circuits: {lamp: {bus: main, breaker: auto, feeds: lamp, function: L, number: 7}}
places: {panel: , belly: , tail: }
ways:
  - {between: [panel, belly], length: 50 in,
     holes: [{diameter: 16 mm, grommet: yes}, {diameter: 20 mm}]}
  - {between: [belly, tail], length: 100 in, conduit: 12 mm}
"""


def test_counted_by_hand() -> None:
    """50 in: three clamps of 18 in, ten ties of 5 in; the tube needs none; one grommet."""
    table = fastenings_to_buy(small(TEXT))
    found = {str(row[0]): row for row in table.rows}
    assert found["cushioned clamp"][2] == 3
    assert found["cable tie"][2] == 10
    assert found["grommet"][1:3] == ("for a hole of 16 mm", 1)
    assert found["tube"][1] == "12 mm inside"


def test_a_way_that_says_its_supports_has_its_clamps() -> None:
    text = TEXT.replace("length: 50 in,", "length: 50 in, supports: 10 in,")
    found = {str(row[0]): row for row in fastenings_to_buy(small(text)).rows}
    assert found["cushioned clamp"][2] == 5


def test_a_way_without_length_is_named() -> None:
    table = fastenings_to_buy(small(TEXT.replace(" length: 50 in,", "")))
    assert "panel to belly" in table.note
    assert all(row[0] != "cushioned clamp" for row in table.rows)


def test_the_systems_have_all_kinds() -> None:
    for name in NAMES:
        kinds = {str(row[0]) for row in fastenings_to_buy(whole(name)).rows}
        assert {"cushioned clamp", "cable tie", "label or sleeve"} <= kinds
