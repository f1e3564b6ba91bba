"""The register: accepted findings, acceptances that match nothing, order, sources."""

from pathlib import Path

import pytest

from elec.check import ORDER, checks, run
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


HEAT = {
    "bundle-heat", "connector-current", "device-clears-fault", "device-in-time",
    "device-interrupts", "device-link", "device-present", "device-protects-wire", "feeder-device",
    "ground-structure", "ground-vapour", "short-cleared", "switch-rating", "wire-heat",
}  # fmt: skip


def test_who_speaks_of_fire_and_heat_and_who_takes_long() -> None:
    """What is open of these stands before all that can wait for the ground."""
    assert {one.id for one in checks() if one.heats} == HEAT
    assert {one.id for one in checks() if one.deep} == {"battery-cold-start"}


@pytest.mark.parametrize("hours", [1, 2, 3, 5, 8, 10, 20, 24, 100])
def test_a_capacity_over_a_time_in_use_is_not_asked_about(hours: int, tmp_path: Path) -> None:
    change = {"sources": {"battery": {"rate": f"{hours} h"}}}
    (found,) = check_of("sense-battery").function(study_of(change, tmp_path))
    assert found.verdict is Verdict.PASS
