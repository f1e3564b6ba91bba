"""Shorts in time: which devices open, in which order, until nothing feeds the short any more.

In: a netlist with a short at one node per case, bands of devices, wires. Out: `ShortCourse` of
every case. Devices take their longest time; what the quickest ones of the same class would do
beside is kept too. A device warms while others are quicker: its times add up (each stage takes its
part).
"""

import math
from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from elec.answers.short.damage import Bears, reaches_shorts
from elec.network.netlist import Array, Branch, Index, Netlist, Solution, Values
from elec.network.solve import solve
from elec.physics.protection import greatest_opening_time_s, least_opening_time_s
from elec.sizing.devices import Device, band_of
from elec.standards import CurveBand, NotCovered

SHORT_OHM = 1e-3
"""A short that touches well (our choice); less makes no device quicker that counts."""
NOTHING_A = 0.5
"""A short that draws less is cleared: coils and leaks feed it."""
EVEN = 1.02
"""Times that differ by less are equal: currents of coils and leaks make that much."""
THROUGH_A = 1.0
"""What a wire carries at first is kept from here."""
CHUNK = 256
"""Cases solved at a time."""


class Opened(Struct, frozen=True, kw_only=True):
    """One device that opens."""

    device: str
    """Its key in `Sizing.devices`."""
    amps: float
    at_s: float
    """At the latest, from the beginning of the short."""


class ShortCourse(Struct, frozen=True, kw_only=True):
    """One short from its beginning until nothing more opens."""

    drives_a: float
    """What runs into the short at first."""
    left_a: float
    """What still does at the end."""
    left_from: tuple[str, ...]
    """The sources that feed it still."""
    opened: tuple[Opened, ...]
    may: tuple[str, ...]
    """Devices that open before those, if they are the quickest of their class and those slow."""
    unsure: tuple[str, ...]
    """Devices that carried so much that no curve tells when they open."""
    through_a: Mapping[str, float]
    """Conductor → its current at first, where that heats it."""
    heated: Mapping[str, tuple[float, float]]
    """Conductor → the part of its damage done, with the quickest devices and with the slowest."""
    dead_buses: tuple[str, ...]
    """Those that are left with too little voltage at the end, or with none."""
    over: Mapping[str, tuple[float, float]]
    """Managed battery → the most that it gives above its limit, and until when at the latest."""

    @property
    def live(self) -> bool:
        """Whether anything feeds it at all."""
        return self.drives_a > NOTHING_A

    @property
    def cleared_s(self) -> float:
        """When the last device has opened at the latest; infinite while a source feeds on."""
        if self.left_a > NOTHING_A:
            return math.inf
        return self.opened[-1].at_s if self.opened else 0.0


class Guard(Struct, frozen=True, kw_only=True):
    """A device with its curve; None where none is known."""

    key: str
    part: str
    """The resistor that it is in the netlist."""
    device: Device
    band: CurveBand | None

    def times_s(self, amps: float) -> tuple[float, float, bool]:
        """Longest and shortest time until it opens, and whether its curve tells so."""
        rating = self.device.rating_a or math.inf
        multiple = amps / rating
        if self.band is None or not self.band.points:
            return (math.inf, math.inf, True) if multiple < 2 else (1.0, 0.0, False)
        known = [p for p in self.band.points if p.most_s is not None]
        slow = greatest_opening_time_s(band=self.band, multiple=multiple)
        last = known[-1].multiple if known else math.inf
        sure = reaches_shorts(self.band) or multiple <= last
        if multiple > last and sure:  # beyond the curve as much heat is enough: I²t
            slow *= (last / multiple) ** 2
        return slow, self._quickest_s(multiple, slow), sure

    def _quickest_s(self, multiple: float, slow: float) -> float:
        if self.band is None or multiple <= self.band.hold:
            return math.inf
        try:
            return min(slow, least_opening_time_s(band=self.band, multiple=multiple))
        except NotCovered:
            windows = [p for p in self.band.points if p.least_s and p.multiple > multiple]
            if not windows or windows[0].least_s is None:
                return slow
            return min(slow, windows[0].least_s * (windows[0].multiple / multiple) ** 2)


def guard(key: str, part: str, device: Device) -> Guard:
    """A device with the curve of its class."""
    try:
        band: CurveBand | None = band_of(device.kind, device.family, device.rating_a or 1.0)
    except NotCovered:
        band = None
    return Guard(key=key, part=part, device=device, band=band)


class _State(Struct):
    """One case while it runs."""

    clock_s: float = 0.0
    opened: list[Opened] = field(default_factory=list)
    slow: dict[str, float] = field(default_factory=dict)
    quick: dict[str, float] = field(default_factory=dict)
    unsure: list[str] = field(default_factory=list)
    heat: dict[str, tuple[float, float]] = field(default_factory=dict)
    through: dict[str, float] | None = None
    drives_a: float = 0.0
    over: dict[str, tuple[float, float]] = field(default_factory=dict)


