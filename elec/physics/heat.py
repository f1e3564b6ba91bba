"""How warm a loaded wire gets, and what it may carry: the compact law of the published curves.

I = b·ΔT^m in free air, times a factor for the bundle, times a factor for height. The three fits
meet every published point within 2.2 %, the worked harness examples within 3.3 %. A model from
first principles in `elec.physics.cylinder` agrees within 10 %.
"""

from elec.physics.formula import formula
from elec.standards.cite import place_of, source
from elec.standards.table import NotCovered
from elec.working import within

GREATEST_RISE_K = 250.0
LEAST_LOADING = 0.2
BUNDLE_SLOPE = 0.42
"""Of the law of the bundle curves, fitted to them (computed)."""
GREATEST_ALTITUDE_RATIO = 0.07
"""Pressure ratio at about 60 000 ft, the last point of the figure."""

FREE_AIR = "b * {rise} ** m"
BUNDLE = f"1 / sqrt(1 + {BUNDLE_SLOPE:g} * (N - 1) * max(p, {LEAST_LOADING:g}))"
ALLOWED = f"{FREE_AIR.format(rise='(Tr - Ta)')} * f * z"
ALLOWED_HOT = f"{FREE_AIR.format(rise='max(0, Tr - Ta)')} * f * z"
ALLOWED_COLD = f"{FREE_AIR.format(rise=f'min(Tr - Ta, {GREATEST_RISE_K:g})')} * f * z"
USE = f"a * {BUNDLE_SLOPE / 2:g} * (N - 1)"

FREE_AIR_FIT = {"b": "free_air_b: law of the gauge", "m": "free_air_m: law of the gauge"}
HERE = {
    "Ta": "ambient_degc: around the wire", "f": "bundle_factor: bundle factor",
    "z": "altitude_factor: factor for thin air",
}  # fmt: skip


@formula("I0", "A", "current of one wire in free air", **FREE_AIR_FIT, dT="rise_k: rise")
@source("mil_w_5088", "figure 3, the curve of AC 43.13-1B figure 11-4", "quoted")
def free_air_current_a(*, free_air_b: float, free_air_m: float, rise_k: float) -> str:
    """Current that holds one wire in free air at sea level at a rise over its surroundings.

    b and m of each gauge are in `elec/wire_free_air`. Read from 30 to 250 K; below
    30 K the same law is carried down; a first-principles model matched at 30 K stays within 2 K.

    >>> round(free_air_current_a(free_air_b=4.144, free_air_m=0.4835, rise_k=150), 1)  # prints 47
    46.7

    Raises:
        NotCovered: a rise below 0 or above 250 K.
    """
    if not 0 <= rise_k <= GREATEST_RISE_K:
        raise NotCovered("rise", f"{rise_k:g} K", "0 to 250 K", place_of(free_air_current_a))
    return FREE_AIR.format(rise="dT")


@formula(
    "p", "", "share of the bundle's capacity in use",
    a="use_ratio: currents over what the wires could carry alone",
    N="wires: wires in one bundle",
    note="The capacity of a bundle falls with its use: p = a / f(p), solved for p.",
)  # fmt: skip
@source("ac4313", "11-69", "memory")
def bundle_loading(*, use_ratio: float, wires: float) -> str:
    """Part of what a bundle may carry that is in use, 0 to 1.

    `use_ratio` a is the sum of the wires' currents over the sum of what they could carry without
    neighbours. What they may carry falls with the loading p itself, p = a/f(N, p) with the f of
    `bundle_factor`: the root of that.

    >>> round(bundle_loading(use_ratio=50.6 / 489.8, wires=35), 1)  # first harness: 20 %
    0.2
    """
    return f"min(1, a * ({USE} + sqrt(({USE}) ** 2 + 1)))"


