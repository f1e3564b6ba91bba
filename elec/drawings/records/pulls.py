"""What lies in which way, as a list to pull by: each wire once, with all the ways it takes."""

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby, zip_longest

from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.base.ticked import standing
from elec.drawings.map_inputs import Pull
from elec.drawings.records import words
from elec.drawings.records.landings import end_of
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, Part, chains
from elec.wiring.ends import SWITCHED, end_text
from elec.wiring.laid import laid
from elec.wiring.runs import run_as_planned, runs, twisted_pairs

_Leg = tuple[int, str]
"""Index of a way, and the bundle in it; empty where its bundles have no names."""
TUBE = "T"
"""Before the size of a tube, which is no hole to drill."""
_PARTS = re.compile(r"\d+|\D+")


@analysis
def _taken(study: Study) -> Mapping[str, tuple[_Leg, ...]]:
    """Conductor → the ways it takes and the bundles in them; not those that take none."""
    found: dict[str, tuple[_Leg, ...]] = {}
    for conductor in chains(study).conductors():
        legs = []
        for leg in runs(study)[conductor.id].legs:
            said = laid(study).get(leg.index)
            legs.append((leg.index, "" if said is None else said.of.get(conductor.chain, "any")))
        if legs:
            found[conductor.id] = tuple(legs)
    return found


@analysis
def lying(study: Study) -> Mapping[int, Mapping[str, int]]:
    """Way → its bundles, each with the count of wires that lie in it."""
    found: dict[int, dict[str, int]] = {}
    for legs in _taken(study).values():
        for way, bundle in legs:
            here = found.setdefault(way, {})
            here[bundle] = here.get(bundle, 0) + 1
    return found


@analysis
def pulls(study: Study) -> tuple[Pull, ...]:
    """All wires that lie in ways, those of the same ends, ways and length together."""
    found: dict[tuple[tuple[_Leg, ...], str, str, str], list[Conductor]] = {}
    for conductor in chains(study).conductors():
        legs = _taken(study).get(conductor.id)
        if legs is None:
            continue
        ends = (conductor.a, conductor.b)
        if _turned(study, conductor, [way for way, _ in legs]):
            legs, ends = legs[::-1], ends[::-1]
        start, stop = (_end(study, end) for end in ends)
        length = words.length(study, runs(study)[conductor.id].length_m) + _told(study, conductor)
        found.setdefault((legs, start, stop, length), []).append(conductor)
    rows = []
    order = {legs: _closing(study, legs) for legs, _, _, _ in found}
    for key, wires in sorted(found.items(), key=lambda pair: (order[pair[0][0]], pair[0])):
        legs, start, stop, length = key
        by_mark = sorted(wires, key=lambda wire: natural(marks(study)[wire.id]))
        rows.append(
            Pull(
                ways=_ways(legs),
                passes=_passed(study, legs),
                start=start,
                stop=stop,
                length=length.replace(words.NOT_KNOWN, "?"),
                marks=tuple(marks(study)[wire.id] for wire in by_mark),
                wires=tuple(wire.id for wire in by_mark),
                lie=tuple(standing(study, wire, "pulled") == "done" for wire in by_mark),
                besides=tuple(_besides(study, by_mark)),
                closes=_closed(study, legs),
                cables=tuple(_cable(study, wire) for wire in by_mark),
            )
        )
    return tuple(rows)


def _told(study: Study, conductor: Conductor) -> str:
    """Behind a length that the builder gave, or cut: that he did."""
    run = runs(study)[conductor.id]
    if conductor.length_m is None and run == run_as_planned(study, conductor):
        return ""
    return ", as given" if run.length_m == conductor.length_m else ", as cut"


def _closing(study: Study, legs: Sequence[_Leg]) -> tuple[int, tuple[int, ...]]:
    """Where wires stand in the list: by the first zone that closes over a way of theirs.

    Zones are in the order of the file; what none closes over is last. Of one zone the wires of one
    way stand together.
    """
    zones = list(study.document.zones.values())
    for k, zone in enumerate(zones):
        closed = [
            way for way, _ in legs if set(study.document.ways[way].between) & set(zone.places)
        ]
        if closed:
            return k, tuple(closed)
    return len(zones), ()


def _closed(study: Study, legs: Sequence[_Leg]) -> str:
    """The zones that close over a way that wires take, by number in the order of the file."""
    ends = {end for way, _ in legs for end in study.document.ways[way].between}
    return ", ".join(
        f"z{number}"
        for number, zone in enumerate(study.document.zones.values(), 1)
        if ends & set(zone.places)
    )


