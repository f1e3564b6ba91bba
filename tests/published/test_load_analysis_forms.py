"""Load and endurance forms: a retrofit installation manual page 3-38, CAP 562 4.1, MIL-E-7016F.

The endurance example was seen; CAP 562's rule was seen, its 90 % charge is from memory; the
averages follow MIL-E-7016F section 6 from memory, with currents of FAA-H-8083-3 figure 16-9.
"""

import pytest

from elec.physics import battery, load
from elec.standards import NotCovered

FORM = {
    "recognition_min": 5.0,
    "recognition_current_a": 43.5,
    "landing_min": 10.0,
    "landing_current_a": 48.1,
    "shed_current_a": 34.0,
}


@pytest.mark.parametrize(
    ("factor", "budget", "shed", "total"),
    [(0.75, 1575, 25.8, 40.8), (0.72, 1512, 23.93, 38.93), (0.80, 1680, 28.87, 43.87)],
)
def test_endurance(factor: float, budget: float, shed: float, total: float) -> None:
    """35 Ah, page 3-38 prints 25.8 and 40.8 min; the other two factors computed."""
    charge = battery.budget_ampere_minutes(capacity_ah=35, factor=factor)
    assert charge == pytest.approx(budget)
    digit = 0.05 if factor == 0.75 else 0.005
    assert battery.shed_time_min(budget_ampere_minutes=charge, **FORM) == pytest.approx(
        shed, abs=digit
    )
    assert battery.endurance_min(budget_ampere_minutes=charge, **FORM) == pytest.approx(
        total, abs=digit
    )


def test_cap_562_route() -> None:
    """35 Ah taken as a five-hour rating: 35·0.85·0.80·0.90 = 21.42 Ah, 32.26 min in the form."""
    capacity = battery.one_hour_capacity_ah(capacity_ah=35, rated_h=5, peukert_exponent=1.11232)
    charge = battery.budget_ampere_minutes(capacity_ah=capacity, factor=0.80 * 0.90)
    assert charge / 60 == pytest.approx(21.42, abs=0.005)
    assert battery.endurance_min(budget_ampere_minutes=charge, **FORM) == pytest.approx(
        32.26, abs=0.005
    )


def test_a_battery_that_does_not_last() -> None:
    """Empty while landing, and empty before the failure is seen: the time at which it is gone."""
    assert battery.shed_time_min(budget_ampere_minutes=500, **FORM) == 0
    assert battery.endurance_min(budget_ampere_minutes=500, **FORM) == pytest.approx(
        5 + (500 - 217.5) / 48.1
    )
    assert battery.endurance_min(budget_ampere_minutes=87, **FORM) == pytest.approx(2.0)
    with pytest.raises(NotCovered):
        battery.endurance_min(budget_ampere_minutes=1575, **{**FORM, "shed_current_a": 0.0})


def test_averages() -> None:
    """Flap 13 A 8 s, gear 10 A 6 s, transmitter 6 A 30 s, landing light 17.8 A all the time."""
    uses = [(13.0, 8.0), (10.0, 6.0), (6.0, 30.0), (17.8, 300.0)]
    assert load.average_a(uses=uses, interval_s=300) == pytest.approx(18.94667, abs=5e-6)
    everything = [(current, "") for current, _ in uses]
    assert load.momentary_a(currents=everything) == pytest.approx(46.8)
    one_pump = [(13.0, "pump"), (10.0, "pump"), (6.0, ""), (17.8, "")]
    assert load.momentary_a(currents=one_pump) == pytest.approx(36.8)


def test_a_longer_use_than_the_interval_counts_once() -> None:
    assert load.average_a(uses=[(10.0, 1000.0)], interval_s=300) == 10.0
    with pytest.raises(NotCovered):
        load.average_a(uses=[], interval_s=0)


def test_faa_h_8083_continuous_list() -> None:
    """FAA-H-8083-3 figure 16-9: the continuous entries sum to 8.14 A."""
    entries = (3.30, 3.00, 0.40, 0.60, 0.30, 0.20, 0.17, 0.17)
    assert load.momentary_a(currents=[(e, "") for e in entries]) == pytest.approx(8.14)
