"""Size of a bundle, and of the conduit or hole it passes."""

import math
from collections.abc import Sequence

from elec.standards.cite import source
from elec.standards.table import NotCovered

EXACT_RATIOS = {
    1: 1.0,
    2: 2.0,
    3: 1 + 2 / math.sqrt(3),
    4: 1 + math.sqrt(2),
    5: 1 + 1 / math.sin(math.pi / 5),
    6: 3.0,
    7: 3.0,
    8: 1 + 1 / math.sin(math.pi / 7),
    9: 1 + 1 / math.sin(math.pi / 8),
    11: 1 + 1 / math.sin(math.pi / 9),
    19: 1 + math.sqrt(2) + math.sqrt(6),
}


@source("textbook", "smallest circle around equal circles", "computed")
def equal_ratio(*, wires: int) -> float:
    """Diameter of the smallest circle around equal wires, over the diameter of one.

    >>> [round(equal_ratio(wires=n), 3) for n in (3, 4, 5, 8, 9, 11, 19)]
    [2.155, 2.414, 2.701, 3.305, 3.613, 3.924, 4.864]

    Raises:
        NotCovered: no closed form is known for this number.
    """
    if wires not in EXACT_RATIOS:
        raise NotCovered("wires", wires, "1 to 9, 11 and 19", "closed forms")
    return EXACT_RATIOS[wires]


def _around_three(a: float, b: float, c: float) -> float:
    """Diameter around three touching circles (Descartes), or around the widest two.

    The thinnest fits beside the other two inside their own circle when its curvature is at least
    k1 + k2 - 2/(d1 + d2).
    """
    thin, middle, wide = sorted((a, b, c))
    two = middle + wide
    k1, k2, k3 = 2 / wide, 2 / middle, 2 / thin
    if k3 >= k1 + k2 - 2 / two:
        return two
    return 2 / (2 * math.sqrt(k1 * k2 + k2 * k3 + k3 * k1) - k1 - k2 - k3)


@source("trade", "1.2 times the root of the sum of squares, packing 0.69", "memory")
@source("textbook", "circle around two and three circles", "computed")
def diameter_mm(*, diameters_mm: Sequence[float]) -> float:
    """Diameter of a tight bundle: exact to 3 wires, above D = 1.2·√Σd².

    Never less than the two thickest side by side. Loose real bundles are 5 to 10 % larger.

    >>> round(diameter_mm(diameters_mm=[1.0, 1.0, 1.0]), 3)
    2.155
    >>> round(diameter_mm(diameters_mm=[1.47] * 10), 2)
    5.58
    """
    count = len(diameters_mm)
    if count == 0:
        return 0.0
    if count == 1:
        return diameters_mm[0]
    if count == 3:
        return _around_three(*diameters_mm)
    widest = sum(sorted(diameters_mm)[-2:])
    if count == 2:
        return widest
    return max(widest, 1.2 * math.sqrt(sum(d**2 for d in diameters_mm)))


@source("ac4313", "11-249")
def conduit_diameter_mm(*, bundle_diameter_mm: float) -> float:
    """Inner diameter that a conduit needs: 1.25 times that of the bundle.

    >>> conduit_diameter_mm(bundle_diameter_mm=10)
    12.5
    """
    return 1.25 * bundle_diameter_mm


@source("ac4313", "11-115", "computed")
def bare_hole_diameter_mm(*, bundle_diameter_mm: float) -> float:
    """Diameter that a hole without grommet needs: the bundle and 3/8 in all round.

    >>> round(bare_hole_diameter_mm(bundle_diameter_mm=10), 2)
    29.05
    """
    return bundle_diameter_mm + 2 * 0.375 * 25.4
