"""What the readings of an engine monitor say by themselves: starts, set point, outputs, steps.

In: arrays of a log. Out: records with their spread, or why nothing can be told. Nothing here knows
what the file says; `log_replay` puts both side by side.
"""

from itertools import pairwise

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from elec.standards import default

Array = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

BEFORE_S = 10.0
"""So long before a start counts as before it."""
STRAIGHT = 0.1
"""The readings of a start lie on a line to within this part of the sag, or say nothing."""
SETTLED_S = 60.0
HOLD_BAND_V, HOLD_LEAST, HOLD_MOVES_A = 0.15, 30, 3.0
"""A voltage that stands within the band while the load moves by so much is what a regulator
holds."""
BIN_RPM, BIN_LEAST, BIN_SPREAD = 100.0, 5, 0.1
"""Readings at one speed, to 100 rpm, agree to 10 % or are not of one hot alternator."""
STEP_A, STEP_SIGMAS, ALIKE, ALIKE_A, CYCLES = 0.5, 5.0, 0.08, 0.4, 3
"""Steps of one load: above the noise, alike to 8 % or 0.4 A, seen three times (our judgement)."""


DUTY_SPREAD = 0.05
"""Half of the cycles agree to so much of the time, or nothing is said of a duty."""


class StartFit(Struct, frozen=True, kw_only=True):
    """One start: the resistance behind the voltage that was read."""

    at_s: float
    amps: float
    sag_v: float
    ohms: float | None
    sd_ohms: float
    samples: int
    why: str = ""


class Plateau(Struct, frozen=True, kw_only=True):
    """A voltage that stands."""

    volts: float | None
    sd_v: float
    samples: int
    from_s: float = 0.0
    to_s: float = 0.0
    why: str = ""


class OutputPoint(Struct, frozen=True, kw_only=True):
    """What an alternator gives at a speed when it gives all it can."""

    rpm: float
    amps: float | None
    spread_a: float
    volts: float
    samples: int
    why: str = ""


class StepFit(Struct, frozen=True, kw_only=True):
    """A load that comes and goes."""

    amps: float
    spread_a: float
    volts: float
    cycles: int
    duty: float | None
    """The share of the time that it is on; None where the cycles do not agree."""
    from_s: float
    to_s: float


def sign_of(volts: Array, amps: Array, head: str) -> tuple[int, str]:
    """1 where + is out of the battery, -1 where it is into it, 0 where nothing says; and why.

    While a starter turns current can only come out, and the voltage sags with it.
    """
    heavy = np.abs(np.nan_to_num(amps)) >= default("log-crank").si
    if heavy.sum() >= 2:
        first, last = np.flatnonzero(heavy)[[0, -1]]
        near = slice(max(0, int(first) - 10), int(last) + 3)
        v, a = volts[near], amps[near]
        known = np.isfinite(v) & np.isfinite(a)
        if known.sum() >= 4 and np.ptp(a[known]) > 0 and np.ptp(v[known]) > 0:
            fits = float(np.corrcoef(v[known], a[known])[0, 1])
            if abs(fits) > 0.5:
                return (1 if fits < 0 else -1), "by the sag of the start"
    words = set(head.lower().replace("(", " ").replace(")", " ").replace(",", " ").split())
    if words & {"out", "discharge", "discharging"}:
        return 1, "by its head"
    if words & {"in", "charge", "charging"}:
        return -1, "by its head"
    return 0, "no start and no word of its head says whether + is charge or discharge"


def groups(flags: Flags) -> list[tuple[int, int]]:
    """First and last of each run of flags.

    >>> groups(np.array([False, True, True, False, True]))
    [(1, 2), (4, 4)]
    """
    edges = np.flatnonzero(np.diff(np.concatenate(([0], flags.astype(int), [0]))))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def starts(time_s: Array, volts: Array, out_a: Array, rpm: Array | None) -> tuple[StartFit, ...]:
    """Every start, by the line through voltage over current before and while it turns."""
    found = []
    for first, last in groups(np.nan_to_num(out_a) >= default("log-crank").si):
        before = (time_s >= time_s[first] - BEFORE_S) & (time_s < time_s[first])
        before &= np.nan_to_num(out_a) < default("log-crank").si
        if rpm is not None:
            before &= ~(rpm >= default("log-running").si)
        used = before.copy()
        used[first : last + 1] = True
        used &= np.isfinite(volts) & np.isfinite(out_a)
        found.append(_start(time_s, volts, out_a, used, (first, last, int(before.sum()))))
    return tuple(found)


