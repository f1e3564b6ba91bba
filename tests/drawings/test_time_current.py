"""The time-current chart: told apart in grey, inside its frame, true to its numbers."""

import math
import re
from xml.etree import ElementTree as ET

import pytest

from elec.analyses.damage import opens_in_time
from elec.analyses.time_current import time_currents
from elec.drawings.metrics import width_em
from elec.drawings.time_current import (
    LEFT,
    STYLES,
    TEXT,
    WIDTH,
    TimeCurrentChart,
    time_current_chart,
)
from elec.report.time_current import time_current_figures
from elec.standards import breaker_band
from tests.analyses.helper import NAMES, whole

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


def _numbers(path: str) -> list[tuple[float, float]]:
    found = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path)
    return [(float(x), float(y)) for x, y in found]


def _paths(svg: str) -> list[str]:
    return [e.get("d", "") for e in ET.fromstring(svg).iter() if e.tag.endswith("path")]  # noqa: S314


@pytest.mark.parametrize("chart", [CHART, TimeCurrentChart(device="? A fuse", wire="?")])
def test_everything_lies_on_the_paper(chart: TimeCurrentChart) -> None:
    svg = time_current_chart(chart)
    root = ET.fromstring(svg)  # noqa: S314 - our own drawing
    height = float(root.get("height", "0"))
    for path in _paths(svg):
        for x, y in _numbers(path):
            assert 0 <= x <= WIDTH
            assert 0 <= y <= height
    for text in root.iter("{http://www.w3.org/2000/svg}text"):
        words = "".join(text.itertext())
        wide = width_em(words) * TEXT
        x, anchor = float(text.get("x", "0")), text.get("text-anchor")
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor or "start"]
        assert left >= 0, words
        assert left + wide <= WIDTH, words


def test_lines_differ_without_colour() -> None:
    looks = [re.sub(r'stroke="[^"]*"', "", style) for style in STYLES.values()]
    assert len(set(looks)) == len(looks)
    svg = time_current_chart(CHART)
    assert len(set(re.findall(r'stroke-dasharray="([^"]+)"', svg))) == 4


def test_no_two_texts_lie_on_each_other() -> None:
    root = ET.fromstring(time_current_chart(CHART))  # noqa: S314 - our own drawing
    boxes: list[tuple[str, float, float, float, float]] = []
    for text in root.iter("{http://www.w3.org/2000/svg}text"):
        words, x, y = "".join(text.itertext()), float(text.get("x", "")), float(text.get("y", ""))
        wide = width_em(words) * TEXT
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "")]
        for other, a, b, above, below in boxes:
            apart = left >= b or left + wide <= a or y - TEXT * 0.75 >= below or y <= above
            assert apart, f"{words} on {other}"
        boxes.append((words, left, left + wide, y - TEXT * 0.75, y))


def test_a_decade_is_as_wide_everywhere_and_curves_pass_their_points() -> None:
    """50 A and 500 A are as far apart as 5 A and 50 A."""
    svg = time_current_chart(CHART)
    slow = re.findall(r'd="([^"]+)" ' + re.escape(STYLES["slowest"]), svg)
    spots = _numbers(slow[0])  # upright, ultimate trip, 2 times, 10 times
    assert spots[0][0] == spots[1][0]
    per_ampere = (spots[3][0] - spots[2][0]) / math.log(5)
    # a tenth of a unit is the rounding of the picture
    assert spots[2][0] - spots[1][0] == pytest.approx(per_ampere * math.log(10 / 6.9), abs=0.2)
    per_second = (spots[3][1] - spots[2][1]) / math.log(50 / 1.3)
    assert spots[2][1] - spots[1][1] == pytest.approx(per_second * math.log(3600 / 50), abs=0.2)
    assert spots[0][0] > LEFT


@pytest.mark.parametrize("name", NAMES)
def test_every_device_of_the_systems_has_its_chart(name: str) -> None:
    study = whole(name)
    figures = time_current_figures(study)
    assert len(figures) == len(time_currents(study)) >= 10
    assert len({figure.id for figure in figures}) == len(figures)
    for figure in figures:
        ET.fromstring(figure.svg)  # noqa: S314 - our own drawing
        assert len(figure.svg) < 9000  # a book has a hundred of them
        assert figure.description.endswith(".")
    assert [f.svg for f in figures] == [f.svg for f in time_current_figures(study)]


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
