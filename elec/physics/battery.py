"""A battery: how long it lasts, its voltage, its resistance."""

import math
from collections.abc import Sequence
from itertools import pairwise

from elec.physics.formula import formula
from elec.standards.cite import source
from elec.standards.table import NotCovered, table


@formula("C", "Ah", "capacity at one hour", Cr="capacity_ah: rated capacity",
         H="rated_h: rated time", k="peukert_exponent: Peukert exponent")  # fmt: skip
@source("peukert", "with the rated time")
def one_hour_capacity_ah(*, capacity_ah: float, rated_h: float, peukert_exponent: float) -> str:
    """Charge that a battery gives in one hour, from its rating.

    Cr is the capacity rated over H hours: at the current of one hour it lasts H·(Cr/(I·H))^k = 1 h.

    >>> round(one_hour_capacity_ah(capacity_ah=100, rated_h=5, peukert_exponent=1.1123), 1)
    85.0

    Raises:
        NotCovered: no rated time.
    """
    if rated_h <= 0:
        raise NotCovered("rated time", f"{rated_h:g} h", "above 0", "Peukert's law")
    return "Cr * H ** (1 / k - 1)"


@source("peukert", "from two ratings")
def peukert_exponent(*, first_h: float, first_a: float, second_h: float, second_a: float) -> float:
    """Exponent from two ratings: k = (log t2 - log t1)/(log I1 - log I2).

    >>> round(peukert_exponent(first_h=5, first_a=20, second_h=1, second_a=85), 5)
    1.11232
    """
    return (math.log(second_h) - math.log(first_h)) / (math.log(first_a) - math.log(second_a))


@source(
    "elec",
    "straight lines between the logarithms of two ratings, as Peukert's law has it",
    "computed",
)
def rated_charge_ah(*, curve: Sequence[tuple[float, float]], discharge_h: float) -> float:
    """Charge a battery gives in a discharge time, from its ratings (hours, ampere-hours).

    Beyond the slowest rating no benefit is counted; beyond the quickest its slope is kept.

    >>> two = [(1.0, 85.0), (5.0, 100.0)]
    >>> [round(rated_charge_ah(curve=two, discharge_h=h), 2) for h in (1, 2.5, 5, 20)]
    [85.0, 93.24, 100.0, 100.0]

    Raises:
        NotCovered: no time.
    """
    if discharge_h <= 0:
        raise NotCovered("discharge time", f"{discharge_h:g} h", "above 0", "a battery's ratings")
    if discharge_h >= curve[-1][0]:
        return curve[-1][1]
    left, right = next(pair for pair in pairwise(curve) if discharge_h <= pair[1][0])
    slope = math.log(right[1] / left[1]) / math.log(right[0] / left[0])
    return left[1] * float((discharge_h / left[0]) ** slope)


@source(
    "elec",
    "straight lines between the logarithms of two ratings, as Peukert's law has it",
    "computed",
)
def rated_share_per_h(*, curve: Sequence[tuple[float, float]], current_a: float) -> float:
    """Share of a full charge that a current draws in an hour, from ratings (hours, Ah).

    >>> two = [(1.0, 85.0), (5.0, 100.0)]
    >>> [round(rated_share_per_h(curve=two, current_a=i), 4) for i in (10, 20, 85)]
    [0.1, 0.2, 1.0]
    """
    currents = [charge / hours for hours, charge in curve]
    if current_a <= currents[-1]:
        return current_a / curve[-1][1]
    at = next((i for i in range(len(curve) - 1) if current_a >= currents[i + 1]), 0)
    slope = math.log(curve[at][0] / curve[at + 1][0]) / math.log(currents[at + 1] / currents[at])
    return float((current_a / currents[at]) ** slope) / curve[at][0]


@source("trade", "ampere-hour law of charging", "memory")
def accepted_current_a(
    *, state_of_charge: float, capacity_ah: float, most_a: float, charge_h: float
) -> float:
    """Current that a battery takes: the charge missing over a time, never above a greatest one.

    >>> law = {"capacity_ah": 18, "most_a": 7, "charge_h": 1}
    >>> [round(accepted_current_a(state_of_charge=s, **law), 3) for s in (0.9, 0.5)]
    [1.8, 7]

    Raises:
        NotCovered: no time.
    """
    if charge_h <= 0:
        raise NotCovered("charging time", f"{charge_h:g} h", "above 0", "the ampere-hour law")
    missing = max(0.0, 1.0 - state_of_charge) * capacity_ah
    return min(most_a, missing / charge_h)


@source("trade", "capacity in the cold", "memory")
def frozen_factor(*, temperature_degc: float, share_at_18_below: float) -> float:
    """Share of its 25 °C capacity that a lead-acid battery gives below 0 °C.

    A straight line from 0.84 at 0 °C (the published table's end) through a share at -18 °C.

    >>> [round(frozen_factor(temperature_degc=t, share_at_18_below=0.5), 2) for t in (0, -18)]
    [0.84, 0.5]

    Raises:
        NotCovered: above 0 °C, or below -40 °C.
    """
    if not -40 <= temperature_degc <= 0:
        raise NotCovered("battery", f"{temperature_degc:g} °C", "-40 to 0 °C", "the cold")
    return max(0.0, 0.84 + (0.84 - share_at_18_below) / 18 * temperature_degc)


