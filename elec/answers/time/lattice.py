"""The network over the batteries' states of charge: solved on a lattice, straight lines between.

The lines are straight over the rest voltage, since that is all that the network sees of a charge.

In: settings (a case on a day), bodies. Out: currents and voltages at any state of charge. Lattice
points are solved when they are first needed, many at once; whoever knows where a simulation goes
says so beforehand. A battery that is empty or has been opened has a point of its own.
"""

from collections.abc import Iterable
from copy import copy
from itertools import chain, pairwise, product
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict, replace
from numpy.typing import NDArray

from elec.answers.base.bodies import Bank, Body, Numbers
from elec.network.netlist import Array, Values
from elec.network.series import shortened
from elec.network.solve import portions, solve
from elec.sizing.order import cranking
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.cases import Case
from elec.wiring.circuit_model import Model, build, has_field, minimum_v
from elec.wiring.demand import demand
from elec.wiring.sources import output_a, setpoint_v

Flags = NDArray[np.bool_]
Loads = Literal["counted", "quiet"]
"""`counted`: as the case counts them; `quiet`: those that are on for a time only are off."""

PARTS = {1: 0.006, 2: 0.012}
MANY_PART = 0.03
"""By the number of batteries: the greatest step of a rest voltage, as a part of it. A load of
constant power then draws within a hundred-thousandth of its current; where two batteries share a
load, 0.012 is good for a two-thousandth of the time: what each gives bends where the other begins
or ends to give, which a straight line between two points cuts short."""
TRACE = 240
"""Points looked at along a line, to find the cells it crosses."""
MOST_WHOLE = 2
"""With more batteries only what is passed is solved."""
LEAST_OVER_V = 0.02
SMALLEST_SLOPE_OHM = 1e-4


class LatticeSetting(Struct, frozen=True, kw_only=True):
    """What is on, on which day."""

    case: Case
    day: int
    loads: Loads = "counted"


class ChargeLine(Struct, frozen=True, kw_only=True):
    """A straight line of states of charge that a simulation will probably follow."""

    setting: int
    first: Array
    last: Array
    opened: Flags


class ResultColumns(Struct, frozen=True, kw_only=True):
    """Where each result stands in a row."""

    current: slice
    """Drawn from each battery, A."""
    terminal: slice
    alternator: slice
    bus: slice
    margin: slice
    """Of each essential load above its minimum voltage, V."""
    buses: tuple[str, ...]
    loads: tuple[str, ...]
    """The equipment of each margin."""
    count: int


