"""Breakers and fuses: ratings, time-current bands, resistance, what they can interrupt.

In: tables. Out: `CurveBand` records and numbers, each with its source and how sure it is.
"""

import math
from bisect import bisect_right
from collections.abc import Mapping
from functools import cache, cached_property
from operator import itemgetter

from msgspec import Struct

from elec.standards.cite import Cite, least_sure
from elec.standards.table import NotCovered, TableRow, table


class BandPoint(Struct, frozen=True, kw_only=True):
    """A point of a time-current band.

    At `multiple` times its rating the device opens not before `least_s` and not after
    `most_s`; None where the document gives no such limit. `least_s` may be infinite: it must
    not open at all.
    """

    multiple: float
    least_s: float | None = None
    most_s: float | None = None


class CurveBand(Struct, frozen=True, kw_only=True, dict=True):
    """The time-current band of a class of breaker or fuse, in rising multiples of its rating."""

    name: str
    points: tuple[BandPoint, ...]
    cite: Cite
    note: str = ""

    @cached_property
    def hold(self) -> float:
        """The greatest multiple at which it must not open; 1 where none is given."""
        held = [p.multiple for p in self.points if p.least_s is not None and p.most_s is None]
        return max(held, default=1.0)

    @property
    def ultimate_trip(self) -> float | None:
        """The least multiple at which it must open at all; None where none is given."""
        opened = [p.multiple for p in self.points if p.most_s is not None]
        return min(opened, default=None)

    def longest_around(self, multiple: float) -> tuple[tuple[float, float], ...]:
        """The points that tell the longest time: two, one that is met or the last, or none.

        >>> breaker_band("fast").longest_around(3)
        ((2.0, 2.5), (4.0, 0.54))
        """
        points = self._longest
        met = bisect_right(points, multiple, key=itemgetter(0))
        if not 0 < met < len(points) or points[met - 1][0] == multiple:
            return points[:met][-1:]
        return points[met - 1 : met + 1]

    @cached_property
    def _longest(self) -> tuple[tuple[float, float], ...]:
        return tuple((p.multiple, p.most_s) for p in self.points if p.most_s is not None)

    @cached_property
    def shortest(self) -> tuple[tuple[float, float], ...]:
        """Points before which it must not open; infinite times become the longest finite one."""
        found = [(p.multiple, p.least_s) for p in self.points if p.least_s is not None]
        longest = max([3600.0, *(t for _, t in found if math.isfinite(t))])
        return tuple((m, t if math.isfinite(t) else longest) for m, t in found)


def _optional(row: TableRow, column: str) -> float | None:
    return row.number(column) if row.has(column) else None


def _band(name: str, rows: tuple[TableRow, ...]) -> CurveBand:
    points = tuple(
        BandPoint(
            multiple=row.number("multiple"),
            least_s=_optional(row, "least_s"),
            most_s=_optional(row, "most_s"),
        )
        for row in sorted(rows, key=lambda row: row.number("multiple"))
    )
    worst = least_sure(row.cite for row in rows)
    note = next(row.text("note") for row in rows if row.cite == worst)
    return CurveBand(name=name, points=points, cite=worst, note=note)


@cache
def breaker_band(class_: str) -> CurveBand:
    """Give the band of a class of breaker, such as `thermal` or `fast`.

    `cite.certainty` is the least certain among its points.

    >>> breaker_band("fast").ultimate_trip
    1.38

    Raises:
        NotCovered: no such class.
    """
    rows = table("elec/breaker_curves").select(breaker_class=class_)
    if not rows:
        known = ", ".join(breaker_classes())
        raise NotCovered("breaker class", class_, f"known are {known}", "the breaker curves")
    return _band(class_, rows)


def breaker_classes() -> tuple[str, ...]:
    """Name the classes of breaker that have a band."""
    return tuple(dict.fromkeys(r.text("breaker_class") for r in table("elec/breaker_curves")))


