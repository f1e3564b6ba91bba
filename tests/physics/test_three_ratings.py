"""A battery of three ratings: each piece between two of them by its own slope."""

import math

import pytest
from scipy.interpolate import interp1d

from elec.physics.battery import rated_charge_ah, rated_share_per_h

CURVE = [(1.0, 60.0), (5.0, 85.0), (20.0, 100.0)]
"""Hours, Ah; of our own invention."""


def by_scipy(hours: float) -> float:
    """Straight lines between the logarithms, by a library."""
    line = interp1d(
        [math.log(h) for h, _ in CURVE], [math.log(c) for _, c in CURVE], fill_value="extrapolate"
    )
    return math.exp(float(line(math.log(hours))))


@pytest.mark.parametrize("hours", [0.4, 1.0, 2.0, 3.0, 5.0, 7.0, 12.0, 20.0])
def test_charge_between_ratings(hours: float) -> None:
    """Beyond the quickest its slope is kept; at a rating it is the rating."""
    assert rated_charge_ah(curve=CURVE, discharge_h=hours) == pytest.approx(by_scipy(hours))


def test_beyond_the_slowest_nothing_is_gained() -> None:
    """Twice as slow gives no more than the slowest rating."""
    assert rated_charge_ah(curve=CURVE, discharge_h=40.0) == 100.0


@pytest.mark.parametrize("hours", [0.4, 0.9, 1.0, 2.0, 4.9, 5.0, 7.0, 12.0, 20.0])
def test_share_is_one_over_the_hours_that_the_current_lasts(hours: float) -> None:
    """The current that empties it in so many hours takes that part of it in one."""
    current = by_scipy(hours) / hours
    assert rated_share_per_h(curve=CURVE, current_a=current) == pytest.approx(1 / hours)


def test_below_the_slowest_rating_it_counts_ampere_hours() -> None:
    """2.5 A out of 100 Ah: a fortieth an hour."""
    assert rated_share_per_h(curve=CURVE, current_a=2.5) == pytest.approx(0.025)
