"""Charts: equal ink, complete lettering, told apart without colour."""

import math
import re
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.drawings.charts.cut import HATCH_MM, HATCHES, clipped, hatching
from elec.drawings.charts.endurance import EnduranceChart, Minimum, Shed, endurance_chart
from elec.drawings.charts.phases import CapacityLine, Layer, PhaseBar, PhaseChart, phase_chart
from elec.drawings.ink import Box, InkPath, Lettering, Picture, Point
from elec.drawings.metrics import font_size_mm

PHASES = PhaseChart(
    bars=tuple(
        PhaseBar(
            phase=phase,
            condition=condition,
            parts=(
                Layer(name="main <bus> & $x$", current_a=size),
                Layer(name="essential", current_a=4.0),
            ),
            unknown=1 if phase == "cruise" else 0,
        )
        for phase, size in (("start", 180.0), ("taxi", 9.0), ("cruise", 12.25))
        for condition in ("day", "night")
    ),
    capacities=(
        CapacityLine(phase="taxi", current_a=18.0),
        CapacityLine(phase="cruise", current_a=None),
    ),
)
ENDURANCE = EnduranceChart(
    time_s=(0.0, 600.0, 1200.0),
    voltage_v=(12.5, 12.0, 11.0),
    charge_fraction=(1.0, 0.6, 0.2),
    sheds=(Shed(time_s=300.0, label="heated seats"),),
    minimums=(Minimum(voltage_v=11.2, label="radio"),),
    ends_s=1100.0,
)
DRAWN: dict[str, Callable[[], Picture]] = {
    "phases": lambda: phase_chart(PHASES),
    "endurance": lambda: endurance_chart(ENDURANCE),
}


def texts(chart: Picture) -> list[str]:
    return [ink.text for ink in chart.ink if isinstance(ink, Lettering)]


@pytest.mark.parametrize("name", DRAWN)
def test_equal_numbers_give_equal_ink(name: str) -> None:
    assert DRAWN[name]() == DRAWN[name]()


@pytest.mark.parametrize("name", DRAWN)
def test_nothing_lies_beside_the_paper(name: str) -> None:
    chart = DRAWN[name]()
    for ink in chart.ink:
        spots = ink.points if isinstance(ink, InkPath) else ()
        assert all(0 <= x <= chart.width_mm and 0 <= y <= chart.height_mm for x, y in spots), ink


def test_the_totals_and_the_gaps_are_written_out() -> None:
    found = texts(phase_chart(PHASES))
    assert found.count("13.0") == 2  # 9 + 4
    assert found.count("16.2") == 2  # 12.25 + 4 at one decimal, ties to even
    assert found.count("+ ?") == 2
    assert found.count("184") == 2
    assert "source: ?" in found
    assert "main <bus> & $x$" in found


def test_a_bar_that_would_dwarf_the_others_is_cut_short_and_says_so() -> None:
    found = texts(phase_chart(PHASES))
    assert found.count("↑") == 2
    axis = [float(text) for text in found if re.fullmatch(r"\d+\.\d", text)]
    assert max(axis) <= 25  # 1.18 × 18 A


def test_parts_differ_without_colour() -> None:
    """The first part is plain, the second hatched: slanting lines lie on its bars alone."""
    chart = phase_chart(PHASES)
    slanting = [
        ink.points
        for ink in chart.ink
        if isinstance(ink, InkPath) and len(ink.points) == 2 and not level_or_upright(ink.points)
    ]
    assert len(slanting) > 6


def level_or_upright(points: tuple[Point, ...]) -> bool:
    (x1, y1), (x2, y2) = points[0], points[-1]
    return x1 == x2 or y1 == y2


def test_sheds_are_numbered_and_explained() -> None:
    found = texts(endurance_chart(ENDURANCE))
    assert "1" in found
    assert any(text.startswith("1") and "5 min: heated seats" in text for text in found)
    assert "radio, 11.2 V" in found
    assert "empty" in found


def test_no_lettering_is_below_eight_and_a_half_points() -> None:
    for draw in DRAWN.values():
        sizes = [
            font_size_mm(ink.capital_mm) * 72 / 25.4
            for ink in draw().ink
            if isinstance(ink, Lettering)
        ]
        assert sizes
        assert min(sizes) >= 8.5


# --- hatches and cut lines ----------------------------------------------------------------------


@pytest.mark.parametrize("sign", HATCHES)
def test_a_hatch_stays_in_its_box_and_goes_on_in_the_next(sign: str) -> None:
    left, right = (1.0, 2.5, 9.0, 8.5), (9.0, 2.5, 14.0, 8.5)
    whole = (1.0, 2.5, 14.0, 8.5)
    parts = [line for box in (left, right) for line in hatching(box, sign)]
    for line in parts:
        assert all(0.999 <= x <= 14.001 and 2.499 <= y <= 8.501 for x, y in line)
    length = sum(math.dist(a, b) for a, b in parts)
    assert length == pytest.approx(sum(math.dist(a, b) for a, b in hatching(whole, sign)))
    # Lines 2 mm apart: what they cover is the area over their distance, but for the edges.
    assert length == pytest.approx(13 * 6 / HATCH_MM * len(HATCHES[sign]), rel=0.15)


@given(
    st.lists(st.tuples(st.floats(-20, 20), st.floats(-20, 20)), min_size=2, max_size=12),
    st.tuples(st.floats(-9, -1), st.floats(-9, -1), st.floats(1, 9), st.floats(1, 9)),
)
def test_a_cut_line_is_as_long_as_what_lies_in_the_box(points: list[Point], box: Box) -> None:
    """Against 2000 points on each piece, counted."""
    found = sum(math.dist(a, b) for part in clipped(points, box) for a, b in pairwise(part))
    steps = np.linspace(0, 1, 2001)[1:] - 1 / 4000
    sampled = 0.0
    for (x1, y1), (x2, y2) in pairwise(points):
        x, y = x1 + steps * (x2 - x1), y1 + steps * (y2 - y1)
        inside = (box[0] <= x) & (x <= box[2]) & (box[1] <= y) & (y <= box[3])
        sampled += math.dist((x1, y1), (x2, y2)) * float(inside.mean())
    # Each piece may be cut twice, each time within one of 2000 steps.
    assert found == pytest.approx(sampled, abs=60 * 2 / 2000 * len(points))


def test_a_line_has_a_gap_where_there_is_no_number() -> None:
    points = [(0.0, 1.0), (1.0, 1.0), (2.0, math.nan), (3.0, 1.0), (4.0, 1.0)]
    parts = list(clipped(points, (0.0, 0.0, 4.0, 4.0)))
    assert parts == [((0.0, 1.0), (1.0, 1.0)), ((3.0, 1.0), (4.0, 1.0))]
    assert list(clipped([(5.0, 1.0), (6.0, 1.0)], (0.0, 0.0, 4.0, 4.0))) == []
