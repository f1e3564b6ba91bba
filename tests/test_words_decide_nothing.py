"""What is printed decides nothing: no titles, reasons, citations or sentences are read back."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import elec

ROOT = Path(elec.__file__).parent
SAID = frozenset(
    [
        "title",
        "text",
        "sentence",
        "remedy",
        "origin",
        "limit_origin",
        "meaning",
        "unknown",
        "obstacle",
        "decided",
        "source",
        "note",
        "why",
        "reason",
        "label",
        "words",
        "cite",
        "printed",
        "kind",
    ]
)
"""Fields that hold words for print, or a word of a fixed list, which is compared as a whole."""
READS = frozenset(
    ["startswith", "endswith", "partition", "rpartition", "removeprefix", "removesuffix", "split"]
)
KNOWN = {
    ("cli/checks.py", "why"): "paragraphs of a docstring, laid out",
    ("drawings/records/bench.py", "note"): "the builder's own words on a return, shown where asked",
    ("drawings/from_study.py", "title"): "the index tells where a list is that a title ends with",
    ("drawings/sheets/panel.py", "title"): "a list that moves on leaves the title of the sheet",
    ("drawings/sheets/together.py", "text"): "numbers in brackets are explained where one is drawn",
    ("pages/waiting.py", "sentence"): "a sum says in words alone which loads it leaves out",
    ("pages/reference.py", "origin"): "a term says in words alone which default it has",
}
"""Where it is done still, and why: layout, or words that have no field of their own yet."""


def read_back(tree: ast.AST) -> Iterator[str]:
    """Names of worded fields that are taken apart or looked into."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            held = node.func.value
            if node.func.attr in READS and isinstance(held, ast.Attribute) and held.attr in SAID:
                yield held.attr
        if isinstance(node, ast.Compare):
            for sign, side in zip(node.ops, node.comparators, strict=True):
                looked = isinstance(sign, ast.In | ast.NotIn) and isinstance(side, ast.Attribute)
                if looked and isinstance(side, ast.Attribute) and side.attr in SAID - {"unknown"}:
                    yield side.attr


def test_words_for_print_are_not_read_back() -> None:
    found = {
        (str(path.relative_to(ROOT)), name)
        for path in sorted(ROOT.rglob("*.py"))
        for name in read_back(ast.parse(path.read_text(encoding="utf-8")))
        if path.parent.name != "read"  # there text is the matter
    }
    assert found == KNOWN.keys()


@pytest.mark.parametrize(
    "text", ['one.obstacle.startswith("heat")', "found.unknown.split(';')", '"AC" in term.source']
)
def test_it_would_be_found(text: str) -> None:
    assert list(read_back(ast.parse(text)))
