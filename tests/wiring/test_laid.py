"""What lies in which bundle: named by the builder, used by failures, heat and sizes."""

from pathlib import Path

import pytest

from elec.answers.connect.holes import passages
from elec.answers.failures.failure_list import failures
from elec.cli import main
from elec.wiring.laid import laid
from elec.wiring.surroundings import surroundings
from tests.answers.helper import small, whole

TEXT = """\
system: {{name: Two sides, nominal: 14 V}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources: {{battery: {{kind: lead-acid, place: bay, capacity: 18 Ah}}}}
buses: {{main: {{place: bay}}}}
grounds: {{stud: {{place: bay}}}}
feeders: [{{name: battery cable, from: battery, to: main, unprotected: test}}]
equipment:
  radio: {{place: panel, draw: 1 A, ground: stud}}
  lamp: {{place: panel, draw: 1 A, ground: stud}}
  fan: {{place: panel, draw: 1 A, ground: stud}}
circuits:
  radio: {{bus: main, breaker: 3 A, feeds: radio}}
  lamp: {{bus: main, breaker: 3 A, feeds: lamp}}
  fan: {{bus: main, breaker: 3 A, feeds: fan}}
places: {{bay: , panel: }}
ways: [{{name: trunk, between: [bay, panel], length: 1 m{more}}}]
"""


def test_a_bundle_takes_what_is_named_and_rest_the_others() -> None:
    study = small(TEXT.format(more=", bundled: {left: radio, right: rest}"))
    found = laid(study)[0]
    assert study.document.ways[0].bundles == 2
    assert dict(found.of) == {"radio": "left", "lamp": "right", "fan": "right"}
    assert found.unsaid == ()
    cut = {f.id: f.opens for f in failures(study) if f.id.startswith("bundle:")}
    whole_way = next(f.opens for f in failures(study) if f.id == "way:0")
    titles = [f.title for f in failures(study) if f.kind == "way"]
    assert titles[:2] == [
        "all wires cut on the way trunk, both bundles",
        "bundle left cut on the way trunk",
    ]
    assert set(cut) == {"bundle:0:left", "bundle:0:right"}
    assert cut["bundle:0:left"] | cut["bundle:0:right"] == whole_way
    assert not cut["bundle:0:left"] & cut["bundle:0:right"]


def test_what_is_not_named_may_lie_in_any() -> None:
    found = laid(small(TEXT.format(more=", bundled: {left: radio, right: [lamp]}")))[0]
    assert found.unsaid == ("fan",)
    assert not laid(small(TEXT.format(more=", bundles: 2")))


def test_the_fullest_bundle_warms_its_wires_and_gives_the_size() -> None:
    even = small(TEXT.format(more=", bundles: 2"))
    full = small(TEXT.format(more=", bundled: {left: radio, right: rest}"))
    # Three loads with a feed and a return each: three wires a bundle, or two beside four.
    assert surroundings(even).bundles["way:0"].wires == 3
    assert surroundings(full).bundles["way:0"].wires == 4
    assert (passages(even)[0].each, passages(full)[0].each) == (3, 4)
    thin, thick = passages(even)[0].diameter_m, passages(full)[0].diameter_m
    assert thin is not None
    assert thick is not None
    assert thick > thin


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (", bundled: {left: radoi, right: rest}", 'did you mean "radio"?'),
        (", bundled: {left: radio, right: [radio, lamp]}", '"radio" is in bundle left already'),
        (", bundled: {left: rest, right: rest}", '"rest" is in bundle left already'),
        (", bundles: 1, bundled: {left: radio, right: rest}", "2 bundles are named here"),
    ],
)
def test_a_wrong_name_is_refused_where_it_stands(
    more: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "two.yaml"
    path.write_text(TEXT.format(more=more), encoding="utf-8")
    assert main(["check", str(path)]) == 2
    shown = capsys.readouterr().err
    assert said in shown
    assert "two.yaml:16:" in shown


def test_the_tourer_s_pairs_through_the_firewall_are_told() -> None:
    found = laid(whole("larkspur"))[1]
    assert found.strangers == ()
    assert found.of["ecu-a"] != found.of["ecu-b"]
