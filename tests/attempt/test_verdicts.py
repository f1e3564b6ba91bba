"""Which answers a change makes others, and which of them matter."""

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
