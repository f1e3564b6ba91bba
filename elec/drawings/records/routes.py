"""The map of places and ways: what lies on each way, how thick it is, what it passes."""

import math
from collections.abc import Collection, Iterator, Mapping

from elec import units
from elec.answers.connect.holes import ROOM, Opening, Passage, bundles_m, passages
from elec.drawings.layout.view import INCH_M
from elec.drawings.map_inputs import (
    MapOutline,
    MapPlace,
    MapSensor,
    MapWay,
    MapZone,
    PassedHole,
    RouteMap,
)
from elec.drawings.records import words
from elec.drawings.records.panel import on_panel
from elec.drawings.records.pulls import lying, pulls
from elec.model.route import Sensor
from elec.standards import table
from elec.study import Study
from elec.wiring.chains import CONTACTS, chains
from elec.wiring.coils import COILED, coil_loads, contacts
from elec.wiring.limits import limit
from elec.wiring.ways import Leg, sensor_m, spot_m, way_map

TITLE = "Places and ways"
SMALL_SET = 8
"""So many places are drawn on the builder's own paper; more on double paper."""


def has_map(study: Study) -> bool:
    """Whether there is anything to draw: a way, and two places with a station."""
    known = sum(spot.station_m is not None for spot in study.document.places.values())
    return known > 1 and bool(study.document.ways)


def route_record(study: Study) -> RouteMap | None:
    """The map; None where fewer than two places have a station."""
    places = tuple(
        MapPlace(id=name, label=study.system.title("places", name), at_m=spot_m(spot))
        for name, spot in study.document.places.items()
    )
    if not has_map(study):
        return None
    drawn = sum(place.at_m is not None for place in places)
    return RouteMap(
        title=words.title_block(study, TITLE),
        places=places,
        ways=tuple(_way(study, leg) for leg in way_map(study).legs),
        zones=tuple(
            MapZone(
                id=name,
                number=f"z{number}",
                label=study.system.title("zones", name),
                places=zone.places,
                closes=zone.closes,
            )
            for number, (name, zone) in enumerate(study.document.zones.items(), 1)
        ),
        sensors=tuple(
            MapSensor(
                id=name,
                label=study.system.title("sensors", name),
                at_m=sensor_m(study, sensor),
                place=sensor.place,
                off=_off(study, sensor),
            )
            for name, sensor in study.document.sensors.items()
        ),
        outlines=tuple(_outlines(study)),
        pulls=pulls(study),
        equipment=tuple(_equipment(study)),
        unlisted=UNLISTED,
        notes=tuple(_assumed(study)),
        units=study.system.about.units,
        size=words.paper(study, large=drawn > SMALL_SET),
    )


def _off(study: Study, sensor: Sensor) -> str:
    """How far a sensor is from its place, straight; empty where that is not known."""
    at_m, place_m = sensor_m(study, sensor), spot_m(study.document.places.get(sensor.place))
    if at_m is None or place_m is None:
        return ""
    return words.length(study, math.dist(at_m, place_m))


def _way(study: Study, leg: Leg) -> MapWay:
    index = leg.index
    entry = study.document.ways[index]
    found = passages(study).get(index)
    needs = [_needs(found, opening) for opening in found.openings] if found else []
    needs += [""] * (len(entry.holes) + 1 - len(needs))
    passed = []
    for hole, need in zip(entry.holes, needs, strict=False):
        what = f"{'hole' if hole.grommet else 'bare hole'} ⌀ {_thick(hole.diameter_m)}"
        whose = f", {hole.bundle}" if hole.bundle else ""
        inches = _inches(study, hole.diameter_m)
        passed.append(
            PassedHole(
                kind="hole",
                diameter_m=hole.diameter_m,
                text=what + whose,
                told=f"{what} ({inches} in){whose}" if inches else "",
                needs=need,
                inches=inches,
                grommet=hole.grommet,
                bundle=hole.bundle or "",
                passing_m=bundles_m(study).get(index, {}).get(hole.bundle or ""),
            )
        )
    if entry.conduit_m is not None:
        inches = _inches(study, entry.conduit_m)
        what = f"tube ⌀ {_thick(entry.conduit_m)}"
        passed.append(
            PassedHole(
                kind="tube",
                diameter_m=entry.conduit_m,
                text=f"{what} inside",
                told=f"{what} ({inches} in) inside" if inches else "",
                inches=inches,
                needs=needs[len(entry.holes)],
            )
        )
    a, b = entry.between
    return MapWay(
        number=index + 1,
        title=entry.name or f"{words.place(study, a)} to {words.place(study, b)}",
        a=a,
        b=b,
        wires=found.wires if found else 0,
        bundles=entry.bundles,
        diameter_m=found.all_m if found else None,
        diameter=_diameter(found),
        length=words.length(study, leg.length_m).replace(words.NOT_KNOWN, "?"),
        given=not leg.computed,
        passed=tuple(passed),
        side=_side(entry.name or "") or _side(f"{words.place(study, a)} {words.place(study, b)}"),
        lying=_lying(study, index, entry.bundled),
    )


def _needs(found: Passage, opening: Opening) -> str:
    """What a hole or tube has to be at least, by its check, and how much of it that is."""
    if found.unknown:
        return "cannot tell"
    return f"{opening.needed_m * 1000:.1f} mm, {opening.full:.0%}".replace("%", " %")


def _side(text: str) -> int:
    """Which side of the airframe a name tells: 1 the right, −1 the left, 0 none.

    >>> _side("left sill"), _side("right firewall grommet"), _side("from left to right")
    (-1, 1, 0)
    """
    found = {1 if word == "right" else -1 for word in text.split() if word in ("left", "right")}
    return found.pop() if len(found) == 1 else 0


