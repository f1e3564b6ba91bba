"""The protective device of a feeder: for what it carries, for what may come, after those behind it.

In: what the network says it carries, the devices behind it. Out: `Device`. A given rating stays.
"""

import math
from collections.abc import Sequence

from msgspec.structs import replace

from elec.sizing.coordination import compared, hardest
from elec.sizing.devices import Device, StartCurrent, ratings_of
from elec.sizing.picking import choose
from elec.standards import default
from elec.study import Study
from elec.wiring.chains import Chain
from elec.wiring.duty import duties
from elec.wiring.limits import limit
from elec.working import within

RESERVE = 1.002
"""Currents of feeders are solved for: what is chosen shall stand the last digits of that, too."""

AFTER_FAILURE = "when another feeder or a source has failed"
CHARGING = "while batteries are charged from low"


def feeder_device(
    study: Study,
    chain: Chain,
    load_a: float,
    behind: Sequence[Device],
    others: Sequence[tuple[float, str]] = (),
    *,
    start: StartCurrent | None = None,
    most_a: float = math.inf,
) -> Device:
    """The device of a feeder that carries `load_a` in the solved network.

    An alternator's feeder is chosen for the alternator's limit. Any other one holds its load, holds
    all that hangs behind it in case it stands alone, and opens after the devices behind it where a
    standard rating does.

    Args:
        study: the run.
        chain: a feeder with a device.
        load_a: the most that it carries for longer than a start.
        behind: the devices on its far bus.
        others: what it carries at other times, in amperes, and when.
        start: what it carries while the starter turns.
        most_a: what wires of a given gauge bear; no rating above it is taken for the sake of order.
    """
    for end in (chain.source_end, chain.far_end):
        source = study.document.sources.get(end)
        if source is not None and source.kind == "alternator" and source.rated_a() is not None:
            share = default("alternator-limit-share").si
            most = source.limit_a or share * (source.rated_a() or 0.0)
            return choose(study, chain, max(load_a, most), lasting=False)
    device = choose(study, chain, load_a, lasting=True)
    if device.rating_a is not None and not device.chosen:
        return device
    duty = duties(study).get(chain.name)
    wanted = load_a * RESERVE
    if duty is not None and duty.current_a > wanted:
        device = choose(study, chain, duty.current_a, lasting=True)
        device = replace(device, decided=f"{duty.current_a:.1f} A behind it, should it stand alone")
    else:
        device = replace(choose(study, chain, wanted, lasting=True), load_a=load_a)
    for amps, when in others:
        if amps > (device.load_a or 0.0):
            after = choose(study, chain, amps * RESERVE, lasting=True)
            if after.rating_a is None or after.rating_a > (device.rating_a or 0.0):
                device = replace(after, decided=f"{amps:.1f} A {when}")
    if device.rating_a is not None and start is not None:
        device = _through(device, start)
    return device if device.rating_a is None else _after(study, device, behind, most_a)


def _through(device: Device, start: StartCurrent) -> Device:
    """The smallest rating from that of a device on that stays closed while the starter turns.

    Where no curve tells, or none is large enough, it stays: the check says so.
    """
    for rating in ratings_of(device.kind, device.family):
        if rating >= (device.rating_a or 0.0):
            opens_s = start.opens_s(device, rating)
            if opens_s is not None and opens_s > start.turns_s:
                if rating == device.rating_a:
                    return device
                why = f"{start.turning_a:.0f} A for {start.turns_s:g} s while the starter turns"
                return replace(device, rating_a=rating, decided=why)
    return device


def _after(
    study: Study, device: Device, behind: Sequence[Device], most_a: float = math.inf
) -> Device:
    """The smallest rating from that of a device on that surely opens after those behind it.

    None above what its wires bear: there it stays, and device-selective says what may happen.
    """
    for rating in ratings_of(device.kind, device.family):
        if rating != device.rating_a and not within(rating, most_a):
            return device
        if rating >= (device.rating_a or 0.0) and not before(study, device, rating, behind):
            if rating == device.rating_a:
                return device
            first = before(study, device, device.rating_a or 0.0, behind)
            return replace(device, rating_a=rating, decided=f"to open after the {first}")
    return device


def before(study: Study, device: Device, rating_a: float, behind: Sequence[Device]) -> str:
    """The device behind that may not open before one of this rating; empty where all do."""
    enough = limit(study, "coordination-ratio")
    for lower in hardest(d for d in behind if d.rating_a is not None):
        low = lower.rating_a or 1.0
        if enough.allows(rating_a / low):
            continue
        upper = (device.kind, device.family, rating_a)
        sure, end = compared(upper, (lower.kind, lower.family, low), 1e9)
        if sure is None or not within(sure, end, "at least"):
            return f"{lower.label} of {lower.chain.replace('-', ' ')}"
    return ""
