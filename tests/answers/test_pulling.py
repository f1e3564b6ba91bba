"""Which connectors go through which holes."""

import math

import pytest

from elec.answers.connect.pulling import connector_size_m, passings
from tests.answers.helper import small

TEXT = """\
system: {{name: Holes, nominal: 14 V}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources: {{battery: {{kind: lead-acid, place: panel, capacity: 18 Ah}}}}
buses: {{main: {{place: panel}}}}
grounds: {{block: {{place: panel}}}}
feeders: [{{from: battery, to: main, limiter: auto}}]
equipment:
  radio:
    place: panel
    draw: 1 A
    connectors: {{J1: {{type: dsub-9, contacts: pin, pins: {{1: power, 2: ground, 3: data}}}}}}
  sensor:
    place: wing
    passive: yes
    connectors: {{J1: {{type: {type}, contacts: pin, pins: {{3: data}}}}}}
circuits: {{radio: {{bus: main, breaker: auto, feeds: radio}}}}
wires: [{{from: radio.J1.3, to: sensor.J1.3}}]
places: {{panel: , wing: }}
ways: [{{between: [panel, wing], length: 9 ft, {opening}}}]
"""


@pytest.mark.parametrize(
    ("kind", "opening", "passes"),
    [
        # a nine-way flange is 30.85 x 12.5 mm: 33.3 mm across its corners
        ("dsub-9", "holes: [{diameter: 34 mm}]", True),
        ("dsub-9", "holes: [{diameter: 33 mm}]", False),
        # a grommet takes 1/8 in (3.2 mm) off the hole
        ("dsub-9", "holes: [{diameter: 34 mm, grommet: yes}]", False),
        ("dsub-9", "conduit: 34 mm", True),
        ("rectangular-special", "holes: [{diameter: 34 mm}]", None),
    ],
)
def test_a_connector_at_a_hole(kind: str, opening: str, passes: bool | None) -> None:
    found = passings(small(TEXT.format(type=kind, opening=opening)))
    assert found["sensor.J1"].passes is passes
    assert found["radio.J1"].passes is (passes if passes is not None else True)


def test_no_hole_no_question() -> None:
    assert not passings(small(TEXT.format(type="dsub-9", opening="bundles: 1")))


def test_the_narrowest_counts() -> None:
    opening = "holes: [{diameter: 40 mm}, {diameter: 12 mm}], conduit: 20 mm"
    found = passings(small(TEXT.format(type="dsub-9", opening=opening)))
    assert found["sensor.J1"].narrowest.diameter_m == pytest.approx(0.012)


def test_sizes() -> None:
    """Flanges of an open footprint library; a TNC plug of 0.590 in (a maker's sheet)."""
    assert connector_size_m("dsub-25") == pytest.approx(math.hypot(53.1, 12.5) / 1000)
    assert connector_size_m("TNC") == pytest.approx(0.590 * 0.0254, abs=1e-4)
    assert connector_size_m("unheard-of") is None