@formula(
    "f", "", "bundle factor", N="wires: wires in one bundle",
    p="loading: share of the bundle's capacity in use",
    note="Wires that lie together warm each other: each may carry only this part. The curves "
    "begin at 0.2 and end at 40 wires, beyond which the formula goes on.",
)  # fmt: skip
@source("mil_w_5088", "bundle curves, those of AC 43.13-1B figure 11-5", "quoted")
@source("elec", "a formula within 2.2 % of them", "computed")
def bundle_factor(*, wires: float, loading: float) -> str:
    """Share of its free-air current that a wire keeps among others.

    `loading` p is the sum of the wires' currents over the sum of their harness capacities. Below
    0.2 the curves stop, and 0.2 is used. Within 2.2 % of 94 points read off the curves. Beyond the
    40 wires of the figure the law is carried on: it falls as 1/√N, as fast as heat led out from the
    middle of the bundle does, and faster than what the surface gives off (our judgement).

    >>> round(bundle_factor(wires=8, loading=0.6), 2)  # the example prints 0.6
    0.6
    >>> round(bundle_factor(wires=12, loading=1.0), 2)  # prints 0.43
    0.42
    >>> round(bundle_factor(wires=100, loading=0.2), 3)  # beyond the figure
    0.328

    Raises:
        NotCovered: fewer than 1 wire, or a loading above 1.
    """
    if wires < 1:
        raise NotCovered("wires in the bundle", wires, "1 or more", place_of(bundle_factor))
    if not within(loading, 1.0):
        raise NotCovered("loading", f"{loading:.2f}", "at most 1", place_of(bundle_factor))
    return BUNDLE


@formula(
    "z",
    "",
    "factor for thin air",
    d="pressure_ratio: air pressure at that height over that at sea level",
)
@source("ac4313", "11-67 example 2: 0.91 at 20 000 ft", "seen")
@source("ac4313", "11-69 example 1: 0.79 at 60 000 ft", "memory")
@source("elec", "a formula through both", "computed")
def altitude_factor(*, pressure_ratio: float) -> str:
    """Share of its sea-level current that a wire keeps in thin air.

    `pressure_ratio` is the pressure over that at sea level: convection carries about half of the
    heat and goes with its root, the rest is radiated. Meets 0.91 at 20 000 ft and 0.79 at 60 000 ft
    within 0.4 %.

    >>> round(altitude_factor(pressure_ratio=0.4599), 3)  # the example prints 0.91
    0.913

    Raises:
        NotCovered: above 60 000 ft, or a pressure above that at -1000 ft.
    """
    if not GREATEST_ALTITUDE_RATIO <= pressure_ratio <= 1.04:
        source_ = place_of(altitude_factor)
        raise NotCovered(
            "pressure ratio", f"{pressure_ratio:.3f}", "sea level to 60 000 ft", source_
        )
    return "sqrt(0.485 + 0.515 * sqrt(d))"


@formula(
    "Iz", "A", "what the wire may carry here", **FREE_AIR_FIT, **HERE,
    Tr="rated_degc: rating of the insulation",
)  # fmt: skip
@source("ac4313", "11-66 and 11-67")
def ampacity_a(
    *,
    free_air_b: float,
    free_air_m: float,
    ambient_degc: float,
    rated_degc: float,
    bundle_factor: float,
    altitude_factor: float,
) -> str:
    """Current that a wire may carry: free air at its rated rise, times bundle, times height.

    Nothing where the surroundings are as hot as the rating. Uncertainty about 7 %. The curves end
    at a rise of 250 K: in air still colder, a wire may carry what it may at that rise.

    >>> round(ampacity_a(free_air_b=4.144, free_air_m=0.4835, ambient_degc=50, rated_degc=200,
    ...                  bundle_factor=0.6, altitude_factor=0.91), 1)  # prints 26
    25.5
    """
    if ambient_degc >= rated_degc:
        return ALLOWED_HOT
    return ALLOWED_COLD if rated_degc - ambient_degc > GREATEST_RISE_K else ALLOWED


