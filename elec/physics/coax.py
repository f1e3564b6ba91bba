"""Coaxial cable: loss, length, what arrives."""

import math

from elec.standards.cite import source


@source("mil_c_17", "worked example of the two-term law")
def attenuation_db_per_m(*, k1: float, k2: float, frequency_mhz: float) -> float:
    """Loss of a matched cable per metre; k1 and k2 give dB per 100 ft: k1·√f + k2·f, f in MHz.

    k1 is the skin effect, k2 the dielectric. At 20 °C.

    >>> per_metre = attenuation_db_per_m(k1=0.444, k2=0.00126, frequency_mhz=100)
    >>> round(per_metre * 30.48, 3)  # dB per 100 ft, prints 4.6
    4.566
    """
    return (k1 * math.sqrt(frequency_mhz) + k2 * frequency_mhz) / 30.48


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
