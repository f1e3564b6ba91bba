"""A finding's working may be made when it is looked at."""

from collections.abc import Callable

import pytest
from msgspec.structs import replace

from elec.finding import Finding, Verdict
from elec.working import Working

MADE = Working(title="Sum", steps=())


def finding(working: Working | Callable[[], Working | None] | None) -> Finding:
    return Finding(
        check="wire-heat", about="W1", verdict=Verdict.PASS, sentence="Cool.", made=working
    )


def test_a_working_is_made_once_and_when_it_is_looked_at() -> None:
    calls: list[int] = []

    def make() -> Working:
        calls.append(1)
        return MADE

    one = finding(make)
    other = replace(one, check="wire-drop")
    assert not calls
    assert one.working is MADE
    assert one.working is MADE
    assert len(calls) == 1
    assert other.working is MADE
    assert replace(one, verdict=Verdict.FAIL).working is MADE


def test_a_given_working_none_and_no_working_are_as_they_are() -> None:
    assert finding(MADE).working is MADE
    assert finding(None).working is None
    assert finding(lambda: None).working is None
    bare = Finding(check="wire-heat", about="W1", verdict=Verdict.PASS, sentence="Cool.")
    assert bare.working is None
    assert bare == finding(None)
    assert finding(lambda: MADE) == finding(MADE)
    assert finding(lambda: MADE).working is MADE


def test_a_working_cannot_be_put_in_afterwards() -> None:
    with pytest.raises(AttributeError):
        finding(None).working = MADE
