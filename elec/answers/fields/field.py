"""How each load's current disturbs a compass or magnetometer near its wires.

In: runs, the coordinates of places, the network solved with each load on and off. Out: `Disturbed`
by sensor, its loads ranked. What counts is what changes when a load is switched: a constant field
is compensated, a switched one is not. Straight wires from place to place; the current of every
conductor that changes counts, feeders and returns included.
"""

import math
from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.points import Points, points
from elec.answers.connect.holes import passages
from elec.answers.fields.lying import (
    Flow,
    Piece,
    carrying,
    pieces,
    spread,
    twisted,
    within_places,
)
from elec.model.route import Sensor
from elec.network.netlist import Solution, State
from elec.network.solve import portions, solve
from elec.physics.magnetics import (
    Point,
    axis_change_ut,
    horizontal_ut,
    loose_pair_field_t,
    pair_field_t,
    piece_field_t,
    twist_factor,
    wire_field_t,
)
from elec.sizing.order import cranking
from elec.sizing.sizing import sizing
from elec.standards import NotCovered, copper, default, table
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL
from elec.wiring.chains import Conductor
from elec.wiring.runs import runs
from elec.wiring.ways import sensor_m, spot_m
from elec.working import unrounded, within

FOOT_M = 0.3048
CHANGE_A = 1e-6
"""A conductor whose current changes by less carries nothing of a load."""


class Disturbance(Struct, frozen=True, kw_only=True):
    """What one load does to one sensor when it is switched; axes are aft, right and up."""

    equipment: str
    phase: str
    condition: str
    change_a: float
    """How its own current changes."""
    net_t: Point
    """Of currents that do not come back beside themselves, as a vector."""
    pair_t: Point
    """The most that wires and their returns side by side may add in each axis."""
    worst: Piece | None
    """The piece of the map that does most."""
    worst_share: float
    worst_net_a: float
    """What does not come back along that piece."""
    within_t: float = 0.0
    """The most, in any direction, of wires that begin and end within one place: how they lie there
    is not known, so they are taken as near as they can pass."""
    within: str = ""
    """The place of which the wires may do most."""
    within_a: float = 0.0
    """What changes there and does not come back beside itself."""
    within_m: float = 0.0
    """The longest of those wires."""

    @property
    def horizontal_t(self) -> float:
        """The greatest change of the horizontal field."""
        aft, right, _ = self.most_t
        return horizontal_ut(aft_ut=aft * 1e6, right_ut=right * 1e6) / 1e6

    @property
    def most_t(self) -> Point:
        """The greatest change in each axis."""
        pairs = zip(self.net_t, self.pair_t, strict=True)
        a, b, c = (axis_change_ut(net_ut=abs(n), pair_ut=p) for n, p in pairs)
        return (a, b, c)


class Disturbed(Struct, frozen=True, kw_only=True):
    """One sensor; `unknown` names places without coordinates that carry current."""

    sensor: str
    title: str
    kind: str
    at_m: Point | None
    earth_field_t: float
    earth_origin: str
    disturbances: tuple[Disturbance, ...]
    """Worst first."""
    unknown: tuple[str, ...] = ()
    too_near: tuple[str, ...] = ()
    """Pieces of the map that are no farther away than wires can be placed on it."""
    unsolved: tuple[str, ...] = ()
    """Loads for which no case could be solved."""


@analysis
def disturbed(study: Study) -> Mapping[str, Disturbed]:
    """Every sensor by name."""
    sensors = study.document.sensors
    if not sensors:
        return {}
    switched, used, unsolved = _switched(study)
    return {
        name: replace(_sensor(study, name, sensor, switched, used), unsolved=unsolved)
        for name, sensor in sensors.items()
    }


# --- currents -----------------------------------------------------------------------------------


class _Switched(Struct, frozen=True, kw_only=True):
    """A load, the case in which it draws most, and what it changes."""

    equipment: str
    phase: str
    condition: str
    change_a: float
    flow: Flow


