"""What hangs on every ground point, and how far each is from the battery's negative.

In: chains, loops. Out: `GroundPoint` by name, and pairs of loads that back each other up.
"""

import re
from collections.abc import Iterator, Mapping

from elec.analyses.chains import STRUCTURE, chains, main_ground
from elec.analyses.loops import Route, returns
from elec.model.source import LeadAcid, Lithium
from elec.record import dataclass
from elec.study import Study, analysis


@dataclass(frozen=True, kw_only=True)
class GroundPoint:
    """One stud, block or piece of structure."""

    name: str
    kind: str
    place: str
    rings: int
    """Wires that end on it."""
    terminals: int | None
    """How many it has, by the builder; None: not said."""
    loads: tuple[str, ...]
    """Equipment that returns to it."""
    sources: tuple[str, ...]
    """Sources whose negative hangs on it."""
    route: Route | None
    """The way to the battery's negative; None where there is none or no battery."""


@analysis
def ground_points(study: Study) -> Mapping[str, GroundPoint]:
    """Every ground point of the file."""
    rings: dict[str, int] = {}
    loads: dict[str, dict[str, None]] = {}
    sources: dict[str, dict[str, None]] = {}
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            for part in (conductor.a, conductor.b):
                if part.kind == "ground" and part.name != STRUCTURE:
                    rings[part.name] = rings.get(part.name, 0) + 1
        for row in chain.rows:
            end = row.parts[-1]
            if row.role == "return" and row.equipment and end.kind == "ground":
                loads.setdefault(end.name, {})[row.equipment] = None
        if chain.kind == "ground" and chain.path[0] == "sources":
            sources.setdefault(chain.far_end, {})[chain.source_end] = None
    back = _back(study)
    return {
        name: GroundPoint(
            name=name,
            kind=entry.kind,
            place=entry.place,
            rings=rings.get(name, 0),
            terminals=entry.terminals,
            loads=tuple(loads.get(name, ())),
            sources=tuple(sources.get(name, ())),
            route=back.get(f"ground:{name}"),
        )
        for name, entry in study.document.grounds.items()
    }


def _back(study: Study) -> Mapping[str, Route]:
    """Ways from the main ground, where the battery's negative is, to every ground point."""
    main = main_ground(study)
    batteries = (
        name
        for name, source in study.document.sources.items()
        if isinstance(source, LeadAcid | Lithium)
    )
    if main is None or next(batteries, None) is None:
        return {}
    return returns(study, f"ground:{main}")


STEM = re.compile(
    r"(?:^|(?<=-))(?:[abcd]|[1-4]|left|right|primary|secondary|standby|backup|main|second|first)(?:$|(?=-))"
)


@dataclass(frozen=True, kw_only=True)
class Backup:
    """Two essential loads whose names say that one backs up the other."""

    first: str
    second: str


@analysis
def backups(study: Study) -> tuple[Backup, ...]:
    """Pairs of essential loads that are named alike but for a letter, a number or such a word."""
    stems: dict[str, list[str]] = {}
    for name, entry in study.document.equipment.items():
        if entry.essential and not entry.passive and STEM.search(name):
            stems.setdefault(STEM.sub("*", name), []).append(name)
    return tuple(_pairs(stems))


def _pairs(stems: Mapping[str, list[str]]) -> Iterator[Backup]:
    for names in stems.values():
        for i, first in enumerate(names):
            for second in names[i + 1 :]:
                yield Backup(first=first, second=second)
