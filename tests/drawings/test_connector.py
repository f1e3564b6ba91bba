"""Connector faces: places and mirroring against the published positions, states not by colour."""

import math

import pytest

from elec.drawings import faces
from elec.drawings.ink import Circle
from elec.drawings.inputs import BenchPage, BenchRow, ConnectorFace, DrawnPin
from elec.drawings.sheet import Sheet, Size, TitleBlock
from elec.drawings.sheets.bench import bench
from elec.drawings.sheets.face import mirrored
from elec.standards import table
from tests.drawings.inspect import inspect

NAMES = (
    "dsub-9", "dsub-15", "dsub-25", "dsub-37", "dsub-50", "dsub-hd-15", "dsub-hd-26", "dsub-hd-44",
    "dsub-hd-62", "dsub-hd-78",
)  # fmt: skip


def record(name: str, gender: str = "socket", size: Size = "A4", pins: int = 0) -> ConnectorFace:
    names = [str(i + 1) for i in range(pins)]
    face = faces.face(name, names, socket=gender == "socket")
    states = ("used", "spare", "used", "double")
    return ConnectorFace(
        title=TitleBlock(title="Radio J1"),
        id="radio.J1",
        name="J1",
        equipment="Radio",
        arrangement=face,
        gender=gender,  # type: ignore[arg-type]
        pins=tuple(
            DrawnPin(name=c.pin, state=states[i % 4], signal="serial out", mark=f"R{i}A22")  # type: ignore[arg-type]
            for i, c in enumerate(face.contacts)
        ),
        size=size,
    )


def connector(face: ConnectorFace) -> list[Sheet]:
    rows = tuple(BenchRow(contact=pin.name, signal=pin.signal, wire=pin.mark) for pin in face.pins)
    return bench(BenchPage(face=face, rows=rows))


def centres(sheet: Sheet, view: str) -> dict[str, tuple[float, float]]:
    return {
        i.ref: i.ink.centre
        for i in sheet.items
        if isinstance(i.ink, Circle) and i.group == f"radio.J1 {view}" and i.ref
    }


@pytest.mark.parametrize("size", ["A4", "A3", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_published_faces_have_no_fault(name: str, size: Size) -> None:
    sheets = connector(record(name, size=size))
    assert [str(f) for s in sheets for f in inspect(s)] == []


@pytest.mark.parametrize("pins", [2, 3, 4, 9, 12, 19, 40, 61])
@pytest.mark.parametrize("name", ["rectangular", "circular"])
def test_schematic_faces_say_so_and_have_no_fault(name: str, pins: int) -> None:
    sheets = connector(record(name, pins=pins))
    assert [str(f) for s in sheets for f in inspect(s)] == []
    assert any("Schematic" in item.text for item in sheets[0].items)
    assert len(centres(sheets[0], "mating face")) == pins


def test_pin_one_is_where_the_trade_has_it() -> None:
    """Looking at the pins of a plug, contact 1 is at the upper left; at sockets, upper right."""
    for gender, left in (("pin", True), ("socket", False)):
        (sheet, *_) = connector(record("dsub-9", gender))
        places = centres(sheet, "mating face")
        middle = sum(x for x, _ in places.values()) / len(places)
        assert (places["1"][0] < middle) is left
        assert places["1"][1] < places["6"][1]


def test_plug_and_socket_meet_contact_on_contact() -> None:
    """A plug's mating face laid on a socket's, turned over, puts each contact on its own."""
    (plug, *_), (socket, *_) = (connector(record("dsub-25", g)) for g in ("pin", "socket"))
    a, b = centres(plug, "mating face"), centres(socket, "mating face")
    middle_a = (max(x for x, _ in a.values()) + min(x for x, _ in a.values())) / 2
    middle_b = (max(x for x, _ in b.values()) + min(x for x, _ in b.values())) / 2
    for name in a:
        assert a[name][0] - middle_a == pytest.approx(middle_b - b[name][0], abs=1e-6)
        assert a[name][1] == pytest.approx(b[name][1])


def test_the_wiring_side_of_a_socket_looks_like_the_mating_face_of_a_plug() -> None:
    assert mirrored("pin", "mating face") == mirrored("socket", "wiring side")
    assert mirrored("pin", "wiring side") == mirrored("socket", "mating face")
    assert mirrored("pin", "mating face") != mirrored("pin", "wiring side")


def test_contacts_keep_their_true_proportions() -> None:
    """Pitch over row distance of the standard density, 2.77 mm over 2.84 mm."""
    (sheet, *_) = connector(record("dsub-37", "pin"))
    places = centres(sheet, "mating face")
    pitch, rows = places["2"][0] - places["1"][0], places["20"][1] - places["1"][1]
    assert pitch / rows == pytest.approx(2.77 / 2.84, rel=1e-3)
    assert math.isclose(places["20"][0] - places["1"][0], pitch / 2, rel_tol=0.01)


def test_states_differ_without_colour() -> None:
    (sheet, *_) = connector(record("dsub-9", "pin"))
    looks: dict[str, list[tuple[float, tuple[float, ...]]]] = {}
    for item in sheet.items:
        if isinstance(item.ink, Circle) and item.group == "radio.J1 mating face" and item.ref:
            looks.setdefault(item.ref, []).append((item.ink.width_mm, item.ink.dash))
    used, spare, double = looks["1"], looks["2"], looks["4"]
    assert used != spare
    assert used != double
    assert len(double) == 2


def test_a_doubly_claimed_contact_is_said_in_words() -> None:
    (sheet, *_) = connector(record("dsub-9", "pin"))
    assert any("claimed by two wires. Settle it first" in i.text for i in sheet.items)


def test_without_a_gender_the_sheet_says_so() -> None:
    (sheet, *_) = connector(record("dsub-9", ""))
    assert any("not said whether" in item.text for item in sheet.items)


def test_a_contact_that_the_type_does_not_have_makes_the_face_schematic() -> None:
    assert faces.face("dsub-9", ["1", "10"], socket=False).schematic
    assert not faces.face("dsub-9", ["1", "9"], socket=False).schematic


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    ("gender", "view", "sign"),
    [
        ("pin", "mating face", 1),
        ("pin", "wiring side", -1),
        ("socket", "mating face", -1),
        ("socket", "wiring side", 1),
    ],
)
def test_every_contact_is_at_its_published_place(
    name: str, gender: str, view: str, sign: int
) -> None:
    """Places of the open footprint library (plug, mating face, y up) in all four views."""
    (sheet, *_) = connector(record(name, gender))
    drawn = centres(sheet, view)
    rows = {r.text("pin"): r for r in table("elec/dsub_contacts").select(arrangement=name)}
    first, last = "1", str(len(rows))
    reach = math.dist(*((rows[p].number("x_mm"), rows[p].number("y_mm")) for p in (first, last)))
    scale = math.dist(drawn[first], drawn[last]) / reach
    x0 = drawn[first][0] - sign * scale * rows[first].number("x_mm")
    y0 = drawn[first][1] + scale * rows[first].number("y_mm")
    assert set(drawn) == set(rows)
    for pin, (x, y) in drawn.items():
        assert x == pytest.approx(x0 + sign * scale * rows[pin].number("x_mm"), abs=1e-6)
        assert y == pytest.approx(y0 - scale * rows[pin].number("y_mm"), abs=1e-6)
