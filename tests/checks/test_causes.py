"""A cause stands first, and what only follows from it says so."""

from pathlib import Path

import pytest

from elec.check import checks, run
from elec.finding import Finding, Verdict
from elec.pages.answers import asked_words, findings_answer
from elec.pages.sections import summary
from elec.read import read
from elec.read.starter import starter
from elec.study import Study


def _study(folder: Path, setpoint: str) -> Study:
    path = folder / "plane.yaml"
    path.write_text(starter("Wren").replace("setpoint: 14.2 V", f"setpoint: {setpoint}"))
    got = read(path)
    assert got.system is not None
    return Study(got.system)


def _fails(study: Study) -> list[Finding]:
    return [one for one in run(study, deep=False) if one.verdict is Verdict.FAIL]


@pytest.mark.parametrize("setpoint", ["28 V", "17 V"])
def test_a_set_point_that_cannot_be_meant_stands_first(tmp_path: Path, setpoint: str) -> None:
    first, *rest = _fails(_study(tmp_path, setpoint))
    assert first.check == "alternator-setpoint"
    assert rest
    for one in rest:
        assert one.follows == "alternator-setpoint"
        assert one.remedy.startswith("This follows from alternator-setpoint")


def test_what_fails_anyway_does_not_follow(tmp_path: Path) -> None:
    path = tmp_path / "plane.yaml"
    text = starter("Wren").replace("setpoint: 14.2 V", "setpoint: 28 V")
    path.write_text(text.replace("warning: 13 V", "warning: 11 V"))
    got = read(path)
    assert got.system is not None
    found = _fails(Study(got.system))
    (warning,) = [one for one in found if one.check == "battery-warning"]
    assert found[0].check == "alternator-setpoint"
    assert not warning.follows
    assert found.index(warning) < max(i for i, one in enumerate(found) if one.follows)


def test_a_sound_set_point_leaves_all_as_it_is(tmp_path: Path) -> None:
    assert not [one for one in run(_study(tmp_path, "14.2 V"), deep=False) if one.follows]


def test_check_and_book_say_what_they_asked(tmp_path: Path) -> None:
    study = _study(tmp_path, "14.2 V")
    slow = [one.id for one in checks() if one.deep]
    assert slow
    plain = str(findings_answer(study, run(study, deep=False), slow))
    assert f"{len(checks()) - len(slow)} of {len(checks())} checks were asked" in plain
    assert f"All {len(checks())} checks were asked" in asked_words()
    assert asked_words() in str(summary(study, run(study)))
