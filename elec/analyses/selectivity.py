"""Does the device nearer to the fault open before the one behind it?

In: bands of the devices, short-circuit currents. Out: `Selectivity` by feeder, for the branch
that is hardest to beat. Compared are the longest time of the lower device and the shortest of the
upper one, up to where the lower one's curve or its short-circuit current ends.
"""

from collections.abc import Iterator, Mapping
from functools import cache

from elec.analyses.chains import Chain, chains
from elec.analyses.devices import Device, band_of
from elec.analyses.fault import faults
from elec.analyses.sizing import sizing
from elec.model.wiring import DeviceKind
from elec.physics.protection import greatest_opening_time_s, least_opening_time_s
from elec.record import dataclass
from elec.standards import Band, NotCovered
from elec.study import Study, analysis

Rated = tuple[DeviceKind, str, float]
"""Kind, family and rating of a device."""


@dataclass(frozen=True, kw_only=True)
class Selectivity:
    """A feeder's device over the hardest of the devices behind it."""

    feeder: str
    upper: Device
    lower: Device
    branches: int
    """Devices behind the feeder."""
    ratio: float
    sure_to_a: float | None
    """Current up to which the lower one surely opens first; None where a curve is missing."""
    looked_to_a: float
    """Current up to which was compared."""

    @property
    def sure(self) -> bool:
        """Whether it holds as far as was compared."""
        return self.sure_to_a is not None and self.sure_to_a >= self.looked_to_a * (1 - 1e-9)


@analysis
def selectivity(study: Study) -> Mapping[str, Selectivity]:
    """Every feeder with a device over what hangs on its far bus."""
    found = {}
    devices = sizing(study).devices
    for chain in chains(study).of("feeder"):
        upper = devices.get(chain.name)
        behind = [d for d in _behind(study, chain) if d.rating_a is not None]
        if upper is None or upper.rating_a is None or not behind or _alternator(study, chain):
            continue
        made = [_pair(study, chain, upper, lower, len(behind)) for lower in _hardest(behind)]
        found[chain.name] = min(made, key=_order)
    return found


def _order(pair: Selectivity) -> tuple[bool, float]:
    sure = 0.0 if pair.sure_to_a is None else pair.sure_to_a / max(pair.looked_to_a, 1e-9)
    return (pair.sure_to_a is not None and pair.sure, sure)


def _alternator(study: Study, chain: Chain) -> bool:
    ends = (chain.source_end, chain.far_end)
    sources = study.document.sources
    return any(end in sources and sources[end].kind == "alternator" for end in ends)


def _behind(study: Study, feeder: Chain) -> Iterator[Device]:
    for chain in chains(study).by_name.values():
        if chain.kind in ("circuit", "feeder") and chain.source_end == feeder.far_end:
            device = sizing(study).devices.get(chain.name)
            if device is not None and chain.name != feeder.name:
                yield device


def _hardest(behind: list[Device]) -> list[Device]:
    """The largest of each kind and family."""
    best: dict[tuple[str, str], Device] = {}
    for device in behind:
        key = (device.kind, device.family)
        if key not in best or (device.rating_a or 0) > (best[key].rating_a or 0):
            best[key] = device
    return list(best.values())


def _pair(study: Study, chain: Chain, upper: Device, lower: Device, branches: int) -> Selectivity:
    fault = faults(study)[lower.chain].greatest_a
    up, low = upper.rating_a or 1.0, lower.rating_a or 1.0
    sure, end = _compared(
        (upper.kind, upper.family, up), (lower.kind, lower.family, low), fault or 1e9
    )
    return Selectivity(
        feeder=chain.name,
        upper=upper,
        lower=lower,
        branches=branches,
        ratio=up / low,
        sure_to_a=sure,
        looked_to_a=end,
    )


@cache
def _compared(up: Rated, low: Rated, fault_a: float) -> tuple[float | None, float]:
    """(greatest current that is surely selective, greatest current compared)."""
    up_a, low_a = up[2], low[2]
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


def _shortest_s(band: Band, multiple: float) -> float | None:
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
