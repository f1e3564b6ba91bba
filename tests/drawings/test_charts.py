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
from elec.drawings.charts.matrix import (
    HIGHEST_MM,
    SIGNS,
    MatrixChart,
    MatrixColumn,
    MatrixRow,
    Outcome,
    matrix_charts,
)
from elec.drawings.charts.phases import CapacityLine, Layer, PhaseBar, PhaseChart, phase_chart
from elec.drawings.charts.plot import BLUE, ORANGE, SKY, VERMILLION
from elec.drawings.charts.reach import (
    BandChart,
    BandRow,
    NearChart,
    NearRow,
    band_chart,
    near_chart,
)
from elec.drawings.charts.warmth import (
    WarmPlace,
    WarmthDrawn,
    WarmthMap,
    WarmWay,
    warmth_map,
)
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
MATRIX = MatrixChart(
    columns=(
        MatrixColumn(name="engine", group="engine"),
        MatrixColumn(name="main <bus>", group="buses"),
        MatrixColumn(name="radio", group="loads"),
        MatrixColumn(name="a load with a rather long name", group="loads"),
    ),
    rows=(
        MatrixRow(name="battery dead", outcomes=("lost", "reduced", "kept", "unknown"), sign="✗"),
        MatrixRow(
            name="all wires cut on the way from the firewall to the instrument panel and on to "
            "the belly, in all bundles of it",
            outcomes=("kept", "kept", "reduced", "lost"),
        ),
    ),
)
BANDS = BandChart(
    axis="volts",
    rows=(
        BandRow(name="radio", low=10.8, computed=11.3, high=11.6, asked=11.0, said="10.8 to 11.6",
                sign="⚠"),
        BandRow(name="a load with a name that needs more than one line of the chart to be written",
                low=12.0, computed=12.1, high=12.2, asked=9.0, said="12.0 to 12.2"),
    ),
)  # fmt: skip
NEAR = NearChart(
    rows=(
        NearRow(name="wire-drop: beacon", left=-0.3, said="30 % beyond", sign="✗"),
        NearRow(name="wire-heat: beacon", left=0.0, said="at the limit"),
        NearRow(name="bundle-heat: spar", left=4.0, said="400 % left"),
    )
)
WARMTH = WarmthMap(
    places=(
        WarmPlace(id="engine", name="engine", at_m=(0.0, 0.0, 0.0)),
        WarmPlace(id="panel", name="instrument panel", at_m=(1.2, 0.0, 0.3)),
        WarmPlace(id="tail", name="tail", at_m=(5.0, 0.0, 0.3)),
        WarmPlace(id="wing", name="left wing", at_m=(1.8, -4.0, 0.5)),
        WarmPlace(id="floor", name="floor", at_m=(1.2, 0.0, -0.5)),
    ),
    ways=(
        WarmWay(id="1", name="firewall", a="engine", b="panel", said="80 °C, P1A6", warm_degc=80.0),
        WarmWay(id="2", name="tail cone", a="panel", b="tail", said="no lasting current",
                warm_degc=None),
        WarmWay(id="3", name="spar", a="panel", b="wing", said="cannot tell", warm_degc=None,
                known=False, sign="?"),
        WarmWay(id="4", name="down", a="panel", b="floor", said="50 °C, L1A20", warm_degc=50.0),
    ),
    cool_degc=45.0,
    rated_degc=150.0,
)  # fmt: skip


def drawn(data: WarmthMap) -> WarmthDrawn:
    found = warmth_map(data)
    assert found is not None
    return found


