"""A formula is computed by its own text: nowhere is one typed beside a value got otherwise."""

import ast
from pathlib import Path

import pytest

import elec

ROOT = Path(elec.__file__).parent
HOME = {"working.py", "physics/formula.py"}
"""Where a text is evaluated: `computed`, and a formula's `step`."""


def _beside(tree: ast.AST) -> list[int]:
    """Lines that make a step of a formula and a result, each by itself."""
    return [
        node.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and getattr(node.func, "id", getattr(node.func, "attr", "")) in {"Step", "replace"}
        and any(keyword.arg == "formula" for keyword in node.keywords)
    ]


def test_no_formula_stands_beside_a_value() -> None:
    found = {
        str(path.relative_to(ROOT)): lines
        for path in sorted(ROOT.rglob("*.py"))
        if (lines := _beside(ast.parse(path.read_text(encoding="utf-8"))))
    }
    assert found.keys() == HOME, found


@pytest.mark.parametrize(
    "text",
    ["Step(result=Term('I', amps, 'A'), formula='P / V', terms=terms)",
     "working.Step(formula=f'{a} + {b}', result=result)", "replace(step, formula='2 * x')"],
)  # fmt: skip
def test_a_formula_beside_a_value_would_be_found(text: str) -> None:
    assert _beside(ast.parse(text))
    assert not _beside(ast.parse("computed('I', 'A', 'current', 'P / V', terms)"))
