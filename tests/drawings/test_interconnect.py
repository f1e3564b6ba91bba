"""The interconnect: a box for each connector, plugs in their lines, sheets at every row."""

from functools import cache
from pathlib import Path

import pytest

from elec.drawings.from_study import drawings
from elec.drawings.inputs import InterconnectDrawing
from elec.drawings.records.interconnect import interconnect_record, interconnects
from elec.drawings.sheet import Sheet
from elec.drawings.sheets.interconnect import interconnect
from elec.read import read
from elec.study import Study
from tests.drawings.inspect import crossings
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"


@cache
def study_of(name: str) -> Study:
    system = read(SYSTEMS / name).system
    assert system is not None
    return Study(system)


@cache
def record(name: str) -> InterconnectDrawing:
    (one,) = interconnects(study_of(name))
    return interconnect_record(study_of(name), one)


@cache
def bare(name: str) -> tuple[Sheet, ...]:
    return tuple(interconnect(record(name)))


@pytest.mark.parametrize("name", NAMES)
def test_each_connector_of_a_box_is_drawn_once(name: str) -> None:
    wanted = sorted(
        {(link.a, link.a_at) for link in record(name).links}
        | {(link.b, link.b_at) for link in record(name).links}
    )
    drawn = [
        (i.ref, t.text)
        for s in bare(name)
        for i in s.items
        if i.role == "connector"
        for t in s.items
        if t.ref == i.ref and t.text and i.box[1] < (t.box[1] + t.box[3]) / 2 < i.box[3]
    ]
    assert sorted(drawn) == wanted


@pytest.mark.parametrize("name", NAMES)
def test_lines_end_at_their_connectors(name: str) -> None:
    links = {link.id: link for link in record(name).links}
    for sheet in bare(name):
        bands = [i.box for i in sheet.items if i.role == "connector"]
        for line in (i for i in sheet.items if i.role == "link"):
            found = []
            for x, y in (line.segments[0][0], line.segments[-1][1]):
                (band,) = [
                    b for b in bands
                    if b[1] < y < b[3] and min(abs(b[0] - x), abs(b[2] - x)) < 0.01
                ]  # fmt: skip
                found += [
                    (t.ref, t.text) for t in sheet.items
                    if t.text and band[0] < t.box[0] and t.box[2] < band[2]
                    and band[1] < (t.box[1] + t.box[3]) / 2 < band[3]
                ]  # fmt: skip
            link = links[line.ref]
            assert sorted(found) == sorted([(link.a, link.a_at), (link.b, link.b_at)])


@pytest.mark.parametrize("name", NAMES)
def test_upright_pieces_over_one_another_are_clear_of_each_other(name: str) -> None:
    """Two links on one track with a small gap are taken for one line."""
    for sheet in bare(name):
        pieces = [
            (a[0], min(a[1], b[1]), max(a[1], b[1]), line.ref)
            for line in sheet.items
            if line.role == "link"
            for a, b in line.segments
            if abs(a[0] - b[0]) < 0.01
        ]
        for x, _, low, one in pieces:
            for other, top, _, two in pieces:
                if one != two and abs(x - other) < 0.5 and top > low:
                    assert top - low > 4.4, (one, two)


def test_crossings_are_no_more_than_they_were() -> None:
    """Larkspur's seven and Foxglove's one are left of what no order of boxes avoids."""
    found = {name: sum(crossings(sheet) for sheet in bare(name)) for name in NAMES}
    assert found["larkspur"] <= 7
    assert found["foxglove"] <= 1
    assert found["yarrow"] == found["thistledown"] == 0


def test_plugs_between_harnesses_stand_in_their_lines_and_in_the_table() -> None:
    """Foxglove's engine sensors pass a plug at the firewall."""
    plugged = {link.id for link in record("foxglove").links if link.plugs}
    assert len(plugged) == 6
    drawn = [i.ref for s in bare("foxglove") for i in s.items if i.role == "plug"]
    assert sorted(drawn) == sorted([*plugged, *plugged])  # two halves each
    rows = " ".join(i.text for s in bare("foxglove") for i in s.items)
    assert "engine sensor plug" in rows
    assert any("Two halves in a line" in i.text for s in bare("foxglove") for i in s.items)
    assert not any("Two halves" in i.text for s in bare("thistledown") for i in s.items)


@pytest.mark.parametrize("name", NAMES)
def test_the_table_names_all_that_is_carried(name: str) -> None:
    said = " ".join(i.text for s in bare(name) for i in s.items)
    assert "and more" not in said
    for link in (*record(name).links, *record(name).listed):
        for what in link.carries.split(", "):
            assert set(what.split()) <= set(said.replace(",", " ").replace(";", " ").split())


@pytest.mark.parametrize("name", NAMES)
def test_every_end_with_a_connector_names_its_sheet_in_the_table(name: str) -> None:
    study = study_of(name)
    found = drawings(study).of("interconnect")[0]
    for link in (*record(name).links, *record(name).listed):
        with_one = sum(
            bool(study.document.equipment[box].connectors.get(at))
            for box, at in ((link.a, link.a_at), (link.b, link.b_at))
        )
        refs = [
            i.text for s in found.sheets for i in s.items if i.ref == link.id and "/" in i.text
            and i.text[0] == "K"
        ]  # fmt: skip
        assert len(refs) >= with_one, link.id


def test_few_lines_cross_on_the_largest() -> None:
    assert sum(map(crossings, bare("larkspur"))) <= 8
