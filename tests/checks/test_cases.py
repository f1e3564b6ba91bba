"""Every check passes, fails and cannot tell where it should; and every one can be looked up."""

from pathlib import Path

import pytest

from elec.analyses.limits import RULES
from elec.check import checks
from elec.finding import Finding, Verdict
from tests.checks.cases import TOLERANCE, Case, case_files, cases, finding_of, study_of

CANNOT_TELL_NEVER = {
    "built-known": "a name is there or not",
    "wire-back": "every power wire has a gauge, given or chosen",
    "wire-terminal": "without a stud's size nothing is asked",
    "device-alone": "what a circuit feeds is always known",
    "device-recloses": "whether a class closes again stands with the class",
    "feeder-changeover": "when a feeder is used has a default",
    "load-used": "a load that does not say when it is on is always on",
    "load-circuit": "what a circuit feeds is always known",
    "network-reached": "what is joined to what is always known",
    "ground-redundant": "which ground a load returns to is always known",
    "ground-vapour": "elec knows only the places that are marked",
    "connector-double": "what lands on a contact is always known",
    "connector-unwired": "what lands on a contact is always known",
    "system-limits": "a limit is tightened or refused",
    "sense-length": "without coordinates nothing is asked",
    "sense-name": "names are there or not",
    "sense-terminal": "what lands on a terminal is always known",
    "sense-feeder": "what is joined to what is always known",
    "sense-voltage": "without a voltage nothing is asked",
    "sense-crossed": "what a circuit has is always known",
    "sense-ambient": "without a temperature nothing is asked",
    "sense-signal": "without two signals nothing is asked",
    "sense-rating": "without a rating nothing is asked",
    "sense-opening": "without a diameter nothing is asked",
    "sense-battery": "without two figures nothing is asked",
    "sense-ground": "without a way nothing is asked",
}
"""Checks that can always tell, and why."""

FAILS_NEVER = {"wire-length": "a length is known or not; the reader refuses one of nothing"}
"""Checks that neither fail nor advise, and why."""


def _about(case: Case, found: tuple[Finding, ...]) -> Finding:
    mine = [f for f in found if f.about == case.expect.about]
    names = sorted({f.about for f in found})
    assert mine, f"nothing about {case.expect.about}; there is {names}"
    return max(mine, key=lambda f: f.verdict == case.expect.verdict)


@pytest.mark.parametrize("case", cases(), ids=lambda case: f"{case.check}: {case.name}")
def test_case(case: Case, tmp_path: Path) -> None:
    found = _about(case, finding_of(case, tmp_path))
    assert found.verdict.value == case.expect.verdict, found.sentence
    for name in ("value", "limit"):
        expected = getattr(case.expect, name)
        if expected is not None:
            assert getattr(found, name) == pytest.approx(expected, rel=TOLERANCE, abs=1e-9)
    assert found.sentence.endswith((".", "!", "?"))
    assert bool(found.remedy) == (found.verdict is not Verdict.PASS)


def test_every_check_has_its_cases() -> None:
    assert {file.stem for file in case_files()} == {one.id for one in checks()}
    verdicts: dict[str, set[str]] = {}
    for case in cases():
        verdicts.setdefault(case.check, set()).add(case.expect.verdict)
    for one in checks():
        seen = verdicts[one.id]
        assert "pass" in seen, one.id
        assert bool(seen & {"fail", "advise"}) != (one.id in FAILS_NEVER), one.id
        assert ("cannot-tell" in seen) != (one.id in CANNOT_TELL_NEVER), one.id


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
    wrong = [
        f"{one.id}: {f.sentence}"
        for one in checks()
        for f in one.function(study)
        if f.verdict is not Verdict.PASS
    ]
    assert not wrong
