"""Every limit decides something, and `limits:` changes the verdict and every page beside it.

The checks are asked about their own cases with the limit published at another value, and again
with the same value under `limits:`. Then one system is printed whole, once with every limit
tightened by its builder and once with the same values published: no page may differ.
"""

import re
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from elec.check import checks, run
from elec.finding import Finding
from elec.pages.book import book
from elec.pages.closing.page import look
from elec.pages.document import Figure, FindingList, Section, TableBlock, WorkingBlock
from elec.pages.table import Cell
from elec.study import Study
from elec.wiring.limits import RULES, _parse, limits, published
from tests.checks.cases import Case, cases, check_of, merged, study_of
from tests.checks.test_cases import ON_SHEETS
from tests.standards.changed import limits_of

UNITS = {
    "voltage": "V",
    "current": "A",
    "resistance": "Ω",
    "length": "m",
    "time": "s",
    "magnetic flux density": "T",
    "temperature": "°C",
}
OTHERWISE = {
    "voltage-least": 0.8, "warmest-least": 60.0, "breaker-share": 0.3, "fuse-share": 0.3,
    "unprotected-bears": 3000.0, "grommet-clearance": 0.02, "coordination-ratio": 9.0,
}  # fmt: skip
"""Values at which a limit is felt, as it is compared; else half of it, or half as much more."""


def tighter(key: str, nominal_v: float = 14.0) -> float:
    """A tighter value, as it is read back from what a builder would write."""
    found: float = _parse(RULES[key], text_of(key, _tighter(key, nominal_v)))
    return found


def _tighter(key: str, nominal_v: float) -> float:
    rule, usual = RULES[key], published(key, nominal_v=nominal_v).value
    if key in OTHERWISE:
        return OTHERWISE[key]
    if rule.dimension == "gauge":
        return usual + 3
    if rule.bound == "at most":
        return usual / 2
    return min(1.5 * usual, 0.99) if rule.dimension == "fraction" else 1.5 * usual


def text_of(key: str, value: float) -> str:
    dimension = RULES[key].dimension
    if dimension == "number":
        return f"{value:.12g}"
    if dimension == "gauge":
        from elec.standards import AWGS

        return f"AWG {AWGS[int(value)]}"
    if dimension == "fraction":
        return f"{100 * value:.12g} %"
    return f"{value:.12f} {UNITS[dimension]}"


def made(change: dict[str, Any]) -> Study:
    with tempfile.TemporaryDirectory() as folder:
        return study_of(change, Path(folder))


def said(study: Study, check: str) -> tuple[object, ...]:
    found = check_of(check).function(study)
    return tuple((f.about, f.verdict, f.value, f.limit, f.sentence, f.remedy) for f in found)


@cache
def mine(key: str) -> tuple[tuple[Case, str], ...]:
    """The cases of the checks that a limit belongs to."""
    names = {one.id for one in checks() if key in one.limits}
    return tuple((case, case.check) for case in cases() if case.check in names)


@pytest.mark.parametrize("key", sorted(set(RULES) - ON_SHEETS))
def test_a_limit_decides_and_the_builder_may_tighten_it(key: str) -> None:
    """Some case of its check answers otherwise, alike by publication and by `limits:`."""
    for case, check in mine(key):
        if "limits" in case.change:
            continue
        study = made(case.change)
        value = tighter(key, study.system.about.nominal_v)
        before = said(study, check)
        with limits_of({key: value}):
            after = said(Study(study.designed), check)
        if after == before:
            continue
        own = made(merged(case.change, {"limits": {key: text_of(key, value)}}))
        assert not limits(own).refused
        with limits_of({key: value}, as_in=limits(own).by_key):
            assert said(own, check) == said(Study(study.designed), check), case.name
        return
    raise AssertionError(f"nothing that its checks say depends on {key}")


WHOLE: dict[str, Any] = {
    "circuits": {"lamp": {"breaker": "auto", "gauge": "null"}},
    "sensors": {
        "compass": {"place": "tail", "kind": "compass", "station": "140 in", "waterline": "0.3 m",
                    "buttline": "0 in"},
        "heading": {"place": "tail", "kind": "magnetometer", "station": "140 in",
                    "buttline": "0.3 m", "waterline": "0 in"},
    },
}  # fmt: skip
"""The base with compasses, and with a circuit to be chosen."""


def pages(study: Study, found: tuple[Finding, ...]) -> dict[str, str]:
    """All that a book of a system prints, part by part, with the list for closing a zone."""
    out: dict[str, str] = {"look": repr(look(study))}
    for section in book(study, digest="-", findings=found).sections:
        for name, text in _parts(section):
            out[name] = out.get(name, "") + re.sub(" at 0x[0-9a-f]+", "", repr(text))
    return out


def _parts(section: Section) -> Iterator[tuple[str, object]]:
    for block in section.blocks:
        if isinstance(block, TableBlock):
            rows = [[c.value if isinstance(c, Cell) else c for c in r] for r in block.table.rows]
            marks = [[getattr(c, "verdict", None) for c in row] for row in block.table.rows]
            yield f"table {block.table.id}", (rows, marks, block.table.note)
        elif isinstance(block, Figure):
            yield f"figure {block.id}", block.drawing
        elif isinstance(block, FindingList):
            yield (
                f"findings {section.id}",
                [(f.about, f.verdict, f.sentence) for f in block.findings],
            )
        elif isinstance(block, WorkingBlock):
            yield f"working {section.id}", repr(block.working)
        else:
            yield f"text {section.id}", repr(block)
    for inner in section.sections:
        yield from _parts(inner)


def test_every_page_has_the_limits_that_the_builder_tightened() -> None:
    values = {key: tighter(key) for key in RULES}
    own = made(merged(WHOLE, {"limits": {key: text_of(key, values[key]) for key in RULES}}))
    assert not limits(own).refused
    assert all(one.tightened for one in limits(own).by_key.values())
    plain = made(WHOLE)
    usual = pages(plain, run(plain, deep=False))
    findings = tuple(f for f in run(own, deep=False) if f.check != "system-limits")
    tight = pages(own, findings)
    with limits_of(values, as_in=limits(own).by_key):
        same = Study(plain.designed)
        again = pages(same, tuple(f for f in run(same, deep=False) if f.check != "system-limits"))
    differ = {name for name in tight | again if tight.get(name) != again.get(name)}
    assert not differ
    assert len({name for name in tight if tight[name] != usual.get(name)}) > 10
    for key in ON_SHEETS:
        name = {"compass-deviation": "table interference-test", "deflection": "look",
                "ties-beyond": "table fastenings-to-buy"}.get(key, "table labels")  # fmt: skip
        assert tight[name] != usual[name], key