def _start(
    time_s: Array, volts: Array, out_a: Array, used: Flags, span: tuple[int, int, int]
) -> StartFit:
    first, last, before = span
    a, v = out_a[used], volts[used]
    crank = slice(first, last + 1)
    amps = float(np.nanmedian(out_a[crank]))
    rest = used.copy()
    rest[crank] = False
    sag = float(np.median(volts[rest]) - np.nanmin(volts[crank])) if rest.any() else 0.0
    fit = StartFit(
        at_s=float(time_s[first]), amps=amps, sag_v=sag, ohms=None, sd_ohms=0.0, samples=len(a)
    )
    if before < 2 or last == first:
        why = "fewer than two readings before it" if before < 2 else "one reading of it alone"
        return _because(fit, why)
    slope, offset = np.polyfit(a, v, 1)
    rest_v = v - (slope * a + offset)
    scatter = float(np.sqrt(np.mean(rest_v**2)))
    if slope >= 0:
        return _because(fit, "the voltage does not fall with the current")
    if scatter > STRAIGHT * max(sag, 1e-9):
        return _because(fit, f"the readings lie {scatter:.2f} V off a line, of {sag:.2f} V of sag")
    spread = float(np.sum((a - a.mean()) ** 2))
    sd = float(np.sqrt(np.sum(rest_v**2) / max(1, len(a) - 2) / spread))
    return StartFit(
        at_s=fit.at_s, amps=amps, sag_v=sag, ohms=float(-slope), sd_ohms=sd, samples=len(a)
    )


def _because(fit: StartFit, why: str) -> StartFit:
    return StartFit(
        at_s=fit.at_s, amps=fit.amps, sag_v=fit.sag_v, ohms=None, sd_ohms=0.0,
        samples=fit.samples, why=why,
    )  # fmt: skip


