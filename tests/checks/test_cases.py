"""Every check passes, fails and cannot tell where it should; and every one can be looked up."""

from pathlib import Path

import pytest

from elec.check import checks
from elec.finding import Finding, Verdict
from elec.wiring.limits import RULES
from tests.checks.cases import (
    TOLERANCE,
    Case,
    case_files,
    cases,
    finding_of,
    kept_beside,
    never,
    said,
    study_of,
)
from tests.checks.said import beside, words


def _about(case: Case, found: tuple[Finding, ...]) -> Finding:
    mine = [f for f in found if f.about == case.expect.about]
    names = sorted({f.about for f in found})
    assert mine, f"nothing about {case.expect.about}; there is {names}"
    return max(mine, key=lambda f: f.verdict == case.expect.verdict)


@pytest.mark.parametrize("case", cases(), ids=lambda case: f"{case.check}: {case.name}")
def test_case(case: Case, tmp_path: Path) -> None:
    every = finding_of(case, tmp_path)
    found = _about(case, every)
    assert found.verdict.value == case.expect.verdict, found.sentence
    for name in ("value", "limit"):
        expected = getattr(case.expect, name)
        if expected is not None:
            assert getattr(found, name) == pytest.approx(expected, rel=TOLERANCE, abs=1e-9)
    assert found.sentence.endswith((".", "!", "?"))
    assert bool(found.remedy) == (found.verdict is not Verdict.PASS)
    anew = f"python -m tests.checks.said {case.check} writes it anew"
    assert words(case, every) == said(case.check).get(case.name), anew
    assert beside(case, every) == kept_beside(case.check).get(case.name), anew


def test_every_check_has_its_cases() -> None:
    assert {file.stem for file in case_files()} == {one.id for one in checks()}
    verdicts: dict[str, set[str]] = {}
    for case in cases():
        verdicts.setdefault(case.check, set()).add(case.expect.verdict)
    for one in checks():
        seen = verdicts[one.id]
        assert "pass" in seen, one.id
        assert bool(seen & {"fail", "advise"}) != ("fail" in never(one.id)), one.id
        assert ("cannot-tell" in seen) != ("cannot-tell" in never(one.id)), one.id


def test_no_words_are_kept_of_a_case_that_is_gone() -> None:
    every = {(case.check, case.name) for case in cases()}
    assert every == {(one.id, name) for one in checks() for name in said(one.id)}
    assert every == {(one.id, name) for one in checks() for name in kept_beside(one.id)}


def test_every_check_says_why_and_where_it_is_written() -> None:
    assert len(checks()) >= 42
    for one in checks():
        assert one.why.count("\n") >= 1, one.id
        assert one.sources, one.id
        assert one.title[0].isupper(), one.id
        assert not one.title.endswith("."), one.id
        assert set(one.limits) <= set(RULES), one.id


ON_SHEETS = {"ties-beyond", "deflection", "mark-spacing", "mark-end", "compass-deviation"}
"""Limits that no check can ask from the file: the bench's, the closing and the test sheets."""


def test_every_limit_belongs_to_a_check_or_a_sheet() -> None:
    assert {key for one in checks() for key in one.limits} == set(RULES) - ON_SHEETS


def test_base_is_sound(tmp_path: Path) -> None:
    study = study_of({}, tmp_path)
    asks = {case.check for case in cases() if case.expect.verdict == "pass" and case.change}
    wrong = [
        f"{one.id}: {f.sentence}"
        for one in checks()
        for f in one.function(study)
        if f.verdict is not Verdict.PASS
        and not (f.verdict is Verdict.CANNOT_TELL and one.id in asks)
    ]
    assert not wrong
