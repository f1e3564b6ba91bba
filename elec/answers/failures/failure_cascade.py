"""What carries more after a failure, what then opens, and so on until it settles.

In: the sweep over failures, devices, heat. Out: `Settled` by phase and failure. A device opens that
carries more than its class surely holds; it stays open, and what is left is solved again. Devices
and wires that are overloaded without any failure are left to the checks of devices and wires.
"""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.answers.failures.failure_sweep import After, Sweep
from elec.answers.heat.heat import heat
from elec.network.netlist import Array
from elec.sizing.devices import Device, band_of
from elec.sizing.sizing import sizing
from elec.standards import NotCovered
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, Scenario
from elec.wiring.chains import chains

Key = tuple[str, int]
"""A phase and the column of a failure."""
MOST_ROUNDS = 8


class Trip(Struct, frozen=True, kw_only=True):
    """A device that opens because it carries too much."""

    device: str
    """Its key in `Sizing.devices`."""
    amps: float
    holds_a: float


class Overheated(Struct, frozen=True, kw_only=True):
    """A wire that carries more than it may."""

    conductor: str
    amps: float
    allowed_a: float


class Settled(Struct, frozen=True, kw_only=True):
    """One failure in one phase and state, when nothing more opens."""

    after: After
    trips: tuple[Trip, ...]
    hot: tuple[Overheated, ...]
    opened: frozenset[str]
    """Resistors of the devices that opened."""
    carried: Mapping[str, float]
    """Feeder → what it carries then."""


class _Bounds(Struct, frozen=True, kw_only=True):
    """What devices surely hold and wires may carry, by rows of the netlist."""

    devices: tuple[str, ...]
    parts: tuple[str, ...]
    holds_a: Array
    wires: tuple[str, ...]
    allowed_a: Array


@analysis
def _bounds(study: Study) -> _Bounds:
    found = [
        (chain.name, chain.device.id, holds_a(device))
        for chain in chains(study).guarded()
        if chain.device is not None
        for device in (sizing(study).devices.get(chain.name),)
        if device is not None and device.rating_a is not None
    ]
    grounds = study.document.grounds
    known = {
        c.id
        for chain in chains(study).of("ground")
        if chain.path[0] == "grounds" and grounds[str(chain.path[1])].resistance_ohm is not None
        for c in chain.conductors()
    }
    wires = [(name, wire.allowed_a) for name, wire in heat(study).items() if name not in known]
    return _Bounds(
        devices=tuple(key for key, _, _ in found),
        parts=tuple(part for _, part, _ in found),
        holds_a=np.array([amps for _, _, amps in found]),
        wires=tuple(name for name, _ in wires),
        allowed_a=np.array([amps for _, amps in wires]),
    )


def holds_a(device: Device) -> float:
    """The greatest current that a device surely holds where it sits; its rating without a curve."""
    rating = device.rating_a or 0.0
    try:
        hold = band_of(device.kind, device.family, rating).hold
    except NotCovered:
        hold = 1.0
    return hold * rating * min(1.0, device.warmth)


def settled(
    sweep: Sweep,
    wanted: Iterable[Key],
    state: Scenario,
    before: Mapping[Key, frozenset[str]] | None = None,
) -> Mapping[Key, Settled]:
    """Every wanted failure until nothing more opens.

    Args:
        sweep: solved for all that is wanted in that state, and for the state without a failure.
        wanted: phases and columns.
        state: of the feeders.
        before: devices that have opened in another state, as resistors.
    """
    found: dict[Key, Settled] = {}
    pending: list[Key] = []
    opened: dict[Key, frozenset[str]] = {}
    trips: dict[Key, tuple[Trip, ...]] = {}
    for key in wanted:
        opened[key] = (before or {}).get(key, frozenset())
        trips[key] = ()
        if opened[key]:
            pending.append(key)
            continue
        if _judge(sweep, sweep, (key, key[1]), state, (found, trips, opened)):
            pending.append(key)
    for _ in range(MOST_ROUNDS):
        if not pending:
            break
        sub = _again(sweep, pending, state, opened)
        pending = [
            key
            for column, key in enumerate(pending)
            if _judge(sweep, sub, (key, column), state, (found, trips, opened))
        ]
    return found


def _again(
    sweep: Sweep, pending: Sequence[Key], state: Scenario, opened: Mapping[Key, frozenset[str]]
) -> Sweep:
    """The pending failures with what has opened, solved."""
    which = tuple(
        replace(sweep.failures[column], opens=sweep.failures[column].opens | opened[phase, column],
                branches=False) if column < sweep.healthy else sweep.failures[0]
        for phase, column in pending
    )  # fmt: skip
    phases = tuple(dict.fromkeys(phase for phase, _ in pending))
    sub = Sweep(sweep.study, phases, (state,), sweep.counts, sweep.condition, which=which)
    sub.solve(
        (sub.at[phase, state.name, count], column)
        for column, (phase, _) in enumerate(pending)
        for count in sweep.counts
    )
    return sub


def _judge(
    sweep: Sweep,
    solved: Sweep,
    which: tuple[Key, int],
    state: Scenario,
    so_far: tuple[dict[Key, Settled], dict[Key, tuple[Trip, ...]], dict[Key, frozenset[str]]],
) -> bool:
    """Note what a failure has come to; whether more opens now."""
    (key, column), (found, trips, opened) = which, so_far
    phase = key[0]
    amps = solved.resistor_a(phase, state, column)
    if amps is None:
        return False
    bounds, rows = _bounds(sweep.study), solved.rows
    sound = sweep.resistor_a(phase, NORMAL, sweep.healthy)
    at = np.array([rows[part] for part in bounds.parts], np.intp)
    over = amps[at] > bounds.holds_a * (1 + 1e-6)
    if sound is not None:
        over &= sound[at] <= bounds.holds_a * (1 + 1e-6)
    over &= np.array([part not in opened[key] for part in bounds.parts], bool)
    new = tuple(
        Trip(device=bounds.devices[i], amps=float(amps[at[i]]), holds_a=float(bounds.holds_a[i]))
        for i in np.flatnonzero(over)
    )
    trips[key] += new
    opened[key] |= {bounds.parts[i] for i in np.flatnonzero(over)}
    found[key] = Settled(
        after=solved.after(phase, state, column),
        trips=trips[key],
        hot=() if new else _hot(bounds, rows, amps, sound),
        opened=opened[key],
        carried=_carried(sweep.study, rows, amps),
    )
    return bool(new)


def _hot(
    bounds: _Bounds, rows: Mapping[str, int], amps: Array, sound: Array | None
) -> tuple[Overheated, ...]:
    at = np.array([rows[name] for name in bounds.wires], np.intp)
    over = amps[at] > bounds.allowed_a * (1 + 1e-6)
    if sound is not None:
        over &= sound[at] <= bounds.allowed_a * (1 + 1e-6)
    return tuple(
        Overheated(
            conductor=bounds.wires[i],
            amps=float(amps[at[i]]),
            allowed_a=float(bounds.allowed_a[i]),
        )
        for i in np.flatnonzero(over)
    )


def _carried(study: Study, rows: Mapping[str, int], amps: Array) -> Mapping[str, float]:
    return {
        chain.name: max((float(amps[rows[c.id]]) for c in chain.conductors()), default=0.0)
        for chain in chains(study).of("feeder")
    }
