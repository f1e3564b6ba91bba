"""The resistance of a conductor is computed in one place, and asked for everywhere else."""

import ast
from pathlib import Path

import pytest

import elec
from elec.standards import default
from elec.standards.wire import WireSize, aluminium, battery_cable, copper
from elec.wiring.wires import bare_ohm, crimped_ohm, joints_ohm

ROOT = Path(elec.__file__).parent
HOME = {"standards/wire.py", "physics/damage.py", "physics/drop.py", "physics/cylinder.py"}
"""The wire itself; and formulas that are given a resistance per metre, with their documents."""
SIZES = (copper("20"), copper("6"), battery_cable("2"), aluminium("2"))
PER_METRE = {"resistance_20degc_ohm_per_m", "resistance_ohm_per_m"}


@pytest.mark.parametrize("wire", SIZES)
def test_warmth_counts_by_the_straight_line_of_the_metal(wire: WireSize) -> None:
    for degc in (-40.0, 20.0, 80.0, 150.0):
        cold = wire.resistance_20degc_ohm_per_m
        assert cold + cold / (20 - wire.zero_degc) * (degc - 20) == pytest.approx(
            bare_ohm(wire, 1.0, degc), rel=1e-13
        )


def test_a_length_of_copper_as_a_handbook_has_it() -> None:
    # AWG 20, table 11-9: 9.88 ohm per 1000 ft; page 11-22: (234.5 + T)/254.5 of it when warm.
    feet = 0.3048
    assert bare_ohm(copper("20"), 1000 * feet) == pytest.approx(9.88, rel=1e-12)
    warm = bare_ohm(copper("20"), 1000 * feet, 105.0)
    assert warm == pytest.approx(9.88 * 339.5 / 254.5, rel=1e-12)


def test_crimps_count_at_both_ends() -> None:
    assert joints_ohm() == 2 * default("joint-resistance").si > 0
    assert crimped_ohm(copper("20"), 0.0) == joints_ohm()
    cold = bare_ohm(copper("20"), 2.0) + joints_ohm()
    assert crimped_ohm(copper("20"), 2.0) == pytest.approx(cold, rel=1e-14)  # rounding
    ends = bare_ohm(copper("20"), 2.0, 80.0) + joints_ohm()
    assert crimped_ohm(copper("20"), 2.0, 80.0) == pytest.approx(ends, rel=1e-14)  # rounding


def _computes(tree: ast.AST) -> list[int]:
    """Lines that multiply or divide by a resistance per metre, or by a wire's warmth."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult | ast.Div):
            for side in (node.left, node.right):
                name = side.func if isinstance(side, ast.Call) else side
                called = isinstance(name, ast.Name) and name.id == "warm_factor"
                if called or (isinstance(name, ast.Attribute) and name.attr in PER_METRE):
                    found.append(node.lineno)
        elif isinstance(node, ast.Constant) and _of_a_metal(node.value):
            found.append(node.lineno)
    return found


def _of_a_metal(value: object) -> bool:
    """Whether it is a number of the straight line, or a formula with one in it."""
    if isinstance(value, str):
        return "234.5 +" in value and "\n" not in value
    return value in (234.5, 254.5, 238.1)


def test_nobody_else_computes_it() -> None:
    found = {
        str(path.relative_to(ROOT)): lines
        for path in sorted(ROOT.rglob("*.py"))
        if (lines := _computes(ast.parse(path.read_text(encoding="utf-8"))))
    }
    printed = {"wiring/hand.py"}  # per 1000 ft, as its table prints it
    own_type = {"wiring/wires.py"}  # how far a wire type of the builder's own warms
    assert found.keys() <= HOME | printed | own_type, found


@pytest.mark.parametrize(
    "text",
    ["wire.resistance_20degc_ohm_per_m * length * hot",
     "at_20 * warm_factor(conductor_degc=80.0)", "(234.5 + t) / 254.5",
     "'R * (234.5 + T) / 254.5'"],
)  # fmt: skip
def test_a_second_place_would_be_found(text: str) -> None:
    assert _computes(ast.parse(text))


def test_the_ends_are_asked_for_in_one_place() -> None:
    own = {
        str(path.relative_to(ROOT))
        for path in sorted(ROOT.rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.BinOp)
        and isinstance(node.op, ast.Mult)
        and '"joint-resistance"' in ast.unparse(node).replace("'", '"')
    }
    assert own == {"wiring/wires.py"}
