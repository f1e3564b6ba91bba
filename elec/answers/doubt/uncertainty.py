"""How sure the answers are, and what to measure first.

In: the setting of subjects and inputs. Out: `Uncertainty`: for every alternator margin, the time on
the battery and each essential load's least voltage a band, the chance that the limit is met, and
the inputs that drive the spread, ranked. Once by slopes and the root of the sum of squares, once
by samples; the two check each other.
"""

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.answers.doubt.bands import QUANTILE, Band, Driver, Interval, working_of
from elec.answers.doubt.samples import sampled_inputs, solved_results
from elec.answers.doubt.subjects import AllSubjects, Kind, Subject, Untold, any_essential, setting
from elec.answers.doubt.tolerances import Index, Input
from elec.network.netlist import Array
from elec.physics.spread import combined_deviation, normal_share
from elec.study import Study, analysis

SAMPLES = 10_000
SMALL_STEP = 1e-4
KEPT = 12
"""So many drivers of each band are kept."""
NEGLIGIBLE = 1e-8
"""An input with less than this share of every variance is not sampled."""
SLACK = 1e-9


class Uncertainty(Struct, frozen=True, kw_only=True):
    """All bands."""

    bands: tuple[Band, ...]
    untold: tuple[Untold, ...]
    whose: str = "essential loads"
    """Of whom the voltages are: `loads` where none is marked essential."""
    samples: int = 0
    """0: by slopes alone."""
    solved: bool = False
    """Whether the network was solved for every sample; else its results go by their slopes."""
    networks: int = 0
    afresh: int = 0
    unmet: int = 0
    """Networks of samples in which the demand could not be met."""

    def of(self, kind: Kind) -> tuple[Band, ...]:
        """The bands of one kind."""
        return tuple(band for band in self.bands if band.kind == kind)

    def band(self, kind: Kind, about: str) -> Band:
        """One band."""
        return next(b for b in self.bands if (b.kind, b.about) == (kind, about))


@analysis
def uncertainty(study: Study) -> Uncertainty:
    """All bands by slopes: quick, for checks."""
    asked = setting(study)
    table = _table(asked.inputs.every)
    bands = [
        _band(table, subject, row)
        for subject, row in zip(asked.subjects, _slopes(study), strict=True)
    ]
    whose = "essential loads" if any_essential(study) else "loads"
    return Uncertainty(bands=tuple(bands), untold=asked.untold, whose=whose)


def sampled(study: Study, samples: int = SAMPLES, *, solved: bool = True) -> Uncertainty:
    """All bands by slopes and by samples.

    Args:
        study: the run.
        samples: how many; the same number gives the same answer.
        solved: solve the network for every sample; else take its currents and voltages by their
            slopes, and only the sums and quotients in full.
    """
    asked, linear = setting(study), uncertainty(study)
    x = sampled_inputs(asked.inputs.every, _moving(study, asked), samples)
    afresh = unmet = networks = 0
    if solved:
        y, afresh, unmet = solved_results(study, asked, x)
        networks = samples * len({r.case for r in asked.results})
    else:
        y = asked.nominal[:, None] + asked.slopes @ x
    bands = tuple(
        replace(band, sampled=_counted(subject, subject.value(x, y)))
        for subject, band in zip(asked.subjects, linear.bands, strict=True)
    )
    return Uncertainty(
        bands=bands,
        untold=asked.untold,
        whose=linear.whose,
        samples=samples,
        solved=solved,
        networks=networks,
        afresh=afresh,
        unmet=unmet,
    )


def _counted(subject: Subject, outcome: Array) -> Interval:
    low, middle, high = (float(q) for q in np.quantile(outcome, (0.05, 0.5, 0.95)))
    least = subject.limit - SLACK * max(1.0, abs(subject.limit))
    return Interval(
        low=low,
        middle=middle,
        high=high,
        met=float((outcome >= least).mean()),
        deviation=float(outcome.std()),
    )


