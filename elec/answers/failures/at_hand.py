"""Which breakers and fuses a pilot needs in flight, and which of them are within reach.

In: chains, devices, `reach:` of the places, backups, `spare-fuses:`. Out: `Needed` by device and
`SpareFuses` by class and rating. Needed is the device of what is essential and has nothing that
takes over: of a load its own, of an essential bus that of its only feeder; and of a load and its
backup either one's. Limiters and fusible links are bolted: nobody changes one in flight.
"""

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from elec.sizing.devices import Device
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.backup import Pair, pairs
from elec.wiring.chains import Chain, chains

BY_HAND = ("breaker", "fuse")
"""Kinds of device that are reset or replaced by hand."""


class Needed(Struct, frozen=True, kw_only=True):
    """A device that must be reset or replaced in flight to get something essential back."""

    chain: Chain
    device: Device
    place: str
    feeds: tuple[str, ...]
    """What is lost with it, for print."""
    reach: bool | None
    """Whether the pilot reaches it in flight; None: not said."""


class SpareFuses(Struct, frozen=True, kw_only=True):
    """Fuses of one class and rating within reach, and the spares on board."""

    family: str
    rating_a: float
    fitted: int
    carried: int
    unclear: int = 0
    """Spares of that rating whose class is not said, where two classes of it are fitted."""

    @property
    def label(self) -> str:
        """`15 A blade-c`."""
        return f"{self.rating_a:g} A {self.family}"


class PairReach(Struct, frozen=True, kw_only=True):
    """A load and its backup: whether a device of either can be reset or replaced in flight."""

    pair: Pair
    devices: tuple[str, ...]
    """The devices of both, for print, with their places."""
    reach: bool | None
    """Whether one of them is within reach; None: not said."""


@analysis
def needed(study: Study) -> tuple[Needed, ...]:
    """Every device that something essential hangs on alone, in the order of the file."""
    backed = {name for pair in pairs(study) for name in pair.equipment}
    return tuple(
        Needed(
            chain=chain,
            device=device,
            place=place,
            feeds=feeds,
            reach=_reach(study, place),
        )
        for chain, device, place in _by_hand(study)
        for feeds in (_lost(study, chain, backed),)
        if feeds
    )


@analysis
def pair_reach(study: Study) -> tuple[PairReach, ...]:
    """Every essential load with its backup, both behind devices."""
    return tuple(found for pair in pairs(study) if (found := _pair_reach(study, pair)))


def _pair_reach(study: Study, pair: Pair) -> PairReach | None:
    document = study.document
    if not any(
        document.equipment[name].essential or document.equipment[name].role == "engine"
        for name in pair.equipment
    ):
        return None
    texts: list[str] = []
    found: list[bool | None] = []
    for circuits in pair.circuits:
        parts = [chains(study).by_name[name].device for name in circuits]
        if not all(parts):
            return None  # nothing that could open
        for part in parts:
            if part is not None:
                device = sizing(study).devices[part.rated]
                texts.append(f"{device.label} ({study.system.title('places', part.place)})")
                by_hand = part.kind in BY_HAND
                found.append(_reach(study, part.place) if by_hand else False)
    if not all(pair.circuits):
        return None
    reach = True if any(found) else None if None in found else False
    return PairReach(pair=pair, devices=tuple(texts), reach=reach)


@analysis
def spare_fuses(study: Study) -> tuple[SpareFuses, ...] | None:
    """Fuses within reach by rating, smallest first; None where `spare-fuses:` is left out."""
    carried = study.system.about.spare_fuses
    return None if carried is None else _spares(study, carried)


def spares_to_carry(study: Study) -> Mapping[tuple[str, float], int]:
    """Class and rating of fuses within reach → spares: as many as are asked for, or written."""
    found = _spares(study, study.system.about.spare_fuses or ())
    least = enough(found, night="night" in study.system.about.conditions)
    pairs_ = zip(found, least, strict=True)
    return {(one.family, one.rating_a): max(one.carried, asked) for one, asked in pairs_}


