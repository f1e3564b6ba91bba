"""What lies near a magnetometer, and the distance that makers ask of its kind.

In: the coordinates of places, the greatest currents. Out: `Neighbour` records.
"""

from collections.abc import Mapping
from functools import cache

import numpy as np
from msgspec import Struct

from elec.answers.base.points import points
from elec.answers.fields.field import distance_m, disturbed
from elec.answers.fields.lying import pieces
from elec.physics.magnetics import Point
from elec.standards import table
from elec.study import Study, analysis
from elec.wiring.ways import sensor_m, spot_m


class Neighbour(Struct, frozen=True, kw_only=True):
    """Something that makers ask a distance of."""

    about: str
    title: str
    kind: str
    path: tuple[str | int, ...]
    distance_m: float
    least_m: float
    wires: bool = False
    """Whether it is a way with wires."""


def neighbours(study: Study, sensor: str) -> tuple[Neighbour, ...] | None:
    """What has a known place, with its distance from a sensor and what is asked of its kind.

    None where the sensor's own place is not known.
    """
    at = disturbed(study)[sensor].at_m
    if at is None:
        return None
    return (*_boxes(study, at), *_lines(study, at), *_others(study, sensor, at))


@cache
def _least(kind: str) -> float:
    return table("elec/magnetometer_separation").row(disturbance=kind).number("distance_m")


@analysis
def _most_a(study: Study) -> Mapping[str, float]:
    """The greatest current of each piece of equipment."""
    most: dict[str, float] = {}
    for port in points(study).model.ports:
        amps = float(np.nanmax(points(study).load_a(port.name), initial=0.0))
        most[port.equipment] = max(most.get(port.equipment, 0.0), amps)
    return most


@analysis
def _carrying(study: Study) -> tuple[tuple[tuple[str, str], int, float], ...]:
    """The ends of each way with wires in it, its number, the greatest current in any of them."""
    rows, ways = points(study).rows, study.document.ways
    numbers: dict[tuple[str, ...], int] = {}
    for index, way in enumerate(ways):
        numbers.setdefault(tuple(way.between), index)
    found = []
    for piece, lying in pieces(study).items():
        carried = [rows[one.conductor] for one in lying if one.conductor in rows]
        if carried:
            amps = np.abs(points(study).solution.resistor_a[carried])
            found.append((piece, numbers[piece], float(np.nanmax(amps, initial=0.0))))
    return tuple(found)


def _boxes(study: Study, at: Point) -> list[Neighbour]:
    most = _most_a(study)
    found: list[Neighbour] = []
    for name, entry in study.document.equipment.items():
        spot = spot_m(study.document.places.get(entry.place))
        amps = most.get(name, 0.0)
        if spot is None or (amps == 0.0 and entry.character != "motor"):
            continue
        kind = (
            "motor, relay or servo"
            if entry.character == "motor"
            else "device above 0.1 A"
            if amps > 0.1
            else "device below 0.1 A"
        )
        found.append(
            Neighbour(
                about=name,
                title=study.system.title("equipment", name),
                kind=kind,
                path=("equipment", name),
                distance_m=float(np.linalg.norm(np.subtract(spot, at))),
                least_m=_least(kind),
            )
        )
    return found


def _lines(study: Study, at: Point) -> list[Neighbour]:
    """Ways whose wires carry current, by the greatest in any of them."""
    found: list[Neighbour] = []
    places = study.document.places
    for piece, index, most in _carrying(study):
        start, end = (spot_m(places.get(place)) for place in piece)
        if start is None or end is None or most <= 1e-3:
            continue
        kind = "wire above 0.1 A" if most > 0.1 else "wire below 0.1 A"
        names = [study.system.title("places", place) for place in piece]
        found.append(
            Neighbour(
                about=f"{piece[0]} to {piece[1]}",
                title=f"The way from {names[0]} to {names[1]}",
                kind=kind,
                path=("ways", index),
                distance_m=distance_m(at, start, end),
                least_m=_least(kind),
                wires=True,
            )
        )
    return found


def _others(study: Study, sensor: str, at: Point) -> list[Neighbour]:
    found: list[Neighbour] = []
    for name, other in study.document.sensors.items():
        spot = sensor_m(study, other)
        if name != sensor and spot is not None:
            found.append(
                Neighbour(
                    about=name,
                    title=study.system.title("sensors", name),
                    kind="another magnetic sensor",
                    path=("sensors", name),
                    distance_m=float(np.linalg.norm(np.subtract(spot, at))),
                    least_m=_least("another magnetic sensor"),
                )
            )
    return found
