"""One line left out is one message: what waits for a current is folded into the cause."""

import pytest
from msgspec.structs import replace

from elec.check import run
from elec.finding import Finding, Verdict
from elec.pages.waiting import folded
from elec.study import Study
from tests.answers.helper import loads_of, small
from tests.systems import NAMES, SYSTEMS

MOST = 5
"""Messages for one cause."""


def open_findings(study: Study) -> list[Finding]:
    quiet = (Verdict.PASS, Verdict.ACCEPTED)
    return [f for f in run(study, deep=False) if f.verdict not in quiet]


def test_a_current_that_nobody_gave_is_told_once() -> None:
    known = {
        (f.check, f.about) for f in open_findings(small(loads_of({"lamp": "2 A", "fan": "3 A"})))
    }
    study = small(loads_of({"lamp": "2 A", "fan": ""}))
    found = open_findings(study)
    new = [f for f in folded(study, found) if (f.check, f.about) not in known]
    assert len([f for f in found if (f.check, f.about) not in known]) > MOST
    assert len(new) <= MOST, [f.check for f in new]
    (cause,) = [f for f in new if f.check == "load-known"]
    waiting = len(found) - len(folded(study, found))
    assert f"{waiting} more answers wait for it: " in cause.sentence
    assert "wire-drop" in cause.sentence
    assert "alternator-idle" in cause.sentence


def test_what_cannot_be_told_for_another_reason_stays() -> None:
    study = small(loads_of({"lamp": "2 A", "fan": ""}))
    found = open_findings(study)
    other = replace(
        next(f for f in found if f.check == "wire-drop"),
        sentence="What is lost on the way cannot be told: its length is not known.",
    )
    assert other in folded(study, (*found, other))


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_folded_where_every_current_is_given(name: str) -> None:
    from elec.read import read

    system = read(SYSTEMS / name).system
    assert system is not None
    found = tuple(open_findings(Study(system)))
    assert folded(Study(system), found) == found