def _inches(study: Study, diameter_m: float) -> str:
    """A diameter in inches for who measures in these, without the unit; else empty."""
    return f"{diameter_m / INCH_M:.2f}" if study.system.about.units == "feet" else ""


def _lying(study: Study, index: int, bundled: Mapping[str, object]) -> str:
    """Bundles of a way by name, each with the count of its wires and how thick it is.

    Of bundles without names, which share what lies there, how thick the thickest is.
    """
    found = passages(study).get(index)
    if not bundled:
        many = found is not None and found.bundles > 1
        return f"the thickest {_bare(found.diameter_m)}" if found and many else ""
    counts, thick = lying(study).get(index, {}), bundles_m(study).get(index, {})
    return ", ".join(
        f"{name} {counts[name]} {_bare(thick.get(name))}" if counts.get(name) else f"{name} 0"
        for name in bundled
    )


def _outlines(study: Study) -> Iterator[MapOutline]:
    """The lines of the airframe given in the file, and the other half of those seen from above."""
    for entry in study.document.outline.values():
        if entry.above_m is not None:
            for side in (1, -1) if entry.mirrored else (1,):
                spots = tuple((station, side * out, 0.0) for station, out in entry.above_m)
                yield MapOutline(view="top", points=spots)
        if entry.left_m is not None:
            yield MapOutline(view="side", points=tuple((x, 0.0, up) for x, up in entry.left_m))


def _equipment(study: Study) -> Iterator[tuple[str, str]]:
    """Each place with what sits there; a contactor that has its coil with it stands for both."""
    found: dict[str, list[str]] = {}
    moved = {
        (name, part.place): None
        for name, poles in contacts(study).items()
        for _, part in poles
        if part.kind in COILED
    }
    coils = coil_loads(study)
    for section in ("sources", "panels", "equipment", "plugs", "grounds"):
        for name, one in getattr(study.document, section).items():
            if section == "equipment" and (coils.get(name), one.place) in moved:
                continue
            found.setdefault(one.place, []).append(study.system.title(section, name))
        if section == "sources":
            for name, place in (*moved, *_off_panels(study, moved)):
                found.setdefault(place, []).append(study.system.title("switches", name))
    for name in study.document.places:
        things, title = found.get(name, []), study.system.title("places", name)
        for start in range(0, len(things), MANY):
            more = ", continued" if start else ""
            yield f"{title}{more}", ", ".join(things[start : start + MANY])


def _off_panels(study: Study, told: Collection[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Switches that stand on no panel, each at the place of its contacts."""
    found: dict[str, str] = {}
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind in CONTACTS and part.place and not on_panel(study, part.name, switch=True):
                found.setdefault(part.name, part.place)
    yield from (one for one in found.items() if one not in told)


UNLISTED = (
    "Not listed here: breakers and fuses, switches on panels (sheets B); buses, diodes and splices "
    "(P, C); studs on structure (G)."
)
MANY = 60
"""So many things at a place are one item of a list, which is not parted."""


def _diameter(found: Passage | None) -> str:
    if found is None:
        return "nothing lies on it"
    return _known(found.all_m)


def _bare(diameter_m: float | None) -> str:
    """A diameter where its unit stands over it."""
    return _known(diameter_m).removesuffix(" mm")


def _known(diameter_m: float | None) -> str:
    return "⌀ ?" if diameter_m is None else f"⌀ {diameter_m * 1000:.1f} mm"


def _thick(diameter_m: float) -> str:
    """A diameter for print, in millimetres as in the tables of bundles."""
    return f"{diameter_m * 1000:.3g} mm"


def _room(study: Study) -> str:
    """What the column of what is needed counts with: of the kinds of holes and tubes there are."""
    there = {o.kind for passage in passages(study).values() for o in passage.openings}
    said = {
        "hole with grommet": "bundle and {} mm for the grommet",
        "bare hole": "without one {} mm all round the bundle",
        "tube": "of a tube {} times the bundle",
    }
    found = []
    for kind, words_ in said.items():
        rule = limit(study, ROOM[kind])
        value = f"{rule.value:.3g}" if kind == "tube" else f"{rule.value * 1000:.1f}"
        if kind in there:
            found.append(words_.format(value))
    return f"Needed: {'; '.join(found)}." if found else ""


def _held(study: Study) -> str:
    """How far apart clamps stand, or that the file does not say it, and what is allowed."""
    most = limit(study, "support-spacing")
    system = study.system.about.units
    allowed = f"at most {units.most_length(most.value, system)} apart ({most.cite})"
    given = {
        way: entry.supports_m
        for way, entry in enumerate(study.document.ways, 1)
        if entry.supports_m is not None
    }
    if not given:
        return f"Clamps: not in the file; {allowed}."
    said = ", ".join(f"way {way} {units.show(far, 'm', system)}" for way, far in given.items())
    others = "" if len(given) == len(study.document.ways) else "; of other ways not in the file"
    return f"Clamps: no further apart than {said}{others}; {allowed}."


def _assumed(study: Study) -> Iterator[str]:
    """What thicknesses rest on, what is not known, and places at a height that nobody gave."""
    yield f"Thicknesses: from wire diameters of {table('mil_w_22759/wire_copper').cite}."
    if room := _room(study):
        yield room
    yield _held(study)
    for index, found in passages(study).items():
        if found.unknown:
            cables = ", ".join(found.unknown)
            yield (
                f"Way {index + 1}: its diameter is not known, for want of the diameter of {cables}."
            )
    flat = [
        study.system.title("places", name)
        for name, spot in study.document.places.items()
        if spot.station_m is not None and spot.waterline_m is None
    ]
    if flat:
        yield f"No waterline is given, so drawn at 0: {', '.join(flat)}."
