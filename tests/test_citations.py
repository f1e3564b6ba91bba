"""No document is named outside `elec/standards/`: whoever prints one asks for its citation.

So the mark (seen, quoted, memory, computed, judgement) stands wherever the number does.
"""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from elec.standards import documents

ROOT = Path(__file__).parents[1] / "elec"
RECORDS = {"Cite", "source"}
"""What makes a citation: the places in it may name a document that prints the same thing."""
SIGNS = r"\bAC ?43|\bMIL-|\bSAE |\bISO ?\d|\bCFR\b|\bIEC ?\d|\bUL ?\d{2}|\bDO-\d|\bASTM\b"
MARKS = r"\(from memory\)|from memory, not checked|\(our judgement\)|\(common practice\b"
ALLOWED = {
    ("checks/device/holds_inrush.py", "(from memory)"): "an example of what to write, no number "
    "that elec counts with",
}
"""Marks that stand as words, and why."""


@cache
def names() -> re.Pattern[str]:
    shorts = {re.escape(one.short) for one in documents().values()} - {"elec", "NEETS"}
    own = {re.escape(documents()[key].short) for key in ("trade", "builder", "textbook")}
    return re.compile("|".join([*sorted(shorts - own), SIGNS]))


def strings(tree: ast.AST) -> Iterator[ast.Constant]:
    """Texts of the program that are neither docstrings nor part of a citation."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            continue
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in RECORDS:
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node
        yield from strings(node)


def found(pattern: re.Pattern[str]) -> list[tuple[str, str]]:
    hits = []
    for path in sorted(ROOT.rglob("*.py")):
        name = path.relative_to(ROOT).as_posix()
        if name.startswith("standards/"):
            continue
        for one in strings(ast.parse(path.read_text(encoding="utf-8"))):
            hits += [(name, match) for match in pattern.findall(str(one.value))]
    return hits


def test_no_document_is_named_as_a_text() -> None:
    assert not found(names())


def test_no_mark_is_typed_beside_a_number() -> None:
    assert set(found(re.compile(MARKS))) == set(ALLOWED)


def test_a_name_typed_would_be_found() -> None:
    code = '"""MIL-W-5088L"""\nsource = "AC 43.13-1B 11-66"\nCite("ac4313", "MIL-W-5088L")\n'
    typed = [str(one.value) for one in strings(ast.parse(code))]
    assert typed == ["AC 43.13-1B 11-66"]
    assert names().search(typed[0])
    assert re.search(MARKS, "20 MΩ (our judgement)")
