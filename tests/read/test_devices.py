"""What a protective device says of itself: place, stub, the gauge of a link."""

from pathlib import Path

import pytest

from elec.sizing.sizing import sizing
from elec.wiring.chains import chains
from tests.answers.helper import small
from tests.read.helper import reading

TEXT = """
system: {name: Links, nominal: 14 V}
phases: {cruise: {lasts: 1 h}}
sources: {battery: {kind: lead-acid, place: nose, capacity: 18 Ah}}
buses: {main: {place: panel}}
grounds: {block: {place: nose}}
feeders: [{name: cable, from: battery, to: main, gauge: AWG 14, DEVICE}]
equipment: {lamp: {place: panel, draw: 1 A}}
circuits: {lamp: {bus: main, breaker: auto, feeds: lamp}}
places: {nose: , panel: , shelf: }
ways: [{between: [nose, panel], length: 3 ft}, {between: [nose, shelf], length: 4 in}]
"""


@pytest.mark.parametrize(
    ("device", "awg"),
    [("link: auto", "18"), ("link: {gauge: AWG 20}", "20"), ("link: {rating: 5 A}", None)],
)
def test_a_link_has_the_gauge_that_is_said_or_one_thinner_by_four(
    device: str, awg: str | None
) -> None:
    found = sizing(small(TEXT.replace("DEVICE", device))).devices["cable"]
    assert found.link_awg == awg
    assert found.label == ("5 A link" if awg is None else f"AWG {awg} link")
    if awg is not None:
        assert found.rating_a is None
        assert "at which current a link opens" in found.unknown


@pytest.mark.parametrize("key", ["link: {gauge: AWG 20", "breaker: {rating: 15 A"])
def test_a_device_at_another_place_has_a_wire_on_both_sides(key: str) -> None:
    study = small(TEXT.replace("DEVICE", key + ", place: shelf}"))
    wires = chains(study).by_name["cable"].conductors()
    assert [(wire.a.place, wire.b.place, wire.stub) for wire in wires] == [
        ("nose", "shelf", True),
        ("shelf", "panel", False),
    ]


@pytest.mark.parametrize(
    ("device", "message"),
    [
        ("breaker: {rating: 5 A, gauge: AWG 20}", "the gauge of a wire stands beside its breaker"),
        ("link: {rating: 5 A, gauge: AWG 20}", "there is also a rating"),
        ("link: {gauge: 20 A}", "AWG"),
        ("link: {place: shelv}", 'there is no place "shelv"; did you mean "shelf"?'),
    ],
)
def test_one_message_a_mistake(tmp_path: Path, device: str, message: str) -> None:
    (mistake,) = reading(tmp_path, TEXT.replace("DEVICE", device)).mistakes
    assert message in mistake.message
    assert mistake.place.line == 7
