"""How each load's current disturbs a compass or magnetometer near its wires.

In: runs, the coordinates of places, the network solved with each load on and off. Out: `Disturbed`
by sensor, its loads ranked. What counts is what changes when a load is switched: a constant field
is compensated, a switched one is not. Straight wires from place to place; the current of every
conductor that changes counts, feeders and returns included.
"""

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict, replace

from elec.answers.base.points import Points, points
from elec.answers.connect.holes import passages
from elec.model.route import Sensor, Spot
from elec.network.netlist import Array, State, Values
from elec.network.solve import solve
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
from elec.sizing.sizing import cranking, sizing
from elec.standards import NotCovered, copper, default, table
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL
from elec.wiring.chains import Conductor, chains
from elec.wiring.circuit_model import LoadPort
from elec.wiring.runs import runs
from elec.working import unrounded, within

FOOT_M = 0.3048
Piece = tuple[str, str]
"""A straight piece of the map, from place to place in the order of the way."""


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
    switched, unsolved = _switched(study)
    return {
        name: replace(_sensor(study, name, sensor, switched), unsolved=unsolved)
        for name, sensor in sensors.items()
    }


# --- currents -----------------------------------------------------------------------------------


class _Switched(Struct, frozen=True, kw_only=True):
    """A load, the case in which it draws most, and the change in every conductor, A from a to b."""

    equipment: str
    phase: str
    condition: str
    change_a: float
    conductors: Mapping[str, float]


def _switched(study: Study) -> tuple[tuple[_Switched, ...], tuple[str, ...]]:
    """Each load switched on in flight, and the loads for which that cannot be solved."""
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
        return (), ()
    cases = np.array([case for _, _, case in asked], np.intp)
    values = _columns(at.model.values, cases)
    off = values.load_value.copy()
    for column, (_, rows, _) in enumerate(asked):
        for row in rows:
            off[row, column] = _off(at.model.ports[row])
    found = solve(at.model.netlist, replace(values, load_value=off))
    made: list[_Switched] = []
    unsolved: list[str] = []
    names = [c.id for c in chains(study).conductors() if c.id in at.rows]
    places = [at.rows[name] for name in names]
    for column, (name, rows, case) in enumerate(asked):
        on_state, off_state = at.solution.state[case], found.state[column]
        if on_state != State.SOLVED or off_state != State.SOLVED:
            unsolved.append(name)
            continue
        change = at.solution.resistor_a[places, case] - found.resistor_a[places, column]
        own = at.solution.load_a[rows, case] - found.load_a[rows, column]
        made.append(
            _Switched(
                equipment=name,
                phase=at.cases[case].phase,
                condition=at.cases[case].condition,
                change_a=float(np.nan_to_num(own).sum()),
                conductors={
                    name: amps
                    for name, amps in zip(names, change.tolist(), strict=True)
                    if math.isfinite(amps) and abs(amps) > 1e-6
                },
            )
        )
    return tuple(made), tuple(unsolved)


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


def _off(port: LoadPort) -> float:
    return port.draw.by.off


def _columns(values: Values, cases: np.ndarray[tuple[Any, ...], np.dtype[np.intp]]) -> Values:
    return Values(**{name: array[:, cases] for name, array in asdict(values).items()})


# --- geometry -----------------------------------------------------------------------------------


def spot_m(spot: Spot | None) -> Point | None:
    """Where a place is, in metres aft, right and up; None without a station."""
    if spot is None or spot.station_m is None:
        return None
    return (spot.station_m, spot.buttline_m or 0.0, spot.waterline_m or 0.0)


def sensor_m(study: Study, sensor: Sensor) -> Point | None:
    """Where a sensor is: its own coordinates before those of its place."""
    place = study.document.places.get(sensor.place) or Spot()
    station = place.station_m if sensor.station_m is None else sensor.station_m
    right = place.buttline_m if sensor.buttline_m is None else sensor.buttline_m
    up = place.waterline_m if sensor.waterline_m is None else sensor.waterline_m
    return None if station is None else (station, right or 0.0, up or 0.0)


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


class Lying(Struct, frozen=True, kw_only=True):
    """A conductor on a piece of the map: against the piece's direction, sign is -1."""

    conductor: str
    sign: int
    group: str
    """What it is twisted with; empty where it lies loose."""


@analysis
def pieces(study: Study) -> Mapping[Piece, tuple[Lying, ...]]:
    """What lies on each way, by its two places."""
    found: dict[Piece, list[Lying]] = {}
    for conductor in chains(study).conductors():
        run = runs(study)[conductor.id]
        group = _twisted(study, conductor)
        for here, leg in zip(run.places, run.legs, strict=False):
            sign = 1 if leg.between[0] == here else -1
            lying = Lying(conductor=conductor.id, sign=sign, group=group)
            found.setdefault(leg.between, []).append(lying)
    return {piece: tuple(lying) for piece, lying in found.items()}


