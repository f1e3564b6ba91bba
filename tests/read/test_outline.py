"""Lines of the airframe are read point by point, and what is no point is told at its place."""

from pathlib import Path

import pytest

from elec.read import read

TEXT = """
system: {name: Wren, nominal: 14 V}
places: {nose: {station: 0 in}, tail: {station: 100 in}}
outline:
  wing: OUTLINE
"""


def test_points_are_read_in_metres(tmp_path: Path) -> None:
    file = tmp_path / "wren.yaml"
    file.write_text(TEXT.replace("OUTLINE", "{above: [[10 in, -2 in], [1 m, 30 cm]]}"), "utf-8")
    system = read(file).system
    assert system is not None
    wing = system.document.outline["wing"]
    assert wing.above_m is not None
    (first, second) = wing.above_m
    assert first == pytest.approx((0.254, -0.0508))
    assert second == pytest.approx((1.0, 0.3))
    assert wing.left_m is None
    assert wing.mirrored


@pytest.mark.parametrize(
    ("given", "column", "said"),
    [
        ("{}", 3, "an outline needs points: above or left, or both"),
        ("{left: [[1 in, 2 in]]}", 3, "a line needs two points or more"),
        (
            "{above: [[1 in, 2 in], [4 in]]}",
            32,
            "a point is two distances from the datums: [60 in, 20 in]",
        ),
        (
            "{above: [[36 in 160 in], [4 in, 1 in]]}",
            18,
            "a point is two distances from the datums: [36 in, 160 in]",
        ),
        ("{above: [[1 in, 3 V], [4 in, 1 in]]}", 25, '"3 V" is a voltage'),
    ],
)
def test_what_is_no_line_is_told(tmp_path: Path, given: str, column: int, said: str) -> None:
    file = tmp_path / "wren.yaml"
    file.write_text(TEXT.replace("OUTLINE", given), encoding="utf-8")
    (mistake,) = read(file).mistakes
    assert mistake.message.startswith(said)
    assert (mistake.place.line, mistake.place.column) == (5, column)
