"""Which answers a change makes others, and which of them matter."""

import pytest

from elec.attempt.verdicts import verdict_changes
from elec.finding import Finding, Verdict


def answer(verdict: str, about: str = "lamp", value: float | None = None) -> Finding:
    return Finding(
        check="wire-drop",
        about=about,
        verdict=Verdict(verdict),
        sentence="",
        value=value,
        limit=1.0,
    )


def told(before: list[Finding], after: list[Finding]) -> list[tuple[str, str | None, str | None]]:
    return [(c.about, c.before, c.after) for c in verdict_changes(before, after)]


def test_the_same_is_not_told() -> None:
    same = [answer("fail", value=2.0), answer("pass", "b")]
    assert told(same, same) == []
    assert told([answer("fail", value=2.0)], [answer("fail", value=2.001)]) == []


def test_a_fail_whose_number_moves_is_told() -> None:
    (one,) = verdict_changes([answer("fail", value=2.0)], [answer("fail", value=2.4)])
    assert not one.new_fail
    assert not one.worse
    assert one.further


@pytest.mark.parametrize(
    ("was", "now", "number"),
    [
        (answer("advise", value=1.2), answer("advise", value=1.5), "worse"),
        (answer("advise", value=1.5), answer("advise", value=1.2), "better"),
        (answer("advise", value=0.5), answer("advise", value=0.2), "worse"),  # at least 1 is asked
        (answer("accepted", value=1.2), answer("accepted", value=1.5), "worse"),
        (answer("advise", value=0.5), answer("advise", value=1.5), "other"),
    ],
)
def test_advice_whose_number_alone_moves_is_told(was: Finding, now: Finding, number: str) -> None:
    (one,) = verdict_changes([was], [now])
    assert (one.number, one.worse, one.further) == (number, False, number == "worse")


def test_numbers_that_nobody_judged_do_not_move() -> None:
    assert told([answer("advise")], [answer("advise", value=2.0)]) == []
    assert told([answer("pass", value=0.2)], [answer("pass", value=0.9)]) == []
    assert told([answer("cannot-tell", value=2.0)], [answer("cannot-tell", value=3.0)]) == []


def test_new_answers_are_told_unless_they_pass() -> None:
    assert told([], [answer("pass"), answer("advise", "b"), answer("fail", "c")]) == [
        ("c", None, "fail"),
        ("b", None, "advise"),
    ]


def test_answers_that_are_gone_are_told_unless_they_passed() -> None:
    assert told([answer("pass"), answer("fail", "b")], []) == [("b", "fail", None)]


def test_worse_and_better() -> None:
    before = [answer("pass", "a"), answer("fail", "b"), answer("cannot-tell", "c")]
    after = [answer("advise", "a"), answer("pass", "b"), answer("fail", "c")]
    found = {c.about: (c.worse, c.new_fail) for c in verdict_changes(before, after)}
    assert found == {"a": (True, False), "b": (False, False), "c": (True, True)}


def test_of_several_answers_about_one_thing_the_worst_counts() -> None:
    before = [answer("pass"), answer("fail")]
    assert told(before, [answer("fail"), answer("pass")]) == []
    assert told(before, [answer("pass"), answer("pass")]) == [("lamp", "fail", "pass")]
