"""Wire types and gauges in the builder's file: read, and refused where there is no such thing."""

from pathlib import Path

import pytest

from tests.read.helper import Wrong, changed, good, reading

OWN = """\
places: {engine: , panel: , belly: }
wire-types:
  lead:
    rated: 180 °C
    damaged: 250 °C
    source: sheet of 2024
    gauges:
      AWG 2: {resistance: 0.53 mΩ/m, diameter: 11.2 mm, mass: 420 g/m}
      AWG 2/0: {resistance: 0.081 ohm/1000 ft}
"""
PLACES = "places: {engine: , panel: , belly: }\n"


def test_a_type_of_the_builders_is_read(tmp_path: Path) -> None:
    found = good(reading(tmp_path, changed(PLACES, OWN))).document.wire_types["lead"]
    assert (found.rated_degc, found.damaged_degc, found.conductor) == (180.0, 250.0, "copper")
    gauges = found.by_awg()
    assert list(gauges) == ["2", "00"]
    assert gauges["2"].resistance_ohm_per_m == pytest.approx(0.53e-3)
    assert gauges["2"].mass_kg_per_m == pytest.approx(0.42)
    # 0.081 ohm per 304.8 m
    assert gauges["00"].resistance_ohm_per_m == pytest.approx(0.081 / 304.8)


@pytest.mark.parametrize(
    ("old", "new", "mistakes"),
    [
        ("nominal: 14 V", "nominal: 14 V, wire: etfe-tim", [
            'system.wire: there is no wire type "etfe-tim"; did you mean "etfe-tin"?'
        ]),
        ("breaker: 5 A, feeds: radio", "breaker: 5 A, wire: wool, feeds: radio", [
            ('circuits.radio.wire: there is no wire type "wool"; known: etfe-tin, pvc, silver-200, '
            "nickel-260, aluminium, battery-cable")
        ]),
        ("limiter: 40 A", "limiter: 40 A, wire: aluminium, gauge: AWG 10", [
            ("feeders.2.gauge: aluminium: AWG 10 is no gauge of it; there are AWG 8 to AWG 4/0 in "
            "even numbers")
        ]),
        ("limiter: 40 A", "limiter: 40 A, gauge: AWG 28", [
            ("feeders.2.gauge: etfe-tin: AWG 28 is no gauge of it; there are AWG 26 to AWG 4/0 in "
            "even numbers")
        ]),
        (PLACES, PLACES + "wire-types: {lead: {gauges: {AWG 2: {mass: 420 g/m}}}}\n", [
            'wire-types.lead: "rated" is missing: write a temperature, rated: 50 °C'
        ]),
        (PLACES, PLACES + "wire-types: {lead: {rated: 90 °C, gauges: {22: {mass: 5 g/m}}}}\n", [
            'wire-types.lead.gauges.22: "22" has no unit; write AWG 22'
        ]),
        (PLACES, PLACES + "wire-types: {lead: {rated: 90 °C, conductor: aluminium, "
         "gauges: {AWG 20: {mass: 5 g/m}}}}\n", [
            ("wire-types.lead.gauges.AWG 20: AWG 20 is no gauge of it; there are AWG 8 to AWG 4/0 "
            "in even numbers")
        ]),
        (PLACES, PLACES + "wire-types: {lead: {rated: 90 °C, gauges: {AWG 2: {mass: 5 g}}}}\n", [
            ('wire-types.lead.gauges.AWG 2.mass: "5 g" is a mass; expected a mass per length such '
            'as "95 g/m"')
        ]),
        (PLACES, PLACES + "wire-types: {Lead: {rated: 90 °C}}\n", [
            "wire-types.Lead: a name is made of small letters, digits and hyphens"
        ]),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(wrong: Wrong, old: str, new: str, mistakes: list[str]) -> None:
    assert wrong(old, new) == mistakes
