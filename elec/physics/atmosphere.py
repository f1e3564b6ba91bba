"""Air pressure at height."""

from elec.physics.formula import formula
from elec.standards.cite import place_of, source
from elec.standards.table import NotCovered

SEA_LEVEL_PA = 101325.0
TOP_M = 32000.0
EARTH_M = 6356766
"""Radius by which a geometric height becomes a geopotential one."""


@formula("d", "", "air pressure at that height over that at sea level", h="altitude_m: height")
@source("us_standard_atmosphere", "layers to 32 km", "memory")
def pressure_ratio(*, altitude_m: float) -> str:
    """Pressure of the standard atmosphere at a geometric height over that at sea level, to 32 km.

    >>> round(pressure_ratio(altitude_m=20000 * 0.3048), 4)
    0.4599
    >>> round(pressure_ratio(altitude_m=15000), 4)  # 121.11 hPa
    0.1195

    Raises:
        NotCovered: below -300 m or above 32 km.
    """
    if not -300 <= altitude_m <= TOP_M:
        source_ = place_of(pressure_ratio)
        raise NotCovered("altitude", f"{altitude_m:g} m", "-300 to 32 000 m", source_)
    height = altitude_m * EARTH_M / (EARTH_M + altitude_m)
    if height <= 11000:
        return f"(1 - 0.0065 / 288.15 * h * {EARTH_M} / ({EARTH_M} + h)) ** 5.255877"
    layer = "({earth} * h / ({earth} + h) - {base})"
    if height <= 20000:
        above = layer.format(earth=EARTH_M, base=11000)
        return f"22632.06 / 101325 * exp(-9.80665 / (287.0529 * 216.65) * {above})"
    above = layer.format(earth=EARTH_M, base=20000)
    return f"5474.889 / 101325 / (1 + 0.001 / 216.65 * {above}) ** 34.16319"


@source("us_standard_atmosphere", "layers to 32 km", "memory")
def pressure_pa(*, altitude_m: float) -> float:
    """Pressure of the standard atmosphere at a geometric height.

    >>> round(pressure_pa(altitude_m=11019))  # 11 km of geopotential height
    22632

    Raises:
        NotCovered: below -300 m or above 32 km.
    """
    return SEA_LEVEL_PA * pressure_ratio(altitude_m=altitude_m)