def resting(time_s: Array, volts: Array, out_a: Array, still: Flags, most_a: float) -> Plateau:
    """The voltage while next to nothing flows and no engine runs, over a minute or more."""
    quiet = still & (np.abs(_smoothed(out_a)) <= most_a) & np.isfinite(volts)
    best = max(groups(quiet), key=lambda g: time_s[g[1]] - time_s[g[0]], default=None)
    if best is None or time_s[best[1]] - time_s[best[0]] < SETTLED_S:
        why = f"no minute with the engine at rest and less than {most_a:.2g} A"
        return Plateau(volts=None, sd_v=0.0, samples=int(quiet.sum()), why=why)
    span = slice(best[0], best[1] + 1)
    half = volts[span][(best[1] - best[0]) // 2 :]  # it settles first
    return Plateau(
        volts=float(np.median(half)),
        sd_v=float(np.std(half)),
        samples=len(half),
        from_s=float(time_s[best[0]]),
        to_s=float(time_s[best[1]]),
    )


def _smoothed(values: Array) -> Array:
    """The median of nine readings around each: noise of a shunt is no current."""
    padded = np.pad(np.nan_to_num(values, nan=np.inf), 4, mode="edge")
    found: Array = np.median(np.lib.stride_tricks.sliding_window_view(padded, 9), axis=1)
    return found


def held(time_s: Array, volts: Array, given_a: Array, running_s: Array) -> Plateau:
    """The voltage that stands while the load moves: what the regulator holds."""
    on = (running_s >= SETTLED_S) & np.isfinite(volts) & np.isfinite(given_a)
    nothing = Plateau(volts=None, sd_v=0.0, samples=int(on.sum()))
    if on.sum() < HOLD_LEAST:
        return _no_plateau(nothing, "the engine ran too short a time")
    top = float(np.percentile(volts[on], 80))
    near = on & (np.abs(volts - top) <= HOLD_BAND_V)
    moved = float(np.ptp(np.percentile(given_a[near], [5, 95])))
    if near.sum() < HOLD_LEAST:
        return _no_plateau(nothing, "the voltage never stands")
    if moved < HOLD_MOVES_A:
        return _no_plateau(
            nothing,
            f"the load moved by {moved:.1f} A alone while it stood: nothing says that it is held",
        )
    where = np.flatnonzero(near)
    return Plateau(
        volts=float(np.median(volts[near])),
        sd_v=float(np.std(volts[near])),
        samples=int(near.sum()),
        from_s=float(time_s[where[0]]),
        to_s=float(time_s[where[-1]]),
    )


def _no_plateau(found: Plateau, why: str) -> Plateau:
    return Plateau(volts=None, sd_v=0.0, samples=found.samples, why=why)


def outputs(
    volts: Array,
    rpm: Array,
    given_a: Array,
    *,
    out_a: Array | None,
    running_s: Array,
    held_v: float,
) -> tuple[OutputPoint, ...]:
    """What the alternator gives, hot, where the voltage sags below what the regulator holds."""
    known = np.isfinite(volts) & np.isfinite(rpm) & np.isfinite(given_a)
    full = (
        known
        & (running_s >= default("log-warm").si)
        & (volts < held_v - default("log-sag").si)
        & (given_a > 0)
    )
    if out_a is not None:
        full &= np.nan_to_num(out_a, nan=-1.0) >= 0.0  # the battery helps: it is asked for more
    found = []
    bins = np.round(rpm[full] / BIN_RPM)
    for one in np.unique(bins):
        here = bins == one
        a, n, v = given_a[full][here], rpm[full][here], volts[full][here]
        if len(a) < BIN_LEAST:
            continue
        middle = float(np.median(a))
        spread = float(np.ptp(np.percentile(a, [10, 90])))
        wide = spread > BIN_SPREAD * middle
        found.append(
            OutputPoint(
                rpm=float(np.median(n)),
                amps=None if wide else middle,
                spread_a=spread,
                volts=float(np.median(v)),
                samples=len(a),
                why=f"it gives {middle:.1f} A, {spread:.1f} A more or less" if wide else "",
            )
        )
    return tuple(found)


def steps(time_s: Array, volts: Array, load_a: Array) -> tuple[StepFit, ...]:
    """Loads that come and go: steps of one size, up and down by turns, three cycles or more."""
    edges = _edges(load_a)
    found = []
    ups = [(i, size) for i, size in edges if size > 0]
    for size in _sizes([s for _, s in ups]):
        mine = [(i, s) for i, s in edges if _alike(abs(s), size)]
        turns = [
            (a, b) for a, b in pairwise(mine) if a[1] > 0 > b[1]
        ]  # on, then off, and nothing of that size between
        cycles = [
            (on, off, again)
            for (on, off), (again, _) in pairwise(turns)
            if [e for e in mine if on[0] < e[0] < again[0]] == [off]
        ]
        if len(cycles) < CYCLES:
            continue
        sizes = np.array([_height(load_a, on[0], off[0], again[0]) for on, off, again in cycles])
        shares = [
            float((time_s[off[0]] - time_s[on[0]]) / (time_s[again[0]] - time_s[on[0]]))
            for on, off, again in cycles
        ]
        steady = float(np.ptp(np.percentile(shares, [25, 75]))) <= DUTY_SPREAD
        at = [volts[min(on[0] + 2, len(volts) - 1)] for on, _, _ in cycles]
        found.append(
            StepFit(
                amps=float(np.median(sizes)),
                spread_a=float(np.std(sizes)),
                volts=float(np.nanmedian(at)),
                cycles=len(cycles),
                duty=float(np.median(shares)) if steady else None,
                from_s=float(time_s[cycles[0][0][0]]),
                to_s=float(time_s[cycles[-1][2][0]]),
            )
        )
    return tuple(found)


def _edges(load_a: Array) -> list[tuple[int, float]]:
    """Index and size of every step: the medians of three readings before and after it."""
    if len(load_a) < 8:
        return []
    padded = np.concatenate((load_a[:1], load_a[:1], load_a, load_a[-1:], load_a[-1:]))
    windows = np.lib.stride_tricks.sliding_window_view(padded, 3)
    middle = np.nanmedian(windows, axis=1)  # of i-2..i at i, of i+1..i+3 at i+3
    jump = middle[3 : len(load_a) + 2] - middle[: len(load_a) - 1]
    noise = 1.4826 * float(np.nanmedian(np.abs(np.diff(load_a)))) / np.sqrt(2)
    least = max(STEP_A, STEP_SIGMAS * noise)
    size = np.abs(np.nan_to_num(jump))
    found = []
    for first, last in groups(size >= least):
        top = first + int(np.argmax(size[first : last + 1]))
        found.append((top + 1, float(jump[top])))
    return found


def _height(load_a: Array, on: int, off: int, again: int) -> float:
    """How much more flows while it is on than while it is off; edges are left out."""
    lit, dark = load_a[on + 1 : max(off - 1, on + 2)], load_a[off + 1 : max(again - 1, off + 2)]
    return float(np.nanmedian(lit) - np.nanmedian(dark))


def _alike(a: float, b: float) -> bool:
    return abs(a - b) <= max(ALIKE * b, ALIKE_A / 2)


def _sizes(every: list[float]) -> list[float]:
    """The middle of each heap of sizes."""
    heaps: list[list[float]] = []
    for size in sorted(every):
        if heaps and _alike(size, heaps[-1][-1]):
            heaps[-1].append(size)
        else:
            heaps.append([size])
    return [float(np.median(heap)) for heap in heaps if len(heap) >= CYCLES]


def running_for(time_s: Array, rpm: Array | None, given_a: Array | None) -> Array:
    """How long the engine has run at each reading; -1 where it does not, or nothing says."""
    if rpm is not None:
        on = np.nan_to_num(rpm) >= default("log-running").si
    elif given_a is not None:
        on = np.nan_to_num(given_a) > 1.0
    else:
        on = np.zeros(len(time_s), np.bool_)
    found = np.full(len(time_s), -1.0)
    for first, last in groups(on):
        found[first : last + 1] = time_s[first : last + 1] - time_s[first]
    return found
