"""The time-current chart: told apart in grey, inside its frame, true to its numbers."""

import math
from itertools import combinations

import pytest
from msgspec.structs import replace

from elec.answers.short.damage import opens_in_time
from elec.answers.short.time_current import time_currents
from elec.drawings.charts.time_current import (
    LANE_MM,
    LEFT_MM,
    LOOKS,
    PLOT_MM,
    RIGHT_MM,
    TOP_MM,
    WIDTH_MM,
    TimeCurrentChart,
    time_current_chart,
)
from elec.drawings.ink import InkPath, Lettering, Picture
from elec.drawings.metrics import width_mm
from elec.drawings.svg import to_svg
from elec.pages.circuits.time_current import time_current_figures
from elec.standards import breaker_band
from tests.answers.helper import NAMES, whole

CHART = TimeCurrentChart(
    device="5 A breaker <new> & old",
    wire="AWG 20, damaged at 230 °C",
    slowest=((6.9, 36000.0), (6.9, 3600.0), (10.0, 50.0), (50.0, 1.3)),
    quickest=((5.75, 36000.0), (5.75, 3600.0), (10.0, 8.0), (50.0, 0.2)),
    beyond=(((50.0, 1.3), (600.0, 1.3)),),
    damage=((14.0, 36000.0), (14.1, 900.0), (100.0, 1.1), (600.0, 0.02)),
    load_a=3.0,
    inrush=(24.0, 0.02),
    least_a=80.0,
    greatest_a=600.0,
)


def _lines(chart: Picture, look: str) -> list[InkPath]:
    style = LOOKS[look]
    return [
        ink
        for ink in chart.ink
        if isinstance(ink, InkPath)
        and (ink.width_mm, ink.colour, ink.dash) == (style.width_mm, style.colour, style.dash)
    ]


def _boxes(chart: Picture) -> list[tuple[str, float, float, float, float]]:
    """Each text with the box that it fills: left, top, right, bottom."""
    found = []
    for ink in chart.ink:
        if isinstance(ink, Lettering):
            wide = width_mm(ink.text, ink.capital_mm, ink.bold)
            left = ink.at[0] - wide * {"left": 0.0, "center": 0.5, "right": 1.0}[ink.align]
            top = ink.at[1] - ink.capital_mm
            found.append((ink.text, left, top, left + wide, ink.at[1]))
    return found


@pytest.mark.parametrize("data", [CHART, TimeCurrentChart(device="? A fuse", wire="?")])
def test_everything_lies_on_the_paper(data: TimeCurrentChart) -> None:
    chart = time_current_chart(data)
    for ink in chart.ink:
        for x, y in ink.points if isinstance(ink, InkPath) else ():
            assert 0 <= x <= chart.width_mm
            assert 0 <= y <= chart.height_mm
    for words, left, top, right, bottom in _boxes(chart):
        assert left >= 0, words
        assert right <= chart.width_mm, words
        assert top >= 0, words
        assert bottom <= chart.height_mm, words


def test_lines_differ_without_colour() -> None:
    looks = {(look.width_mm, look.dash) for look in LOOKS.values()}
    assert len(looks) == len(LOOKS)
    chart = time_current_chart(CHART)
    assert len({ink.dash for ink in chart.ink if isinstance(ink, InkPath) and ink.dash}) == 4


def test_no_two_texts_lie_on_each_other() -> None:
    for one, other in combinations(_boxes(time_current_chart(CHART)), 2):
        words, left, top, right, bottom = one
        apart = left >= other[3] or right <= other[1] or top >= other[4] or bottom <= other[2]
        assert apart, f"{words} on {other[0]}"


def test_a_decade_is_as_wide_everywhere_and_curves_pass_their_points() -> None:
    """50 A and 500 A are as far apart as 5 A and 50 A."""
    curve, _sample = _lines(time_current_chart(CHART), "slowest")
    spots = curve.points  # upright, ultimate trip, 2 times, 10 times
    assert spots[0][0] == spots[1][0]
    per_ampere = (spots[3][0] - spots[2][0]) / math.log(5)
    assert spots[2][0] - spots[1][0] == pytest.approx(per_ampere * math.log(10 / 6.9))
    per_second = (spots[3][1] - spots[2][1]) / math.log(50 / 1.3)
    assert spots[2][1] - spots[1][1] == pytest.approx(per_second * math.log(3600 / 50))
    assert spots[0][0] > LEFT_MM


def test_curves_end_at_the_edges_of_the_axes() -> None:
    chart = time_current_chart(replace(CHART, beyond=(((0.1, 0.001), (5000.0, 1e5)),)))
    (curve, _sample) = _lines(chart, "beyond")
    for x, y in curve.points:
        assert LEFT_MM - 1e-9 <= x <= WIDTH_MM - RIGHT_MM + 1e-9
        assert TOP_MM - 1e-9 <= y <= TOP_MM + PLOT_MM - LANE_MM + 1e-9


@pytest.mark.parametrize("name", NAMES)
def test_every_device_of_the_systems_has_its_chart(name: str) -> None:
    study = whole(name)
    figures = time_current_figures(study)
    assert len(figures) == len(time_currents(study)) >= 10
    assert len({figure.id for figure in figures}) == len(figures)
    for figure in figures:
        assert len(to_svg(figure.drawing)) < 9000  # a book has a hundred of them
        assert figure.description.endswith(".")
    assert figures == time_current_figures(study)


def test_curves_are_those_of_the_checks() -> None:
    """The band's points at the rating; the damage curve passes the race's own time."""
    study = whole("foxglove")
    found = time_currents(study)["radio"]
    band, rating = breaker_band("thermal"), found.device.rating_a or 0.0
    most = [(p.multiple * rating, p.most_s) for p in band.points if p.most_s is not None]
    assert list(found.slowest)[-len(most) :] == most
    race = opens_in_time(study)["radio"]
    low = max(p for p in found.damage if p[0] <= race.current_a)
    high = min(p for p in found.damage if p[0] >= race.current_a)
    assert high[1] <= race.damaged_s <= low[1]
