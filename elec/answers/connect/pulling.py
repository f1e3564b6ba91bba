"""Which connectors go through the holes on the way, and which are put on after pulling.

In: runs, holes, sizes of connectors. Out: `Passing` by connector. A D-subminiature connector counts
with the diagonal of its flange, without backshell; a coaxial one with its plug.
"""

import math
from collections.abc import Mapping

from msgspec import Struct

from elec.answers.connect.pins import ConnectorPins, pins
from elec.standards import NotCovered, table
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, Part, chains
from elec.wiring.limits import limit
from elec.wiring.runs import runs


class Narrow(Struct, frozen=True, kw_only=True):
    """A hole or tube that wires of a connector pass; `free_m` is what a grommet leaves of it."""

    way: str
    kind: str
    """`hole`, `hole with grommet`, `tube`."""
    diameter_m: float
    free_m: float


class Passing(Struct, frozen=True, kw_only=True):
    """A connector of the harness and the narrowest opening on the ways of its wires."""

    connector: str
    title: str
    size_m: float | None
    """None where no document gives its size."""
    narrowest: Narrow

    @property
    def passes(self) -> bool | None:
        """Whether it goes through alone; None where its size is not known."""
        return None if self.size_m is None else self.size_m <= self.narrowest.free_m


def connector_size_m(kind: str) -> float | None:
    """What a connector needs of a round hole, without backshell; None where not known.

    >>> round(connector_size_m("dsub-15") * 1000, 1), connector_size_m("BNC")
    (41.1, 0.0145)
    """
    try:
        row = table("elec/dsub_shells").row(arrangement=kind)
        return math.hypot(row.number("flange_width_mm"), row.number("flange_height_mm")) / 1000
    except NotCovered:
        pass
    try:
        return table("elec/plug_size").row(key=kind).number("plug_mm") / 1000
    except NotCovered:
        return None


@analysis
def passings(study: Study) -> Mapping[str, Passing]:
    """Every connector whose wires pass a hole or a tube, by its id."""
    openings = _openings(study)
    narrow: dict[str, Narrow] = {}
    for conductor in chains(study).conductors():
        on_the_way = [
            one for leg in runs(study)[conductor.id].legs for one in openings.get(leg.index, ())
        ]
        if not on_the_way:
            continue
        least = min(on_the_way, key=lambda one: one.free_m)
        for name in _connectors(study, conductor):
            if name not in narrow or least.free_m < narrow[name].free_m:
                narrow[name] = least
    return {
        name: _passing(pins(study).by_id[name], narrow[name])
        for name in pins(study).by_id
        if name in narrow and pins(study).by_id[name].type != "terminals"
    }


def _passing(one: ConnectorPins, narrowest: Narrow) -> Passing:
    return Passing(
        connector=one.id,
        title=one.title,
        size_m=connector_size_m(one.type),
        narrowest=narrowest,
    )


def _openings(study: Study) -> Mapping[int, tuple[Narrow, ...]]:
    found: dict[int, tuple[Narrow, ...]] = {}
    grommet = limit(study, "grommet-room").value
    for index, way in enumerate(study.document.ways):
        title = way.title
        made = [
            Narrow(
                way=title,
                kind="hole with grommet" if hole.grommet else "hole",
                diameter_m=hole.diameter_m,
                free_m=hole.diameter_m - (grommet if hole.grommet else 0.0),
            )
            for hole in way.holes
        ]
        if way.conduit_m is not None:
            made.append(
                Narrow(way=title, kind="tube", diameter_m=way.conduit_m, free_m=way.conduit_m)
            )
        if made:
            found[index] = tuple(made)
    return found


def _connectors(study: Study, conductor: Conductor) -> list[str]:
    """The connectors that a conductor ends at."""
    found = [_connector(part) for part in (conductor.a, conductor.b)]
    return [name for name in found if name in pins(study).by_id]


def _connector(part: Part) -> str:
    if part.kind == "connector":
        return part.name
    head = part.contact.rpartition(".")[0]
    return f"{part.name}.{head}" if head else part.name