@formula(
    "T", "degC", "temperature to expect", I="current_a: current", **FREE_AIR_FIT, **HERE,
)  # fmt: skip
@source("mil_w_5088", "figure 3, turned round", "quoted")
def conductor_temperature_degc(
    *,
    current_a: float,
    free_air_b: float,
    free_air_m: float,
    ambient_degc: float,
    bundle_factor: float,
    altitude_factor: float,
) -> str:
    """Temperature that a wire settles at: the power law turned round; what to expect.

    >>> round(conductor_temperature_degc(current_a=7.5, free_air_b=2.183, free_air_m=0.4629,
    ...       ambient_degc=40, bundle_factor=0.504, altitude_factor=0.955), 0)
    110.0

    Raises:
        NotCovered: a rise above 250 K.
    """
    most = free_air_current_a(free_air_b=free_air_b, free_air_m=free_air_m, rise_k=GREATEST_RISE_K)
    if current_a > most * bundle_factor * altitude_factor:
        range_ = f"what warms the wire by {GREATEST_RISE_K:g} K at most"
        raise NotCovered("current", f"{current_a:g} A", range_, place_of(free_air_current_a))
    return "Ta + (I / (f * z * b)) ** (1 / m)"


@formula(
    "Tc", "degC", "temperature by the circular, quite conservative: the number to comply with",
    I="current_a: current", Iz="allowed_current_a: what it may carry", Ta=HERE["Ta"],
    Tr="rated_degc: rating of the insulation",
)  # fmt: skip
@source("ac4313", "11-67, pages 11-22 and 11-23")
def careful_temperature_degc(
    *, current_a: float, allowed_current_a: float, ambient_degc: float, rated_degc: float
) -> str:
    """Temperature of a loaded wire as the document estimates it, on the careful side.

    The document itself calls it quite conservative; take it for
    the voltage drop, and `conductor_temperature_degc` for what to expect.

    >>> round(careful_temperature_degc(current_a=20, allowed_current_a=26, ambient_degc=50,
    ...                                rated_degc=200), 1)  # prints 182
    181.6

    Raises:
        NotCovered: more current than allowed.
    """
    if current_a < 0 or not within(current_a, allowed_current_a):
        source_ = place_of(careful_temperature_degc)
        raise NotCovered("current", f"{current_a:g} A", f"0 to {allowed_current_a:g} A", source_)
    return "Ta + (Tr - Ta) * sqrt(I / Iz)" if allowed_current_a else "Ta"


@formula(
    "u", "", "share of what it may carry", I="current_a: current", Iz="allowed_current_a: limit"
)
@source("ac4313", "11-66 and 11-67")
def use_share(*, current_a: float, allowed_current_a: float) -> str:
    """Share of what a wire may carry that it does.

    >>> use_share(current_a=5.0, allowed_current_a=20.0)
    0.25
    """
    return "I / Iz"


@formula(
    "a", "", "currents over what the wires could carry without neighbours",
    S="together_a: currents of all wires together",
    C="capacity_a: what each could carry without neighbours, together",
)  # fmt: skip
@source("ac4313", "11-69", "memory")
def use_ratio(*, together_a: float, capacity_a: float) -> str:
    """Sum of a bundle's currents over what its wires could carry, each without neighbours.

    >>> round(use_ratio(together_a=50.6, capacity_a=489.8), 3)
    0.103
    """
    return "S / C"


TABLE_AMBIENT_DEGC = 70.0
TABLE_LOADING = 0.2
TABLE_PRESSURE_RATIO = 0.0714
"""60 000 ft."""


@source("ac4313", "tables 11-9 and 11-10 against figures 11-4 to 11-6", "computed")
def table_share(
    *,
    table_current_a: float,
    free_air_b: float,
    free_air_m: float,
    rated_degc: float,
    wires: float,
) -> float:
    """Share of the curves' current that the wire table allows: Itable / (b·ΔT^m·f·z).

    The tables were made for 70 °C, 20 % loading, 60 000 ft, and 33 wires in a bundle (9 of AWG 8
    and thicker). They print whole amperes, so that a share of 0.95 to 1.05 is rounding.

    >>> round(table_share(table_current_a=5, free_air_b=1.8038, free_air_m=0.4440, rated_degc=150,
    ...                   wires=33), 3)  # AWG 22: prints 5 A where the curves give 5.19 A
    0.964
    """
    allowed = ampacity_a(
        free_air_b=free_air_b,
        free_air_m=free_air_m,
        ambient_degc=TABLE_AMBIENT_DEGC,
        rated_degc=rated_degc,
        bundle_factor=bundle_factor(wires=wires, loading=TABLE_LOADING),
        altitude_factor=altitude_factor(pressure_ratio=TABLE_PRESSURE_RATIO),
    )
    return table_current_a / allowed
