"""Which other rating would do for a device: the one that an advice may name.

In: a device, ratings that are made. Out: `Fit`, the first that keeps all that the checks ask of a
device and its wire, with the gauge that it asks for; None where none does.
"""

from collections.abc import Callable, Iterable

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.short.damage import race_of
from elec.answers.short.fault import fault_with
from elec.answers.time.cranking import cranks, start_current
from elec.sizing.candidates import GaugePasses, passing
from elec.sizing.devices import Device, interrupts, ratings_of, ultimate_trip
from elec.sizing.feeder_devices import before
from elec.sizing.picking import asks, floor, holds, opens_stalls
from elec.sizing.sizing import guarding, sizing
from elec.standards import AWGS
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.limits import limit
from elec.working import within


class Fit(Struct, frozen=True, kw_only=True):
    """A rating that would do."""

    rating_a: float
    awg: str
    """The gauge that it asks for, where the builder gave a thinner one; else empty."""

    @property
    def words(self) -> str:
        """`10 A`, `10 A with AWG 18`."""
        return f"{self.rating_a:g} A{f' with AWG {self.awg}' if self.awg else ''}"


def greater(study: Study, chain: Chain, device: Device) -> Fit | None:
    """The least greater rating that would do."""
    return _first(study, chain, device, sorted(_made(study, device, lambda r, now: r > now)))


def smaller(study: Study, chain: Chain, device: Device, least_a: float | None = None) -> Fit | None:
    """The greatest smaller rating that would do: none below what elec itself would choose.

    That is the floor of its loads, where `least_a` says no other.
    """
    bottom = floor(study, chain)
    least = (bottom.si if bottom is not None else 0.0) if least_a is None else least_a
    found = sorted(_made(study, device, lambda r, now: least <= r < now), reverse=True)
    return _first(study, chain, device, found)


def thicker(study: Study, chain: Chain) -> str | None:
    """The thinnest thicker gauge that passes with all that its contacts and device ask for.

    Where none is thick enough to outlast its device in a short, that is left to another device.
    """
    now = first = passing(study, chain)
    device = guarding(study, chain)
    while now is not None and device is not None and not now.stays:
        race = race_of(study, chain, device, awg=now.awg)
        if race is None or race.opens_s is None or race.in_time or race.chart_decides:
            return now.awg
        above = AWGS[AWGS.index(now.awg) + 1 :]
        now = passing(study, chain, least=above[0]) if above else None
    return None if first is None or first.stays else first.awg


def _made(study: Study, device: Device, keep: Callable[[float, float], bool]) -> Iterable[float]:
    """Ratings of the builder's stock, else of those that are made."""
    now = device.rating_a
    if now is None:
        return ()
    stock = study.document.stock.ratings(device.kind)
    return [r for r in stock or ratings_of(device.kind, device.family) if keep(r, now)]


def _first(study: Study, chain: Chain, device: Device, ratings: Iterable[float]) -> Fit | None:
    for rating in ratings:
        found = _fit(study, chain, replace(device, rating_a=rating))
        if found is not None:
            return found
    return None


def _fit(study: Study, chain: Chain, tried: Device) -> Fit | None:
    """A rating with the gauge that it asks for; None where something speaks against it."""
    if tried.rating_a is None or tried.unknown or tried.peak_unknown:
        return None
    if not (_held(study, chain, tried) and _in_step(study, chain, tried)):
        return None
    wire = passing(study, chain, tried)
    if wire is None or not _opens(study, chain, tried, wire):
        return None
    return Fit(rating_a=tried.rating_a, awg="" if wire.stays or wire.free else wire.awg)


def _held(study: Study, chain: Chain, tried: Device) -> bool:
    """Whether it holds load, inrush and start, opens for a stalled motor, and its maker agrees."""
    rating = tried.rating_a or 0.0
    asked = asks(study, chain)
    if asked is not None and (
        rating > asked.rating_a or (asked.alone and rating != asked.rating_a)
    ):
        return False
    if not holds(study, chain, tried, rating) or not opens_stalls(study, chain, tried, rating):
        return False
    for one in cranks(study):
        carried = start_current(one, chain)
        if max(carried.first_a, carried.turning_a) > rating * tried.warmth:
            opens_s = carried.opens_s(tried, rating)
            if opens_s is None or not within(carried.turns_s, opens_s):
                return False
    return True


def _in_step(study: Study, chain: Chain, tried: Device) -> bool:
    """Whether devices in series stay in step as far as they are now."""
    devices, rating = sizing(study).devices, tried.rating_a or 0.0
    now = devices[chain.name].rating_a or 0.0
    if chain.kind == "feeder" and rating < now:
        lower = [devices[c.name] for c in chains(study).fed_from(chain.far_end)
                 if c.name in devices and c.name != chain.name]  # fmt: skip
        if before(study, tried, rating, lower) and not before(study, tried, now, lower):
            return False
    for feeder in chains(study).of("feeder"):
        upper = devices.get(feeder.name)
        if upper is None or upper.rating_a is None or feeder.far_end != chain.source_end:
            continue
        if rating > now and not upper.chosen:
            worse = before(study, upper, upper.rating_a, [tried])
            if worse and not before(study, upper, upper.rating_a, [devices[chain.name]]):
                return False
    return True


def _opens(study: Study, chain: Chain, tried: Device, wire: GaugePasses) -> bool:
    """Whether it opens at a short at the far end, breaks one behind it, and spares its wire."""
    rating = tried.rating_a or 0.0
    fault = fault_with(study, chain, tried)
    can, sure = interrupts(study, tried), ultimate_trip(tried)
    if fault.least_a is None or fault.greatest_a is None or can is None or sure is None:
        return False
    soon = max(sure, limit(study, "fault-multiple").value) * rating
    if not within(fault.least_a, soon, "at least") or not within(fault.greatest_a, can.current_a):
        return False
    race = race_of(study, chain, tried, fault.greatest_a, "" if wire.stays else wire.awg)
    return race is None or (race.opens_s is not None and (race.in_time or race.chart_decides))
