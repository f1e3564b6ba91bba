"""A number in a table bears the mark of the finding about it, and no judgement of its own."""

from collections.abc import Callable
from pathlib import Path

import pytest

from elec.check import ask, verdict_of
from elec.finding import Verdict
from elec.pages.circuits.bundle import bundles
from elec.pages.circuits.feeder import feeders
from elec.pages.circuits.protection import protection
from elec.pages.circuits.wire import circuits
from elec.pages.loads.voltage import voltages
from elec.pages.table import Cell, Table
from elec.study import Study
from tests.checks.cases import cases, study_of

MARKED: tuple[tuple[str, Callable[[Study], Table], str], ...] = (
    ("wire-drop", circuits, "drop_v"),
    ("wire-heat", circuits, "used_fraction"),
    ("feeder-drop", feeders, "drop_v"),
    ("device-protects-wire", protection, "wire_a"),
    ("load-voltage", voltages, "margin_v"),
    ("bundle-heat", bundles, "used_fraction"),
)


def _marks(table: Table, key: str) -> set[str]:
    at = [column.key for column in table.columns].index(key)
    cells = [row[at] for row in table.rows]
    return {str(cell.verdict) for cell in cells if isinstance(cell, Cell) and cell.verdict}


@pytest.mark.parametrize(("check", "table", "key"), MARKED, ids=[one[0] for one in MARKED])
def test_the_mark_is_that_of_the_finding(
    check: str, table: Callable[[Study], Table], key: str, tmp_path: Path
) -> None:
    mine = [case for case in cases() if case.check == check]
    good = next(case for case in mine if case.expect.verdict == "pass")
    assert _marks(table(study_of(good.change, tmp_path)), key) == set()
    bad = next(case for case in mine if case.expect.verdict == "fail")
    study = study_of(bad.change, tmp_path)
    assert "fail" in _marks(table(study), key)
    failed = [f for one in {check, "wire-heat"} for f in ask(study, one)]
    accept = [
        {"check": f.check, "about": f.about, "reason": "known"}
        for f in failed
        if f.verdict is Verdict.FAIL
    ]
    lived = study_of({**bad.change, "accept": accept}, tmp_path)
    assert "fail" not in _marks(table(lived), key)
    assert "accepted" in _marks(table(lived), key)


def test_the_worst_verdict_counts_and_silence_is_none(tmp_path: Path) -> None:
    case = next(c for c in cases() if c.check == "wire-drop" and c.expect.verdict == "fail")
    study = study_of(case.change, tmp_path)
    about = case.expect.about
    assert verdict_of(study, about, "wire-drop") is Verdict.FAIL
    assert verdict_of(study, about, "load-voltage", "wire-drop") is Verdict.FAIL
    assert verdict_of(study, "nothing of that name", "wire-drop") is None
    with pytest.raises(KeyError):
        verdict_of(study, about, "no-such-check")
