"""Records behave as the standard library's dataclasses do: everything is tried on both."""

import copy
import dataclasses
import pickle
from dataclasses import FrozenInstanceError, dataclass, field, fields, replace
from typing import Any, cast

import pytest

from elec import record


def made(decorate: Any) -> tuple[Any, Any]:
    @decorate(frozen=True, kw_only=True)
    class Point:
        """Where."""

        x: int
        y: float = 2.0
        seen: tuple[str, ...] = ()
        parts: list[int] = field(default_factory=list)
        note: str = field(default="", compare=False, repr=False)

        @property
        def sum(self) -> float:
            return self.x + self.y

    @decorate(frozen=True, kw_only=True)
    class Named(Point):
        """With a name, and a look at what came in."""

        name: str

        def __post_init__(self) -> None:
            if not self.name:
                raise ValueError("no name")

        def __repr__(self) -> str:
            return self.name

    if decorate is compiled:
        point, named = cast("tuple[Any, Any]", (Point, Named))
        for _ in range(record.MANY):
            point(x=1)
            named(x=1, name="a")
        assert "_missing" in point.__init__.__globals__
    return Point, Named


def compiled(**options: Any) -> Any:
    """Records of which many have been made already."""
    return record.dataclass(**options)


BOTH = pytest.mark.parametrize("decorate", [dataclass, record.dataclass, compiled])


@BOTH
def test_a_record_holds_what_was_given_and_defaults(decorate: Any) -> None:
    point, named = made(decorate)
    one = point(x=1)
    assert (one.x, one.y, one.seen, one.parts, one.sum) == (1, 2.0, (), [], 3.0)
    assert point(x=1).parts is not one.parts
    assert [f.name for f in fields(named)] == ["x", "y", "seen", "parts", "note", "name"]
    assert dataclasses.asdict(one) == {"x": 1, "y": 2.0, "seen": (), "parts": [], "note": ""}
    assert replace(one, y=5.0) == point(x=1, y=5.0)
    assert repr(one).endswith("Point(x=1, y=2.0, seen=(), parts=[])")
    assert repr(named(x=1, name="a")) == "a"
    assert copy.copy(one) == one


@BOTH
def test_records_compare_by_content_and_class(decorate: Any) -> None:
    point, named = made(decorate)
    assert point(x=1, note="a") == point(x=1, note="b")
    assert point(x=1) != point(x=2)
    assert named(x=1, name="a") != point(x=1)
    assert point(x=1) != (1, 2.0, (), [])
    key: Any = type("Key", (), {"__annotations__": {"a": int, "b": str}})
    key = decorate(frozen=True, kw_only=True)(key)
    assert len({key(a=1, b="x"), key(a=1, b="x"), key(a=2, b="x")}) == 2


@BOTH
def test_a_record_does_not_change(decorate: Any) -> None:
    point, _ = made(decorate)
    one = point(x=1)
    with pytest.raises(FrozenInstanceError):
        one.x = 2
    with pytest.raises(FrozenInstanceError):
        one.other = 2
    with pytest.raises(FrozenInstanceError):
        del one.x
    assert one.x == 1


@BOTH
def test_wrong_fields_are_refused(decorate: Any) -> None:
    point, named = made(decorate)
    with pytest.raises(TypeError, match="z"):
        point(x=1, z=2)
    with pytest.raises(TypeError, match="x"):
        point(y=1.0)
    with pytest.raises(TypeError):
        point(1)
    with pytest.raises(ValueError, match="no name"):
        named(x=1, name="")


@record.dataclass(frozen=True, kw_only=True)
class Kept:
    """At the top of a module, so that it can be pickled."""

    a: int


def test_names_of_fields_do_not_meet_those_of_the_compiled_text() -> None:
    @record.dataclass(frozen=True, kw_only=True)
    class Odd:
        into: int
        after: int = 2
        missing: list[int] = field(default_factory=list)

    for _ in range(record.MANY + 1):
        one = Odd(into=1)
    assert (one.into, one.after, one.missing) == (1, 2, [])
    assert replace(one, after=3) == Odd(into=1, after=3)
    assert record.changed(one, into=5) == Odd(into=5)
    assert one.into == 1


def test_other_kinds_are_the_standard_ones() -> None:
    assert pickle.loads(pickle.dumps(Kept(a=1))) == Kept(a=1)  # noqa: S301 - our own bytes

    @record.dataclass(frozen=True, kw_only=True, order=True)
    class Ordered:
        a: int

    @record.dataclass
    class Loose:
        a: int

    assert Ordered(a=1) < Ordered(a=2)
    assert Loose(1).a == 1
