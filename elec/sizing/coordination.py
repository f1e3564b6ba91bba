"""Which of two devices in series opens first, by their published bands.

In: two rated devices, the greatest current. Out: up to which current the lower one surely does.
"""

from collections.abc import Iterable
from functools import cache

from elec.model.wiring import DeviceKind
from elec.physics.protection import greatest_opening_time_s, least_opening_time_s
from elec.sizing.devices import Device, band_of
from elec.standards import CurveBand, NotCovered

Rated = tuple[DeviceKind, str, float]
"""Kind, family and rating of a device."""


def hardest(behind: Iterable[Device]) -> list[Device]:
    """The largest of each kind and family."""
    best: dict[tuple[str, str], Device] = {}
    for device in behind:
        key = (device.kind, device.family)
        if key not in best or (device.rating_a or 0) > (best[key].rating_a or 0):
            best[key] = device
    return list(best.values())


@cache
def compared(
    up: Rated, low: Rated, fault_a: float, share: float = 1.0
) -> tuple[float | None, float]:
    """(greatest current that is surely selective, greatest current compared); None: no curve.

    Currents are those of the lower device; the upper one carries `share` of them.
    """
    up_a, low_a = up[2] / share, low[2]
    try:
        upper, lower = band_of(*up), band_of(*low)
    except NotCovered:
        return None, 0.0
    end = min(fault_a, max(p.multiple for p in lower.points) * low_a)
    corners = {p.multiple * low_a for p in lower.points} | {p.multiple * up_a for p in upper.points}
    inside = sorted(c for c in corners if low_a < c < end)
    sure = low_a
    for amps in (*inside, end):
        longest = greatest_opening_time_s(band=lower, multiple=amps / low_a)
        shortest = _shortest_s(upper, amps / up_a)
        if shortest is None:
            return None, end
        if longest >= shortest and shortest != float("inf"):
            return sure, end
        sure = amps
    return end, end


def _shortest_s(band: CurveBand, multiple: float) -> float | None:
    """Shortest opening time; None where the band gives none.

    Below the first window at least as much heat is needed as there: t ≥ t1·(m1/m)².
    """
    try:
        return least_opening_time_s(band=band, multiple=multiple)
    except NotCovered:
        for point in band.points:
            if point.least_s is not None and point.multiple > multiple:
                return point.least_s * (point.multiple / multiple) ** 2
        return None
