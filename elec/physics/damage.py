"""When an overloaded wire is damaged: from a short circuit to a lasting overload, one curve."""

import math

from elec.physics.drop import warm_factor
from elec.physics.formula import formula
from elec.standards.cite import place_of, source
from elec.standards.table import NotCovered
from elec.standards.wire import COPPER_ZERO_DEGC

INSULATION_HEAT_J_PER_K_MM3 = {"etfe": 1.8e-3, "ptfe": 2.2e-3, "pvc": 1.9e-3}
"""Density times specific heat of the plastics (makers' sheets, from memory)."""
BALANCED = 1e-9
"""Heat made and lost count as alike below this share: the closed form has lost its digits there."""

RESISTANCE = "resistance_20degc_ohm_per_m: resistance at 20 °C"
BODY, LOSS = "heat_capacity_j_per_k_m: heat it takes", "heat_loss_w_per_k_m: heat it loses"
START = "start_degc: the wire before the short"
DAMAGED = "limit_degc: where it counts as damaged"


def _above_zero(degc: float) -> float:
    """Kelvins above the point where the straight line of copper's resistance would vanish."""
    return degc - COPPER_ZERO_DEGC


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


@formula(
    "C", "J/(K m)", "heat that a metre takes per kelvin", A="area_mm2: conductor",
    D="diameter_mm: over the insulation", d="conductor_diameter_mm: conductor",
)  # fmt: skip
@source("iec_60949", "3.45 J/(K·cm³) copper", "memory")
def heat_capacity_j_per_k_m(
    *,
    area_mm2: float,
    heat_j_per_k_mm3: float,
    insulation_j_per_k_mm3: float,
    diameter_mm: float,
    conductor_diameter_mm: float,
) -> str:
    """Heat that a metre of conductor, and as much of its insulation as counts, takes up per kelvin.

    Count none of the insulation below 0.25 s (heat has no time to get in), about 0.7 of it above
    1 s.

    >>> wire = {"area_mm2": 0.61616, "heat_j_per_k_mm3": 3.45e-3, "diameter_mm": 1.4732,
    ...         "conductor_diameter_mm": 0.9652}
    >>> copper = heat_capacity_j_per_k_m(**wire, insulation_j_per_k_mm3=0.0)
    >>> round(copper, 4)
    2.1258
    >>> etfe = insulation_heat_j_per_k_mm3(insulation="etfe")
    >>> clothed = heat_capacity_j_per_k_m(**wire, insulation_j_per_k_mm3=etfe)
    >>> round(clothed / copper - 1, 2)  # 0.87 from other diameters
    0.82
    """
    metal = f"{1000 * heat_j_per_k_mm3:g} * A"
    if not insulation_j_per_k_mm3:
        return metal
    return f"{metal} + {1000 * insulation_j_per_k_mm3:g} * pi / 4 * (D ** 2 - d ** 2)"


@source("trade", "heat capacity of insulation", "memory")
def insulation_heat_j_per_k_mm3(*, insulation: str) -> float:
    """Heat that insulation takes up per kelvin.

    >>> insulation_heat_j_per_k_mm3(insulation="etfe")
    0.0018

    Raises:
        NotCovered: an insulation whose heat is not known.
    """
    if insulation not in INSULATION_HEAT_J_PER_K_MM3:
        known = ", ".join(INSULATION_HEAT_J_PER_K_MM3)
        raise NotCovered("insulation", insulation, known, "heat capacities")
    return INSULATION_HEAT_J_PER_K_MM3[insulation]


def _warmed(symbol: str, zero_degc: float) -> str:
    """The text of `warm_factor` at a temperature of another symbol."""
    return warm_factor.text(conductor_degc=20.0, zero_degc=zero_degc).replace("T", symbol)


