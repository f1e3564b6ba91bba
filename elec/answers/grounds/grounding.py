"""What hangs on every ground point, and how far each is from the battery's negative.

In: chains, loops. Out: `GroundPoint` by name, and pairs of loads that back each other up.
"""

import math
import re
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from elec.answers.grounds.loops import Route, returns
from elec.model.source import LeadAcid, Lithium
from elec.study import Study, analysis
from elec.wiring.chains import STRUCTURE, Part, chains, main_ground


class Landed(Struct, frozen=True, kw_only=True):
    """A wire or a shield's drain on a ground point."""

    wire: str
    """Id of the conductor, or name of the cable whose shield it is."""
    other: Part | None
    """The wire's other end; None for a shield."""


class GroundPoint(Struct, frozen=True, kw_only=True):
    """One stud, block or piece of structure."""

    name: str
    kind: str
    place: str
    landed: tuple[Landed, ...]
    """Wires, cores and shield drains that end on it."""
    rings: int
    """Terminals that these take: one each, less where several shields share one."""
    terminals: int | None
    """How many it has, by the builder; None: not said."""
    loads: tuple[str, ...]
    """Equipment that returns to it."""
    sources: tuple[str, ...]
    """Sources whose negative hangs on it."""
    route: Route | None
    """The way to the battery's negative; None where there is none or no battery."""

    @property
    def wires(self) -> str:
        """How many wires and terminals, in words.

        `12 wires`, or `13 wires on 11 terminals` where shields share some.
        """
        text = f"{len(self.landed)} wire{'s' if len(self.landed) != 1 else ''}"
        same = self.rings == len(self.landed)
        return text if same else f"{text} on {self.rings} terminal{'s' if self.rings != 1 else ''}"


@analysis
def ground_points(study: Study) -> Mapping[str, GroundPoint]:
    """Every ground point of the file."""
    ends = _landed(study)
    loads: dict[str, dict[str, None]] = {}
    sources: dict[str, dict[str, None]] = {}
    for chain in chains(study).by_name.values():
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
            landed=ends[name],
            rings=_rings(ends[name], entry.shields_per_terminal),
            terminals=entry.terminals,
            loads=tuple(loads.get(name, ())),
            sources=tuple(sources.get(name, ())),
            route=back.get(f"ground:{name}"),
        )
        for name, entry in study.document.grounds.items()
    }


def _landed(study: Study) -> Mapping[str, tuple[Landed, ...]]:
    """What ends on every ground point of the file."""
    found: dict[str, list[Landed]] = {name: [] for name in study.document.grounds}
    for conductor in chains(study).conductors():
        for part, other in ((conductor.a, conductor.b), (conductor.b, conductor.a)):
            if part.kind == "ground" and part.name != STRUCTURE:
                found[part.name].append(Landed(wire=conductor.id, other=other))
    for name, cable in study.document.cables.items():
        if cable.drain in found:
            found[cable.drain].append(Landed(wire=name, other=None))
    return {name: tuple(ends) for name, ends in found.items()}


def _rings(ends: Sequence[Landed], shields_per_terminal: int) -> int:
    shields = sum(end.other is None for end in ends)
    return len(ends) - shields + math.ceil(shields / shields_per_terminal)


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


class Backup(Struct, frozen=True, kw_only=True):
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
