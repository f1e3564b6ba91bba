"""A band: how sure one result is, what drives it, and how that was worked out.

In: a subject and its drivers. Out: frozen records, and the working after JCGM 100.
"""

import math

from msgspec import Struct

from elec.answers.doubt.subjects import Kind, Subject
from elec.physics.spread import (
    combined_deviation,
    normal_share,
    triangular_deviation_share,
    uniform_deviation_share,
)
from elec.standards import cited
from elec.units import asked_minutes, whole_minutes
from elec.wiring.basis import QUANTILE
from elec.working import COMPUTED, Step, Term, Working, computed

DIGITS = {"A": 1, "min": 0, "V": 2}
"""Unit of a band → digits behind the point in print; minutes are cut or rounded up."""
SHOWN = 6
"""So many drivers stand in a working by name; the rest is one term."""


class Driver(Struct, frozen=True, kw_only=True):
    """An input, or all wires and contacts of one circuit, and its part in a band."""

    title: str
    basis: str
    tolerance: float
    origin: str
    path: tuple[str | int, ...]
    kind: str
    share: float
    """Of the variance."""
    deviation: float
    """Standard deviation that it alone gives the result, in the result's unit."""
    slope: float
    """Change of the result by a rise to twice the input; of a group the root of their squares."""
    shape: str
    single: bool
    """One input, and no group."""


class Interval(Struct, frozen=True, kw_only=True):
    """Nine of ten outcomes lie between `low` (5 %) and `high` (95 %)."""

    low: float
    middle: float
    high: float
    met: float
    """Chance that the limit is met."""
    deviation: float


class Band(Struct, frozen=True, kw_only=True):
    """How sure one result is."""

    kind: Kind
    about: str
    title: str
    thing: str
    """Of a voltage: the title of its load."""
    where: str
    unit: str
    nominal: float
    limit: float
    linear: Interval
    """By slopes and the root of the sum of squares; normal."""
    sampled: Interval | None
    drivers: tuple[Driver, ...]
    """The greatest first; their shares add up to 1 less those of small ones left out."""
    unknown: tuple[str, ...]
    path: tuple[str | int, ...]
    working: Working

    @property
    def best(self) -> Interval:
        """The samples, where there are some."""
        return self.linear if self.sampled is None else self.sampled

    @property
    def doubtful(self) -> bool:
        """Whether the limit lies within the band."""
        return self.best.low < self.limit <= self.best.high

    @property
    def short(self) -> bool:
        """Whether all of the band lies below the limit."""
        return self.best.high < self.limit


def shown(band: Band, value: float) -> str:
    """A number of a band for print, without its unit: of minutes never more than there are."""
    if band.unit == "min":
        return whole_minutes(value)
    return f"{value:.{DIGITS[band.unit]}f}".replace("-", "−")


def asked(band: Band) -> str:
    """Its limit for print, without its unit: of minutes never fewer than are asked."""
    return asked_minutes(band.limit) if band.unit == "min" else shown(band, band.limit)


def working_of(subject: Subject, drivers: tuple[Driver, ...], deviation: float) -> Working:
    """The parts of the greatest drivers, the root of the sum of squares, the end of the band."""
    steps: list[Step] = []
    for number, driver in enumerate(drivers[:SHOWN], 1):
        steps.append(_part(subject, driver, number))
    terms = [step.result for step in steps]
    named = combined_deviation(parts=[term.value for term in terms])
    rest = math.sqrt(max(0.0, deviation**2 - named**2))
    if len(drivers) > SHOWN:
        meaning = "all smaller ones together"
        terms.append(Term("ur", rest, subject.unit, meaning, "root of the sum of their squares"))
    whole = Term("u", deviation, subject.unit, "standard deviation", COMPUTED)
    if terms:
        squares = " + ".join(f"{t.symbol}**2" for t in terms)
        steps.append(
            computed("u", subject.unit, whole.meaning, f"sqrt({squares})", terms,
                     source=cited(combined_deviation),
                     note="the inputs taken as independent of each other")
        )  # fmt: skip
        whole = steps[-1].result
    steps.append(_lower(subject, whole))
    title = f"How sure: {subject.title}, {subject.where}"
    return Working(title=title, steps=tuple(steps), binds=terms[0].symbol if terms else "")


def _part(subject: Subject, driver: Driver, number: int) -> Step:
    """What one driver alone makes of the result."""
    title, basis = f"by {driver.title} ({driver.basis})", driver.basis
    if not driver.single:
        result = Term(f"u{number}", driver.deviation, subject.unit, title, COMPUTED)
        return Step(result=result, note="root of the sum of squares of all of them")
    root = "3" if driver.shape == "uniform" else "6"
    terms = (
        Term(f"c{number}", abs(driver.slope), subject.unit,
             "change of the result if the input were doubled, in proportion",
             "slope at the operating point"),
        Term(f"a{number}", driver.tolerance, "", f"how far {driver.title} may be off ({basis})",
             driver.origin),
    )  # fmt: skip
    share = uniform_deviation_share if driver.shape == "uniform" else triangular_deviation_share
    return computed(f"u{number}", subject.unit, title, f"c{number} * a{number} / sqrt({root})",
                    terms, source=cited(share),
                    note=f"{driver.shape} within ±a{number}")  # fmt: skip


_CHECK = {
    "margin": "what the sources give less the load: elec loads",
    "endurance": "the shorter of sum and simulation: battery-endurance",
    "voltage": "solved network: load-voltage",
    "device": "what it holds where it sits less the load: device-holds-load",
}
"""Where the number that a band is about was worked out, by the kind of subject."""


def _lower(subject: Subject, deviation: Term) -> Step:
    origin = f"{_CHECK.get(subject.kind, 'the analysis itself')}, {subject.where}"
    terms = (
        Term("y", subject.nominal, subject.unit, subject.title, origin),
        Term("k", QUANTILE, "", "5 % of a normal distribution lie lower", "normal distribution"),
        deviation,
    )
    return computed("L", subject.unit, "lower end of the band: 19 of 20 outcomes are better",
                    "y - k * u", terms, source=cited(normal_share))  # fmt: skip


__all__ = ["QUANTILE", "Band", "Driver", "Interval", "working_of"]
