"""The symbols: their boxes, their terminals, and the library's own as the library draws them."""

import math
from typing import Any

import pytest
import schemdraw
from schemdraw import elements

from elec.drawings import symbol_ink, symbols
from elec.drawings.ink import Circle, InkPath, Picture, Placed
from elec.drawings.sheet import Sheet, TitleBlock
from elec.drawings.svg import to_svg
from tests.drawings import invented
from tests.pixels import NEAR, ink_of_svg, stray

STOCK = {
    "breaker": ("Breaker", 6.0, 1.0),
    "fuse": ("FuseIEEE", 6.0, 1.0),
    "diode": ("Diode", 9.0, 0.35),
}


@pytest.mark.parametrize("name", symbols.NAMES)
def test_every_symbol_is_drawn_within_its_box(name: str) -> None:
    form = symbols.shape(name)
    assert form.title
    assert form.right_mm > form.left_mm
    assert form.left_mm <= 0.3 or form.length_mm > 0
    sheet = Sheet(size="A4", title=TitleBlock())
    end = sheet.symbol(name, (100, 100), ref="x")
    assert end == pytest.approx(100 + form.length_mm)
    assert '<g class="symbol"' in to_svg(sheet)
    assert symbols.drawn(name).ink


@pytest.mark.parametrize("name", ["changeover", "changeover-upper"])
def test_a_changeover_is_drawn_off(name: str) -> None:
    """As every switch: its lever touches neither contact, by half as much again as a ring."""
    ink = symbols.drawn(name).ink
    (lever,) = (one for one in ink if isinstance(one, InkPath))
    rings = [one for one in ink if isinstance(one, Circle) and one.centre[0] < 3.0]
    assert len(rings) == 2
    for contact in rings:
        apart = math.dist(lever.points[-1], contact.centre) - contact.radius_mm
        assert apart > 1.5 * contact.radius_mm


def test_terminals_are_where_the_ink_is() -> None:
    """Left ink begins at the left terminal and right ink ends at the right one."""
    for name in invented.DEVICES:
        form = symbols.shape(name)
        assert form.left_mm == pytest.approx(0.0, abs=0.2), name
        assert form.right_mm == pytest.approx(form.length_mm, abs=0.2), name


def cropped(svg: str) -> Any:
    """The ink of a picture without the paper around it."""
    ink = ink_of_svg(svg)
    rows, columns = ink.any(1).nonzero()[0], ink.any(0).nonzero()[0]
    return ink[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]


@pytest.mark.parametrize("name", STOCK)
def test_a_symbol_of_the_library_looks_as_the_library_draws_it(name: str) -> None:
    """schemdraw's own picture at 4 mm a unit, beside ours four times as large."""
    word, scale, units = STOCK[name]
    theirs = schemdraw.Drawing(
        show=False, canvas="svg", inches_per_unit=4 / 25.4, lw=1.4 * 72 / 25.4, margin=2
    )
    theirs.add(getattr(elements, word)().scale(scale).length(scale * units))
    ours = Picture(
        width_mm=60.0, height_mm=40.0, ink=(Placed(name=name, at=(10.0, 20.0), scale=4.0),)
    )
    one, two = cropped(theirs.get_imagedata("svg").decode()), cropped(to_svg(ours))
    assert max(abs(a - b) for a, b in zip(one.shape, two.shape, strict=True)) <= 2
    assert stray(one, two) < NEAR


def test_a_segment_that_we_have_no_ink_for_is_a_fault() -> None:
    with pytest.raises(TypeError, match="no ink"):
        list(symbol_ink._taken(schemdraw.SegmentText((0, 0), "R")))