@source("retrofit", "endurance form")
def budget_ampere_minutes(*, capacity_ah: float, factor: float) -> float:
    """Charge to count on, in ampere-minutes: f·C·60.

    >>> budget_ampere_minutes(capacity_ah=35, factor=0.75)
    1575.0
    """
    return factor * capacity_ah * 60


@formula("t3", "min", "time on the shed load", Q="budget_ampere_minutes: charge to count on",
         t1="recognition_min: time until it is noticed", I1="recognition_current_a: till then",
         t2="landing_min: time of the landing", I2="landing_current_a: current at the landing",
         I3="shed_current_a: current after shedding")  # fmt: skip
@source("retrofit", "endurance form")
def shed_time_min(
    *,
    budget_ampere_minutes: float,
    recognition_min: float,
    recognition_current_a: float,
    landing_min: float,
    landing_current_a: float,
    shed_current_a: float,
) -> str:
    """Time that remains on the shed load between recognition and landing; 0 if none remains.

    >>> round(shed_time_min(budget_ampere_minutes=1575, recognition_min=5,
    ...     recognition_current_a=43.5, landing_min=10, landing_current_a=48.1,
    ...     shed_current_a=34.0), 1)
    25.8

    Raises:
        NotCovered: no shed load, so no end.
    """
    if shed_current_a <= 0:
        raise NotCovered("shed load", f"{shed_current_a:g} A", "above 0", "the endurance form")
    return "max(0, (Q - I1 * t1 - I2 * t2) / I3)"


@source("retrofit", "endurance form")
def endurance_min(
    *,
    budget_ampere_minutes: float,
    recognition_min: float,
    recognition_current_a: float,
    landing_min: float,
    landing_current_a: float,
    shed_current_a: float,
) -> float:
    """Time from the failure until the battery is empty: recognition, shed load, landing.

    Where the charge does not reach to the end of the landing, the time at which it is gone.

    >>> round(endurance_min(budget_ampere_minutes=1575, recognition_min=5,
    ...     recognition_current_a=43.5, landing_min=10, landing_current_a=48.1,
    ...     shed_current_a=34.0), 1)
    40.8

    Raises:
        NotCovered: no shed load, so no end.
    """
    after = budget_ampere_minutes - recognition_min * recognition_current_a
    if after <= 0:
        return budget_ampere_minutes / recognition_current_a
    if after < landing_min * landing_current_a:
        return recognition_min + after / landing_current_a
    shed = shed_time_min(
        budget_ampere_minutes=budget_ampere_minutes,
        recognition_min=recognition_min,
        recognition_current_a=recognition_current_a,
        landing_min=landing_min,
        landing_current_a=landing_current_a,
        shed_current_a=shed_current_a,
    )
    return recognition_min + shed + landing_min


@source("elec", "resistance rises evenly below 25 °C", "judgement")
def cold_resistance_ohm(
    *, resistance_25degc_ohm: float, temperature_degc: float, rise_share_per_k: float
) -> float:
    """Resistance of a battery at a temperature: R25·(1 + a·(25 - T)).

    >>> ratio = cold_resistance_ohm(
    ...     resistance_25degc_ohm=1, temperature_degc=-18, rise_share_per_k=0.008)
    >>> round(ratio, 2)  # of lead-acid; a cold-crank table gives 1.37 against 20 °C
    1.34

    Raises:
        NotCovered: outside -30 to 60 °C.
    """
    if not -30 <= temperature_degc <= 60:
        raise NotCovered("battery", f"{temperature_degc:g} °C", "-30 to 60 °C", "cold resistance")
    return resistance_25degc_ohm * (1 + rise_share_per_k * (25 - temperature_degc))


@formula("R", "ohm", "resistance of the battery", n="cells_ratio: such units in series",
         R0="known_resistance_ohm: known one", C0="known_capacity_ah: its capacity",
         C="capacity_ah: capacity")  # fmt: skip
@source("elec", "resistance goes with one over capacity", "judgement")
def scaled_resistance_ohm(
    *, known_resistance_ohm: float, known_capacity_ah: float, capacity_ah: float, cells_ratio: float
) -> str:
    """Resistance of a battery like a known one, by capacity and cells over the known one's cells.

    >>> round(scaled_resistance_ohm(known_resistance_ohm=0.007, known_capacity_ah=17,
    ...                             capacity_ah=34, cells_ratio=2), 4)
    0.007
    """
    return "n * R0 * C0 / C"


@source("battery_faq", "capacity against temperature")
def temperature_factor(*, temperature_degc: float, discharge_min: float) -> float:
    """Share of its 25 °C capacity that a lead-acid battery gives, by length of discharge.

    Straight lines between the rows; the classes are up to 30, 30 to 60 and above 60 minutes.

    >>> round(temperature_factor(temperature_degc=0, discharge_min=45), 2)
    0.82
    >>> round(temperature_factor(temperature_degc=12.5, discharge_min=120), 3)
    0.92

    Raises:
        NotCovered: outside 0 to 40 °C.
    """
    bound = 0.0 if discharge_min < 30 else 30.0 if discharge_min <= 60 else 60.0
    change = table("elec/battery_temperature").value(
        "change_percent", discharge_from_min=bound, temperature_degc=float(temperature_degc)
    )
    return 1 + change / 100
