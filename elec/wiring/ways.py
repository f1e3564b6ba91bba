"""The map of places and ways, and the shortest way between two places.

In: `places` and `ways` of the document. Out: lengths and paths. Ties go to the builder's order.
"""

import heapq
import math
from collections.abc import Mapping
from itertools import pairwise

from msgspec import Struct

from elec.model.route import Sensor, Spot
from elec.physics.magnetics import Point
from elec.study import Study, analysis
from elec.wiring.limits import limit


class Leg(Struct, frozen=True, kw_only=True):
    """One way with its length; None where neither length nor coordinates are known."""

    index: int
    between: tuple[str, str]
    length_m: float | None
    computed: bool
    """True when the length comes from the coordinates of both places."""

    @property
    def title(self) -> str:
        """`panel to belly`."""
        return f"{self.between[0]} to {self.between[1]}".replace("-", " ")


class Map(Struct, frozen=True, kw_only=True):
    """Which ways leave each place."""

    legs: tuple[Leg, ...]
    around: Mapping[str, tuple[Leg, ...]]


@analysis
def way_map(study: Study) -> Map:
    """All ways with their lengths."""
    spots = study.document.places
    legs = tuple(
        Leg(
            index=index,
            between=way.between,
            length_m=way.length_m
            if way.length_m is not None
            else apart_m(spots.get(way.between[0]), spots.get(way.between[1])),
            computed=way.length_m is None,
        )
        for index, way in enumerate(study.document.ways)
    )
    around: dict[str, tuple[Leg, ...]] = {}
    for leg in legs:
        for end in leg.between:
            around[end] = (*around.get(end, ()), leg)
    return Map(legs=legs, around=around)


def spot_m(spot: Spot | None) -> Point | None:
    """Where a place is, in metres aft, right and up; None without a station.

    An offset not given counts as 0.
    """
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


def apart_m(a: Spot | None, b: Spot | None) -> float | None:
    """Straight distance between two places, None where a station is missing."""
    return _between_m(spot_m(a), spot_m(b))


def beyond_m(study: Study, equipment: str) -> float | None:
    """How far equipment sits from the place at which its ways end, straight; mostly 0.

    A sensor of its name (`sensors`) may have coordinates of its own. None where they are given and
    those of the place are not.
    """
    sensor = study.document.sensors.get(equipment)
    return 0.0 if sensor is None or not sensor.spotted else from_place_m(study, sensor)


def from_place_m(study: Study, sensor: Sensor) -> float | None:
    """How far a sensor sits from its place, straight; None where one of the two is not known."""
    return _between_m(spot_m(study.document.places.get(sensor.place)), sensor_m(study, sensor))


def _between_m(a: Point | None, b: Point | None) -> float | None:
    return None if a is None or b is None else math.dist(a, b)


class Path(Struct, frozen=True, kw_only=True):
    """A way through the map: the legs in order, and their length where all are known."""

    places: tuple[str, ...]
    legs: tuple[Leg, ...]
    length_m: float | None


class Closed(Struct, frozen=True, kw_only=True):
    """Places and ways that a run keeps out of."""

    places: frozenset[str] = frozenset()
    ways: frozenset[int] = frozenset()


OPEN = Closed()
"""Nothing is closed."""


def closed_by(study: Study, names: tuple[str, ...]) -> Closed:
    """What the names of places, zones and ways stand for."""
    if not names:
        return OPEN
    zones = study.document.zones
    places = {place for name in names if name in zones for place in zones[name].places}
    places |= {name for name in names if name in study.document.places}
    ways = {i for i, way in enumerate(study.document.ways) if way.name in names}
    return Closed(places=frozenset(places), ways=frozenset(ways))


@analysis
def _paths(_study: Study) -> dict[tuple[str, Closed], dict[str, Path]]:
    """A store for the shortest paths from places asked for so far."""
    return {}


def paths_from(study: Study, place: str, closed: Closed = OPEN) -> Mapping[str, Path]:
    """Shortest paths from a place to all places that can be reached (Dijkstra).

    Unknown lengths come last. A closed place may be the beginning or the end, not passed through.
    """
    store = _paths(study)
    if (place, closed) not in store:
        store[place, closed] = _search(way_map(study), place, closed)
    return store[place, closed]


def distances(study: Study, place: str) -> Mapping[str, float]:
    """Way lengths from a place to all places that can be reached by ways of known length."""
    found = paths_from(study, place)
    return {name: path.length_m for name, path in found.items() if path.length_m is not None}


UNKNOWN_M = 1e6
"""A way of unknown length is taken only where there is no other."""


def _search(ways: Map, start: str, closed: Closed) -> dict[str, Path]:
    best: dict[str, tuple[float, Path]] = {
        start: (0.0, Path(places=(start,), legs=(), length_m=0.0))
    }
    queue: list[tuple[float, int, str]] = [(0.0, 0, start)]
    count = 0
    done: set[str] = set()
    while queue:
        cost, _, here = heapq.heappop(queue)
        if here in done:
            continue
        done.add(here)
        path = best[here][1]
        if here in closed.places and here != start:
            continue
        for leg in ways.around.get(here, ()):
            if leg.index in closed.ways:
                continue
            there = leg.between[1] if leg.between[0] == here else leg.between[0]
            total = cost + (UNKNOWN_M if leg.length_m is None else leg.length_m)
            if there in best and best[there][0] <= total:
                continue
            length = None
            if path.length_m is not None and leg.length_m is not None:
                length = path.length_m + leg.length_m
            best[there] = (
                total,
                Path(places=(*path.places, there), legs=(*path.legs, leg), length_m=length),
            )
            count += 1
            heapq.heappush(queue, (total, count, there))
    return {name: path for name, (_, path) in best.items()}


def path_via(study: Study, stops: tuple[str, ...], closed: Closed = OPEN) -> Path | None:
    """The shortest path that visits the stops in order and keeps out of what is closed to it.

    None where two of them are not joined by ways.
    """
    places: tuple[str, ...] = stops[:1]
    legs: tuple[Leg, ...] = ()
    length: float | None = 0.0
    for a, b in pairwise(stops):
        piece = paths_from(study, a, closed).get(b)
        if piece is None:
            return None
        places += piece.places[1:]
        legs += piece.legs
        length = None if length is None or piece.length_m is None else length + piece.length_m
    return Path(places=places, legs=legs, length_m=length)


def ties_between(study: Study, spacing_m: float) -> bool:
    """Whether supports that far apart need ties between them."""
    return not limit(study, "ties-beyond").allows(spacing_m)