class Lattice:
    """All settings of one simulation."""

    def __init__(
        self,
        study: Study,
        settings: tuple[LatticeSetting, ...],
        bank: Bank,
        days_degc: tuple[float, ...],
        *,
        watched: frozenset[str],
        charging: bool = False,
    ) -> None:
        """Build the network in every setting; nothing is solved yet.

        Args:
            study: the run.
            settings: all that will be asked for, by number.
            bank: the batteries on each day.
            days_degc: the temperature of each day.
            watched: equipment whose margin is wanted.
            charging: whether batteries are charged, which depends on their charge itself; the
                lattice is then dense where they mostly are, and twice as wide elsewhere.
        """
        self.study = study
        self.settings = settings
        self.bank = bank
        self.degc = days_degc
        starting = cranking(study)
        self.cranking = np.array([s.case.phase in starting for s in settings], dtype=bool)
        """Settings in which the starter turns, too short for a battery to be cut off."""
        self.day = np.array([s.day for s in settings], dtype=np.intp)
        whole = build(study, tuple(s.case for s in settings), sizing(study).sizes())
        self.model = _shorter(whole, study.document.buses)
        self.values = self._of_the_days()
        self._highest_v = self.values.alternator_setpoint_v.max(axis=0, initial=0.0).tolist()
        self.columns, self._ports, self._minimum = self._layout(watched)
        self._corners = np.array(list(product((False, True), repeat=len(bank.names))))
        outside = any(s.kind == "external-power" for s in study.document.sources.values())
        limits = self.values.alternator_limit_a
        self._only_batteries: Flags = np.array(
            [not outside and not (limits[:, i] > 0).any() for i in range(len(settings))], dtype=bool
        )
        self.charging = charging
        self._divide((2 if charging else 1) * PARTS.get(len(bank.names), MANY_PART))

    def finer(self, times: float) -> "Lattice":
        """The same networks at steps so many times smaller; nothing of it is solved yet."""
        other = copy(self)
        other._divide(self._part / times)  # noqa: SLF001
        return other

    def _divide(self, part: float) -> None:
        """Lay the lattice out, the greatest step of a rest voltage being a part of it."""
        bodies = self.bank.days[0]
        self._part = part
        self.axes = tuple(_axis(one, part, charging=self.charging) for one in bodies)
        self.breaks = tuple(_breaks(one, axis) for one, axis in zip(bodies, self.axes, strict=True))
        self._along = [
            _along(one, axis, breaks)
            for one, axis, breaks in zip(bodies, self.axes, self.breaks, strict=True)
        ]
        """How many points of the lattice lie below each break, straight over the rest voltage."""
        self._steps = [len(axis) + 1 for axis in self.axes]
        self._sizes = np.array(self._steps, dtype=np.int64)
        self._place: dict[int, int] = {}
        self._data = np.empty((0, self.columns.count))
        self._current = self._data[:, self.columns.current]
        self.solved = 0
        """How many networks have been solved."""

    # -- what is asked -----------------------------------------------------------------------------

    def at(self, setting: Numbers, state: Array, opened: Flags) -> Array:
        """Results at states of charge.

        Args:
            setting: the number of the setting of each row.
            state: of each battery, 0 to 1, (rows, batteries).
            opened: batteries that give nothing any more, (rows, batteries).

        Returns:
            one row of results each; see `columns`.
        """
        weights, rows = self._between(setting, state, opened)
        return _mixed(weights, rows, self._data)

    def current_at(self, setting: Numbers, state: Array, opened: Flags) -> Array:
        """Of the same what is drawn from each battery alone."""
        weights, rows = self._between(setting, state, opened)
        return _mixed(weights, rows, self._current)

    def _between(
        self, setting: Numbers, state: Array, opened: Flags
    ) -> tuple[list[Array], list[list[int]]]:
        """The points around each state: their weights, and their rows in the data."""
        shut = bool(np.logical_or.reduce(opened, axis=None))
        keys: Numbers = setting
        weights: list[Array] = []
        corners: list[Numbers | int] = [0]
        """How far the key of each corner lies behind that of the first one."""
        for b, size in enumerate(self._steps):
            low, part = self._beside(b, state[:, b])
            next_: Numbers | int = 1
            if shut:
                low = np.where(opened[:, b], size - 1, low)
                part = np.where(opened[:, b], 0.0, part)
                next_ = (~opened[:, b]).astype(np.intp)
            keys = keys * size + low
            corners = [way for one in corners for way in (one * size, one * size + next_)]
            sides = (1.0 - part, part)
            weights = [w * side for w in weights for side in sides] if b else [*sides]
        weights = weights or [np.ones(len(setting))]
        used = [k for k, weight in enumerate(weights) if np.logical_or.reduce(weight)]
        every = [(keys + corners[k]).tolist() for k in used]
        place = self._place
        try:
            rows = [[place[key] for key in here] for here in every]
        except KeyError:
            self._solve([k for k in dict.fromkeys(chain.from_iterable(every)) if k not in place])
            rows = [[place[key] for key in here] for here in every]
        return [weights[k] for k in used], rows

    def expect(self, lines: Iterable[ChargeLine]) -> None:
        """Solve all cells that straight lines of states cross, before they are asked for."""
        wanted: dict[int, None] = {}
        part = np.linspace(0.0, 1.0, TRACE)[:, None]
        for one in lines:
            line = np.clip(one.first + (one.last - one.first) * part, 0.0, 1.0)
            shut = np.repeat(one.opened[None], TRACE, axis=0)
            cells = sorted(set(map(tuple, self._cell(line, shut)[0].tolist())))
            low = np.array(cells, dtype=np.intp)
            number = np.full(len(low), one.setting, dtype=np.intp)
            for corner in self._corners:
                keys = self._keys(number, low + (corner & ~one.opened)).tolist()
                wanted.update(dict.fromkeys(keys))
        self._solve([key for key in wanted if key not in self._place])

    def expect_between(
        self, boxes: Iterable[tuple[int, Array, Array]], *, opened: bool = True
    ) -> None:
        """Solve all cells between the least and the greatest states: (setting, least, greatest).

        With too many batteries for that, nothing. `opened`: also where a battery gives nothing.
        """
        if len(self.axes) > MOST_WHOLE:
            return
        keys: list[int] = []
        shut = np.zeros((2, len(self.axes)), dtype=bool)
        for setting, least, greatest in boxes:
            low, _ = self._cell(np.stack([least, greatest]), shut)
            sides = [
                (*range(int(a), int(b) + 2), *([len(axis)] if opened else []))
                for a, b, axis in zip(low[0], low[1], self.axes, strict=True)
            ]
            every = np.array(list(product(*sides)), dtype=np.intp)
            number = np.full(len(every), setting, dtype=np.intp)
            keys += self._keys(number, every).tolist()
        self._solve([key for key in dict.fromkeys(keys) if key not in self._place])

    # -- the lattice -------------------------------------------------------------------------------

    def _cell(self, state: Array, opened: Flags) -> tuple[Numbers, Array]:
        low = np.empty(state.shape, dtype=np.intp)
        part = np.empty(state.shape)
        for b in range(len(self.axes)):
            low[:, b], part[:, b] = self._beside(b, state[:, b])
        if opened.any():
            low[opened] = np.broadcast_to(self._sizes - 1, low.shape)[opened]
            part[opened] = 0.0
        return low, part

    def _beside(self, battery: int, charge: Array) -> tuple[Numbers, Array]:
        """The point of one axis below each state of charge, and how far beyond it that lies."""
        along = np.interp(charge, self.breaks[battery], self._along[battery])
        low = np.minimum(along, self._steps[battery] - 3).astype(np.intp)
        return low, along - low

    def _keys(self, setting: Numbers, point: Numbers) -> NDArray[np.int64]:
        keys: NDArray[np.int64] = setting.astype(np.int64)
        for b, axis in enumerate(self.axes):
            keys = keys * (len(axis) + 1) + point[..., b]
        return keys

    def _solve(self, keys: list[int]) -> None:
        if not keys:
            return
        left = np.array(keys, dtype=np.int64)
        point = np.empty((len(keys), len(self.axes)), dtype=np.intp)
        for b in reversed(range(len(self.axes))):
            left, point[:, b] = np.divmod(left, self._sizes[b])
        rows = self._results(left.astype(np.intp), point)
        self._place.update({key: len(self._data) + i for i, key in enumerate(keys)})
        self._data = np.concatenate([self._data, rows])
        self._current = np.ascontiguousarray(self._data[:, self.columns.current])
        self.solved += len(keys)

    def _results(self, setting: Numbers, point: Numbers) -> Array:
        """Solve the network at lattice points; without any source there is nothing to solve."""
        empty = (point == self._sizes - 1).all(axis=1)
        dead = empty & self._only_batteries[setting]
        found = np.zeros((len(setting), self.columns.count))
        found[:, self.columns.bus] = np.nan
        found[:, self.columns.margin] = -1.0
        live = np.flatnonzero(~dead)
        for part in portions(self.model.netlist, len(live)):
            rows = live[part]
            found[rows] = self._solved(setting[rows], point[rows])
        return found

    def _solved(self, setting: Numbers, point: Numbers) -> Array:
        values = self.at_point(setting, point)
        solution = solve(self.model.netlist, values)
        order = [b.name for b in self.model.netlist.batteries]
        nodes = {name: i for i, name in enumerate(solution.nodes)}
        names, voltage = self.bank.names, solution.voltage_v
        rows = [-solution.battery_a[[order.index(n) for n in names]]]
        rows.append(
            voltage[[nodes[f"{n}.+"] for n in names]] - voltage[[nodes[f"{n}.-"] for n in names]]
        )
        rows.append(solution.alternator_a)
        rows.append(voltage[[nodes[name] for name in self.columns.buses]])
        margin = solution.load_v[self._ports] - self._minimum[:, None]
        amount = values.load_value[self._ports]
        on = np.isfinite(amount) & (amount != 0)
        rows.append(np.where(on, np.nan_to_num(margin, nan=-1.0), 1e3))
        found: Array = np.concatenate(rows).T
        known = self.columns.alternator.stop
        found[:, :known] = np.nan_to_num(found[:, :known])
        return found

    def at_point(self, setting: Numbers, point: Numbers) -> Values:
        """The values of the network at lattice points."""
        states = np.array(
            [
                [axis[i] if i < len(axis) else -1.0 for axis, i in zip(self.axes, row, strict=True)]
                for row in point
            ]
        ).reshape(len(point), len(self.axes))
        return self.at_state(setting, np.maximum(states, 0.0), states < 0)

    def at_state(self, setting: Numbers, state: Array, opened: Flags) -> Values:
        """The values of the network at any states of charge."""
        values = Values(**{key: array[:, setting] for key, array in asdict(self.values).items()})
        order = [b.name for b in self.model.netlist.batteries]
        diodes = {d.name: i for i, d in enumerate(self.model.netlist.diodes)}
        for b, name in enumerate(self.bank.names):
            row, valve = order.index(name), diodes[f"{name}#charge"]
            for i, number in enumerate(setting):
                one = self.bank.days[self.settings[number].day][b]
                charge = float(state[i, b])
                rest = one.rest_v(charge)
                values.battery_emf_v[row, i] = rest
                values.diode_resistance_ohm[valve, i] = self._valve_ohm(number, one, charge, rest)
                if opened[i, b]:
                    values.battery_resistance_ohm[row, i] = np.inf
        return values

    def _valve_ohm(self, setting: int, one: Body, charge: float, rest_v: float) -> float:
        """The slope at which the highest voltage drives what the battery accepts."""
        accepted = one.accepted_a(charge)
        if accepted <= 0:
            return np.inf
        highest_v = self._highest_v[setting] or self.study.system.about.nominal_v
        over = max(highest_v - rest_v, LEAST_OVER_V)
        return max(over / accepted - one.resistance_ohm, SMALLEST_SLOPE_OHM)

    # -- the network on each day -------------------------------------------------------------------

    def _of_the_days(self) -> Values:
        base = self.model.values
        ohms, setpoint = base.battery_resistance_ohm.copy(), base.alternator_setpoint_v.copy()
        limit, amounts = base.alternator_limit_a.copy(), base.load_value.copy()
        batteries = [b.name for b in self.model.netlist.batteries]
        for b, name in enumerate(self.bank.names):
            row = batteries.index(name)
            there = np.isfinite(ohms[row])
            ohms[row, there] = [
                self.bank.days[s.day][b].resistance_ohm
                for s, alive in zip(self.settings, there, strict=True)
                if alive
            ]
        self._alternators(setpoint, limit)
        self._quiet(amounts)
        return replace(
            base,
            battery_resistance_ohm=ohms,
            alternator_setpoint_v=setpoint,
            alternator_limit_a=limit,
            load_value=amounts,
        )

    def _alternators(self, setpoint: Array, limit: Array) -> None:
        """Set-points and outputs by the day's temperature, in place."""
        for row, branch in enumerate(self.model.netlist.alternators):
            source = self.study.document.sources[branch.name]
            if source.kind != "alternator":
                continue
            given: dict[tuple[str, int], float] = {}
            for i, one in enumerate(self.settings):
                degc = self.degc[one.day]
                setpoint[row, i] = setpoint_v(source, degc)
                if not has_field(self.study, branch.name, one.case):
                    continue
                key = (one.case.phase, one.day)
                if key not in given:
                    found = output_a(self.study, branch.name, source, one.case.phase, degc)
                    given[key] = found or 0.0
                limit[row, i] = given[key]

    def _quiet(self, amounts: Array) -> None:
        """Switch off, in place, what is on for a time only."""
        loads = demand(self.study).loads
        for i, one in enumerate(self.settings):
            if one.loads != "quiet":
                continue
            case = one.case
            for row, port in enumerate(self.model.ports):
                load = loads.get(port.equipment)
                active = load.active(case.phase, case.condition) if load is not None else ()
                if any(m.mode == port.mode and m.share < 1 for m in active):
                    amounts[row, i] = port.draw.by.off

    def _layout(self, watched: frozenset[str]) -> tuple[ResultColumns, list[int], Array]:
        ports = [i for i, p in enumerate(self.model.ports) if p.equipment in watched]
        names = tuple(self.model.ports[i].equipment for i in ports)
        entries = self.study.document.equipment
        least = np.array([minimum_v(self.study, entries[n]) for n in names], dtype=float)
        known = set(self.model.netlist.nodes())
        buses = tuple(name for name in self.study.document.buses if name in known)
        count = len(self.bank.names)
        ends = np.cumsum(
            [0, count, count, len(self.model.netlist.alternators), len(buses), len(ports)]
        )
        parts = [slice(int(a), int(b)) for a, b in pairwise(ends)]
        current, terminal, alternator, bus, margin = parts
        columns = ResultColumns(
            current=current,
            terminal=terminal,
            alternator=alternator,
            bus=bus,
            margin=margin,
            buses=buses,
            loads=names,
            count=int(ends[-1]),
        )
        return columns, ports, least