def _cable(study: Study, wire: Conductor) -> str:
    """The cable that a wire is a core of; empty where it is none."""
    name = wire.cable or ""
    return name if wire.role != "coax" and name in study.document.cables else ""


def _besides(study: Study, wires: Sequence[Conductor]) -> Iterator[str]:
    """Behind each mark: the last core of a cable says so, a twisted wire names its partner.

    A cable of which other rows have cores names those, so that nobody pulls it twice.
    """
    here = {wire.id for wire in wires}
    for wire, after in zip_longest(wires, wires[1:]):
        cable = study.document.cables.get(wire.cable or "")
        spare = "spare" if wire.role == "spare" else ""
        if wire.role == "coax":
            yield f"({words.gauge(study, wire)})"
        elif cable is not None:
            shielded = "shielded " if "shielded" in cable.type else ""
            last = after is None or after.cable != wire.cable
            cores = _cores(study).get(wire.cable or "", ())
            others = ", ".join(marks(study)[core] for core in cores if core not in here)
            one = f"one {shielded}cable{' with ' if others else ''}{others}" if last else ""
            said = ", ".join(filter(None, (spare, one)))
            yield f"({said})" if said else ""
        else:
            partners = ", ".join(marks(study)[other.id] for other in _partners(study, wire))
            said = ", ".join(filter(None, (spare, f"twist with {partners}" if partners else "")))
            yield f"({said})" if said else ""


@analysis
def _cores(study: Study) -> Mapping[str, tuple[str, ...]]:
    """Cable → its cores that lie in ways."""
    found: dict[str, tuple[str, ...]] = {}
    for conductor in chains(study).conductors():
        if conductor.cable and conductor.id in _taken(study):
            found[conductor.cable] = (*found.get(conductor.cable, ()), conductor.id)
    return found


def _partners(study: Study, wire: Conductor) -> Iterator[Conductor]:
    """The wires that it is twisted with: they lie on one of its ways."""
    role = twisted_pairs(study).get(wire.id)
    ways = {way for way, _ in _taken(study)[wire.id]}
    for other in chains(study).by_name[wire.chain].conductors() if role else ():
        lies = {way for way, _ in _taken(study).get(other.id, ())}
        if other.role == role and twisted_pairs(study).get(other.id) and ways & lies:
            yield other


def _ways(legs: Sequence[_Leg]) -> str:
    """Ways in turn, each with its bundle; those that follow each other in bundles of one name.

    >>> _ways([(2, "power"), (10, "power"), (11, "")])
    '3 + 11 power, 12'
    """
    found = []
    for bundle, run in groupby(legs, key=lambda leg: leg[1]):
        numbers = [str(way + 1) for way, _ in run]
        found.append(f"{' + '.join(numbers)} {bundle}" if bundle else ", ".join(numbers))
    return ", ".join(found)


def _passed(study: Study, legs: Sequence[_Leg]) -> str:
    """The holes of their bundle and the tubes that wires are pulled through, way by way."""
    found: dict[str, list[str]] = {}
    for way, bundle in legs:
        entry = study.document.ways[way]
        holes = [hole.diameter_m for hole in entry.holes if hole.bundle in (None, bundle)]
        sizes = [f"{size * 1000:.3g}" for size in holes]
        if entry.conduit_m is not None:
            sizes.append(f"{TUBE}{entry.conduit_m * 1000:.3g}")
        for size in sizes:
            found.setdefault(size, []).append(str(way + 1))
    return "; ".join(
        f"{', '.join(dict.fromkeys(at))}{'' if TUBE in size else ':'} {size}"
        for size, at in found.items()
    )


def _turned(study: Study, conductor: Conductor, ways: Sequence[int]) -> bool:
    """Whether it is listed from its far end: the ways by number, one way as the file has it."""
    if len(ways) > 1:
        return list(ways) > list(reversed(ways))
    return conductor.a.place == study.document.ways[ways[0]].between[1]


def _end(study: Study, part: Part) -> str:
    """What a wire ends at, without its contact: that is for the sheet of the connector."""
    if part.kind in _TITLED:
        return study.system.title(_TITLED[part.kind], part.name)
    if part.kind == "equipment":
        own = study.document.equipment[part.name].connectors
        at = part.contact if part.contact in own else part.contact.rpartition(".")[0]
        return end_text(study, replace(part, contact=at))
    return end_of(study, replace(part, contact="") if part.kind in SWITCHED else part)


_TITLED = {"connector": "plugs", "source": "sources"}


def natural(mark: str) -> tuple[str | int, ...]:
    """A mark in the order of its letters and numbers: L2 before L10."""
    return tuple(int(part) if part.isdigit() else part for part in _PARTS.findall(mark))
