"""The device of every circuit and feeder, and what decides its rating where nobody gave one.

In: demand, what devices hold, the builder's stock, what makers ask for. Out: `Device` by chain.
The order: what the maker of the box asks for; else from a floor on the least that passes, of the
builder's stock where one of that does. What is given stays.
"""

import math
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from elec.model.wiring import DeviceKind
from elec.sizing.chart import chart_most_a
from elec.sizing.devices import (
    DEFAULT_CLASS,
    Device,
    drop_limit_v,
    holding,
    inrush,
    longest_s,
    none_listed,
    ratings_of,
)
from elec.sizing.own_class import family_of
from elec.standards import Default, default
from elec.study import Study, analysis
from elec.wiring.basis import QUANTILE, draw_spread
from elec.wiring.chains import Chain, chains
from elec.wiring.circuit_model import device_ohm
from elec.wiring.demand import (
    demand,
    greatest_modes,
    pulses,
    worst_circuit_amps,
    worst_circuit_peak,
)
from elec.wiring.limits import limit
from elec.wiring.standby import twins
from elec.wiring.wires import tap_current
from elec.working import within


@analysis
def circuit_devices(study: Study) -> Mapping[str, Device]:
    """The device of every circuit and wire that has one, by the counted currents of its loads."""
    found = {
        chain.name: circuit_device(study, chain)
        for chain in chains(study).of("circuit")
        if chain.device is not None
    }
    for chain in chains(study).of("wire"):
        if chain.device is not None:
            found[chain.name] = choose(study, chain, tap_current(study, chain), lasting=True)
    return found


def circuit_device(
    study: Study, chain: Chain, solved_a: float = 0.0, most_a: float = math.inf
) -> Device:
    """The device of a circuit, for its counted current or the solved one where that is more.

    Not above `most_a`: what the wire bears that its contacts take.
    """
    counted = worst_circuit_amps(study)[chain.name]
    amps = None if counted is None else max(counted, solved_a)
    return choose(study, chain, amps, lasting=_lasts(study, chain), most_a=most_a)


def _lasts(study: Study, chain: Chain) -> bool:
    loads = demand(study).loads
    return not all(load in loads and loads[load].intermittent for load in chain.loads)


def choose(
    study: Study, chain: Chain, load_a: float | None, *, lasting: bool, most_a: float = math.inf
) -> Device:
    """The device of a chain that carries `load_a`.

    The given rating; else, of those that hold it, what the maker asks for, and then the smallest
    from the floor on, of the builder's stock where one of that does.
    """
    part = chain.device
    assert part is not None  # noqa: S101 - the caller asks only for chains with a device
    assert part.protection is not None  # noqa: S101
    kind: DeviceKind = part.kind  # type: ignore[assignment]
    family = family_of(study, part.protection, DEFAULT_CLASS[kind], (*chain.path, kind))
    inrush_a, inrush_s = inrush(study, chain)
    given = part.protection.rating_a
    silent = tuple(n for n in chain.loads if (d := demand(study).loads.get(n)) and d.peak_unknown)
    if load_a is None:
        return Device(
            chain=chain.name,
            kind=kind,
            family=family,
            rating_a=given,
            chosen=False,
            load_a=None,
            needed_a=None,
            peak_unknown=silent,
            unknown="the current of a load is not known",
        )
    peak_a = peak(study, chain, load_a)
    steps = holding(study, chain, kind, family, load_a, peak_a=peak_a, lasting=lasting)
    needed = steps[-1].result.value
    device = Device(
        chain=chain.name,
        kind=kind,
        family=family,
        rating_a=given,
        chosen=False,
        load_a=load_a,
        needed_a=needed,
        peak_a=peak_a,
        peak_unknown=silent,
        steps=steps,
        inrush_a=inrush_a,
        inrush_s=inrush_s,
        unknown=steps[0].note,
    )
    if given is not None:
        return device
    rating, decided, by_floor = pick(study, chain, device, most_a)
    unknown = steps[0].note if rating else none_listed(kind, family, needed)
    return replace(
        device,
        rating_a=rating,
        chosen=rating is not None,
        decided=decided,
        by_floor=by_floor,
        unknown=unknown,
    )


def peak(study: Study, chain: Chain, load_a: float) -> float | None:
    """The most that a circuit takes at any instant; None where nothing on it pulses."""
    most = worst_circuit_peak(study).get(chain.name) if chain.kind == "circuit" else None
    return most if most is not None and not within(most, load_a) else None


def with_twins(study: Study, devices: dict[str, Device]) -> None:
    """Give each device that is chosen the rating of its twin, where that is more."""
    for name, others in twins(study).items():
        mine = devices.get(name)
        if mine is None or not mine.chosen or mine.rating_a is None:
            continue
        for other in others:
            theirs = devices.get(other)
            if theirs is None or theirs.kind != mine.kind or theirs.family != mine.family:
                continue
            if (theirs.rating_a or 0.0) > (mine.rating_a or 0.0):
                title = chains(study).by_name[other].title
                twin = f"its twin, {title}"
                mine = replace(mine, rating_a=theirs.rating_a, decided=twin, by_floor=False)
        devices[name] = mine


