"""Charts: equal bytes, complete lettering, told apart without colour."""

import re
from collections.abc import Callable
from xml.etree import ElementTree as ET

import pytest

from elec.drawings.charts import (
    Capacity,
    EnduranceChart,
    Minimum,
    Part,
    PhaseBar,
    PhaseChart,
    Shed,
    endurance_chart,
    phase_chart,
)

PHASES = PhaseChart(
    bars=tuple(
        PhaseBar(
            phase=phase,
            condition=condition,
            parts=(
                Part(name="main <bus> & $x$", current_a=size),
                Part(name="essential", current_a=4.0),
            ),
            unknown=1 if phase == "cruise" else 0,
        )
        for phase, size in (("start", 180.0), ("taxi", 9.0), ("cruise", 12.25))
        for condition in ("day", "night")
    ),
    capacities=(Capacity(phase="taxi", current_a=18.0), Capacity(phase="cruise", current_a=None)),
)
ENDURANCE = EnduranceChart(
    time_s=(0.0, 600.0, 1200.0),
    voltage_v=(12.5, 12.0, 11.0),
    charge_fraction=(1.0, 0.6, 0.2),
    sheds=(Shed(time_s=300.0, label="heated seats"),),
    minimums=(Minimum(voltage_v=11.2, label="radio"),),
    ends_s=1100.0,
)
DRAWN: dict[str, Callable[[], str]] = {
    "phases": lambda: phase_chart(PHASES),
    "endurance": lambda: endurance_chart(ENDURANCE),
}


def texts(svg: str) -> list[str]:
    return [
        "".join(found.itertext()).strip()
        for found in ET.fromstring(svg).iter()  # noqa: S314 - our own drawing
        if found.tag.endswith("}text")
    ]


@pytest.mark.parametrize("name", DRAWN)
def test_equal_numbers_give_equal_bytes(name: str) -> None:
    assert DRAWN[name]() == DRAWN[name]()


@pytest.mark.parametrize("name", DRAWN)
def test_nothing_leaks_into_the_page_or_names_a_version(name: str) -> None:
    svg = DRAWN[name]()
    assert svg.startswith("<svg ")
    for banned in (
        "<style",
        "<metadata",
        "<!--",
        "<?xml",
        "matplotlib",
        "http://matplotlib",
        "2025",
        "2026",
    ):
        assert banned not in svg


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
    svg = phase_chart(PHASES)
    hatched = set(re.findall(r"fill: url\(#(h\w+)\)", svg))
    assert len(hatched) == 1  # the second part; the first is plain


def test_sheds_are_numbered_and_explained() -> None:
    found = texts(endurance_chart(ENDURANCE))
    assert "1" in found
    assert any(text.startswith("1") and "5 min: heated seats" in text for text in found)
    assert "radio, 11.2 V" in found
    assert "empty" in found


def test_no_lettering_is_below_eight_and_a_half_points() -> None:
    for draw in DRAWN.values():
        sizes = [
            float(size)
            for size in re.findall(r"(?:font: (?:bold |700 )?|font-size: )([\d.]+)px", draw())
        ]
        assert sizes
        assert min(sizes) >= 8.5  # the view box is in points, so px here are pt
