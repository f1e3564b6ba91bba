"""Lengths of wires: along the ways, within a place, given, and not known."""

from pathlib import Path

import pytest

from elec.read import read_texts
from elec.wiring.runs import runs
from tests.answers.helper import NAMES, small, whole

TEXT = """\
system: {{name: Lengths, nominal: 14 V}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources: {{battery: {{kind: lead-acid, place: panel, capacity: 18 Ah}}}}
buses: {{main: {{place: panel}}}}
grounds: {{block: {{place: panel}}}}
feeders: [{{from: battery, to: main, limiter: auto}}]
equipment:
  lamp: {{place: tail, draw: 1 A, ground: block}}
  radio: {{place: panel, draw: 1 A}}
circuits:
  lamp: {{bus: main, breaker: auto, feeds: lamp{extra}}}
  radio: {{bus: main, breaker: auto, feeds: radio}}
places: {{panel: {{within: 30 in}}, belly: , tail: }}
ways:
  - {{between: [panel, belly], length: 5 ft}}
  - {{between: [belly, tail]{tail}}}
"""


def test_a_run_is_its_ways_with_route_and_slack() -> None:
    found = runs(small(TEXT.format(extra="", tail=", length: 10 ft")))["lamp/1"]
    # (5 ft + 10 ft) · 1.05 + 2 · 3 in, the two defaults of the length rule.
    assert found.length_m == pytest.approx((15 * 12 * 1.05 + 6) * 0.0254)
    assert found.places == ("panel", "belly", "tail")
    (step,) = found.steps
    assert step.formula == "(w1 + w2) * (1 + f) + 2 * s"
    assert [term.symbol for term in step.terms] == ["w1", "w2", "f", "s"]
    assert [term.meaning for term in step.terms[:2]] == ["way panel to belly", "way belly to tail"]
    values = [term.value for term in step.terms[:2]]
    assert values == pytest.approx([5 * 0.3048, 10 * 0.3048])


def test_within_a_place_its_own_length_holds() -> None:
    found = runs(small(TEXT.format(extra="", tail=", length: 10 ft")))
    assert found["radio/1"].length_m == pytest.approx(30 * 0.0254)


def test_a_given_length_is_taken_as_it_is() -> None:
    found = runs(small(TEXT.format(extra=", length: 17 ft", tail=", length: 10 ft")))
    assert found["lamp/1"].length_m == pytest.approx(17 * 0.3048)
    assert found["lamp/2"].length_m == pytest.approx(17 * 0.3048)  # and as far back


def test_an_unknown_way_gives_no_length_and_says_which() -> None:
    found = runs(small(TEXT.format(extra="", tail="")))["lamp/1"]
    assert found.length_m is None
    assert "belly to tail" in found.unknown


def test_places_that_are_not_joined_are_told_at_reading() -> None:
    text = TEXT.format(extra="", tail=", length: 10 ft").replace(
        "  - {between: [panel, belly], length: 5 ft}\n", ""
    )
    read = read_texts({Path("small.yaml"): text.encode()})
    (mistake,) = map(str, read.mistakes)
    assert "no way leads from panel to tail, where the circuit lamp goes" in mistake
    assert "- {between: [tail, panel], length: 5 ft}" in mistake


@pytest.mark.parametrize("name", NAMES)
def test_every_length_of_the_systems_is_known(name: str) -> None:
    unknown = [run.conductor for run in runs(whole(name)).values() if run.length_m is None]
    assert unknown == []


def test_what_a_circuit_avoids_is_named_where_no_way_is_left() -> None:
    found = runs(small(TEXT.format(extra=", avoid: belly", tail=", length: 10 ft")))["lamp/1"]
    assert found.length_m is None
    assert "keep out of belly" in found.unknown


SENSOR = (
    TEXT.format(extra="", tail=", length: 10 ft")
    + """\
sensors: {lamp: {place: tail, kind: magnetometer, station: 142 in, buttline: 26 in}}
"""
)


def test_a_sensor_away_from_its_place_adds_the_way_to_it() -> None:
    """It has coordinates of its own; a wire cut to its place would be that much too short."""
    text = SENSOR.replace("tail: }", "tail: {station: 100 in}}")
    found = runs(small(text))["lamp/1"]
    away = (42**2 + 26**2) ** 0.5
    assert found.length_m == pytest.approx(((15 * 12 + away) * 1.05 + 6) * 0.0254)
    assert any("to lamp, straight" in term.meaning for term in found.steps[0].terms)


def test_a_sensor_at_its_place_adds_nothing() -> None:
    text = SENSOR.replace(", station: 142 in, buttline: 26 in", "")
    assert runs(small(text))["lamp/1"].length_m == pytest.approx((15 * 12 * 1.05 + 6) * 0.0254)


def test_how_far_a_sensor_is_from_a_place_without_a_station_is_not_known() -> None:
    found = runs(small(SENSOR))["lamp/1"]
    assert found.length_m is None
    assert "how far lamp sits from its place" in found.unknown