def _twisted(study: Study, conductor: Conductor) -> str:
    """What twists a conductor with its return: its cable or its circuit."""
    if conductor.cable is not None:
        kind = study.document.cables[conductor.cable].type
        return conductor.cable if "twisted" in kind or "shielded" in kind else ""
    circuit = study.document.circuits.get(conductor.chain)
    return conductor.chain if circuit is not None and circuit.twisted else ""


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


def _spacing_m(study: Study, piece: Piece) -> float:
    """How far apart wires of a way may lie: across its bundle."""
    for index, way in enumerate(study.document.ways):
        if way.between == piece:
            found = passages(study).get(index)
            if found is not None and found.diameter_m is not None:
                return found.diameter_m
    return default("bundle-spacing").si


# --- field --------------------------------------------------------------------------------------


def _sensor(study: Study, name: str, sensor: Sensor, switched: tuple[_Switched, ...]) -> Disturbed:
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
    return _measured(study, base, base.at_m, switched)


def _measured(
    study: Study, base: Disturbed, at: Point, switched: tuple[_Switched, ...]
) -> Disturbed:
    places = study.document.places
    used = {key for one in switched for key in one.conductors}
    unknown: set[str] = set()
    near: list[str] = []
    known: dict[Piece, tuple[Point, Point]] = {}
    for piece, lying in pieces(study).items():
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
            known[piece] = (start, end)
    fields = {piece: _fields(study, piece, ends, at) for piece, ends in known.items()}
    inside = _within(study)
    unknown |= {
        place
        for place, lying in inside.items()
        if spot_m(places.get(place)) is None and not used.isdisjoint(c.id for c in lying)
    }
    near_most = study.document.sensors[base.sensor].clear_m
    near_most = default("map-accuracy").si if near_most is None else near_most
    wires = {
        place: _inside(study, lying, math.dist(at, spot), near_most)
        for place, lying in inside.items()
        if (spot := spot_m(places.get(place))) is not None
    }
    made = [_with_inside(_disturbance(study, one, fields), one, wires) for one in switched]
    made.sort(key=lambda d: (-unrounded(d.horizontal_t), d.equipment))
    return replace(
        base, disturbances=tuple(made), unknown=tuple(sorted(unknown)), too_near=tuple(near)
    )


class _Field(Struct, frozen=True, kw_only=True):
    """Field of 1 A on a piece: alone, and with its return across the bundle."""

    alone: Array
    pair: Array
    distance_m: float
    spacing_m: float


def _fields(study: Study, piece: Piece, ends: tuple[Point, Point], at: Point) -> _Field:
    start, end = ends
    far = distance_m(at, start, end)
    spacing = min(_spacing_m(study, piece), far / 5)
    alone = piece_field_t(current_a=1.0, start_m=start, end_m=end, at_m=at)
    pair = loose_pair_field_t(current_a=1.0, spacing_m=spacing, start_m=start, end_m=end, at_m=at)
    return _Field(alone=np.array(alone), pair=np.array(pair), distance_m=far, spacing_m=spacing)


def _disturbance(study: Study, one: _Switched, fields: Mapping[Piece, _Field]) -> Disturbance:
    net, pair = np.zeros(3), np.zeros(3)
    best: tuple[float, Piece, float] | None = None
    for piece, field in fields.items():
        if one.conductors.keys().isdisjoint(_conductors(study)[piece]):
            continue
        alone_a, loose_a, twisted = _amounts(study, one, pieces(study)[piece])
        if not (alone_a or loose_a or twisted):
            continue
        added = field.pair * loose_a
        for awg, amps in twisted:
            width = copper(awg).diameter_mm / 1000
            left = twist_factor(pitch_m=pitch_m(awg), distance_m=field.distance_m)
            added = added + field.pair * amps * left * width / field.spacing_m
        net = net + field.alone * alone_a
        pair = pair + added
        size = float(np.hypot(*(np.abs(field.alone * alone_a) + added)[:2]))
        if best is None or size > best[0]:
            best = (size, piece, alone_a)
    total = float(np.hypot(*(np.abs(net) + pair)[:2]))
    return Disturbance(
        equipment=one.equipment,
        phase=one.phase,
        condition=one.condition,
        change_a=one.change_a,
        net_t=(float(net[0]), float(net[1]), float(net[2])),
        pair_t=(float(pair[0]), float(pair[1]), float(pair[2])),
        worst=best[1] if best else None,
        worst_share=best[0] / total if best and total > 0 else 0.0,
        worst_net_a=best[2] if best else 0.0,
    )