@cache
def fuse_band(family: str, rating_a: float) -> CurveBand:
    """Give the band of a fuse: `fuse_band("blade-c", 10.0)`.

    Raises:
        NotCovered: no curve for this family and rating.
    """
    rows = tuple(
        row
        for row in table("elec/fuse_curves").select(family=family)
        if row.number("rating_from_a") <= rating_a <= row.number("rating_to_a")
    )
    if not rows:
        known = ", ".join(fuse_families())
        raise NotCovered(
            f"{family} fuse", f"{rating_a:g} A", f"known are {known}", "the fuse curves"
        )
    return _band(f"{family} {rating_a:g} A", rows)


def fuse_families() -> tuple[str, ...]:
    """Name the families of fuse that have a curve."""
    return tuple(dict.fromkeys(row.text("family") for row in table("elec/fuse_curves")))


@cache
def breaker_ratings_a() -> tuple[float, ...]:
    """Give the standard breaker ratings in rising order.

    >>> breaker_ratings_a()[:5]
    (0.5, 1.0, 2.0, 2.5, 3.0)
    """
    return tuple(sorted(row.number("rating_a") for row in table("elec/breaker_ratings")))


@cache
def fuse_ratings_a(family: str) -> tuple[float, ...]:
    """Give the standard ratings of a fuse family in rising order.

    Raises:
        NotCovered: no ratings are listed for the family.
    """
    rows = table("elec/fuse_ratings").select(family=family)
    if not rows:
        raise NotCovered("fuse family", family, "no ratings listed", "the fuse ratings")
    return tuple(sorted(row.number("rating_a") for row in rows))


@cache
def breaker_resistance_ohm(rating_a: float) -> tuple[float, Cite]:
    """Give a breaker's resistance at rated current, from its drop there; between ratings log-log.

    >>> round(breaker_resistance_ohm(5.0)[0], 3)
    0.045
    """
    drops = table("elec/breaker_drop")
    return drops.value("drop_v", rating_a=rating_a) / rating_a, drops.cite


LIKE: Mapping[str, str] = {"blade-e": "blade-c", "blade-f": "blade-c"}
"""Of these fuses few resistances are at hand; of one rating another blade has about the same."""


@cache
def fuse_resistance_ohm(family: str, rating_a: float) -> tuple[float, Cite]:
    """Give a fuse's cold resistance; where no sheet at hand has it, from those of its neighbours.

    Between two ratings a straight line between the logarithms, beyond the last one the same drop at
    the rating.

    >>> [round(fuse_resistance_ohm("blade-c", rating_a)[0], 5) for rating_a in (10.0, 3.0)]
    [0.0077, 0.03248]

    Raises:
        NotCovered: there is no such fuse, or nothing is known of fuses like it.
    """
    every = table("elec/fuse_ratings")
    row = every.row(family=family, rating_a=rating_a)
    if row.text(_COLD):
        cite = Cite("fuse_sheet", "cold resistance", row.text("resistance_certainty"))
        return row.number(_COLD) / 1000, cite
    known = {
        one.number("rating_a"): one.number(_COLD) / 1000
        for name in (LIKE.get(family, family), family)
        for one in every.rows
        if one.text("family") == name and one.text(_COLD)
    }
    if not known:
        raise NotCovered("cold resistance", f"{family} {rating_a:g} A", "blades", every.title)
    cite = Cite("elec", "resistance of fuses between ratings", "judgement")
    low = max((one for one in known if one <= rating_a), default=min(known))
    high = min((one for one in known if one >= rating_a), default=max(known))
    if low >= high or not low < rating_a < high:
        near = low if low in (rating_a, max(known)) else high
        return known[near] * near / rating_a, cite
    part = math.log(rating_a / low) / math.log(high / low)
    return known[low] * (known[high] / known[low]) ** part, cite


_COLD = "cold_resistance_mohm"
