"""Shorts in which a battery's management system opens, or may: what follows without that battery.

In: the courses of shorts with every battery feeding. Out: `CutOff` by node. It opens where it gives
more than its limit for longer than it waits. Where limit or waiting time is not given it may open
at once, before any device, or not at all: both courses are followed.
"""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from elec.answers.short.short_clearing import Clearing, ShortCourse
from elec.model.source import Lithium
from elec.network.netlist import Values
from elec.study import Study


class Managed(Struct, frozen=True, kw_only=True):
    """The batteries that may be taken away by one short."""

    batteries: tuple[str, ...]
    amps: float
    """What the first of them gives."""
    missing: str
    """Which of its figures is not given: `limit`, `opens-after`, or none."""


class CutOff(Struct, frozen=True, kw_only=True):
    """What follows when these batteries are gone from the beginning."""

    batteries: tuple[str, ...]
    amps: float
    missing: str
    normal: ShortCourse
    changed: ShortCourse
    taken: tuple[str, ...]
    """Essential equipment whose work nothing does any more."""

    @property
    def sure(self) -> bool:
        """Whether the management opens: both its figures are known."""
        return not self.missing

    @property
    def courses(self) -> tuple[ShortCourse, ...]:
        """Those in which anything still feeds the short."""
        return tuple(course for course in (self.normal, self.changed) if course.live)


def managed(study: Study) -> Mapping[str, Lithium]:
    """The batteries with a management system."""
    sources = study.document.sources.items()
    return {name: source for name, source in sources if isinstance(source, Lithium)}


def opening(study: Study, courses: Sequence[ShortCourse]) -> Managed | None:
    """The batteries that open, or may, in one short; None where none does."""
    found: dict[str, tuple[float, str]] = {}
    for name, battery in managed(study).items():
        over = [course.over[name] for course in courses if name in course.over]
        if not over:
            continue
        waits = battery.opens_after_s
        missing = "limit" if battery.limit_a is None else "opens-after" if waits is None else ""
        if waits is None or missing or max(until for _, until in over) > waits:
            found[name] = (max(amps for amps, _ in over), missing)
    if not found:
        return None
    first = next(iter(found.values()))
    missing = next((why for _, why in found.values() if why), "")
    return Managed(batteries=tuple(found), amps=first[0], missing=missing)


def without(
    clearing: Clearing,
    values: tuple[Values, Values],
    gone: Mapping[str, Managed],
    own: Mapping[str, frozenset[str]],
) -> Mapping[str, tuple[ShortCourse, ShortCourse]]:
    """Node → the courses of a short there without those batteries, normal and changed over."""
    nodes = list(gone)
    if not nodes:
        return {}
    off = [gone[node].batteries for node in nodes]
    normal = clearing.run(values[0], nodes, [()] * len(nodes), own, off)
    before = [tuple(one.device for one in course.opened) for course in normal]
    changed = clearing.run(values[1], nodes, before, own, off)
    return dict(zip(nodes, zip(normal, changed, strict=True), strict=True))


__all__ = ["CutOff", "Managed", "managed", "opening", "without"]