def _switched(study: Study) -> tuple[tuple[_Switched, ...], frozenset[str], tuple[str, ...]]:
    """Each load switched on in flight, the conductors that carry its current, what is unsolved."""
    at = points(study)
    ports: dict[str, list[int]] = {}
    for row, port in enumerate(at.model.ports):
        ports.setdefault(port.equipment, []).append(row)
    asked = [
        (name, rows, case)
        for name, rows in ports.items()
        if (case := _most(study, at, rows)) is not None
    ]
    if not asked:
        return (), frozenset(), ()
    made: list[_Switched] = []
    unsolved: list[str] = []
    names = carrying(study)
    places = [at.rows[name] for name in names]
    used = np.zeros(len(names), np.bool_)
    for part in portions(at.model.netlist, len(asked)):
        found = _solved_without(at, asked[part])
        for column, (name, rows, case) in enumerate(asked[part]):
            on_state, off_state = at.solution.state[case], found.state[column]
            if on_state != State.SOLVED or off_state != State.SOLVED:
                unsolved.append(name)
                continue
            change = at.solution.resistor_a[places, case] - found.resistor_a[places, column]
            counts = np.isfinite(change) & (np.abs(change) > CHANGE_A)
            used |= counts
            own = at.solution.load_a[rows, case] - found.load_a[rows, column]
            made.append(
                _Switched(
                    equipment=name,
                    phase=at.cases[case].phase,
                    condition=at.cases[case].condition,
                    change_a=float(np.nan_to_num(own).sum()),
                    flow=spread(study).flow(np.where(counts, change, 0.0)),
                )
            )
    carried = frozenset(name for name, some in zip(names, used.tolist(), strict=True) if some)
    return tuple(made), carried, tuple(unsolved)


def _solved_without(at: Points, asked: Sequence[tuple[str, list[int], int]]) -> Solution:
    """Each load's case with the load off."""
    values = at.model.values.take(np.array([case for _, _, case in asked], np.intp))
    off = values.load_value.copy()
    for column, (_, rows, _) in enumerate(asked):
        for row in rows:
            off[row, column] = at.model.ports[row].draw.by.off
    return solve(at.model.netlist, replace(values, load_value=off))


def _most(study: Study, at: Points, rows: Sequence[int]) -> int | None:
    """The case of normal flight in which a load draws most; None where it draws nothing."""
    asked = _in_flight(study)
    best: tuple[float, int] | None = None
    every = np.nan_to_num(at.solution.load_a[list(rows)][:, asked]).sum(axis=0).tolist()
    for index, amps in zip(asked, every, strict=True):
        if amps > 1e-3 and (best is None or not within(amps, best[0])):
            best = (amps, index)
    return None if best is None else best[1]


@analysis
def _in_flight(study: Study) -> tuple[int, ...]:
    """The cases of normal flight with all on that may be on at once."""
    ground = cranking(study)
    return tuple(
        index
        for index, case in enumerate(points(study).cases)
        if case.scenario == NORMAL and case.count == "momentary" and case.phase not in ground
    )


# --- geometry -----------------------------------------------------------------------------------


def distance_m(point: Point, start: Point, end: Point) -> float:
    """Distance of a point from a straight piece of wire.

    >>> distance_m((0, 1, 0), (-1, 0, 0), (1, 0, 0)), distance_m((2, 0, 0), (0, 0, 0), (1, 0, 0))
    (1.0, 1.0)
    """
    p, a, b = (np.array(v, float) for v in (point, start, end))
    along = b - a
    size = float(along @ along)
    t = 0.0 if size == 0 else min(1.0, max(0.0, float((p - a) @ along) / size))
    return float(np.linalg.norm(p - a - t * along))


def pitch_m(awg: str) -> float:
    """How long one twist of two wires is; of a gauge that no table has, that of the thickest.

    >>> round(pitch_m("22"), 4)
    0.0305
    """
    try:
        row = table("faa_h_8083/twists").row(awg=awg)
    except NotCovered:
        row = table("faa_h_8083/twists").row(awg="22" if awg in ("24", "26") else "4")
    return FOOT_M / row.number("two_wires_per_ft")


@analysis
def _spacings_m(study: Study) -> Mapping[Piece, float]:
    """How far apart wires of a way may lie: across its bundle, where that is known."""
    found: dict[Piece, float] = {}
    for index, way in enumerate(study.document.ways):
        passage = passages(study).get(index)
        if passage is not None and passage.diameter_m is not None:
            found.setdefault(way.between, passage.diameter_m)
    return found


