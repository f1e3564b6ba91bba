"""Every formula and every table serves the program: what the published cases prove is what runs."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import elec
from tests.physics.test_every_formula import FORMULAS
from tests.standards.names import table_names

ROOT = Path(elec.__file__).parent


@cache
def modules() -> dict[str, ast.Module]:
    return {
        str(path.relative_to(ROOT)): ast.parse(path.read_text(encoding="utf-8"))
        for path in ROOT.rglob("*.py")
    }


def names_called(tree: ast.AST) -> Iterator[str]:
    """Names of functions that a piece of code calls; `cited(formula)` is no call of the formula."""
    for node in ast.walk(tree):
        match node:
            case ast.Call(func=ast.Name(id=name)):
                yield name
            case ast.Call(func=ast.Attribute(value=ast.Name(id=name), attr="step")):
                yield name


@cache
def used() -> frozenset[str]:
    """Names of formulas that the program calls, and those that these call."""
    inside: dict[str, set[str]] = {}
    found: set[str] = set()
    for path, tree in modules().items():
        if not path.startswith("physics/"):
            imported = {
                alias.name
                for node in ast.walk(tree)
                if isinstance(node, ast.ImportFrom)
                and (node.module or "").startswith("elec.physics")
                for alias in node.names
            }
            found |= imported & set(names_called(tree))
            continue
        for node in tree.body:
            if isinstance(node, ast.FunctionDef):
                inside[node.name] = set(names_called(node))
    while True:
        more = {called for name in found for called in inside.get(name, ())} - found
        if not more:
            return frozenset(found)
        found |= more


@pytest.mark.parametrize("name", FORMULAS)
def test_the_program_calls_it(name: str) -> None:
    assert name.split(".")[1] in used(), f"nothing in elec calls {name}"


@cache
def texts() -> frozenset[str]:
    return frozenset(
        node.value
        for tree in modules().values()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


@pytest.mark.parametrize("name", table_names())
def test_the_program_reads_it(name: str) -> None:
    assert name in texts(), f'nothing in elec reads table("{name}")'
