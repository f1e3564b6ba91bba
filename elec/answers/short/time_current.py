"""Everything about one circuit's protection on one sheet of log-log paper.

In: devices, heat, damage, faults. Out: `TimeCurrent` by chain: load, inrush, the device's band, the
wire's damage curve and the range of short-circuit currents, as points in A and s.
"""

import math
from collections.abc import Mapping

from msgspec import Struct

from elec.answers.heat.heat import heat
from elec.answers.short.damage import Bears, OpensInTime, opens_in_time
from elec.answers.short.fault import faults
from elec.sizing.devices import Device, band_of
from elec.sizing.sizing import sizing
from elec.standards import CurveBand, NotCovered
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains
from elec.wiring.coils import wires_behind

Points = tuple[tuple[float, float], ...]
"""(A, s), in rising amperes."""
LONGEST_S = 36_000.0
POINTS = 28


class TimeCurrent(Struct, frozen=True, kw_only=True):
    """One circuit or feeder with a device. Curves are empty where nothing is known."""

    chain: str
    title: str
    device: Device
    band: CurveBand | None
    slowest: Points
    """When it has opened at the latest."""
    quickest: Points
    """Before this it stays closed."""
    slowest_beyond: Points
    """What is counted beyond the last published point: the last time."""
    quickest_beyond: Points
    """Beyond the last published point: as the square of the current."""
    awg: str
    damage: Points
    """When the wire is damaged."""
    damaged_degc: float
    damaged_mark: str
    """How that temperature was got: `our judgement`; empty where it was given."""
    allowed_a: float
    """What the wire may carry for ever."""
    least_a: float | None
    greatest_a: float | None
    race: OpensInTime | None


@analysis
def time_currents(study: Study) -> Mapping[str, TimeCurrent]:
    """Every chain with a rated device and a wire behind it, in the builder's order."""
    found = {}
    for chain in chains(study).by_name.values():
        device = sizing(study).devices.get(chain.name)
        wires = [heat(study)[c.id] for c in wires_behind(study, chain) if c.id in heat(study)]
        if device is not None and device.rating_a is not None and wires:
            tightest = min(wires, key=lambda wire: (wire.allowed_a, wire.conductor))
            if tightest.allowed_a <= 0:  # too hot a place: there is no line of what it bears
                continue
            found[chain.name] = _sheet(study, chain, device, Bears.of(tightest))
    return found


def _sheet(study: Study, chain: Chain, device: Device, bears: Bears) -> TimeCurrent:
    fault = faults(study)[chain.name]
    rating = device.rating_a or 1.0
    try:
        band = band_of(device.kind, device.family, rating)
    except NotCovered:
        band = None
    top = max(fault.greatest_a or 0.0, 12 * rating)
    slowest = _slowest(band, rating) if band else ()
    quickest = _quickest(band, rating) if band else ()
    return TimeCurrent(
        chain=chain.name,
        title=chain.title,
        device=device,
        band=band,
        slowest=slowest,
        quickest=quickest,
        slowest_beyond=(slowest[-1], (top, slowest[-1][1]))
        if slowest and top > slowest[-1][0]
        else (),
        quickest_beyond=(quickest[-1], (top, quickest[-1][1] * (quickest[-1][0] / top) ** 2))
        if len(quickest) > 1 and top > quickest[-1][0]
        else (),
        awg=bears.wire.awg,
        damage=_damage(bears, top),
        damaged_degc=bears.wire.kind.damaged_degc,
        damaged_mark=bears.wire.kind.damaged_mark,
        allowed_a=bears.wire.allowed_a,
        least_a=fault.least_a,
        greatest_a=fault.greatest_a,
        race=opens_in_time(study).get(chain.name),
    )


def _slowest(band: CurveBand, rating_a: float) -> Points:
    """Upright above the first current at which it must open."""
    known = [(p.multiple * rating_a, p.most_s) for p in band.points if p.most_s is not None]
    if not known:
        return ()
    first = known[0]
    return (*(() if first[1] >= LONGEST_S else ((first[0], LONGEST_S),)), *known)


def _quickest(band: CurveBand, rating_a: float) -> Points:
    """Upright above what it holds for ever."""
    known: list[tuple[float, float]] = []
    for point in band.points:
        if point.least_s is None or (point.most_s is None and point.multiple < band.hold):
            continue
        known.append((point.multiple * rating_a, min(point.least_s, LONGEST_S)))
    if not known:
        return ()
    return ((known[0][0], LONGEST_S), *known)


def _damage(bears: Bears, top_a: float) -> Points:
    """From just above what it bears for ever to the greatest short, upright at its left end."""
    low = bears.lasting_a * 1.0005
    if low >= top_a or low <= 0:
        return ()
    ratio = math.log(top_a / low)
    found = [(bears.lasting_a, LONGEST_S)]
    for k in range(POINTS + 1):
        amps = low * math.exp(ratio * (k / POINTS) ** 2.2)
        time = bears.time_s(amps)
        if math.isfinite(time):
            found.append((amps, min(time, LONGEST_S)))
    return tuple(found)