class _Part(Struct, frozen=True, kw_only=True):
    """The part of the network that carries current into some shorts."""

    netlist: Netlist
    rows: list[int]
    """Its resistors, as rows of the whole; the shorts follow."""
    nodes: Mapping[str, int]
    guards: Sequence[Guard]
    guard_rows: Index
    rated_a: Array
    wires: Sequence[tuple[str, Bears]]
    wire_rows: Index
    lasting_a: Array

    def place(self, key: str) -> int | None:
        """The row of a device, by its key; None where it is on a dead end."""
        at = next((at for at, one in enumerate(self.guards) if one.key == key), None)
        return None if at is None else int(self.guard_rows[at])


class Clearing:
    """Runs shorts at many nodes of one network at once."""

    def __init__(
        self,
        netlist: Netlist,
        guards: Sequence[Guard],
        bears: Mapping[str, Bears],
        buses: Mapping[str, float],
        limits_a: Mapping[str, float | None],
    ) -> None:
        """Make ready.

        Args:
            netlist: the topology without a short.
            guards: every rated device.
            bears: what each wire bears.
            buses: nodes of which it is asked whether they are dead at the end, and below what.
            limits_a: batteries whose management opens, and above what; None: not known.
        """
        self.netlist = replace(netlist, loads=(), load_laws=())
        self.limits_a = limits_a
        nodes = set(netlist.nodes())
        self.buses = {bus: least_v for bus, least_v in buses.items() if bus in nodes}
        self.guards, self.bears = guards, bears

    def _part(self, shorts: Sequence[str]) -> _Part:
        """What carries current with a short at any of these nodes: all but dead ends."""
        whole, ref = self.netlist, self.netlist.reference
        rows = whole.live_rows((*shorts, *self.buses))
        at = {whole.resistors[row].name: place for place, row in enumerate(rows)}
        netlist = replace(
            whole,
            resistors=(
                *(whole.resistors[row] for row in rows),
                *(Branch(name=f"short:{node}", a=node, b=ref) for node in shorts),
            ),
        )
        guards = [one for one in self.guards if one.part in at]
        wires = [(name, one) for name, one in self.bears.items() if name in at]
        return _Part(
            netlist=netlist,
            rows=rows,
            nodes={name: place for place, name in enumerate(netlist.nodes())},
            guards=guards,
            guard_rows=np.array([at[one.part] for one in guards], np.intp),
            rated_a=np.array([one.device.rating_a or math.inf for one in guards]),
            wires=wires,
            wire_rows=np.array([at[name] for name, _ in wires], np.intp),
            lasting_a=np.array([one.lasting_a for _, one in wires]),
        )

    def run(
        self,
        values: Values,
        nodes: Sequence[str],
        opened: Sequence[Sequence[str]],
        own: Mapping[str, frozenset[str]],
        gone: Sequence[Sequence[str]] | None = None,
    ) -> tuple[ShortCourse, ...]:
        """The course of a short at every node.

        Args:
            values: one case without any short, all loads off.
            nodes: where the shorts are.
            opened: devices open from the beginning, by their keys, for every node.
            own: node → devices of the wires that end there; of equals they open first, and the
                others are among those that may.
            gone: batteries that give nothing, for every node; left out: all feed.
        """
        found: list[ShortCourse] = []
        without = [()] * len(nodes) if gone is None else gone
        none = values.load_value[:0]
        values = replace(values, load_value=none, load_minimum_v=none)
        for first in range(0, len(nodes), CHUNK):
            part = slice(first, first + CHUNK)
            case = values.take(np.zeros(len(nodes[part]), np.intp))
            ohms = case.battery_resistance_ohm.copy()
            for column, names in enumerate(without[part]):
                for row, branch in enumerate(self.netlist.batteries):
                    if branch.name in names:
                        ohms[row, column] = np.inf
            case = replace(case, battery_resistance_ohm=ohms)
            found += self._run(case, nodes[part], opened[part], own)
        return tuple(found)

    def _run(
        self,
        values: Values,
        nodes: Sequence[str],
        opened: Sequence[Sequence[str]],
        near: Mapping[str, frozenset[str]],
    ) -> list[ShortCourse]:
        count = len(nodes)
        unique = {node: at for at, node in enumerate(dict.fromkeys(nodes))}
        part = self._part(list(unique))
        base = len(part.rows)
        ohms = np.full((base + len(unique), count), np.inf)
        ohms[:base] = values.resistance_ohm[part.rows]
        own = [unique[node] for node in nodes]
        ohms[[base + at for at in own], range(count)] = SHORT_OHM
        for case, keys in enumerate(opened):
            for key in keys:
                if (row := part.place(key)) is not None:
                    ohms[row, case] = np.inf
        states = [_State() for _ in nodes]
        results: dict[int, ShortCourse] = {}
        active = list(range(count))
        while active:
            at = np.array(active, np.intp)
            solution = solve(part.netlist, replace(values.take(at), resistance_ohm=ohms[:, at]))
            still: list[int] = []
            for column, case in enumerate(active):
                amps = np.abs(solution.resistor_a[:, column])
                short_a = float(amps[base + own[case]])
                mine = near.get(nodes[case], frozenset())
                done, key = self._stage(part, states[case], amps, short_a, mine)
                self._managed(states[case], -solution.battery_a[:, column], done=done)
                if key and (row := part.place(key)) is not None:
                    ohms[row, case] = np.inf
                if done:
                    results[case] = self._course(
                        part, states[case], solution, column, base + own[case]
                    )
                else:
                    still.append(case)
            active = still
        return [results[case] for case in range(count)]

    def _stage(
        self, part: _Part, state: _State, amps: Array, short_a: float, near: frozenset[str]
    ) -> tuple[bool, str]:
        """What happens next: whether it is over, and the device that opens."""
        if state.through is None:
            state.drives_a = 0.0 if math.isnan(short_a) else short_a
            through = amps[part.wire_rows]
            state.through = {
                part.wires[at][0]: float(through[at])
                for at in (through > THROUGH_A).nonzero()[0].tolist()
            }
        if not short_a > NOTHING_A:
            return True, ""
        gone = {one.device for one in state.opened}
        carried = amps[part.guard_rows]
        over = {
            part.guards[at].key: (part.guards[at], float(carried[at]))
            for at in (carried > part.rated_a).nonzero()[0].tolist()
            if part.guards[at].key not in gone
        }
        times = {key: one.times_s(here) for key, (one, here) in over.items()}
        left = {key: (1 - state.slow.get(key, 0.0)) * slow for key, (slow, _, _) in times.items()}
        key = min(left, key=lambda k: left[k] * (1.0 if k in near else EVEN), default="")
        lasts = left[key] if key else math.inf
        hurried = max(0.0, 1 - state.quick.get(key, 0.0)) * times[key][1] if key else math.inf
        state.unsure += [k for k, (_, _, sure) in times.items() if not sure]
        self._warm(part, state, amps, min(hurried, lasts), lasts)
        if not math.isfinite(lasts):
            return True, ""
        for other, (slow, quick, _) in times.items():
            state.slow[other] = state.slow.get(other, 0.0) + lasts / slow
            rise = lasts * (1 + 1e-9) / quick if quick > 0 else math.inf
            state.quick[other] = state.quick.get(other, 0.0) + rise
        state.clock_s += lasts
        state.opened.append(Opened(device=key, amps=over[key][1], at_s=state.clock_s))
        return False, key

    def _managed(self, state: _State, given_a: Array, *, done: bool) -> None:
        """Note what managed batteries give above their limits, and until when."""
        for branch, amps in zip(self.netlist.batteries, given_a.tolist(), strict=True):
            if branch.name not in self.limits_a:
                continue
            limit = self.limits_a[branch.name]
            if amps > (NOTHING_A if limit is None else limit):
                most = max(amps, state.over.get(branch.name, (0.0, 0.0))[0])
                state.over[branch.name] = (most, math.inf if done else state.clock_s)

    def _warm(self, part: _Part, state: _State, amps: Array, quick_s: float, slow_s: float) -> None:
        carried = amps[part.wire_rows]
        for at in (carried > part.lasting_a).nonzero()[0].tolist():
            name, one = part.wires[at]
            bears_s = one.time_s(float(carried[at]))
            if not math.isfinite(bears_s):
                continue
            before = state.heat.get(name, (0.0, 0.0))
            state.heat[name] = (before[0] + quick_s / bears_s, before[1] + slow_s / bears_s)

    def _course(
        self, part: _Part, state: _State, solution: Solution, column: int, row: int
    ) -> ShortCourse:
        drives = state.drives_a
        left = abs(float(solution.resistor_a[row, column]))
        feeding = []
        if left > NOTHING_A:
            given = -solution.battery_a[:, column]
            limited = solution.alternator_limited[
                :, column
            ]  # one that feeds a short gives its most
            feeding += [b.name for b, a in zip(self.netlist.batteries, given, strict=True)
                        if a > NOTHING_A]  # fmt: skip
            feeding += [b.name for b, most in zip(self.netlist.alternators, limited, strict=True)
                        if most]  # fmt: skip
        gone = {one.device for one in state.opened}
        volts = solution.voltage_v[:, column]
        return ShortCourse(
            drives_a=drives,
            left_a=0.0 if math.isnan(left) else left,
            left_from=tuple(feeding),
            opened=tuple(state.opened),
            may=tuple(k for k, part in state.quick.items() if part >= 1 and k not in gone),
            unsure=tuple(dict.fromkeys(state.unsure)),
            through_a=state.through or {},
            heated=dict(state.heat),
            dead_buses=tuple(
                bus
                for bus, least_v in self.buses.items()
                if bus not in part.nodes or not volts[part.nodes[bus]] >= least_v
            ),
            over=dict(state.over),
        )


__all__ = ["Clearing", "Guard", "Opened", "ShortCourse", "guard"]