@analysis
def _slopes(study: Study) -> Array:
    """The change of each subject by a relative rise of each input, (subjects, inputs).

    By central differences of the sums themselves, in the inputs that they read and in the network
    results that they read; the latter go on to all inputs by the network's own slopes.
    """
    asked = setting(study)
    every = asked.inputs.every
    direct = np.flatnonzero([one.kind not in ("wires", "diode") for one in every])
    count, rows = len(direct), len(asked.results)
    columns = 2 * (count + rows)
    x = np.zeros((len(every), columns))
    y = np.repeat(asked.nominal[:, None], columns, axis=1)
    x[direct, np.arange(count)], x[direct, count + np.arange(count)] = SMALL_STEP, -SMALL_STEP
    at, down = 2 * count + np.arange(rows), 2 * count + rows + np.arange(rows)
    y[np.arange(rows), at] += SMALL_STEP
    y[np.arange(rows), down] -= SMALL_STEP
    found = np.zeros((len(asked.subjects), len(every)))
    for place, subject in enumerate(asked.subjects):
        value = subject.value(x, y) / (2 * SMALL_STEP)
        moved = value[at] - value[down]
        read = np.flatnonzero(moved)  # a few of all results
        found[place] = moved[read] @ asked.slopes[read]
        found[place, direct] += value[:count] - value[count : 2 * count]
    return found


def _moving(study: Study, asked: AllSubjects) -> Index:
    """Inputs with a part in any band."""
    deviation = np.array([one.deviation for one in asked.inputs.every])
    variance = (_slopes(study) * deviation) ** 2
    whole = variance.sum(axis=1, keepdims=True)
    share = np.divide(variance, whole, out=np.zeros_like(variance), where=whole > 0)
    return np.flatnonzero((share > NEGLIGIBLE).any(axis=0))


class _Table(Struct, frozen=True, kw_only=True):
    """All inputs as arrays: what each deviates, and the group that it is ranked with."""

    every: tuple[Input, ...]
    deviation: Array
    group: Index
    groups: int


def _table(every: tuple[Input, ...]) -> _Table:
    places: dict[str, int] = {}
    group = [places.setdefault(one.group, len(places)) for one in every]
    return _Table(
        every=every,
        deviation=np.array([one.deviation for one in every]),
        group=np.asarray(group, np.intp),
        groups=len(places),
    )


def _band(table: _Table, subject: Subject, slope: Array) -> Band:
    parts = slope * table.deviation
    deviation = combined_deviation(parts=parts[parts != 0].tolist())
    drivers = _drivers(table, slope, parts) if deviation > 0 else ()
    reach = QUANTILE * deviation
    over = subject.nominal - subject.limit
    if deviation > 0:
        met = normal_share(distance_ratio=over / deviation)
    else:
        met = 1.0 if over >= 0 else 0.0
    low = subject.nominal - reach
    linear = Interval(
        low=low if subject.kind in ("margin", "device") else max(0.0, low),
        middle=subject.nominal,
        high=subject.nominal + reach,
        met=met,
        deviation=deviation,
    )
    return Band(
        kind=subject.kind,
        about=subject.about,
        title=subject.title,
        thing=subject.thing,
        where=subject.where,
        unit=subject.unit,
        nominal=subject.nominal,
        limit=subject.limit,
        linear=linear,
        sampled=None,
        drivers=drivers,
        unknown=subject.unknown,
        path=subject.path,
        working=working_of(subject, drivers, deviation),
    )


def _drivers(table: _Table, slope: Array, parts: Array) -> tuple[Driver, ...]:
    """The inputs with the greatest parts, those of a group together."""
    variance = parts * parts
    of_group = np.bincount(table.group, weights=variance, minlength=table.groups)
    order = np.argsort(-of_group, kind="stable")[:KEPT]
    whole = float(variance.sum())
    return tuple(
        _driver(table, slope, parts, np.flatnonzero(table.group == g), whole)
        for g in order
        if of_group[g] > 0
    )


def _driver(table: _Table, slope: Array, parts: Array, members: Index, whole: float) -> Driver:
    """One driver, in the words of that member which has the greatest part."""
    lead = int(members[np.abs(parts[members]).argmax()])
    one, single = table.every[lead], len(members) == 1
    part = combined_deviation(parts=parts[members].tolist())
    steep = combined_deviation(parts=slope[members].tolist())
    return Driver(
        title=one.title,
        basis=one.basis,
        tolerance=one.tolerance,
        origin=one.origin,
        path=one.path,
        kind=one.kind,
        share=part * part / whole,
        deviation=part,
        slope=float(slope[lead]) if single else steep,
        shape=one.shape,
        single=single,
    )


__all__ = ["Band", "Driver", "Interval", "Uncertainty", "Untold", "sampled", "uncertainty"]
