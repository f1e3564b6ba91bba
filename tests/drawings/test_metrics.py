"""Text widths against the font files themselves, read by a general font library."""

import base64
from pathlib import Path
from typing import Any

import pytest
from fontTools.ttLib import TTFont

from elec.drawings import metrics


def font(bold: bool) -> tuple[Any, dict[int, str]]:
    name = f"DejaVuSans{'-Bold' if bold else ''}-subset.ttf"
    file: Any = TTFont(Path(metrics.__file__).with_name("fonts") / name)
    return file, file.getBestCmap()


@pytest.mark.parametrize("bold", [False, True])
def test_widths_are_those_of_the_bundled_font(bold: bool) -> None:
    file, names = font(bold)
    advances = file["hmtx"].metrics
    text = "Landing light 7.5 A · 9 mΩ ± ½ µ Δ ≤ ≥ → ✓ ✗ ⚠ ☐ − éÅłž"
    expected = sum(advances[names[ord(c)]][0] for c in text) / file["head"].unitsPerEm
    assert metrics.width_em(text, bold) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("bold", [False, True])
def test_the_capital_height_is_that_of_the_letter_h(bold: bool) -> None:
    file, names = font(bold)
    height = file["glyf"][names[ord("H")]].yMax / file["head"].unitsPerEm
    assert height == pytest.approx(metrics.CAPITAL_EM)


def test_the_book_gets_both_fonts() -> None:
    for bold in (False, True):
        assert len(base64.b64decode(metrics.font_data(bold=bold))) > 10_000
    assert metrics.font_face().count("@font-face") == 2


def test_a_text_is_made_smaller_before_it_is_cut() -> None:
    text, size = metrics.fit("belly beacon", 3.5, metrics.width_mm("belly beacon", 3.0))
    assert text == "belly beacon"
    assert 2.95 <= size <= 3.0
    short, smallest = metrics.fit("belly beacon", 2.5, 8.0)
    assert short.endswith("…")
    assert smallest == metrics.SMALLEST_MM
    assert metrics.width_mm(short, smallest) <= 8.0


def test_wrapping_keeps_every_word_and_the_width() -> None:
    text = "the battery is disconnected before " + "x" * 80
    lines = metrics.wrap(text, 1.8, 40.0)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(metrics.width_mm(line, 1.8) <= 40.0 for line in lines)


def test_an_unknown_letter_counts_wide_and_control_characters_go() -> None:
    assert metrics.width_em("電") > metrics.width_em("M")
    assert metrics.clean("a\tb\x00\n c") == "a b c"


def test_a_number_stays_with_what_it_counts() -> None:
    text = "FLAPS switch, terminal 4"
    room = metrics.width_mm("FLAPS switch, terminal", 2.5) + 0.1
    assert metrics.wrap(text, 2.5, room) == ("FLAPS switch,", "terminal 4")
    narrow = metrics.width_mm("terminal", 2.5) + 0.1  # too narrow for both together
    assert metrics.wrap("terminal 4", 2.5, narrow) == ("terminal", "4")


def test_a_diameter_is_not_parted_from_its_sign() -> None:
    for room in range(12, 40):
        for line in metrics.wrap("left 12 ⌀ 9.8, right 3 ⌀ 4.1", 1.8, float(room)):
            assert not line.endswith("⌀"), room
