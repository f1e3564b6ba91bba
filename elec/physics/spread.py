"""How uncertain inputs make a result uncertain."""

import math
from collections.abc import Sequence

from elec.standards.cite import source


@source("jcgm100", "4.3.7", "memory")
def uniform_deviation_share(*, tolerance_share: float) -> float:
    """Standard deviation where every value within ±tolerance is as likely: a/√3.

    >>> round(uniform_deviation_share(tolerance_share=0.30), 4)
    0.1732
    """
    return tolerance_share / math.sqrt(3)


@source("jcgm100", "4.3.9", "memory")
def triangular_deviation_share(*, tolerance_share: float) -> float:
    """Standard deviation where values near the middle of ±tolerance are likelier: a/√6.

    >>> round(triangular_deviation_share(tolerance_share=0.30), 4)
    0.1225
    """
    return tolerance_share / math.sqrt(6)


@source("jcgm100", "5.1.2, inputs that do not depend on each other", "memory")
def combined_deviation(*, parts: Sequence[float]) -> float:
    """Standard deviation of a result: u = √(Σ (slope·deviation)²), in the unit of its parts.

    >>> combined_deviation(parts=[3.0, 4.0])
    5.0
    """
    return math.sqrt(sum(part * part for part in parts))


@source("jcgm100", "annex G, normal distribution", "memory")
def normal_share(*, distance_ratio: float) -> float:
    """Part of a normal distribution below a distance from its middle, in standard deviations.

    >>> round(normal_share(distance_ratio=1.645), 3)
    0.95
    """
    return 0.5 * (1 + math.erf(distance_ratio / math.sqrt(2)))