# --- field --------------------------------------------------------------------------------------


def _sensor(
    study: Study,
    name: str,
    sensor: Sensor,
    switched: tuple[_Switched, ...],
    used: frozenset[str],
) -> Disturbed:
    usual = default("horizontal-field")
    given = sensor.earth_field_t
    base = Disturbed(
        sensor=name,
        title=study.system.title("sensors", name),
        kind=sensor.kind,
        at_m=sensor_m(study, sensor),
        earth_field_t=usual.si if given is None else given,
        earth_origin=usual.origin
        if given is None
        else str(study.system.where("sensors", name, "earth-field")),
        disturbances=(),
    )
    if base.at_m is None:
        return replace(base, unknown=(sensor.place,))
    return _measured(study, base, base.at_m, switched, used)


def _measured(
    study: Study,
    base: Disturbed,
    at: Point,
    switched: tuple[_Switched, ...],
    used: frozenset[str],
) -> Disturbed:
    places = study.document.places
    unknown: set[str] = set()
    near: list[str] = []
    known: dict[int, _Field] = {}
    for number, (piece, lying) in enumerate(pieces(study).items()):
        if not any(one.conductor in used for one in lying):
            continue
        ends = [spot_m(places.get(place)) for place in piece]
        unknown |= {place for place, end in zip(piece, ends, strict=True) if end is None}
        start, end = ends
        if start is None or end is None:
            continue
        if distance_m(at, start, end) < default("map-accuracy").si:
            near.append(f"{piece[0]} to {piece[1]}")
        else:
            known[number] = _field(study, piece, (start, end), at)
    unknown |= {
        place
        for (place, _), members in within_places(study).items()
        if spot_m(places.get(place)) is None and not used.isdisjoint(c.id for c in members)
    }
    clear = study.document.sensors[base.sensor].clear_m
    ways = _Ways(study, known)
    inside = _Inside(study, at, default("map-accuracy").si if clear is None else clear)
    made = [inside.added(ways.disturbance(one), one.flow) for one in switched]
    made.sort(key=lambda d: (-unrounded(d.horizontal_t), d.equipment))
    return replace(
        base, disturbances=tuple(made), unknown=tuple(sorted(unknown)), too_near=tuple(near)
    )


class _Field(Struct, frozen=True, kw_only=True):
    """Field of 1 A on a piece: alone, and with its return across the bundle."""

    alone: Point
    pair: Point
    distance_m: float
    spacing_m: float


def _field(study: Study, piece: Piece, ends: tuple[Point, Point], at: Point) -> _Field:
    start, end = ends
    far = distance_m(at, start, end)
    usual = default("bundle-spacing").si
    spacing = min(_spacings_m(study).get(piece, usual), far / 5)
    return _Field(
        alone=piece_field_t(current_a=1.0, start_m=start, end_m=end, at_m=at),
        pair=loose_pair_field_t(
            current_a=1.0, spacing_m=spacing, start_m=start, end_m=end, at_m=at
        ),
        distance_m=far,
        spacing_m=spacing,
    )