class Picked(NamedTuple):
    """The rating for a device without one."""

    rating_a: float | None
    decided: str
    """What decided it; empty where its load did."""
    by_floor: bool = False
    """Whether the floor for small ratings did."""


def pick(study: Study, chain: Chain, device: Device, most_a: float = math.inf) -> Picked:
    """The rating for a device without one, and what decided it."""
    made = ratings_of(device.kind, device.family)
    upper = upper_a(study, chain, device)
    if most_a < math.inf:
        able = [r for r in made if r <= most_a and not _refuses(device, r, upper)]
        most = "the most that the wire bears which its contacts take"
        return Picked(max(able, default=None), most)
    stock = study.document.stock.ratings(device.kind)
    asked = asks(study, chain)
    if asked and asked.alone and not _refuses(device, asked.rating_a):
        return Picked(asked.rating_a, f"what its maker asks for ({asked.where})")
    bottom = floor(study, chain)
    least, why = (bottom.si, floor_words(bottom)) if bottom else (0.0, "")
    if asked and asked.rating_a > least:
        least, why = asked.rating_a, f"what the maker of {asked.title} asks for"
        bottom = None
    spare_v = _drop_spare_v(study, chain)
    lowest = _least(device, made, 0.0, spare_v)
    sure = _least(device, made, 0.0, spare_v, upper)
    wanted = _least(device, made, least, spare_v, upper)
    said = "" if wanted == lowest else why
    floored = bottom is not None and said == why
    if wanted == sure != lowest:
        said, floored = spread_words(study, chain, device), False
    shelf = _least(device, stock, least, spare_v, upper) if stock else None
    if bottom is not None:
        found = shelf if shelf is not None else wanted
        ratings = stock if shelf is not None else made
        if held := _for_stall(study, chain, device, ratings, found):
            return held
    if not stock or wanted is None:
        return Picked(wanted, said, floored)
    if shelf is None:
        more = "nothing in your stock does"
        return Picked(wanted, f"{said}; {more}" if said else f"its load; {more}", floored)
    if shelf == wanted:
        return Picked(shelf, said, floored)
    return Picked(shelf, "the least of your stock that does")


def _least(
    device: Device,
    ratings: tuple[float, ...],
    floor_a: float,
    spare_v: float | None,
    upper: float = 0.0,
) -> float | None:
    """The smallest rating that holds load and inrush and loses little voltage itself.

    Small thermal devices have resistances of ohms. That rule gives way where it would ask for more
    than the least wire allows.
    """
    smallest: float | None = None
    for rating in ratings:
        if not within(rating, floor_a, "at least") or _refuses(device, rating, upper):
            continue
        smallest = rating if smallest is None else smallest
        lost = (device.load_a or 0.0) * device_ohm(device.kind, rating, device.family)
        if spare_v is None or lost <= spare_v:
            thinnest = f"{default('minimum-power-gauge').value:.0f}"
            small_a = chart_most_a(thinnest, "breaker") or 0.0
            return rating if rating <= max(smallest, small_a) else smallest
    return smallest


def stalls(study: Study, chain: Chain) -> Mapping[str, float]:
    """What the motors of a circuit take when held fast, those left out that bear it."""
    equipment = study.document.equipment
    return {
        load: amps
        for load in (chain.loads if chain.kind == "circuit" else ())
        if (amps := equipment[load].stall_a) is not None and not equipment[load].bears_stall
    }


def opens_stalls(study: Study, chain: Chain, device: Device, rating_a: float) -> bool:
    """Whether a rating surely opens in time for every motor of the circuit that is held fast."""
    most = limit(study, "stall-opens")
    found = (longest_s(device, rating_a, amps) for amps in stalls(study, chain).values())
    return all(longest is not None and most.allows(longest) for longest in found)


def least_for_stall(study: Study, chain: Chain) -> float:
    """Below which rating none is chosen for a motor held fast alone; what the engine needs none."""
    engine = any(study.document.equipment[load].role == "engine" for load in chain.loads)
    return math.inf if engine else default("device-floor").si


def _for_stall(
    study: Study, chain: Chain, device: Device, ratings: tuple[float, ...], now: float | None
) -> Picked | None:
    """The greatest smaller rating that opens where the one chosen does not when a motor is stuck.

    It has to hold as the other one, and to lose no more than its share itself. The floor of motors
    gives way: it is there for a pulse that nobody measured, and this one was. None where the rating
    chosen opens, or no other one does.
    """
    if now is None or opens_stalls(study, chain, device, now):
        return None
    for rating in sorted((r for r in ratings if r < now), reverse=True):
        if rating < least_for_stall(study, chain):
            break
        if holds(study, chain, device, rating) and opens_stalls(study, chain, device, rating):
            load, amps = max(stalls(study, chain).items(), key=lambda one: one[1])
            title = study.system.title("equipment", load)
            why = f"the greatest that opens when {title}, held fast, takes {amps:g} A"
            return Picked(rating, why)
    return None


