"""A default, or published limits, with other values for a while."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from msgspec.structs import replace

import elec.wiring.limits as where
from elec.standards import default, defaults
from elec.wiring.limits import Limit


@contextmanager
def default_of(key: str, value: float) -> Iterator[None]:
    """Let a default have this value, in its own unit."""
    known, old = defaults(), default(key)
    assert value != old.value
    known[key] = replace(old, value=value)
    where._published.cache_clear()
    try:
        yield
    finally:
        known[key] = old
        where._published.cache_clear()


@contextmanager
def limits_of(values: Mapping[str, float], as_in: Mapping[str, Limit] = {}) -> Iterator[None]:
    """Let limits be published with these values, as they are compared.

    `as_in`: limits of a system whose origin is taken over, so that only the door differs.
    """
    usual = where._published

    def changed(asked: str, high: bool) -> Limit:
        found: Limit = usual(asked, high)
        if asked not in values:
            return found
        found = replace(found, value=values[asked])
        one = as_in.get(asked)
        return found if one is None else replace(found, origin=one.origin, tightened=True)

    where._published = changed  # type: ignore[assignment]
    try:
        yield
    finally:
        where._published = usual
