"""What was made of the very same things before, taken over while one process answers again.

In: a pure function, and the plain records it is asked with. Out: what it made of the same last
time, else what it makes now. `elec live` keeps from page to page; elsewhere the function is called.

Nobody has to say what depends on what, so nothing can be forgotten: a result is taken over where
all that it is made of is the same, and is made anew where anything differs. The same is what
compares equal and is written as the same bytes: 0 and -0, 1 and 1.0 compare equal and print
otherwise, and records of two kinds may be written alike.
"""

import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from typing import Any, ParamSpec, TypeVar

from msgspec import Struct, msgpack

P = ParamSpec("P")
Made = TypeVar("Made")
_Key = tuple[Callable[..., Any], bytes]


class MadeOf(Struct, frozen=True):
    """What a function made, and all that it was made of."""

    of: tuple[Any, ...]
    made: Any


class Kept:
    """What was made since `turn` was called before last; what was not asked for since is gone."""

    def __init__(self) -> None:
        """Nothing was made yet."""
        self._last: dict[_Key, MadeOf] = {}
        self._now: dict[_Key, MadeOf] = {}
        self.taken = 0
        """So often something was taken over."""

    def turn(self) -> None:
        """Begin the next page: of what was made before keep only what the last one asked for."""
        self._last, self._now = self._now, {}

    def made(self, make: Callable[..., Made], args: tuple[Any, ...], named: dict[str, Any]) -> Made:
        """What a function makes of these arguments, or made of the same."""
        of = (args, named)
        try:
            key = make, hashlib.sha256(msgpack.encode(of)).digest()
        except TypeError:  # something in it cannot be compared byte for byte
            return make(*args, **named)
        entry = self._now.get(key) or self._last.get(key)
        if entry is None or entry.of != of:
            entry = MadeOf(of, make(*args, **named))
        else:
            self.taken += 1
        self._now[key] = entry
        found: Made = entry.made
        return found


_KEPT: ContextVar[Kept | None] = ContextVar("kept", default=None)


@contextmanager
def keeping(kept: Kept) -> Iterator[None]:
    """Within it, functions marked `takes_over` take over what is kept there, and leave theirs."""
    before = _KEPT.set(kept)
    try:
        yield
    finally:
        _KEPT.reset(before)


def takes_over(make: Callable[P, Made]) -> Callable[P, Made]:
    """Mark a pure function of plain records; nobody may change what it returns.

    >>> kept = Kept()
    >>> with keeping(kept):
    ...     [takes_over(repr)(value) for value in (0.0, 0.0, -0.0, 0)]
    ['0.0', '0.0', '-0.0', '0']
    >>> kept.taken
    1
    """

    @wraps(make)
    def asked(*args: P.args, **named: P.kwargs) -> Made:
        kept = _KEPT.get()
        return make(*args, **named) if kept is None else kept.made(make, args, named)

    return asked


__all__ = ["Kept", "keeping", "takes_over"]
