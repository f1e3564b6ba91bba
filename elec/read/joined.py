"""Ways that are given twice, and places that no way joins.

Places that wires go between and no way joins: one mistake a place, not one a wire.

Works on the plain data beside `elec.read.names`. Silent where no way is written at all: then
nothing is known about any length, which the checks say.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from elec.read.draft import Draft
from elec.read.shape import CABLES


def check_joined(draft: Draft) -> None:
    """Note every group of places that wires must reach and cannot."""
    ways = [_between(entry) for _, entry in draft.entries("ways")]
    places = draft.data.get("places")
    seen: dict[str, Any] = {}
    for path, entry in draft.entries("ways"):
        first = seen.setdefault(repr(entry), path[1])
        if first != path[1]:
            _, line, _ = draft.keys["ways", first]
            draft.wrong(path, f"this way is given already in line {line}; take one out", key=True)
    if not ways or None in ways or not isinstance(places, dict):
        return
    if any(way[0] == way[1] or not set(way) <= places.keys() for way in ways if way):
        return  # one of them is misspelt, which is said elsewhere
    group = _groups([way for way in ways if way is not None])
    told: set[str] = set()
    for name, here, there in _needed(draft):
        one, two = group.get(here, here), group.get(there, there)
        if one == two:
            continue
        lone = min((one, two), key=lambda g: sum(1 for other in group.values() if other == g))
        place = here if one == lone else there
        other = there if place == here else here
        if lone in told or ("places", place) not in draft.keys:
            continue
        told.add(lone)
        draft.wrong(
            ("places", place),
            f"no way leads from {place} to {other}, where {name} goes; add to ways: "
            f"- {{between: [{other}, {place}], length: 5 ft}}, without length while it is "
            "not known",
            key=True,
        )


def _between(entry: Mapping[str, Any]) -> tuple[str, str] | None:
    """The two places of a way; None where they cannot be read, which is said elsewhere."""
    match entry.get("between"):
        case [str(one), str(two)]:
            return one, two
    return None


def _groups(ways: list[tuple[str, str]]) -> dict[str, str]:
    """Place → a name that all places it is joined with share."""
    group: dict[str, str] = {}
    for one, two in ways:
        a, b = group.setdefault(one, one), group.setdefault(two, two)
        if a != b:
            group = {place: a if found == b else found for place, found in group.items()}
    return group


def _needed(draft: Draft) -> Iterator[tuple[str, str, str]]:
    """What goes from one place to another without a length of its own."""
    places = {
        name: entry["place"]
        for section in ("sources", "buses", "grounds", "equipment", "plugs")
        for (_, name), entry in draft.entries(section)
        if isinstance(entry.get("place"), str)
    }
    for name in draft.data["places"]:
        places.setdefault(name, name)

    def ends(name: str, entry: Mapping[str, Any], one: Any, two: Any) -> Iterator[Any]:
        found = [places.get(end.partition(".")[0]) for end in (one, two) if isinstance(end, str)]
        if len(found) == 2 and None not in found and "length" not in entry:
            yield name, found[0], found[1]

    for (_, name), entry in draft.entries("circuits"):
        fed = entry.get("feeds")
        for load in fed if isinstance(fed, list) else [fed]:
            yield from ends(f"the circuit {name}", entry, entry.get("bus"), load)
    for section, noun in (("feeders", "a feeder"), ("wires", "a wire")):
        for _, entry in draft.entries(section):
            stops = entry.get("to")
            for stop in stops if isinstance(stops, list) else [stops]:
                yield from ends(noun, entry, entry.get("from"), stop)
    for (_, name), entry in (found for section in CABLES for found in draft.entries(section)):
        yield from ends(f"the cable {name}", entry, entry.get("from"), entry.get("to"))
