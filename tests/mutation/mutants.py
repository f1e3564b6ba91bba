"""Small faults, one at a time: which there are in a room, and what the module is with one of them.

The operators are those of cosmic-ray that `[tool.mutation]` of pyproject.toml names, and one more
for the text of formulas, which is what is computed. No fault is made in an annotation, which
nothing runs, nor in `strict=` of `zip`, which changes nothing where the program is right.
"""

import ast
import hashlib
import re
import tomllib
from collections.abc import Iterator
from functools import cache, lru_cache
from itertools import islice
from pathlib import Path
from typing import Any

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.ast.ast_query import ASTQuery
from cosmic_ray.mutating import mutate_code
from cosmic_ray.operators.operator import Example, Operator
from cosmic_ray.plugins import OPERATOR_PROVIDERS, get_operator, operator_names
from cosmic_ray.work_item import MutationSpec, WorkItem

ROOT = Path(__file__).parents[2]
SETTINGS: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))[
    "tool"
]["mutation"]
TOKEN = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?:e-?\d+)?(?![\w.])|\*\*|[*/+-]|\b(?:min|max)\b")
OTHER = {"**": "*", "*": "/", "/": "*", "+": "-", "-": "+", "min": "max", "max": "min"}
PROSE = re.compile(r"[a-z]{3,} [a-z]{2,}")


class FormulaText(Operator):  # type: ignore[misc] # the tool is untyped
    """Another operator, or a number more by one, in the text of a formula."""

    def mutation_positions(self, node: Any) -> Iterator[tuple[Any, Any]]:
        """Once for each operator, number, `min` and `max` of a formula."""
        if node.type in {"string", "fstring_string"} and _is_formula(node):
            for _ in TOKEN.finditer(node.value):
                yield node.start_pos, node.end_pos

    def mutate(self, node: Any, index: int) -> Any:
        """Put the other one in its place."""
        found = list(TOKEN.finditer(node.value))[index]
        old = found.group()
        new = OTHER.get(old) or f"{float(old) + 1:g}"
        node.value = node.value[: found.start()] + new + node.value[found.end() :]
        return node

    @classmethod
    def examples(cls) -> tuple[Example, ...]:
        """None: tests/mutation/test_mutants.py has them."""
        return ()


def _is_formula(node: Any) -> bool:
    """Whether a string is returned by, or a constant of, a module of formulas."""
    if not _has_formulas(node.get_root_node()) or PROSE.search(node.value):
        return False
    while node.parent is not None:
        node = node.parent
        if node.type == "return_stmt":
            return True
        if node.type == "expr_stmt":
            named = node.children[0].get_code().strip().isupper()
            around = node.parent.parent if node.parent.type == "simple_stmt" else node.parent
            return bool(named and around.type == "file_input")
        if node.type in {"decorator", "raise_stmt", "funcdef"}:
            return False
    return False


@lru_cache(maxsize=1)
def _has_formulas(root: Any) -> bool:
    return "import formula" in root.get_code()


class _Own(dict[str, type[Operator]]):
    """Where cosmic-ray looks up operators that are not its own."""


OPERATOR_PROVIDERS["elec"] = _Own(FormulaText=FormulaText)
WANTED = re.compile("|".join(f"(?:{name})" for name in SETTINGS["operators"]))


def modules_of(room: str) -> list[Path]:
    """The modules of a room, which is a folder or one module, below the root of the project."""
    folder = ROOT / "elec" / room
    paths = sorted(folder.rglob("*.py")) or [folder.with_suffix(".py")]
    return [path.relative_to(ROOT) for path in paths]


def mutants(room: str, most: int | None = None, only: str = "", draw: str = "") -> list[WorkItem]:
    """Every fault of the room, or as many, in a random order; of one draw always the same."""
    found = [one for path in modules_of(room) if only in str(path) for one in _of_module(path)]
    found.sort(key=lambda one: drawn(one, draw))
    kept = (one for one in found if _differs(one))
    return [WorkItem.single(job_id=drawn(one, draw), mutation=one) for one in islice(kept, most)]


def _of_module(path: Path) -> Iterator[MutationSpec]:
    """What the operators of the settings can do to a module, where it may change something."""
    nodes = list(ast_nodes(get_ast(source(path))))
    notes = _left_alone(path)
    for name in operator_names():
        if not WANTED.fullmatch(name.split("/")[1]):
            continue
        operator = get_operator(name)()
        places = ((node, at) for node in nodes for at in operator.mutation_positions(node))
        for occurrence, (node, (begin, end)) in enumerate(places):
            if node.parent is not None and node.parent.type == "parameters":
                continue  # the star before parameters that have to be named is no product
            if not any(first <= begin < last for first, last in notes):
                yield MutationSpec(
                    module_path=path,
                    operator_name=name,
                    occurrence=occurrence,
                    start_pos=begin,
                    end_pos=end,
                    definition_name=ASTQuery(node).get_definition_name(),
                )


def drawn(one: MutationSpec, draw: str) -> str:
    """Where it stands in a draw."""
    name = f"{draw}{one.module_path}:{one.operator_name}:{one.occurrence}"
    return hashlib.sha256(name.encode()).hexdigest()


def _differs(one: MutationSpec) -> bool:
    """Whether it compiles, to other code."""
    try:
        new = compile(mutated(one), "x", "exec")
    except (SyntaxError, AttributeError):  # the tool cannot exchange an exception with a dot in it
        return False
    return new != compile(source(one.module_path), "x", "exec")


@cache
def source(path: Path) -> str:
    """The module as it is."""
    return (ROOT / path).read_text(encoding="utf-8")


def mutated(one: MutationSpec) -> str:
    """The module with the fault."""
    operator = get_operator(one.operator_name)()
    text: str | None = mutate_code(source(one.module_path), operator, one.occurrence)
    assert text is not None
    return text


@cache
def _left_alone(path: Path) -> tuple[tuple[tuple[int, int], tuple[int, int]], ...]:
    """Where the annotations of a module, and what its `zip` have for `strict`, begin and end."""
    notes: list[ast.expr | None] = []
    for node in ast.walk(ast.parse(source(path))):
        if isinstance(node, ast.FunctionDef):
            notes.append(node.returns)
        elif isinstance(node, ast.arg | ast.AnnAssign):
            notes.append(node.annotation)
        elif isinstance(node, ast.Call) and ast.unparse(node.func) == "zip":
            notes += [word.value for word in node.keywords if word.arg == "strict"]
    return tuple(
        ((one.lineno, one.col_offset), (one.end_lineno or 0, one.end_col_offset or 0))
        for one in notes
        if one is not None
    )


@cache
def statement_lines(path: Path) -> dict[int, range]:
    """For each line of a module the lines of the smallest statement it belongs to, or its head."""
    found: dict[int, range] = {}
    for node in ast.walk(ast.parse(source(path))):  # outer ones come first
        if not isinstance(node, ast.stmt):
            continue
        body = getattr(node, "body", None)
        last = body[0].lineno - 1 if body else node.end_lineno or node.lineno
        lines = range(node.lineno, max(last, node.lineno) + 1)
        found.update(dict.fromkeys(lines, lines))
    return found
