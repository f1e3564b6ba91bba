"""Coaxial cable: loss, mismatch, length."""

import math

from elec.standards.cite import source
from elec.standards.table import NotCovered

LIGHT_M_PER_S = 299792458.0


@source("mil_c_17", "worked example of the two-term law")
def attenuation_db_per_m(*, k1: float, k2: float, frequency_mhz: float) -> float:
    """Loss of a matched cable per metre; k1 and k2 give dB per 100 ft: k1·√f + k2·f, f in MHz.

    k1 is the skin effect, k2 the dielectric. At 20 °C.

    >>> per_metre = attenuation_db_per_m(k1=0.444, k2=0.00126, frequency_mhz=100)
    >>> round(per_metre * 30.48, 3)  # dB per 100 ft, prints 4.6
    4.566
    """
    return (k1 * math.sqrt(frequency_mhz) + k2 * frequency_mhz) / 30.48


@source("textbook", "resistance of copper under the skin effect", "computed")
def warm_factor(*, temperature_degc: float) -> float:
    """Factor on k1 for a warm cable: √(1 + 0.00393·(T - 20)).

    >>> round(warm_factor(temperature_degc=85), 3)
    1.12
    """
    return math.sqrt(1 + 0.00393 * (temperature_degc - 20))


@source("textbook", "sum of losses in dB")
def loss_db(
    *, attenuation_db_per_m: float, length_m: float, connectors: float, connector_loss_db: float
) -> float:
    """Loss of a cable with its connectors.

    >>> a = attenuation_db_per_m(k1=0.5181, k2=0.000804, frequency_mhz=1090)  # RG-400, worst
    >>> round(loss_db(attenuation_db_per_m=a, length_m=3.048, connectors=2,
    ...               connector_loss_db=0.25), 3)
    2.298
    """
    return attenuation_db_per_m * length_m + connectors * connector_loss_db


@source("textbook", "sum of losses in dB, turned round", "computed")
def longest_m(
    *, allowed_db: float, attenuation_db_per_m: float, connectors: float, connector_loss_db: float
) -> float:
    """Longest cable within an allowed loss; 0 where the connectors alone use it up.

    >>> round(longest_m(allowed_db=1.5, attenuation_db_per_m=0.59, connectors=0,
    ...                 connector_loss_db=0), 2)  # a transponder manual prints 2.54
    2.54
    """
    return max(0.0, (allowed_db - connectors * connector_loss_db) / attenuation_db_per_m)


@source("textbook", "decibel")
def delivered_w(*, power_w: float, loss_db: float) -> float:
    """Power that arrives at the far end: P·10^(-loss/10).

    >>> round(delivered_w(power_w=250, loss_db=2.4), 1)
    143.9
    """
    return float(power_w * 10 ** (-loss_db / 10))


@source("textbook", "standing-wave ratio")
def reflection(*, standing_wave_ratio: float) -> float:
    """Share of the voltage that comes back: (S - 1)/(S + 1).

    >>> reflection(standing_wave_ratio=3)
    0.5

    Raises:
        NotCovered: a ratio below 1.
    """
    if standing_wave_ratio < 1:
        raise NotCovered("standing-wave ratio", standing_wave_ratio, "1 or more", "line theory")
    return (standing_wave_ratio - 1) / (standing_wave_ratio + 1)


@source("textbook", "standing-wave ratio")
def return_loss_db(*, standing_wave_ratio: float) -> float:
    """Return loss: -20·log10(ρ); infinite for a perfect match.

    >>> round(return_loss_db(standing_wave_ratio=1.5), 3)
    13.979
    """
    rho = reflection(standing_wave_ratio=standing_wave_ratio)
    return -20 * math.log10(rho) if rho > 0 else math.inf


@source("textbook", "standing-wave ratio")
def mismatch_loss_db(*, standing_wave_ratio: float) -> float:
    """Loss by reflection alone: -10·log10(1 - ρ²).

    >>> round(mismatch_loss_db(standing_wave_ratio=2), 4)
    0.5115
    """
    return -10 * math.log10(1 - reflection(standing_wave_ratio=standing_wave_ratio) ** 2)


@source("textbook", "lossy line with a mismatched load")
def line_loss_db(*, matched_loss_db: float, standing_wave_ratio: float) -> float:
    """Whole loss of a line whose far end is mismatched: 10·log10((a² - ρ²)/(a·(1 - ρ²))).

    a = 10^(matched loss/10); the ratio is that at the antenna.

    >>> round(line_loss_db(matched_loss_db=1, standing_wave_ratio=3), 3)
    1.504
    """
    ratio = 10 ** (matched_loss_db / 10)
    rho = reflection(standing_wave_ratio=standing_wave_ratio)
    return 10 * math.log10((ratio**2 - rho**2) / (ratio * (1 - rho**2)))


@source("textbook", "lossy line with a mismatched load")
def near_standing_wave_ratio(*, matched_loss_db: float, standing_wave_ratio: float) -> float:
    """Ratio seen at the radio; a lossy cable hides a bad antenna.

    >>> round(near_standing_wave_ratio(matched_loss_db=3, standing_wave_ratio=3), 3)
    1.669
    """
    ratio = 10 ** (matched_loss_db / 10)
    rho = reflection(standing_wave_ratio=standing_wave_ratio) / ratio
    return float((1 + rho) / (1 - rho))


@source("textbook", "wavelength")
def wavelength_m(*, frequency_mhz: float, velocity_factor: float) -> float:
    """Length of a wave in a cable; velocity factor 1 in air.

    >>> round(wavelength_m(frequency_mhz=127, velocity_factor=0.695) / 0.3048, 2)  # RG-400, ft
    5.38
    """
    return LIGHT_M_PER_S * velocity_factor / (frequency_mhz * 1e6)
