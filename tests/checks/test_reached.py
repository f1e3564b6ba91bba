"""A load without a source on a bus that has one: no file says so today, and it would be told."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from elec.answers.drop.voltages import Reach, bus_reach, load_reach
from elec.checks.network.reached import network_reached
from elec.finding import Verdict
from elec.study import Study
from elec.wiring.cases import NORMAL, Case, cases
from tests.checks.cases import study_of

IN_TAXI, IN_CRUISE = (
    Case(phase=phase, condition="day", scenario=NORMAL, count="steady")
    for phase in ("taxi", "cruise")
)


def _told(study: Study) -> dict[str, str]:
    found = [one for one in network_reached(study) if one.verdict is Verdict.FAIL]
    assert all(one.remedy for one in found)
    return {one.place.path: one.sentence for one in found}


def _with_lost(folder: Path, change: dict[str, Any], *lost: Case) -> Study:
    study = study_of(change, folder)
    reaches = tuple(Reach(name="fan", case=case) for case in lost)
    found: Mapping[str, tuple[Reach, ...]] = {"fan": reaches, "lamp": ()}
    study.keep(load_reach, found)
    return study


def test_a_load_that_nothing_reaches_is_told_with_the_first_phase(tmp_path: Path) -> None:
    said = {"equipment.fan": "No source reaches fan in taxi, with all well."}
    assert _told(_with_lost(tmp_path, {}, IN_TAXI, IN_CRUISE)) == said


def test_what_it_has_not_after_a_failure_is_asked_elsewhere(tmp_path: Path) -> None:
    study = study_of({}, tmp_path)
    failed = next(case for case in cases(study) if case.scenario.name != "normal")
    assert _told(_with_lost(tmp_path, {}, failed)) == {}


def test_a_bus_that_nothing_reaches_is_told_alone(tmp_path: Path) -> None:
    study = _with_lost(tmp_path, {"buses": {"spare-bus": {"place": "panel"}}}, IN_TAXI)
    assert bus_reach(study)["spare-bus"].case is not None
    assert list(_told(study)) == ["buses.spare-bus"]
