"""What devices surely hold and wires may carry, and what of a solved case goes beyond it.

In: devices, heat, what every resistor carries in one case. Out: `Currents`: only what is asked
later, since there are thousands of cases and nearly all of their wires carry what they may.
"""

from collections.abc import Mapping

import numpy as np
from msgspec import Struct

from elec.answers.heat.heat import heat
from elec.network.netlist import Array, Index
from elec.sizing.devices import Device, band_of
from elec.sizing.sizing import sizing
from elec.standards import NotCovered
from elec.study import Study, analysis
from elec.wiring.chains import chains, known_ohm

ROUNDING = 1 + 1e-6
"""A current beyond a bound by less than this is rounding."""


class Beyond(Struct, frozen=True, kw_only=True):
    """What carries more than its bound in one case, or is not known to carry less."""

    at: Index
    """Indices of devices or wires in `Bounds`."""
    amps: Array

    def new(self, sound: "Beyond | None") -> list[tuple[int, float]]:
        """Those that do, and do not where nothing has failed."""
        before = frozenset[int]() if sound is None else frozenset(sound.at.tolist())
        found = zip(self.at.tolist(), self.amps.tolist(), strict=True)
        return [(i, amps) for i, amps in found if amps == amps and i not in before]  # noqa: PLR0124 - NaN


class Currents(Struct, frozen=True, kw_only=True):
    """What is asked of the currents of one case."""

    devices: Beyond
    wires: Beyond
    feeders: Array
    """The most that each feeder carries, A, in the order of `Bounds.feeders`."""


class Bounds(Struct, frozen=True, kw_only=True):
    """What devices surely hold and wires may carry."""

    devices: tuple[str, ...]
    parts: tuple[str, ...]
    holds_a: Array
    wires: tuple[str, ...]
    allowed_a: Array
    feeders: tuple[str, ...]
    conductors: tuple[tuple[str, ...], ...]
    """Of each feeder."""


@analysis
def bounds(study: Study) -> Bounds:
    """All of them, in the builder's order."""
    found = [
        (chain.name, chain.device.id, holds_a(device))
        for chain in chains(study).guarded()
        if chain.device is not None and chain.kind in ("circuit", "feeder")
        for device in (sizing(study).devices.get(chain.name),)
        if device is not None and device.rating_a is not None
    ]
    known = {
        c.id
        for chain in chains(study).of("ground")
        if known_ohm(study, chain) is not None
        for c in chain.conductors()
    }
    thin = {c.id for chain in chains(study).of("wire") for c in chain.conductors()}
    wires = [
        (name, wire.allowed_a) for name, wire in heat(study).items() if name not in known | thin
    ]
    feeders = tuple(chains(study).of("feeder"))
    return Bounds(
        devices=tuple(key for key, _, _ in found),
        parts=tuple(part for _, part, _ in found),
        holds_a=np.array([amps for _, _, amps in found], dtype=float),
        wires=tuple(name for name, _ in wires),
        allowed_a=np.array([amps for _, amps in wires], dtype=float),
        feeders=tuple(chain.name for chain in feeders),
        conductors=tuple(tuple(c.id for c in chain.conductors()) for chain in feeders),
    )


@analysis
def feeder_places(study: Study) -> Mapping[str, int]:
    """Of each feeder its place among the feeders."""
    return {name: at for at, name in enumerate(bounds(study).feeders)}


def holds_a(device: Device) -> float:
    """The greatest current that a device surely holds where it sits; its rating without a curve."""
    rating = device.rating_a or 0.0
    try:
        hold = band_of(device.kind, device.family, rating).hold
    except NotCovered:
        hold = 1.0
    return hold * rating * min(1.0, device.warmth)


class Reader:
    """Reads the currents of cases of one netlist."""

    def __init__(self, study: Study, rows: Mapping[str, int]) -> None:
        """`rows`: of every resistor by its name."""
        found = bounds(study)
        self._parts = np.array([rows[name] for name in found.parts], np.intp)
        self._wires = np.array([rows[name] for name in found.wires], np.intp)
        self._holds_a = found.holds_a[:, None] * ROUNDING
        self._allowed_a = found.allowed_a[:, None] * ROUNDING
        wired = [names for names in found.conductors if names]
        self._wired = np.array([bool(names) for names in found.conductors], np.bool_)
        self._feeders = np.array([rows[name] for names in wired for name in names], np.intp)
        self._first = np.cumsum([0, *map(len, wired)], dtype=np.intp)[:-1]

    def read(self, amps: Array) -> list[Currents]:
        """What is asked of each case.

        Args:
            amps: what every resistor carries, without a sign, case by case: (rows, cases).
        """
        devices = _beyond(amps[self._parts], self._holds_a)
        wires = _beyond(amps[self._wires], self._allowed_a)
        feeders = np.zeros((len(self._wired), amps.shape[1]))
        if len(self._feeders):
            feeders[self._wired] = np.maximum.reduceat(amps[self._feeders], self._first, axis=0)
        return [
            Currents(devices=device, wires=wire, feeders=feeder)
            for device, wire, feeder in zip(devices, wires, feeders.T.copy(), strict=True)
        ]


def _beyond(amps: Array, most_a: Array) -> list[Beyond]:
    over = ~(amps <= most_a)
    found = []
    for case in range(amps.shape[1]):
        at = over[:, case].nonzero()[0]
        found.append(Beyond(at=at, amps=amps[at, case]))
    return found


__all__ = ["Beyond", "Bounds", "Currents", "Reader", "bounds", "feeder_places", "holds_a"]
