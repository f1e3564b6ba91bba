"""A wire by itself: resistance, size, mass."""

import math

from elec.standards.cite import source
from elec.standards.table import NotCovered

COPPER_ZERO_DEGC = -234.5
"""Temperature at which the straight-line resistance of copper would vanish."""
ALUMINUM_ZERO_DEGC = -238.1
MM2_PER_CIRCULAR_MIL = 5.067075e-4


@source("ac4313", "11-67, page 11-22")
def resistance_ohm_per_m(*, resistance_20degc_ohm_per_m: float, temperature_degc: float) -> float:
    """Resistance of a copper wire at a temperature: R = R20·(234.5 + T)/254.5.

    A straight line; valid from about -55 to 260 °C, used up to melting by damage formulas.

    >>> round(resistance_ohm_per_m(resistance_20degc_ohm_per_m=1.0, temperature_degc=150), 3)
    1.511
    """
    return resistance_20degc_ohm_per_m * (234.5 + temperature_degc) / 254.5


@source("ac4313", "11-67, page 11-22")
def aluminum_resistance_ohm_per_m(
    *, resistance_20degc_ohm_per_m: float, temperature_degc: float
) -> float:
    """Resistance of an aluminium wire at a temperature: R = R20·(238.1 + T)/258.1.

    >>> round(
    ...     aluminum_resistance_ohm_per_m(resistance_20degc_ohm_per_m=1.0, temperature_degc=105), 3
    ... )
    1.329
    """
    return resistance_20degc_ohm_per_m * (238.1 + temperature_degc) / 258.1


@source("ac4313", "11-67, page 11-22, turned round", "computed")
def temperature_degc(*, resistance_ratio: float) -> float:
    """Temperature of a copper wire from its resistance over that at 20 °C: T = 254.5·r - 234.5.

    >>> round(temperature_degc(resistance_ratio=1.511), 0)
    150.0
    """
    return 254.5 * resistance_ratio - 234.5


@source("astm_b258", "definition of the gauge", "memory")
def strand_diameter_mm(*, gauge: float) -> float:
    """Diameter of one solid strand: d = 0.005 in · 92^((36 - gauge)/39); 0 is 1/0, -1 is 2/0.

    >>> round(strand_diameter_mm(gauge=32), 3)  # 0.0080 in
    0.202
    """
    return 0.127 * float(92 ** ((36 - gauge) / 39))


@source("textbook", "area of a circle")
def area_mm2(*, diameter_mm: float) -> float:
    """Area of a round conductor: A = π·d²/4.

    >>> round(19 * area_mm2(diameter_mm=0.2019), 3)  # AWG 20: 19 strands of AWG 32
    0.608
    """
    return math.pi / 4 * diameter_mm**2


@source("textbook", "1 circular mil = π/4 · (0.0254 mm)²")
def circular_mil_area_mm2(*, circular_mils: float) -> float:
    """Area of a conductor given in circular mils.

    >>> round(circular_mil_area_mm2(circular_mils=1216), 4)
    0.6162
    """
    return circular_mils * MM2_PER_CIRCULAR_MIL


@source("elec", "wire mass, 8.89 g/cm³ copper, 1.02 lay, 1.70 g/cm³ ETFE", "computed")
def mass_kg_per_m(*, area_mm2: float, diameter_mm: float, conductor_diameter_mm: float) -> float:
    """Mass of a tin-plated copper wire with ETFE insulation.

    m = A·8.89·1.02 + π/4·(D² - d²)·1.70, in g/m with mm. Densities are from memory; expect 5 %.

    >>> mass = mass_kg_per_m(area_mm2=0.6162, diameter_mm=1.4732, conductor_diameter_mm=0.9652)
    >>> round(mass * 671.969, 2)  # lb per 1000 ft
    4.87
    """
    copper = area_mm2 * 8.89 * 1.02
    insulation = math.pi / 4 * (diameter_mm**2 - conductor_diameter_mm**2) * 1.70
    return (copper + insulation) / 1000


@source("elec", "stranded core: fill 0.77", "computed")
def stranded_diameter_mm(*, area_mm2: float) -> float:
    """Diameter over a stranded conductor whose size is not tabulated: d = 2·√(1.30·A/π).

    >>> round(stranded_diameter_mm(area_mm2=0.6162), 2)
    1.01
    """
    return 2 * math.sqrt(1.30 * area_mm2 / math.pi)


@source("ac4313", "11-208", "computed")
def mark_count(*, length_in: float, end_in: float, every_in: float) -> float:
    """How many marks a wire needs: none below 3 in, one to 7 in, then both ends and between.

    `end_in` is how far the end marks sit from the ends, `every_in` how far marks may be apart; the
    document has 3 and 15 in.

    >>> [mark_count(length_in=x, end_in=3, every_in=15) for x in (2, 5, 12, 21, 22, 36, 120)]
    [0, 1, 2, 2, 3, 3, 9]

    Raises:
        NotCovered: a negative length.
    """
    if length_in < 0:
        raise NotCovered("length", f"{length_in:g} in", "0 or more", "AC 43.13-1B 11-208")
    if length_in < 3:
        return 0
    if length_in <= 7:
        return 1
    return 2 + max(0, math.ceil((length_in - 2 * end_in) / every_in - 1e-9) - 1)