DRAWN: dict[str, Callable[[], Picture]] = {
    "phases": lambda: phase_chart(PHASES),
    "endurance": lambda: endurance_chart(ENDURANCE),
    "matrix": lambda: matrix_charts(MATRIX)[0],
    "bands": lambda: band_chart(BANDS),
    "near": lambda: near_chart(NEAR),
    "warmth": lambda: drawn(WARMTH).picture,
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


# --- answers at a glance ----------------------------------------------------------------------


def shapes(chart: Picture) -> list[tuple[object, ...]]:
    """All ink but texts and colour: what is left of a chart in grey."""
    return [
        (ink.points, ink.width_mm, ink.closed, ink.fill is None)
        for ink in chart.ink
        if isinstance(ink, InkPath)
    ]


@pytest.mark.parametrize("outcome", SIGNS)
def test_each_outcome_of_the_matrix_is_another_shape(outcome: Outcome) -> None:
    """Without colour: the ink of one cell is that of no other outcome."""

    def cell(what: Outcome) -> Picture:
        row = MatrixRow(name="x", outcomes=(what,))
        columns = (MatrixColumn(name="y", group="loads"),)
        return matrix_charts(MatrixChart(columns=columns, rows=(row,)))[0]

    others = [cell(other) for other in SIGNS if other != outcome]
    assert all(
        (shapes(cell(outcome)), texts(cell(outcome))) != (shapes(one), texts(one)) for one in others
    )


def test_the_matrix_names_every_row_column_and_sign() -> None:
    found = " ".join(texts(matrix_charts(MATRIX)[0]))
    for words in ("✗ battery dead", "in all bundles of it", *SIGNS.values()):
        assert words in found
    for column in MATRIX.columns:
        assert column.name in found


def test_a_long_matrix_goes_on_with_its_heads() -> None:
    rows = tuple(MatrixRow(name=f"failure {k}", outcomes=("lost",) * 4) for k in range(90))
    pictures = matrix_charts(MatrixChart(columns=MATRIX.columns, rows=rows))
    assert len(pictures) > 1
    assert all(one.height_mm <= HIGHEST_MM + 1.0 for one in pictures)
    named = [text for one in pictures for text in texts(one)]
    assert [text for text in named if text.startswith("failure")] == [row.name for row in rows]
    assert named.count("radio") == len(pictures)


def test_a_band_lies_where_its_numbers_are() -> None:
    """The bar of the radio crosses its line at what is asked; the other lies right of its own."""
    chart = band_chart(BANDS)
    boxes = [ink for ink in chart.ink if isinstance(ink, InkPath) and ink.fill == SKY]
    (left, right), (low, _) = [
        (min(x for x, _ in box.points), max(x for x, _ in box.points)) for box in boxes[1:]
    ]
    lines = [
        ink.points[0][0]
        for ink in chart.ink
        if isinstance(ink, InkPath) and ink.colour == VERMILLION
    ]
    assert left < lines[1] < right  # the first is the legend's
    assert lines[2] < low


def test_beyond_a_limit_is_hatched_and_to_the_left() -> None:
    chart = near_chart(NEAR)
    fills = {ink.fill for ink in chart.ink if isinstance(ink, InkPath) and ink.fill}
    assert {BLUE, ORANGE} <= fills
    bars = [ink for ink in chart.ink if isinstance(ink, InkPath) and ink.fill == ORANGE]
    zero = max(
        ink.points[0][0]
        for ink in chart.ink
        if isinstance(ink, InkPath)
        and ink.colour == VERMILLION
        and ink.points[0][1] != ink.points[1][1]
        and ink.points[0][1] > 20
    )
    assert max(x for x, _ in bars[-1].points) == pytest.approx(zero)
    assert "30 % beyond" in texts(chart)


def test_a_warmer_way_is_thicker_and_what_is_not_known_is_dashed() -> None:
    found = drawn(WARMTH)
    by_dash = {
        ink.dash: ink.width_mm
        for ink in found.picture.ink
        if isinstance(ink, InkPath) and ink.colour == "#2f5f8a" and ink.points[0][1] > 8
    }
    assert by_dash == {(): pytest.approx(0.5 + 3.5 * (80 - 45) / (150 - 45))}
    said = texts(found.picture)
    assert "80 °C, P1A6" in said
    assert "? spar" in said
    assert found.left_out == ("4",)  # from above it is a point
