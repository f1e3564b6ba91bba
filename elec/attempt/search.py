"""The most load with which no answer of the checks gets worse, and how far each limit is.

In: a study with fixed sizes, a spot. Out: `Bound` records. The checks are asked with more and less
load; between two runs a number is taken to go straight.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.attempt.spot import PROBE, LoadSpot, probed
from elec.attempt.verdicts import rank
from elec.check import checks
from elec.finding import Finding, Verdict
from elec.study import Study
from elec.wiring.chains import chains

NEARLY_NOTHING_A = 1e-3
MOST_A = 1000.0
"""Where nothing binds below this, nothing in the file binds."""
MOST_RUNS = 14
MOST_REFINED = 4
EXACT = 0.01
"""The binding current is known to one part in a hundred, or to `EXACT_A`."""
EXACT_A = 0.02
SMALLEST_STEP = 1e-6
"""A number that moves by less of itself for an ampere does not depend on the load."""
NOT_ASKED = ("failure-", "load-spread")
"""Checks that a single lasting load does not move, or that answer in odds."""
CURVED = ("battery-", "engine-", "load-voltage", "alternator-momentary", "network-")
"""Checks whose numbers do not go straight with the current."""
SHOWN = 8
"""How many limits are told."""
WORSE = (Verdict.FAIL, Verdict.ADVISE)

Key = tuple[str, str]
"""A check and what it is about."""
Findings = Mapping[Key, Finding]


class Bound(Struct, frozen=True, kw_only=True):
    """One limit and the room up to it."""

    check: str
    about: str
    room_a: float
    """How much more until it; 0 where it is passed already."""
    becomes: Verdict
    now: Finding
    """Its answer without more load."""
    found: bool = False
    """True where two runs close to each other enclose it, False where it is extrapolated."""


class _Meets(Struct, frozen=True, kw_only=True):
    """Where an answer gets worse: between two runs (`enclosed`), or beyond all of them."""

    current_a: float
    wide_a: float
    verdict: Verdict
    enclosed: bool


class RoomSearch:
    """Asks the checks with more and with less load."""

    def __init__(self, base: Study, spot: LoadSpot) -> None:
        """Begin with no run."""
        self.base = base
        self.spot = spot
        self.made: dict[float, Findings] = {}
        self.beyond: Findings = {}
        """What gets worse just beyond the most."""

    def at(self, current_a: float) -> Findings:
        """Every answer with that much more load."""
        if current_a not in self.made:
            self.made[current_a] = dict(self._asked(probed(self.base, self.spot, current_a)))
        return self.made[current_a]

    def _asked(self, study: Study) -> Iterator[tuple[Key, Finding]]:
        worst: dict[Key, Finding] = {}
        own = self._own(study)
        for one in checks():
            if one.deep or one.id.startswith(NOT_ASKED):
                continue
            for finding in one.function(study):
                key = (one.id, finding.about)
                if finding.about in own or not self._counts(one.id, finding.about):
                    continue
                if key not in worst or rank(finding.verdict) < rank(worst[key].verdict):
                    worst[key] = replace(finding, check=one.id)
        return iter(worst.items())

    def _own(self, study: Study) -> frozenset[str]:
        """What only the added load itself is about; at a place its own circuit counts, too."""
        if self.spot.circuit or self.spot.kind == "place":
            return frozenset()
        chain = chains(study).by_name[PROBE]
        return frozenset({PROBE, *(marks(study)[c.id] for c in chain.conductors())})

    def _counts(self, check: str, about: str) -> bool:
        if check == "device-selective" and not self.spot.circuit and self.spot.kind != "place":
            return False  # so much load need not hang on one breaker
        if self.spot.kind == "source":
            return check.partition("-")[0] in ("alternator", "battery", "engine", "network")
        return self.spot.about is None or about in self.spot.about

    # -- the nearest limit -------------------------------------------------------------------------

    def worse(self, current_a: float) -> Findings:
        """What fails, or is advised against, with that much more load and not with nearly none."""
        before = self.at(NEARLY_NOTHING_A)
        return {
            key: finding
            for key, finding in self.at(current_a).items()
            if _is_worse(before.get(key), finding)
        }

    def most_a(self) -> float | None:
        """The most load with which nothing gets worse; None where nothing binds."""
        low, high = NEARLY_NOTHING_A, inf
        guess = 1.0
        for _ in range(MOST_RUNS):
            found = self.worse(guess)
            if found:
                high, self.beyond = guess, found
            else:
                low = guess
            if low >= MOST_A or (high < inf and high - low <= _exact(high)):
                break
            guess = self._next(low, high)
        if high == inf:
            return None
        return 0.0 if low <= NEARLY_NOTHING_A else low

    def _next(self, low: float, high: float) -> float:
        """Just beyond the nearest limit by the numbers so far, or just before it."""
        step = EXACT / 3
        ahead = [
            found.current_a
            for key in self.at(low)
            if PROBE not in key[1]  # its own device and wire are chosen anew each time
            and (found := self._meets(key)) is not None
            and low < found.current_a < high
        ]
        if not ahead:
            return min(2 * low + 1.0, MOST_A) if high == inf else (low + high) / 2
        first = min(ahead)
        for guess in (first * (1 + step), first * (1 - step)):
            if low < guess < high:
                return guess
        return (low + high) / 2

    # -- every limit -------------------------------------------------------------------------------

    def bounds(self, most_a: float | None) -> tuple[Bound, ...]:
        """Every limit that the load comes nearer to: those that bind, then the nearest."""
        self._look_ahead(most_a or 0.0)
        before = self.at(NEARLY_NOTHING_A)
        rows = [
            Bound(
                check=key[0],
                about=key[1],
                room_a=most_a or 0.0,
                becomes=finding.verdict,
                now=before.get(key, finding),
                found=True,
            )
            for key, finding in self.beyond.items()
        ]
        rows += [row for key in before if (row := self._row(key)) is not None]
        return tuple(sorted(rows, key=lambda b: (b.room_a, not b.found)))

    def _row(self, key: Key) -> Bound | None:
        now = self.at(NEARLY_NOTHING_A)[key]
        if key in self.beyond or PROBE in key[1]:
            return None
        if now.verdict is Verdict.ADVISE and self._nearer(key):
            return Bound(check=key[0], about=key[1], room_a=0.0, becomes=Verdict.ADVISE, now=now)
        found = self._meets(key)
        if found is None:
            return None
        return Bound(
            check=key[0],
            about=key[1],
            room_a=found.current_a,
            becomes=found.verdict,
            now=now,
            found=found.enclosed and found.wide_a <= _exact(found.current_a) * 2,
        )

    def _look_ahead(self, most_a: float) -> None:
        """Run beyond the nearest few limits, and closer to those whose numbers go in curves."""
        nearest = self._nearest(most_a)
        if not nearest:
            return
        self.at(nearest[-1][1].current_a * (1 + EXACT))
        for _ in range(MOST_REFINED):
            loose = [
                found
                for key, found in self._nearest(most_a)
                if key[0].startswith(CURVED) and found.wide_a > 10 * _exact(found.current_a)
            ]
            if not loose:
                return
            self.at(loose[0].current_a * (1 + EXACT))

    def _nearest(self, most_a: float) -> list[tuple[Key, _Meets]]:
        rows = [
            (key, found)
            for key in self.at(NEARLY_NOTHING_A)
            if PROBE not in key[1]
            and (found := self._meets(key)) is not None
            and found.current_a > most_a
        ]
        return sorted(rows, key=lambda row: row[1].current_a)[:SHOWN]

    def _meets(self, key: Key) -> _Meets | None:
        """Where an answer gets worse, by all runs so far; None where it does not come nearer."""
        first = self.at(NEARLY_NOTHING_A).get(key)
        if first is None or first.verdict is not Verdict.PASS:
            return None
        runs = [(i, self.made[i][key]) for i in sorted(self.made) if key in self.made[i]]
        for (low, before), (high, after) in pairwise(runs):
            if _is_worse(first, after):
                meets = _crosses((low, before), (high, after))
                inside = meets if meets is not None and low <= meets <= high else (low + high) / 2
                return _Meets(
                    current_a=inside, wide_a=high - low, verdict=after.verdict, enclosed=True
                )
        if len(runs) < 2:
            return None
        meets = _crosses(runs[-2], runs[-1])
        if meets is None or meets <= runs[-1][0]:
            return None
        return _Meets(current_a=meets, wide_a=inf, verdict=Verdict.FAIL, enclosed=False)

    def _nearer(self, key: Key) -> bool:
        """Whether a number that is advised against gets worse with the load."""
        runs = [(i, self.made[i][key]) for i in sorted(self.made) if key in self.made[i]]
        first, last = _margin(runs[0][1]), _margin(runs[-1][1])
        if first is None or last is None:
            return False
        return abs(last) > abs(first) * (1 + SMALLEST_STEP) and first * last > 0


def _exact(current_a: float) -> float:
    return max(EXACT * current_a, EXACT_A)


def _is_worse(before: Finding | None, now: Finding) -> bool:
    return now.verdict in WORSE and rank(now.verdict) < rank(before.verdict if before else None)


def _crosses(first: tuple[float, Finding], second: tuple[float, Finding]) -> float | None:
    """Where the straight line through two runs meets the limit; None where it goes nowhere."""
    a, b = _margin(first[1]), _margin(second[1])
    if a is None or b is None:
        return None
    slope = (b - a) / (second[0] - first[0])
    if abs(slope) <= SMALLEST_STEP * max(abs(a), abs(b)):
        return None
    return second[0] - b / slope


def _margin(finding: Finding) -> float | None:
    """How far a number is from its limit; its sign says nothing."""
    if finding.value is None or finding.limit is None:
        return None
    return finding.value - finding.limit
