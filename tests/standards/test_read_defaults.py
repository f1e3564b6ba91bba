"""Every default and every limit is read by the program, by its name or by the form of its name."""

import ast
import re
from functools import cache

import pytest

from elec.analyses.limits import RULES, published
from elec.standards import defaults, table
from tests.physics.test_every_formula_is_used import modules, texts


@cache
def forms() -> tuple[re.Pattern[str], ...]:
    """Names that are put together, as patterns: `tolerance-…`, `…-capacity`."""
    found = set()
    for tree in modules().values():
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                parts = [
                    re.escape(str(p.value)) if isinstance(p, ast.Constant) else "[a-z0-9-]+"
                    for p in node.values
                ]
                if sum(len(p) for p in parts if p != "[a-z0-9-]+") >= 4:
                    found.add("".join(parts))
    return tuple(re.compile(one) for one in sorted(found))


@pytest.mark.parametrize("key", sorted(defaults()))
def test_every_default_is_read(key: str) -> None:
    read = key in texts() or any(form.fullmatch(key) for form in forms())
    assert read


def test_a_name_that_nobody_reads_would_be_found() -> None:
    assert "unread-thing" not in texts()
    assert not any(form.fullmatch("unread-thing") for form in forms())


@pytest.mark.parametrize("key", [row.text("key") for row in table("elec/limits")])
def test_every_limit_is_in_force(key: str) -> None:
    assert key in RULES
    assert key in texts()
    row = table("elec/limits").row(key=key)
    assert published(key).cite == row.cite