@formula(
    "G", "W/(K m)", "heat that a metre loses per kelvin, from what it may carry for ever",
    Iz="current_a: what it may carry", R=RESISTANCE, Tr="conductor_degc: rating of the insulation",
    Ta="ambient_degc: around the wire",
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
    return f"Iz ** 2 * R * {_warmed('Tr', zero_degc)} / (Tr - Ta)"


@formula(
    "If", "A", "current that just never damages it",
    G=LOSS, R=RESISTANCE, Ta="ambient_degc: around the wire", Td=DAMAGED,
)  # fmt: skip
@source("textbook", "heat balance", "computed")
def lasting_current_a(
    *,
    heat_loss_w_per_k_m: float,
    resistance_20degc_ohm_per_m: float,
    ambient_degc: float,
    limit_degc: float,
    zero_degc: float,
) -> str:
    """Current that brings a wire just to its limit and no further, however long it flows.

    None where the surroundings are as warm as the limit.

    >>> round(lasting_current_a(heat_loss_w_per_k_m=0.029996, ambient_degc=70, limit_degc=230,
    ...                         resistance_20degc_ohm_per_m=0.0324147, zero_degc=-234.5), 3)
    9.007
    """
    return f"sqrt(G * max(0, Td - Ta) / (R * {_warmed('Td', zero_degc)}))"


@formula(
    "P", "W/(K m)", "heat that the current makes per kelvin above the metal's zero",
    I="current_a: current", R=RESISTANCE,
)  # fmt: skip
@source("textbook", "Ohm's law, straight line of resistance", "computed")
def heat_made_w_per_k_m(
    *, current_a: float, resistance_20degc_ohm_per_m: float, zero_degc: float
) -> str:
    """Heat that a current makes in a metre of wire, per kelvin above the metal's zero.

    >>> round(heat_made_w_per_k_m(current_a=15, resistance_20degc_ohm_per_m=0.0324147,
    ...                           zero_degc=-234.5), 6)
    0.028657
    """
    return f"I ** 2 * R / {20 - zero_degc:g}"


@formula(
    "U", "K", "where the temperature would settle, above the metal's zero (negative: nowhere)",
    G=LOSS, P="heat_made_w_per_k_m: heat made", Ta="ambient_degc: around the wire",
)  # fmt: skip
@source("textbook", "heat balance", "computed")
def settled_k(
    *,
    heat_loss_w_per_k_m: float,
    heat_made_w_per_k_m: float,
    ambient_degc: float,
    zero_degc: float,
) -> str:
    """Where a wire would settle, in kelvins above the metal's zero; negative: it never would.

    >>> round(settled_k(heat_loss_w_per_k_m=0.03, heat_made_w_per_k_m=0.01, ambient_degc=70,
    ...                 zero_degc=-234.5), 2)
    456.75

    Raises:
        NotCovered: as much heat is made per kelvin as is lost: it warms evenly for ever.
    """
    if abs(heat_loss_w_per_k_m - heat_made_w_per_k_m) < BALANCED * heat_made_w_per_k_m:
        raise NotCovered("heat made", f"{heat_made_w_per_k_m:g} W/(K m)", "not what is lost",
                         "heat balance")  # fmt: skip
    return f"G * (Ta + {-zero_degc:g}) / (G - P)"


@formula(
    "t", "s", "until the wire is damaged",
    C=BODY, G=LOSS, P="heat_made_w_per_k_m: heat made", U="settled_k: where it would settle",
    T0=START, Td=DAMAGED,
)  # fmt: skip
@source("textbook", "heat balance with loss, closed form", "computed")
def warming_time_s(
    *,
    heat_capacity_j_per_k_m: float,
    heat_loss_w_per_k_m: float,
    heat_made_w_per_k_m: float,
    settled_k: float,
    start_degc: float,
    limit_degc: float,
    zero_degc: float,
) -> str:
    """Time from the start to a limit below where the wire would settle, or without such a point.

    Exact solution of C·dT/dt = P·(T - T0) - G·(T - Ta), T0 the metal's zero.

    >>> round(warming_time_s(heat_capacity_j_per_k_m=2, heat_loss_w_per_k_m=0.03, settled_k=456.75,
    ...                      heat_made_w_per_k_m=0.01, start_degc=70, limit_degc=150,
    ...                      zero_degc=-234.5), 2)
    74.54

    Raises:
        NotCovered: it settles at or below the limit.
    """
    zero = -zero_degc
    above, began = limit_degc + zero - settled_k, start_degc + zero - settled_k
    if above * (heat_made_w_per_k_m - heat_loss_w_per_k_m) <= 0 or above * began <= 0:
        raise NotCovered("limit", f"{limit_degc:g} °C", "below where it settles", "heat balance")
    return f"-C / (G - P) * ln((Td + {zero:g} - U) / (T0 + {zero:g} - U))"


@formula(
    "t", "s", "until the wire is damaged",
    C=BODY, G=LOSS, Ta="ambient_degc: around the wire", T0=START, Td=DAMAGED,
    note="As much heat is made per kelvin as is lost: it warms evenly.",
)  # fmt: skip
@source("textbook", "heat balance, the even case", "computed")
def even_warming_time_s(
    *,
    heat_capacity_j_per_k_m: float,
    heat_loss_w_per_k_m: float,
    ambient_degc: float,
    start_degc: float,
    limit_degc: float,
    zero_degc: float,
) -> str:
    """Time from the start to a limit where as much heat is made per kelvin as is lost.

    >>> round(even_warming_time_s(heat_capacity_j_per_k_m=2, heat_loss_w_per_k_m=0.03,
    ...                           ambient_degc=70, start_degc=70, limit_degc=230,
    ...                           zero_degc=-234.5), 2)
    35.03
    """
    return f"C * (Td - T0) / (G * (Ta + {-zero_degc:g}))"


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
    zero_degc: float,
) -> float:
    """Time in which a current heats a wire from its start to its limit; infinite if it never does.

    The formulas above, one after another.

    >>> round(damage_time_s(current_a=15, heat_capacity_j_per_k_m=2.12575, ambient_degc=70,
    ...     heat_loss_w_per_k_m=0.029996, resistance_20degc_ohm_per_m=0.0324147, start_degc=70,
    ...     limit_degc=230, zero_degc=-234.5), 1)
    39.5
    """
    if start_degc >= limit_degc:
        return 0.0
    lasting = lasting_current_a(
        heat_loss_w_per_k_m=heat_loss_w_per_k_m,
        resistance_20degc_ohm_per_m=resistance_20degc_ohm_per_m,
        ambient_degc=ambient_degc,
        limit_degc=limit_degc,
        zero_degc=zero_degc,
    )
    if current_a <= lasting:
        return math.inf
    made = heat_made_w_per_k_m(
        current_a=current_a,
        resistance_20degc_ohm_per_m=resistance_20degc_ohm_per_m,
        zero_degc=zero_degc,
    )
    try:
        settled = settled_k(
            heat_loss_w_per_k_m=heat_loss_w_per_k_m,
            heat_made_w_per_k_m=made,
            ambient_degc=ambient_degc,
            zero_degc=zero_degc,
        )
    except NotCovered:
        return even_warming_time_s(
            heat_capacity_j_per_k_m=heat_capacity_j_per_k_m,
            heat_loss_w_per_k_m=heat_loss_w_per_k_m,
            ambient_degc=ambient_degc,
            start_degc=start_degc,
            limit_degc=limit_degc,
            zero_degc=zero_degc,
        )
    try:
        return warming_time_s(
            heat_capacity_j_per_k_m=heat_capacity_j_per_k_m,
            heat_loss_w_per_k_m=heat_loss_w_per_k_m,
            heat_made_w_per_k_m=made,
            settled_k=settled,
            start_degc=start_degc,
            limit_degc=limit_degc,
            zero_degc=zero_degc,
        )
    except NotCovered:  # within rounding of the lasting current
        return math.inf
