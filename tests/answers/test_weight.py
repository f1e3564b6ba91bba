"""Weight and moment of the harness, against sums by hand."""

import pytest

from elec.answers.build.weight import Heavy, added, cable_kg_per_m, part_kg, weight
from elec.standards import copper
from elec.wiring.runs import runs
from tests.answers.helper import NAMES, small, whole

INCH, POUND = 0.0254, 0.45359237


def heavy(pounds: float, inches: float) -> Heavy:
    return Heavy(
        kind="wire", label="x", mass_kg=pounds * POUND, at_m=(inches * INCH, 0, 0), place="p"
    )


def test_a_harness_by_hand() -> None:
    """Four pieces by hand: 2.4192 lb, 198.03 lb in, arm 81.858 in; to five figures there."""
    pieces = (
        heavy(6 * 0.173, 30),
        heavy(84 * 0.0048, 150),
        heavy(60 * 0.0073, 95),
        heavy(12 * 0.045, 120),
    )
    found = added(pieces)
    assert found.mass_kg / POUND == pytest.approx(2.4192, abs=5e-5)
    assert found.arm_m is not None
    assert found.arm_m[0] / INCH == pytest.approx(81.858, abs=5e-4)
    assert found.mass_kg * found.arm_m[0] / POUND / INCH == pytest.approx(198.03, abs=5e-3)


TEXT = """\
system: {name: Weights, nominal: 14 V}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: nose, capacity: 18 Ah}}
buses: {main: {place: nose}}
grounds: {block: {place: nose}}
feeders: [{from: battery, to: main, limiter: auto, gauge: AWG 8}]
equipment: {lamp: {place: side, draw: 1 A, ground: block, mass: 1 lb}}
circuits: {lamp: {bus: main, breaker: auto, feeds: lamp, gauge: AWG 20, length: 80 in}}
places:
  nose: {station: 20 in}
  corner: {station: 60 in}
  side: {station: 60 in, buttline: 40 in}
ways:
  - {between: [nose, corner], length: 40 in}
  - {between: [corner, side], length: 40 in}
zones: {wing: {places: [side]}}
"""


def test_a_bent_wire_has_its_arm_in_the_middle_of_its_pieces() -> None:
    """40 in from 20 to 60 and 40 in at 60: the arm is (40*40 + 40*60)/80 = 50 in."""
    study = small(TEXT)
    wires = [one for one in weight(study).of("wire") if one.label == "AWG 20"]
    found = added(tuple(wires))
    assert found.arm_m is not None
    assert found.arm_m[0] / INCH == pytest.approx(50.0)
    assert found.arm_m[1] / INCH == pytest.approx((40 * 0 + 40 * 20) / 80)
    assert found.mass_kg == pytest.approx(2 * 80 * INCH * copper("20").mass_kg_per_m)


def test_equipment_counts_where_its_mass_is_given() -> None:
    items = weight(small(TEXT)).of("equipment")
    assert {one.label: one.mass_kg for one in items} == {
        "lamp": pytest.approx(POUND),
        "battery": None,
    }
    assert added(items).unknown == ("battery",)


def test_a_place_without_station_has_no_arm() -> None:
    study = small(TEXT.replace("corner: {station: 60 in}", "corner: "))
    found = added(weight(study).of("wire"))
    assert found.placed_kg < found.mass_kg


@pytest.mark.parametrize("name", NAMES)
def test_every_wire_is_weighed_once(name: str) -> None:
    """The sum over pieces is the sum over lengths; only the order of adding differs."""
    study = whole(name)
    from elec.sizing.sizing import sizing
    from elec.wiring.chains import chains

    total = 0.0
    for chain in chains(study).by_name.values():
        if chain.kind == "cable":
            continue
        if chain.path[0] == "grounds" and study.document.grounds[str(chain.path[1])].resistance_ohm:
            continue
        for c in chain.conductors():
            length = runs(study)[c.id].length_m
            total += (length or 0.0) * copper(sizing(study).gauges[c.id].awg).mass_kg_per_m
    assert added(weight(study).of("wire")).mass_kg == pytest.approx(total, rel=1e-9)


def test_masses_of_cables_and_parts() -> None:
    """RG-400: 0.050 lb a foot (from memory); AWG 22 100 ft: 0.321 lb (computed by hand)."""
    assert cable_kg_per_m("RG-400") == pytest.approx(0.05 * POUND / 0.3048)
    # 1.5 %: diameters of the hand calculation and of the table are from different lists.
    assert cable_kg_per_m("2-core AWG 22") == pytest.approx(2 * 0.321 * POUND / 30.48, rel=0.015)
    assert cable_kg_per_m("fibre") is None
    assert part_kg("splice") == pytest.approx(0.0007)
    assert part_kg("gizmo") is None