def _mixed(weights: list[Array], rows: list[list[int]], data: Array) -> Array:
    """Rows of the data, each by its weight."""
    found: Array = weights[0][:, None] * data.take(rows[0], axis=0)
    for weight, row in zip(weights[1:], rows[1:], strict=True):
        found += weight[:, None] * data.take(row, axis=0)
    return found


def _shorter(model: Model, buses: Iterable[str]) -> Model:
    """What lies in series as one wire: no more is asked than sources, buses and loads."""
    poles = (node for one in model.netlist.batteries for node in (f"{one.name}.+", f"{one.name}.-"))
    known = set(model.netlist.nodes())
    asked = [*poles, *(name for name in buses if name in known)]
    short = shortened(model.netlist, asked)
    return replace(model, netlist=short.netlist, values=short.values(model.values))


def _axis(one: Body, part: float, *, charging: bool) -> Array:
    """States of charge at which the network is solved: even steps of the rest voltage.

    The start is one of them; for charging also where it begins to taper, and where the rest voltage
    of a battery half full or more bends.
    """
    share, volts = np.array(one.rest).T
    low, high = float(volts[0]), float(volts[-1])
    pieces = max(1, int(np.ceil(np.log(high / low) / part)))
    even = np.interp(np.geomspace(low, high, pieces + 1), volts, share)
    taper = 1.0 - one.most_a * one.charge_h / one.capacity_ah
    wanted = {0.0, 1.0, one.start, *np.clip(even, 0.0, 1.0).tolist()}
    if charging:
        wanted |= {max(0.0, taper), *(float(s) for s in share if 0.5 <= s < 1)}
    nodes = np.array(sorted(wanted))
    kept: Array = nodes[np.concatenate([[True], np.diff(nodes) > 1e-6])]
    return kept


def _breaks(one: Body, axis: Array) -> Array:
    """Where the change of charge bends: at the lattice, and where the rest voltage does."""
    bends = [float(share) for share, _ in one.rest if 0 < share < 1]
    return np.array(sorted({*axis.tolist(), *bends}), dtype=float)


def _along(one: Body, axis: Array, breaks: Array) -> Array:
    """The place of each break between the points of the lattice: 2.5 is midway by rest voltage."""
    share, volts = np.array(one.rest).T
    low = np.minimum(np.searchsorted(axis, breaks, side="right") - 1, len(axis) - 2)
    ends, now = np.interp(axis, share, volts), np.interp(breaks, share, volts)
    rise, wide = ends[low + 1] - ends[low], axis[low + 1] - axis[low]
    sloped = rise > 1e-9
    part = np.where(
        sloped, (now - ends[low]) / np.where(sloped, rise, 1.0), (breaks - axis[low]) / wide
    )
    found: Array = low + part
    return found