@analysis
def _within(study: Study) -> Mapping[str, tuple[Conductor, ...]]:
    """Conductors that begin and end within one place, by place."""
    found: dict[str, list[Conductor]] = {}
    for conductor in chains(study).conductors():
        run = runs(study)[conductor.id]
        if len(set(run.places)) == 1 and not run.legs:
            found.setdefault(run.places[0], []).append(conductor)
    return {place: tuple(lying) for place, lying in found.items()}


class _Inside(Struct, frozen=True, kw_only=True):
    """The wires of one chain within a place, and what they may do at a sensor at the most."""

    out: tuple[str, ...]
    back: tuple[str, ...]
    longest_m: float
    alone_t: float
    """Of 1 A that does not come back beside itself."""
    paired_t: float
    """Of 1 A that does."""


def _with_inside(
    made: Disturbance, one: _Switched, wires: Mapping[str, tuple[_Inside, ...]]
) -> Disturbance:
    """The same with the most that wires within places may add."""
    total, most = 0.0, (0.0, "", 0.0, 0.0)
    amps = {name: abs(change) for name, change in one.conductors.items()}
    for place, chains_there in wires.items():
        field = loose = longest = 0.0
        for chain in chains_there:
            out = sum(amps.get(name, 0.0) for name in chain.out)
            back = sum(amps.get(name, 0.0) for name in chain.back)
            alone = abs(out - back)
            field += alone * chain.alone_t + min(out, back) * chain.paired_t
            loose += alone
            longest = max(longest, chain.longest_m if alone else 0.0)
        total += field
        most = max(most, (field, place, loose, longest)) if field else most
    return replace(made, within_t=total, within=most[1], within_a=most[2], within_m=most[3])


def _inside(
    study: Study, lying: tuple[Conductor, ...], away_m: float, near_most: float
) -> tuple[_Inside, ...]:
    """The chains within a place.

    A wire of length L whose ends are both there reaches L/2 from it at the most, and none comes
    nearer to the sensor than `near_most`. What a chain leads
    there and back counts as a pair across a bundle, the rest as straight wires of that length.
    """
    by_chain: dict[str, list[Conductor]] = {}
    for conductor in lying:
        by_chain.setdefault(conductor.chain, []).append(conductor)
    found = []
    for members in by_chain.values():
        longest = max(runs(study)[c.id].length_m or 0.0 for c in members)
        near = max(near_most, away_m - longest / 2)
        straight = wire_field_t(current_a=1.0, distance_m=near)
        apart, left = default("bundle-spacing").si, 1.0
        gauge = sizing(study).gauges.get(members[0].id)
        if gauge is not None and _twisted(study, members[0]):
            apart = copper(gauge.awg).diameter_mm / 1000
            left = twist_factor(pitch_m=pitch_m(gauge.awg), distance_m=near)
        pair = pair_field_t(current_a=1.0, spacing_m=min(apart, near / 5), distance_m=near)
        found.append(
            _Inside(
                out=tuple(c.id for c in members if c.role != "return"),
                back=tuple(c.id for c in members if c.role == "return"),
                longest_m=longest,
                alone_t=straight * (longest / 2) / math.hypot(longest / 2, near),
                paired_t=left * pair,
            )
        )
    return tuple(found)


@analysis
def _conductors(study: Study) -> Mapping[Piece, frozenset[str]]:
    """Which conductors lie on each piece."""
    return {
        piece: frozenset(one.conductor for one in lying) for piece, lying in pieces(study).items()
    }


def _amounts(
    study: Study, one: _Switched, lying: tuple[Lying, ...]
) -> tuple[float, float, tuple[tuple[str, float], ...]]:
    """On a piece: the current that does not return there, what returns loose, what twisted."""
    alone = loose = 0.0
    groups: dict[str, list[tuple[str, float]]] = {}
    for member in lying:
        amps = one.conductors.get(member.conductor, 0.0) * member.sign
        if not amps:
            continue
        alone += amps
        if member.group:
            groups.setdefault(member.group, []).append((member.conductor, amps))
        else:
            loose += abs(amps)
    twisted: list[tuple[str, float]] = []
    for members in groups.values():
        sum_a = sum(amps for _, amps in members)
        back = (sum(abs(amps) for _, amps in members) - abs(sum_a)) / 2
        loose += abs(sum_a)
        gauge = sizing(study).gauges.get(members[0][0])
        twisted.append((gauge.awg if gauge else "22", back))
    return alone, max(0.0, (loose - abs(alone)) / 2), tuple(t for t in twisted if t[1] > 1e-9)
