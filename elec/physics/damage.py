"""When an overloaded wire is damaged: from a short circuit to a lasting overload, one curve."""

import math

from elec.physics.formula import formula
from elec.standards.cite import place_of, source
from elec.standards.table import NotCovered
from elec.standards.wire import COPPER_ZERO_DEGC

INSULATION_HEAT_J_PER_K_MM3 = {"etfe": 1.8e-3, "ptfe": 2.2e-3, "pvc": 1.9e-3}
"""Density times specific heat of the plastics (makers' sheets, from memory)."""


def _above_zero(degc: float) -> float:
    """Kelvins above the point where the straight line of copper's resistance would vanish."""
    return degc - COPPER_ZERO_DEGC


def _warm_factor(degc: float) -> float:
    return _above_zero(degc) / _above_zero(20)


@source("iec_60949", "adiabatic form")
@source("iec_60364", "k values", "memory")
def adiabatic_k(*, start_degc: float, limit_degc: float) -> float:
    """Constant of the short-circuit law I = k·S/√t for copper, in A·s^0.5/mm².

    k = 226·√ln((tf + 234.5)/(ti + 234.5)). Assumes nominal conductivity.

    >>> round(adiabatic_k(start_degc=70, limit_degc=160), 0)
    115.0
    >>> round(adiabatic_k(start_degc=90, limit_degc=250), 0)
    143.0

    Raises:
        NotCovered: a limit not above the start.
    """
    if limit_degc <= start_degc:
        raise NotCovered("limit", f"{limit_degc:g} °C", "above the start", place_of(adiabatic_k))
    return 226 * math.sqrt(math.log(_above_zero(limit_degc) / _above_zero(start_degc)))


@source("iec_60364", "I = k·S/√t", "memory")
def short_time_current_a(*, adiabatic_k: float, area_mm2: float, duration_s: float) -> float:
    """Current that heats a conductor to its limit in a short time, none lost: I = k·S/√t.

    >>> short_time_current_a(adiabatic_k=115, area_mm2=2.5, duration_s=1)
    287.5
    """
    return adiabatic_k * area_mm2 / math.sqrt(duration_s)


@source("iec_60949", "3.45 J/(K·cm³) copper", "memory")
def heat_capacity_j_per_k_m(*, area_mm2: float, heat_j_per_k_mm3: float) -> float:
    """Heat that a metre of conductor takes up per kelvin: 1000·ρc·A, A in mm².

    >>> round(heat_capacity_j_per_k_m(area_mm2=0.61616, heat_j_per_k_mm3=3.45e-3), 4)  # copper
    2.1258
    """
    return 1000 * heat_j_per_k_mm3 * area_mm2


@source("trade", "heat capacity of insulation", "memory")
def insulation_heat_j_per_k_m(
    *, insulation: str, diameter_mm: float, conductor_diameter_mm: float
) -> float:
    """Heat that a metre of insulation takes up per kelvin: ρc·π/4·(D² - d²).

    Count none below 0.25 s (heat has no time to get in), about 0.7 of it above 1 s.

    >>> heat = insulation_heat_j_per_k_m(insulation="etfe", diameter_mm=1.4732,
    ...                                  conductor_diameter_mm=0.9652)
    >>> round(heat / heat_capacity_j_per_k_m(area_mm2=0.61616, heat_j_per_k_mm3=3.45e-3),
    ...       2)  # 0.87 from other diameters
    0.82

    Raises:
        NotCovered: an insulation whose heat is not known.
    """
    if insulation not in INSULATION_HEAT_J_PER_K_MM3:
        known = ", ".join(INSULATION_HEAT_J_PER_K_MM3)
        raise NotCovered("insulation", insulation, known, "heat capacities")
    ring = math.pi / 4 * (diameter_mm**2 - conductor_diameter_mm**2)
    return 1000 * INSULATION_HEAT_J_PER_K_MM3[insulation] * ring