def holds(study: Study, chain: Chain, device: Device, rating_a: float) -> bool:
    """Whether a rating surely holds load, what that may be, and inrush, and loses little itself.

    An inrush that no curve covers is not sure.
    """
    if _refuses(device, rating_a, upper_a(study, chain, device)):
        return False
    if device.inrush_a is not None and device.holds_inrush(rating_a) is None:
        return False
    spare_v = _drop_spare_v(study, chain)
    lost = (device.load_a or 0.0) * device_ohm(device.kind, rating_a, device.family)
    return spare_v is None or lost <= spare_v


def _refuses(device: Device, rating_a: float, upper: float = 0.0) -> bool:
    """Whether a rating does not hold: the load, as far up as it may be, the inrush."""
    if not device.holds_load(rating_a) or not within(upper, rating_a * device.warmth):
        return True
    held = device.holds_inrush(rating_a)
    return held is not None and not held[0]


def upper_a(study: Study, chain: Chain, device: Device) -> float:
    """What a circuit carries at most in nineteen of twenty outcomes, as far as its loads are known.

    Loads of one circuit are taken as off together, as two of one make are. 0 for a feeder.
    """
    if chain.kind != "circuit" or not device.load_a:
        return 0.0
    load = max(device.load_a, device.peak_a or 0.0)
    return load + QUANTILE * sum(
        amps * draw_spread(study, name, mode).deviation for name, mode, amps in shares(study, chain)
    )


def spread_words(study: Study, chain: Chain, device: Device) -> str:
    """`its load, which may be 4.8 A (estimate)`."""
    amps = upper_a(study, chain, device)
    words = [draw_spread(study, name, mode).basis for name, mode, _ in shares(study, chain)]
    return f"its load, which may be {amps:.2g} A ({', '.join(dict.fromkeys(words))})"


def shares(study: Study, chain: Chain) -> Iterator[tuple[str, str, float]]:
    """(load, mode, the most it draws at any instant) of the loads of a circuit, greatest modes."""
    for name in chain.loads:
        if name in greatest_modes(study):
            amps, mode = greatest_modes(study)[name]
            yield name, mode, amps


def _drop_spare_v(study: Study, chain: Chain) -> float | None:
    """What the device itself may lose.

    Its share of the strictest drop allowed to a load of the circuit.
    """
    if chain.kind != "circuit":
        return None
    strictest = min((drop_limit_v(study, load).volts for load in chain.loads), default=None)
    return None if strictest is None else default("device-drop-share").si * strictest


class MakersDevice(Struct, frozen=True, kw_only=True):
    """The device that the maker of a load asks for."""

    load: str
    title: str
    rating_a: float
    where: str
    alone: bool
    """Whether that load has the circuit to itself."""


def asks(study: Study, chain: Chain) -> MakersDevice | None:
    """The greatest rating that the makers of a circuit's loads ask for; None where none does."""
    if chain.kind != "circuit" or chain.device is None:
        return None
    fused = chain.device.kind == "fuse"
    found = []
    for name in chain.loads:
        asked = study.document.equipment[name].maker_asks
        rating = None
        if asked is not None:
            rating = asked.fuse_a if fused and asked.fuse_a is not None else asked.breaker_a
            rating = asked.fuse_a if rating is None else rating
        if rating is not None:
            where = study.system.where("equipment", name, "maker-asks")
            found.append(
                MakersDevice(
                    load=name,
                    title=study.system.title("equipment", name),
                    rating_a=rating,
                    where=str(where),
                    alone=len(chain.loads) == 1,
                )
            )
    return max(found, key=lambda one: one.rating_a, default=None)


def floor(study: Study, chain: Chain) -> Default | None:
    """The least rating that is chosen for a circuit or a thin wire; None for a feeder."""
    if chain.kind == "wire":
        return default("tap-fuse")
    if chain.kind != "circuit":
        return None
    hard = any(_hard(study, name) for name in chain.loads)
    return default("device-floor-hard" if hard else "device-floor")


def floor_words(bottom: Default) -> str:
    """`the floor of 5 A (default device-floor-hard)`."""
    return f"the floor of {bottom.value:g} A ({bottom.origin})"


def _hard(study: Study, name: str) -> bool:
    """A motor, what pulses, and what keeps the engine running."""
    entry = study.document.equipment[name]
    peaks = (entry.peak, *(mode.peak for mode in entry.modes.values()))
    steady = entry.duty == 1.0
    return (
        entry.character == "motor"
        or entry.role == "engine"
        or any(one is not None for one in peaks)
        or (pulses(name, entry) and not steady)
    )


__all__ = [
    "MakersDevice",
    "asks",
    "choose",
    "circuit_device",
    "circuit_devices",
    "floor",
    "holds",
    "least_for_stall",
    "opens_stalls",
    "stalls",
    "upper_a",
]
