"""Size of a bundle, and of the conduit or hole it passes."""

import math
from collections.abc import Sequence

from elec.physics.formula import formula
from elec.standards.cite import source


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


@formula("H", "mm", "what the tube must have", D="bundle_diameter_mm: of all that passes",
         r="ratio: tube over bundle")  # fmt: skip
@source("ac4313", "11-249")
def conduit_diameter_mm(*, bundle_diameter_mm: float, ratio: float) -> str:
    """Inner diameter that a conduit needs: that of the bundle, a quarter more in the circular.

    >>> conduit_diameter_mm(bundle_diameter_mm=10, ratio=1.25)
    12.5
    """
    return "r * D"


@formula("H", "mm", "what the hole must have", D="bundle_diameter_mm: of all that passes",
         c="clearance_mm: clearance all round")  # fmt: skip
@source("ac4313", "11-115", "computed")
def bare_hole_diameter_mm(*, bundle_diameter_mm: float, clearance_mm: float) -> str:
    """Diameter that a hole without grommet needs: the bundle and the clearance all round.

    >>> round(bare_hole_diameter_mm(bundle_diameter_mm=10, clearance_mm=9.525), 2)
    29.05
    """
    return "D + 2 * c"


@formula("H", "mm", "what the hole must have", D="bundle_diameter_mm: of all that passes",
         g="room_mm: what the grommet takes")  # fmt: skip
@source("elec", "the room of a grommet is taken off its hole", "judgement")
def grommet_hole_diameter_mm(*, bundle_diameter_mm: float, room_mm: float) -> str:
    """Diameter that a hole needs before its grommet is put in.

    >>> round(grommet_hole_diameter_mm(bundle_diameter_mm=10, room_mm=3.175), 3)
    13.175
    """
    return "D + g"
