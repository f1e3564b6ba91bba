"""Strips of panel labels: every text once and whole, at true size, none over another."""

from itertools import combinations

import pytest

from elec.answers.connect.panel import panels
from elec.drawings import metrics
from elec.drawings.charts.strips import (
    HEIGHT_MM,
    RULE_MM,
    WIDTH_MM,
    StripLabel,
    broken,
    size_mm,
    strips,
)
from elec.drawings.ink import InkPath, Lettering, Picture
from elec.drawings.records.panel import panel_record
from elec.drawings.sheets.panel import TRUE
from elec.pages.bench.engraving import _wanted, engraving
from elec.pages.circuits.panel import ON_NONE, labels
from elec.pages.document import Figure
from elec.standards import default
from elec.write.pdf.book import BINDING_MM, EDGE_MM
from elec.write.pdf.flow import Chart
from elec.write.pdf.paper import MM
from elec.write.register import PAPERS_MM
from tests.answers.helper import NAMES, whole
from tests.drawings.test_set import drawn


def texts(picture: Picture) -> list[Lettering]:
    """The letters inside outlines."""
    return [ink for ink in picture.ink if isinstance(ink, Lettering) and ink.bold]


def whole_texts(picture: Picture) -> list[tuple[str, float]]:
    """Text and height of each strip, its lines put together."""
    return [
        (" ".join(ink.text for ink in inside(picture, box)), inside(picture, box)[0].capital_mm)
        for box in outlines(picture)
    ]


def inside(picture: Picture, box: tuple[float, float, float, float]) -> list[Lettering]:
    left, top, right, bottom = box
    return [ink for ink in texts(picture) if left < ink.at[0] < right and top < ink.at[1] < bottom]


def outlines(picture: Picture) -> list[tuple[float, float, float, float]]:
    paths = [ink.points for ink in picture.ink if isinstance(ink, InkPath) and ink.closed]
    return [(p[0][0], p[0][1], p[2][0], p[2][1]) for p in paths]


@pytest.mark.parametrize("name", NAMES)
def test_every_text_of_the_engravers_table_is_a_strip_of_its_height(name: str) -> None:
    study = whole(name)
    made = [b.drawing for b in engraving(study) if isinstance(b, Figure)]
    assert len(made) >= len([one for one in panels(study).by_name.values() if not one.lone])
    shown = [(text, high) for p in made if isinstance(p, Picture) for text, high in whole_texts(p)]
    assert shown == [(row[2], row[3]) for row in labels(study).rows]


@pytest.mark.parametrize("name", NAMES)
def test_the_words_of_a_lever_are_engraved_as_on_its_sheet(name: str) -> None:
    study = whole(name)
    told = [(str(row[1]), row[2]) for row in labels(study).rows]
    met = 0
    for panel, layout in panels(study).by_name.items():
        for spot in (spot for row in panel_record(study, panel, {}).rows for spot in row):
            if any(spot.lever):
                met += 1
                place = ON_NONE if layout.lone else spot.name
                words = [word for at, word in told if at.startswith(f"{place}, ")]
                for word in spot.lever:
                    assert word.upper() in words, spot
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_what_the_sheet_has_on_no_panel_has_no_position(name: str) -> None:
    study = whole(name)
    lone = {one.title for one in panels(study).by_name.values() if one.lone}
    for panel, position, *_ in labels(study).rows:
        assert str(position).startswith(ON_NONE) == (panel in lone), panel
    left = [one for one in panels(study).by_name.values() if len(one.engraved) < len(one.subjects)]
    titles = {row[0] for row in labels(study).rows}
    for one in left:
        assert one.subjects[0].kind == "fuse"
        assert one.title not in titles
    assert left


@pytest.mark.parametrize("name", NAMES)
def test_strips_lie_apart_and_their_letters_inside(name: str) -> None:
    for block in engraving(whole(name)):
        if not isinstance(block, Figure):
            continue
        picture = block.drawing
        assert isinstance(picture, Picture)
        boxes = outlines(picture)
        for a, b in combinations(boxes, 2):
            assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]
        held = [(ink, box) for box in boxes for ink in inside(picture, box)]
        assert len(held) == len(texts(picture))
        for ink, (left, top, right, bottom) in held:
            half = ink.narrow * metrics.width_mm(ink.text, ink.capital_mm, bold=True) / 2
            assert left + 0.6 < ink.at[0] - half
            assert ink.at[0] + half < right - 0.6
            assert top + 1.0 < ink.at[1] - ink.capital_mm
            assert ink.at[1] < bottom - 1.0
            assert right <= picture.width_mm
            assert bottom < picture.height_mm


