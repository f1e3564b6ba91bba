"""Air pressure at height."""

import math

from elec.standards.cite import place_of, source
from elec.standards.table import NotCovered

SEA_LEVEL_PA = 101325.0
"""Pressure at sea level (US Standard Atmosphere 1976, from memory)."""
TOP_M = 32000.0


@source("us_standard_atmosphere", "layers to 32 km", "memory")
def pressure_pa(*, altitude_m: float) -> float:
    """Pressure of the standard atmosphere at a geometric height from sea level to 32 km.

    >>> round(pressure_pa(altitude_m=11019))  # 11 km of geopotential height
    22632

    Raises:
        NotCovered: below -300 m or above 32 km.
    """
    if not -300 <= altitude_m <= TOP_M:
        source_ = place_of(pressure_pa)
        raise NotCovered("altitude", f"{altitude_m:g} m", "-300 to 32 000 m", source_)
    height = altitude_m * 6356766 / (6356766 + altitude_m)
    if height <= 11000:
        return float(SEA_LEVEL_PA * (1 - 0.0065 * height / 288.15) ** 5.255877)
    if height <= 20000:
        return 22632.06 * math.exp(-9.80665 * (height - 11000) / (287.0529 * 216.65))
    return float(5474.889 * (1 + 0.001 * (height - 20000) / 216.65) ** -34.16319)


@source("us_standard_atmosphere", "layers to 32 km", "memory")
def pressure_ratio(*, altitude_m: float) -> float:
    """Pressure at a height over that at sea level.

    >>> round(pressure_ratio(altitude_m=20000 * 0.3048), 4)
    0.4599

    Raises:
        NotCovered: below -300 m or above 32 km.
    """
    return pressure_pa(altitude_m=altitude_m) / SEA_LEVEL_PA
