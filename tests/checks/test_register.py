"""The register: accepted findings, acceptances that match nothing, order, sources."""

from pathlib import Path

from elec.check import ORDER, run
from elec.finding import Consequence, Verdict
from tests.checks.cases import cases, check_of, study_of

CAUSE = {"buses": {"main": {"warning": "12 V"}}}


def test_accepted_finding_keeps_its_reason(tmp_path: Path) -> None:
    accept = [{"check": "battery-warning", "about": "main", "reason": "set by its maker"}]
    found = run(study_of({**CAUSE, "accept": accept}, tmp_path))
    mine = next(f for f in found if f.check == "battery-warning")
    assert mine.verdict is Verdict.ACCEPTED
    assert mine.reason == "set by its maker"
    assert mine.remedy


def test_acceptance_that_matches_nothing_fails(tmp_path: Path) -> None:
    accept = [{"check": "battery-warning", "about": "main", "reason": "gone"}]
    found = run(study_of({"accept": accept}, tmp_path))
    assert found[0].verdict is Verdict.FAIL
    assert "matches no finding" in found[0].sentence
    assert found[0].place.line > 0


def test_worst_first_with_check_place_and_sources(tmp_path: Path) -> None:
    found = run(study_of(CAUSE, tmp_path))
    order = [ORDER.index(f.verdict) for f in found]
    assert order == sorted(order)
    for finding in found:
        assert finding.check
        assert finding.sources
        assert finding.place.file
        assert finding.place.line
        assert "approved" not in finding.sentence + finding.remedy
        assert "airworthy" not in finding.sentence + finding.remedy


def test_a_short_that_is_not_cleared_stands_with_heat_and_fire(tmp_path: Path) -> None:
    case = next(c for c in cases() if c.check == "short-cleared" and c.expect.verdict == "fail")
    found = [f for f in run(study_of(case.change, tmp_path)) if f.check == "short-cleared"]
    assert any(f.verdict is Verdict.FAIL for f in found)
    assert {f.consequence for f in found} == {Consequence.HEAT}


def test_a_connector_of_one_contact_is_asked_for_no_spare(tmp_path: Path) -> None:
    """Its contacts are known by the builder's drawing, and one contact leaves none to spare."""
    single = {
        "source": "drawing 1", "shape": "circular", "diameter": "5 mm",
        "contacts": {"A": {"x": "0 mm", "y": "0 mm"}},
    }  # fmt: skip
    change = {
        "connector-types": {"single": single},
        "plugs": {"tail-plug": {"place": "panel", "type": "single", "contacts": "socket"}},
        "circuits": {"lamp": {"through": {"tail-plug": {"feed": "A"}}}},
    }
    found = check_of("connector-spare").function(study_of(change, tmp_path))
    assert [f.sentence for f in found if f.about == "tail-plug"] == []