@formula(
    "G", "W/(K m)", "heat that a metre loses per kelvin, from what it may carry for ever",
    Iz="current_a", R="resistance_20degc_ohm_per_m", Tr="conductor_degc", Ta="ambient_degc",
)  # fmt: skip
@source("textbook", "heat balance at a tabled point", "computed")
def heat_loss_w_per_k_m(
    *,
    current_a: float,
    conductor_degc: float,
    ambient_degc: float,
    resistance_20degc_ohm_per_m: float,
    zero_degc: float,
) -> str:
    """Heat that a metre of wire loses per kelvin of rise, from a current it carries for ever.

    At `zero_degc` the straight line of the metal's resistance meets nothing.

    >>> round(heat_loss_w_per_k_m(current_a=7, conductor_degc=150, ambient_degc=70,
    ...                           resistance_20degc_ohm_per_m=0.0324147, zero_degc=-234.5), 6)
    0.029996

    Raises:
        NotCovered: a conductor no warmer than its surroundings.
    """
    if conductor_degc <= ambient_degc:
        raise NotCovered("conductor", f"{conductor_degc:g} °C", "above ambient", "heat balance")
    return f"Iz ** 2 * R * ({-zero_degc:g} + Tr) / {20 - zero_degc:g} / (Tr - Ta)"


@source("textbook", "heat balance", "computed")
def lasting_current_a(
    *,
    heat_loss_w_per_k_m: float,
    resistance_20degc_ohm_per_m: float,
    ambient_degc: float,
    limit_degc: float,
) -> float:
    """Current that brings a wire just to its limit and no further, however long it flows.

    I = √(G·(T - Ta)·254.5/(R20·(T + 234.5))).

    >>> round(lasting_current_a(heat_loss_w_per_k_m=0.029996, ambient_degc=70, limit_degc=230,
    ...                         resistance_20degc_ohm_per_m=0.0324147), 3)
    9.007
    """
    if limit_degc <= ambient_degc:
        return 0.0
    warm = resistance_20degc_ohm_per_m * _warm_factor(limit_degc)
    return math.sqrt(heat_loss_w_per_k_m * (limit_degc - ambient_degc) / warm)


@source("textbook", "heat balance with loss, closed form", "computed")
def damage_time_s(
    *,
    current_a: float,
    heat_capacity_j_per_k_m: float,
    heat_loss_w_per_k_m: float,
    resistance_20degc_ohm_per_m: float,
    ambient_degc: float,
    start_degc: float,
    limit_degc: float,
) -> float:
    """Time in which a current heats a wire from its start to its limit; infinite if it never does.

    Exact solution of C·dT/dt = I²·R20·(234.5 + T)/254.5 - G·(T - Ta). With p = I²·R20/254.5,
    q = G - p, u = T + 234.5, u∞ = G·ua/q: t = -(C/q)·ln((ud - u∞)/(u0 - u∞)).

    >>> round(damage_time_s(current_a=15, heat_capacity_j_per_k_m=2.12575, ambient_degc=70,
    ...     heat_loss_w_per_k_m=0.029996, resistance_20degc_ohm_per_m=0.0324147, start_degc=70,
    ...     limit_degc=230), 1)
    39.5
    """
    if start_degc >= limit_degc:
        return 0.0
    lasting = lasting_current_a(
        heat_loss_w_per_k_m=heat_loss_w_per_k_m,
        resistance_20degc_ohm_per_m=resistance_20degc_ohm_per_m,
        ambient_degc=ambient_degc,
        limit_degc=limit_degc,
    )
    if current_a <= lasting:
        return math.inf
    made = current_a**2 * resistance_20degc_ohm_per_m / _above_zero(20)
    slope = heat_loss_w_per_k_m - made
    start, limit, ambient = map(_above_zero, (start_degc, limit_degc, ambient_degc))
    if abs(slope) < 1e-9 * made:
        return heat_capacity_j_per_k_m * (limit - start) / (heat_loss_w_per_k_m * ambient)
    settled = heat_loss_w_per_k_m * ambient / slope
    ratio = (limit - settled) / (start - settled)
    return -heat_capacity_j_per_k_m / slope * math.log(ratio)
