"""Which of several failures the check of overloads tells, and when it says nothing."""

from pathlib import Path

from msgspec.structs import replace

from elec.answers.failures.failure_cascade import Trip
from elec.answers.failures.overload import Overload, Overloads, overloads
from elec.checks.failure.overload import failure_overload
from elec.finding import Finding, Verdict
from elec.study import Study
from tests.checks.cases import study_of


def _asked(folder: Path, *found: Overload) -> dict[str, Finding]:
    study: Study = study_of({}, folder)
    study.keep(
        overloads,
        Overloads(found=found, asked=("taxi",), not_asked=(), condition="night", also=()),
    )
    return {one.about: one for one in failure_overload(study)}


def _two(folder: Path) -> tuple[Overload, Overload]:
    """Failures that could not be solved, in taxi and in cruise."""
    one = overloads(study_of({}, folder)).found[0]
    assert not one.failure.branches
    lost = replace(one, trips=(), hot=(), carried={}, solved=False)
    return replace(lost, phase="taxi"), replace(lost, phase="cruise")


def test_nothing_is_said_where_no_failure_was_followed(tmp_path: Path) -> None:
    assert _asked(tmp_path) == {}


def test_the_first_that_has_no_solution_is_named(tmp_path: Path) -> None:
    taxi, cruise = _two(tmp_path)
    for first, name in ((taxi, "taxi"), (cruise, "cruise")):
        other = cruise if first is taxi else taxi
        found = _asked(tmp_path, first, other)["main feed"]
        assert found.verdict is Verdict.CANNOT_TELL
        assert f"{first.failure.title}, {name} by night, the network has" in found.sentence


def test_the_most_is_told_and_of_equals_the_last(tmp_path: Path) -> None:
    taxi, cruise = _two(tmp_path)

    def tripping(one: Overload, amps: float) -> Overload:
        trip = Trip(device="essential feed", amps=amps, holds_a=15.0)
        return replace(one, trips=(trip,), carried={"essential feed": amps}, solved=True)

    for amps, told in (((20.0, 18.0), "taxi"), ((18.0, 20.0), "cruise"), ((20.0, 20.0), "cruise")):
        found = _asked(tmp_path, tripping(taxi, amps[0]), tripping(cruise, amps[1]))
        one = found["essential feed"]
        assert f"{told} by night: then 20.0 A run through its 15 A breaker" in one.sentence
        assert (one.verdict, one.limit) == (Verdict.FAIL, 15.0)
