"""Which faults are made."""

from pathlib import Path

import pytest
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code

from tests.mutation.loader import Loader
from tests.mutation.mutants import FormulaText, _of_module, modules_of, source
from tests.mutation.report import interval
from tests.mutation.swap import exchanged

HEAD = "from elec.physics.formula import formula\n"


def _faults(text: str) -> list[str]:
    operator = FormulaText()
    places = [one for node in ast_nodes(get_ast(text)) for one in operator.mutation_positions(node)]
    return [mutate_code(text, operator, number)[len(HEAD) :] for number in range(len(places))]


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("X = 'a ** 2'", ["X = 'a * 2'", "X = 'a ** 3'"]),
        ("def f():\n    return 'max(a, b)'", ["def f():\n    return 'min(a, b)'"]),
        ("X = f'{Y} + 1e-3'", ["X = f'{Y} - 1e-3'", "X = f'{Y} + 1.001'"]),
        ("NOTE = 'the curves begin at 0.2'", []),
        ("def f():\n    raise E('1 / 2')", []),
        ("@formula('a / b')\ndef f():\n    return g", []),
    ],
)
def test_the_text_of_a_formula(text: str, faults: list[str]) -> None:
    assert _faults(HEAD + text) == faults


def test_what_is_no_module_of_formulas_is_left_alone() -> None:
    assert not _faults("X = 'a / b'")


def test_the_code_of_a_loaded_function_is_exchanged() -> None:
    path = Path("elec/physics/battery.py")
    old = path.read_text(encoding="utf-8")
    new = old.replace("if rated_h <= 0:", "if rated_h <= 1:")
    assert new != old
    from elec.physics import battery

    assert [one.__name__ for one, _ in exchanged(path, old, new)] == ["one_hour_capacity_ah"]
    assert battery.__file__ == str(path.resolve())
    assert not exchanged(path, old, old.replace("import math", "import cmath as math"))


def test_a_module_is_loaded_from_another_text() -> None:
    assert Loader(Path("elec/checks/__init__.py"), "").name == "elec.checks"
    spec = Loader(Path("elec/physics/none.py"), "X = 2").find_spec("elec.physics.heat", None)
    assert spec is None


def test_the_interval_is_the_one_of_the_handbook() -> None:
    """Newcombe 1998, Statistics in Medicine 17, 857, table I: 81 of 263 (from memory)."""
    assert interval(81, 263) == pytest.approx((0.2553, 0.3662), abs=5e-5)


def test_strict_of_zip_is_left_alone_and_other_words_are_not() -> None:
    path = Path("elec/sizing/candidates.py")
    lines = source(path).splitlines()
    words = {
        lines[one.start_pos[0] - 1].strip()
        for one in _of_module(path)
        if one.operator_name.endswith("ReplaceTrueWithFalse")
    }
    assert any("strict=True" in line for line in lines)
    assert not any("strict=True" in line for line in words)
    assert 'return GaugePasses(awg="", stays=True, free=False)' in words


def test_a_room_is_a_folder_or_a_module() -> None:
    assert modules_of("check") == [Path("elec/check.py")]
    assert {path.parent for path in modules_of("physics")} == {Path("elec/physics")}


def test_the_star_before_named_parameters_is_no_product() -> None:
    path = Path("elec/check.py")
    lines = source(path).splitlines()
    assert any(line.strip() == "*," for line in lines)
    assert not [one for one in _of_module(path) if "Mul_Div" in one.operator_name]
