"""What carries more after a failure, what then opens, and so on until it settles.

In: the sweep over failures, devices, heat. Out: `Settled` by phase and failure. A device opens that
carries more than its class surely holds; it stays open, and what is left is solved again. Devices
and wires that are overloaded without any failure are left to the checks of devices and wires.
"""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.failures.failure_currents import bounds
from elec.answers.failures.failure_sweep import After, Sweep
from elec.network.netlist import Array
from elec.wiring.cases import NORMAL, Scenario

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
    feeders: Array
    """What each feeder carries then, A, in the order of `Bounds.feeders`."""


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
    sub = sweep.of(which)
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
    currents = solved.currents(phase, state, column)
    if currents is None:
        return False
    sound = sweep.currents(phase, NORMAL, sweep.healthy)
    known = bounds(sweep.study)
    over = [
        (i, amps)
        for i, amps in currents.devices.new(sound.devices if sound else None)
        if known.parts[i] not in opened[key]
    ]
    new = tuple(
        Trip(device=known.devices[i], amps=amps, holds_a=float(known.holds_a[i]))
        for i, amps in over
    )
    trips[key] += new
    opened[key] |= {known.parts[i] for i, _ in over}
    found[key] = Settled(
        after=solved.after(phase, state, column),
        trips=trips[key],
        hot=() if new else tuple(
            Overheated(conductor=known.wires[i], amps=amps, allowed_a=float(known.allowed_a[i]))
            for i, amps in currents.wires.new(sound.wires if sound else None)
        ),
        opened=opened[key],
        feeders=currents.feeders,
    )  # fmt: skip
    return bool(new)