def _spares(study: Study, carried: Sequence[tuple[str, float, int]]) -> tuple[SpareFuses, ...]:
    named = {(family, rating): number for family, rating, number in carried}
    fitted = fitted_fuses(study)
    alike = Counter(rating for _, rating in fitted)
    return tuple(
        SpareFuses(
            family=family,
            rating_a=rating,
            fitted=number,
            carried=named.get((family, rating), 0)
            + (named.get(("", rating), 0) if alike[rating] == 1 else 0),
            unclear=named.get(("", rating), 0) if alike[rating] > 1 else 0,
        )
        for (family, rating), number in fitted.items()
    )


def fitted_fuses(study: Study) -> Mapping[tuple[str, float], int]:
    """How many fuses of each class and known rating are within reach, smallest first."""
    known = [(str(f.family), f.rating_a) for f in fuses(study) if f.rating_a is not None]
    return dict(sorted(Counter(known).items(), key=lambda item: (item[0][1], item[0][0])))


def fuses(study: Study) -> tuple[Device, ...]:
    """All fuses within reach."""
    return tuple(
        device
        for _, device, place in _by_hand(study)
        if device.kind == "fuse" and _reach(study, place)
    )


@analysis
def not_said(study: Study) -> tuple[str, ...]:
    """Places without `reach:` that a fuse, or a device which something essential needs, sits in."""
    places = [one.place for one in needed(study)]
    places += [place for _, device, place in _by_hand(study) if device.kind == "fuse"]
    places += [
        part.place
        for one in pair_reach(study)
        if one.reach is None
        for name in (*one.pair.circuits[0], *one.pair.circuits[1])
        if (part := chains(study).by_name[name].device) is not None and part.kind in BY_HAND
    ]
    return tuple(dict.fromkeys(place for place in places if _reach(study, place) is None))


def enough(fitted: tuple[SpareFuses, ...], *, night: bool) -> tuple[int, ...]:
    """How many spares of each rating are asked for.

    One set or three of each kind by night, whichever takes fewer in all; one of each kind, or half
    of those fitted where that is more, always.
    """
    half = [max(1, math.ceil(one.fitted / 2)) for one in fitted]
    three = [max(3, least) for least in half]
    full = [one.fitted for one in fitted]
    if not night:
        return tuple(half)
    return tuple(three if sum(three) < sum(full) else full)


def _by_hand(study: Study) -> Iterator[tuple[Chain, Device, str]]:
    for chain in chains(study).guarded():
        device = sizing(study).devices.get(chain.name)
        if device is not None and chain.device is not None and device.kind in BY_HAND:
            yield chain, device, chain.device.place


def _reach(study: Study, place: str) -> bool | None:
    spot = study.document.places.get(place)
    return spot.reach if spot is not None else None


def _lost(study: Study, chain: Chain, backed: set[str]) -> tuple[str, ...]:
    """The essential loads or the bus that a device alone feeds."""
    document = study.document
    if chain.kind == "circuit":
        own = document.circuits[chain.name].essential
        return tuple(
            study.system.title("equipment", load)
            for load in chain.loads
            for entry in (document.equipment[load],)
            if (own or entry.essential or entry.role == "engine") and load not in backed
        )
    if chain.kind == "wire":
        return ()  # a sense wire or a lamp
    bus = _fed(study, int(chain.path[1]))
    alone = [_fed(study, index) for index in range(len(document.feeders))].count(bus) == 1
    if not alone or bus not in document.buses or not document.buses[bus].essential:
        return ()
    return (study.system.title("buses", bus),)


def _fed(study: Study, index: int) -> str:
    """The bus that a feeder keeps alive in flight, from a battery or another bus; else nothing."""
    document = study.document
    feeder = document.feeders[index]
    kinds = {end: document.sources[end].kind for end in (feeder.from_, feeder.to)
             if end in document.sources}  # fmt: skip
    if set(kinds.values()) & {"alternator", "external-power"}:
        return ""
    return feeder.from_ if feeder.to in kinds else feeder.to