class _Ways:
    """The pieces whose distance from a sensor is known, as arrays."""

    def __init__(self, study: Study, known: Mapping[int, _Field]) -> None:
        self.names = [piece for at, piece in enumerate(pieces(study)) if at in known]
        self.pick = np.array(list(known), np.intp)
        self.alone = np.array([one.alone for one in known.values()]).reshape(-1, 3)
        self.pair = np.array([one.pair for one in known.values()]).reshape(-1, 3)
        self.known, self.gauges = known, spread(study).gauges
        self.left: dict[tuple[int, int], float] = {}

    def _left(self, piece: int, gauge: int) -> float:
        """What twist leaves of the field of a pair across the bundle."""
        key = piece, gauge
        if key not in self.left:
            awg, field = self.gauges[gauge], self.known[piece]
            width = copper(awg).diameter_mm / 1000
            left = twist_factor(pitch_m=pitch_m(awg), distance_m=field.distance_m)
            self.left[key] = left * width / field.spacing_m
        return self.left[key]

    def disturbance(self, one: _Switched) -> Disturbance:
        """What a load does by its wires on all of them."""
        flow = one.flow
        paired = flow.loose_a.copy()
        for piece, gauge, amps in zip(
            flow.twisted_on.tolist(),
            flow.twisted_gauge.tolist(),
            flow.twisted_a.tolist(),
            strict=True,
        ):
            if piece in self.known:
                paired[piece] += amps * self._left(piece, gauge)
        alone_a = flow.alone_a[self.pick]
        alone = self.alone * alone_a[:, None]
        pair = self.pair * paired[self.pick][:, None]
        net_t, pair_t = alone.sum(axis=0), pair.sum(axis=0)
        aft, right = (np.abs(alone) + pair)[:, :2].T
        size = np.where(flow.any()[self.pick], np.hypot(aft, right), -1.0)
        best = int(size.argmax()) if len(size) and size.max() >= 0.0 else None
        total = float(np.hypot(*(np.abs(net_t) + pair_t)[:2]))
        return Disturbance(
            equipment=one.equipment,
            phase=one.phase,
            condition=one.condition,
            change_a=one.change_a,
            net_t=(float(net_t[0]), float(net_t[1]), float(net_t[2])),
            pair_t=(float(pair_t[0]), float(pair_t[1]), float(pair_t[2])),
            worst=None if best is None else self.names[best],
            worst_share=float(size[best]) / total if best is not None and total > 0 else 0.0,
            worst_net_a=0.0 if best is None else float(alone_a[best]),
        )


class _Inside:
    """The chains within places, and what 1 A in each may do at a sensor at the most."""

    def __init__(self, study: Study, at: Point, near_most: float) -> None:
        """A wire of length L whose ends are both there reaches L/2 from it at the most.

        None comes nearer to the sensor than `near_most`. What a chain leads there and back counts
        as a pair across a bundle, the rest as straight wires of that length. Of a place without
        coordinates nothing is told.
        """
        inside = within_places(study)
        self.places = list(dict.fromkeys(place for place, _ in inside))
        number = {place: n for n, place in enumerate(self.places)}
        self.place = np.array([number[place] for place, _ in inside], np.intp)
        away = {
            place: None if spot is None else math.dist(at, spot)
            for place in self.places
            for spot in (spot_m(study.document.places.get(place)),)
        }
        found = [
            (0.0, 0.0, 0.0)
            if (here := away[place]) is None
            else _of_one_ampere(study, members, here, near_most)
            for (place, _), members in inside.items()
        ]
        self.longest_m, self.alone_t, self.paired_t = np.array(found).reshape(-1, 3).T

    def added(self, made: Disturbance, flow: Flow) -> Disturbance:
        """The same with the most that wires within places may add."""
        each = flow.inside_alone_a * self.alone_t + flow.inside_paired_a * self.paired_t
        field = np.bincount(self.place, each, len(self.places))
        most = field.max(initial=0.0)
        if most <= 0.0:
            return made
        best = max(np.flatnonzero(field == most).tolist(), key=lambda n: self.places[n])
        there = self.place == best
        alone = flow.inside_alone_a[there]
        return replace(
            made,
            within_t=float(field.sum()),
            within=self.places[best],
            within_a=float(alone.sum()),
            within_m=float(self.longest_m[there][alone != 0.0].max(initial=0.0)),
        )


def _of_one_ampere(
    study: Study, members: tuple[Conductor, ...], away_m: float, near_most: float
) -> tuple[float, float, float]:
    """The longest wire of a chain within a place; its field alone, and beside its return."""
    longest = max(runs(study)[c.id].length_m or 0.0 for c in members)
    near = max(near_most, away_m - longest / 2)
    straight = wire_field_t(current_a=1.0, distance_m=near)
    apart, left = default("bundle-spacing").si, 1.0
    gauge = sizing(study).gauges.get(members[0].id)
    if gauge is not None and twisted(study, members[0]):
        apart = copper(gauge.awg).diameter_mm / 1000
        left = twist_factor(pitch_m=pitch_m(gauge.awg), distance_m=near)
    pair = pair_field_t(current_a=1.0, spacing_m=min(apart, near / 5), distance_m=near)
    alone = straight * (longest / 2) / math.hypot(longest / 2, near)
    return longest, alone, left * pair
