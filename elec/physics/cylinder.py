"""A wire or bundle as a warm horizontal cylinder: first principles, to check the compact law.

Natural convection after Churchill and Chu, radiation, conduction through insulation and bundle,
loaded wires together in the middle. No part of sizing: a second opinion within about 10 %.
"""

import math

from elec.standards.cite import source
from elec.standards.table import NotCovered

STEFAN_BOLTZMANN = 5.670374e-8
GRAVITY = 9.80665
AIR_GAS_CONSTANT = 287.05
AIR_HEAT_CAPACITY = 1006.0
"""Of dry air, J/(kg K), as its gas constant (handbooks, from memory)."""
KELVIN = 273.15
INSULATION_W_PER_M_K = 0.24
"""ETFE (from memory)."""
BUNDLE_W_PER_M_K = 0.145
"""Across a bundle: the one fitted number, fitted to AWG 20 in the published curves."""


@source("churchill_chu", "all Rayleigh numbers", "memory")
def convection_w_per_m2_k(
    *, diameter_m: float, surface_degc: float, ambient_degc: float, pressure_pa: float
) -> float:
    """Heat-transfer coefficient of still air around a horizontal cylinder.

    Nu = (0.60 + 0.387·Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))²; air at film temperature,
    viscosity and conductivity after Sutherland.

    >>> round(convection_w_per_m2_k(diameter_m=0.0015, surface_degc=100, ambient_degc=60,
    ...                             pressure_pa=101325), 0)
    22.0
    """
    film = (surface_degc + ambient_degc) / 2 + KELVIN
    viscosity = 1.458e-6 * film**1.5 / (film + 110.4)
    conductivity = 2.6482e-3 * math.sqrt(film) / (1 + 245.4 * 10 ** (-12 / film) / film)
    kinematic = viscosity * AIR_GAS_CONSTANT * film / pressure_pa
    prandtl = AIR_HEAT_CAPACITY * viscosity / conductivity
    rise = max(surface_degc - ambient_degc, 1e-9)
    rayleigh = GRAVITY / film * rise * diameter_m**3 / kinematic**2 * prandtl
    shape = (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)
    return float((0.60 + 0.387 * rayleigh ** (1 / 6) / shape) ** 2 * conductivity / diameter_m)


@source("textbook", "Stefan-Boltzmann law and convection")
@source("churchill_chu", "all Rayleigh numbers", "memory")
def dissipation_w_per_m(
    *,
    diameter_m: float,
    surface_degc: float,
    ambient_degc: float,
    pressure_pa: float,
    emissivity: float,
) -> float:
    """Heat that a metre of cylinder gives off: π·D·(h·ΔT + ε·σ·(Ts⁴ - Ta⁴)).

    >>> round(dissipation_w_per_m(diameter_m=0.0015, surface_degc=100, ambient_degc=60,
    ...                           pressure_pa=101325, emissivity=0.85), 1)
    5.7
    """
    film = convection_w_per_m2_k(
        diameter_m=diameter_m,
        surface_degc=surface_degc,
        ambient_degc=ambient_degc,
        pressure_pa=pressure_pa,
    )
    warm, cold = surface_degc + KELVIN, ambient_degc + KELVIN
    radiated = emissivity * STEFAN_BOLTZMANN * (warm**4 - cold**4)
    return math.pi * diameter_m * (film * (warm - cold) + radiated)


def _inner_resistance(
    *,
    diameter_m: float,
    conductor_diameter_m: float,
    wires: float,
    hot: float,
    insulation_w_per_m_k: float,
    bundle_w_per_m_k: float,
) -> float:
    """Heat resistance from the hottest conductor to the bundle's surface, K·m/W of total heat."""
    packing = 0.70
    outside = diameter_m * math.sqrt(1 + (wires - 1) / packing)
    core = diameter_m * math.sqrt(1 + (hot - 1) / packing)
    insulation = math.log(diameter_m / conductor_diameter_m) / (2 * math.pi * insulation_w_per_m_k)
    inside = (1 - 1 / hot) / (4 * math.pi * bundle_w_per_m_k)
    around = math.log(outside / core) / (2 * math.pi * bundle_w_per_m_k)
    return insulation / hot + inside + around


@source("textbook", "conduction through cylinders, clustered core", "computed")
@source("churchill_chu", "all Rayleigh numbers", "memory")
def first_principles_current_a(
    *,
    diameter_m: float,
    conductor_diameter_m: float,
    resistance_ohm_per_m: float,
    ambient_degc: float,
    conductor_degc: float,
    pressure_pa: float,
    wires: float,
    loading: float,
    emissivity: float,
    insulation_w_per_m_k: float,
    bundle_w_per_m_k: float,
) -> float:
    """Current of each loaded wire in a bundle whose hottest conductor is at a temperature.

    `resistance_ohm_per_m` is that at `conductor_degc`. 1 + (N - 1)·p wires carry current and lie
    together in the middle. Within 6 % of the free-air curve on average, 2.4 % rms on the bundle
    curves with a fitted bundle conductivity of 0.145 W/(m·K) for AWG 20.

    >>> round(first_principles_current_a(diameter_m=0.0014732, conductor_diameter_m=0.0009652,
    ...     resistance_ohm_per_m=0.055341, ambient_degc=60, conductor_degc=200, pressure_pa=101325,
    ...     wires=1, loading=1, emissivity=0.85, insulation_w_per_m_k=0.24,
    ...     bundle_w_per_m_k=0.145), 1)  # the curve reads 21.5
    20.9

    Raises:
        NotCovered: a conductor no warmer than its surroundings.
    """
    if conductor_degc <= ambient_degc:
        raise NotCovered("conductor", f"{conductor_degc:g} °C", "above ambient", "heat balance")
    hot = 1 + (wires - 1) * loading
    inner = _inner_resistance(
        diameter_m=diameter_m,
        conductor_diameter_m=conductor_diameter_m,
        wires=wires,
        hot=hot,
        insulation_w_per_m_k=insulation_w_per_m_k,
        bundle_w_per_m_k=bundle_w_per_m_k,
    )
    outside = diameter_m * math.sqrt(1 + (wires - 1) / 0.70)
    low, high = ambient_degc, conductor_degc
    heat = 0.0
    for _ in range(60):
        surface = (low + high) / 2
        heat = dissipation_w_per_m(
            diameter_m=outside,
            surface_degc=surface,
            ambient_degc=ambient_degc,
            pressure_pa=pressure_pa,
            emissivity=emissivity,
        )
        if heat * inner > conductor_degc - surface:
            high = surface
        else:
            low = surface
    return math.sqrt(heat / hot / resistance_ohm_per_m)
