"""Coaxial cable: loss, length, what arrives."""

from elec.physics.formula import formula
from elec.standards.cite import source


@formula("a", "dB/m", "loss of the cable per metre", k1="k1: skin effect, dB per 100 ft",
         k2="k2: dielectric, dB per 100 ft", f="frequency_mhz: frequency")  # fmt: skip
@source("mil_c_17", "worked example of the two-term law")
def attenuation_db_per_m(*, k1: float, k2: float, frequency_mhz: float) -> str:
    """Loss of a matched cable per metre; k1 and k2 give dB per 100 ft: k1·√f + k2·f, f in MHz.

    k1 is the skin effect, k2 the dielectric. At 20 °C.

    >>> per_metre = attenuation_db_per_m(k1=0.444, k2=0.00126, frequency_mhz=100)
    >>> round(per_metre * 30.48, 3)  # dB per 100 ft, prints 4.6
    4.566
    """
    return "(k1 * sqrt(f) + k2 * f) / 30.48"


@formula("A", "dB", "lost on the way", a="attenuation_db_per_m: loss per metre",
         L="length_m: length", n="connectors: connectors",
         c="connector_loss_db: loss of one connector")  # fmt: skip
@source("textbook", "sum of losses in dB")
def loss_db(
    *, attenuation_db_per_m: float, length_m: float, connectors: float, connector_loss_db: float
) -> str:
    """Loss of a cable with its connectors.

    >>> a = attenuation_db_per_m(k1=0.5181, k2=0.000804, frequency_mhz=1090)  # RG-400, worst
    >>> round(loss_db(attenuation_db_per_m=a, length_m=3.048, connectors=2,
    ...               connector_loss_db=0.25), 3)
    2.298
    """
    return "a * L + n * c"


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


@formula("P2", "W", "at the far end", P1="power_w: into the cable", A="loss_db: lost on the way")
@source("textbook", "decibel")
def delivered_w(*, power_w: float, loss_db: float) -> str:
    """Power that arrives at the far end.

    >>> round(delivered_w(power_w=250, loss_db=2.4), 1)
    143.9
    """
    return "P1 * 10 ** (-A / 10)"