@pytest.mark.parametrize("paper", sorted(PAPERS_MM))
def test_nothing_shrinks_on_paper(paper: str) -> None:
    """A picture of the greatest size is drawn as large as it is, and the rule in it is 100 mm."""
    wide, high = PAPERS_MM[paper]
    picture = Picture(width_mm=WIDTH_MM, height_mm=HEIGHT_MM, ink=())
    chart = Chart(picture)
    room = (wide - BINDING_MM - EDGE_MM) * MM, (high - 2 * EDGE_MM) * MM
    assert chart.wrap(*room) == pytest.approx((WIDTH_MM * MM, HEIGHT_MM * MM))
    (made,) = strips([StripLabel(text="PUMP", name="A1", capital_mm=3.0)])
    across = [ink.points for ink in made.ink if isinstance(ink, InkPath) and not ink.closed]
    assert max(x for points in across for x, _ in points) == RULE_MM == 100.0


@pytest.mark.parametrize("name", NAMES)
def test_a_strip_is_no_wider_than_its_room_and_breaks_as_its_plate(name: str) -> None:
    """What is cut out and stuck on is what a plate at true size shows, in the same letters."""
    study = whole(name)
    plates = [
        sheet.items
        for drawing in drawn(name).of("panel")
        for sheet in drawing.sheets
        if sheet.title.note == TRUE
    ]
    met = 0
    for panel, layout in panels(study).by_name.items():
        entry = study.document.panels.get(panel)
        if entry is None or entry.pitch_m is None:
            continue
        named = {spot.name: spot.subject.name for spot in layout.positions if spot.subject}
        for one in _wanted(study, layout):
            assert one.room_mm is not None
            assert size_mm(one)[0] <= one.room_mm + 1e-6, one
            if one.name not in named:
                continue
            alike = [
                [
                    item.ink
                    for item in items
                    if item.ref == named[one.name] and item.role != "letter"
                ]
                for items in plates
            ]
            inks = [[i for i in found if isinstance(i, Lettering) and i.bold] for found in alike]
            lines = [[(i.text, i.capital_mm) for i in found] for found in inks if found]
            if lines:
                met += 1
                assert [(line, one.capital_mm) for line in broken(one)] in lines, one
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_headings_of_plates_are_as_high_as_ordered_or_the_sheet_says_so(name: str) -> None:
    study = whole(name)
    order = default("panel-heading-height").value
    over = {row[2] for row in labels(study).rows if str(row[1]).startswith("over ")}
    small = 0
    for drawing in drawn(name).of("panel"):
        for sheet in (sheet for sheet in drawing.sheets if sheet.title.note == TRUE):
            heads = [item.ink for item in sheet.items if item.ref in over
                     and isinstance(item.ink, Lettering) and item.ink.bold]  # fmt: skip
            assert heads
            most: dict[str, float] = {}  # from behind they stand again, small
            for head in heads:
                most[head.text] = max(head.capital_mm, most.get(head.text, 0.0))
            lower = any(high < order for high in most.values())
            told = "mm do not fit." in " ".join(i.text for i in sheet.items if i.text)
            assert lower == told
            small += lower
    assert small < 3


def test_words_are_never_parted() -> None:
    label = StripLabel(text="AUXILIARY ALTERNATOR FIELD " * 6, name="A1", capital_mm=4.0)
    lines = broken(label)
    assert len(lines) > 1
    assert " ".join(lines).split() == label.text.split()
    assert size_mm(label)[0] <= WIDTH_MM
    assert size_mm(label)[1] > size_mm(StripLabel(text="ON", name="A2", capital_mm=4.0))[1]


def test_many_strips_go_on_on_further_pictures() -> None:
    many = [StripLabel(text=f"LANDING LIGHT {n}", name=f"A{n}", capital_mm=4.0) for n in range(120)]
    made = strips(many)
    assert len(made) > 1
    assert all(picture.height_mm <= HEIGHT_MM for picture in made)
    assert [ink.text for picture in made for ink in texts(picture)] == [one.text for one in many]
    assert strips([]) == ()
