"""Which equipment takes over for which, as the builder declares it.

In: `backup:` of the equipment, circuits. Out: pairs, and for each piece of equipment the others
that do its work. Backing up is mutual: of two controllers either runs the engine.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.study import Study, analysis
from elec.wiring.chains import chains


class Pair(Struct, frozen=True, kw_only=True):
    """Two things of which either is enough.

    Two pieces of equipment, or two circuits of one piece.
    """

    about: str
    """`ecu-a, ecu-b`, as findings and acceptances name it."""
    title: str
    path: tuple[str | int, ...]
    equipment: tuple[str, ...]
    """The two, or the one that both circuits feed."""
    circuits: tuple[tuple[str, ...], tuple[str, ...]]
    """Those of the first, and those of the second."""


@analysis
def pairs(study: Study) -> tuple[Pair, ...]:
    """Every declared pair once, then equipment that two or more circuits feed."""
    document, fed = study.document, chains(study).feeds
    found: list[Pair] = []
    seen: set[frozenset[str]] = set()
    for name, entry in document.equipment.items():
        other = entry.backup
        if other is None or frozenset((name, other)) in seen:
            continue
        seen.add(frozenset((name, other)))
        found.append(
            Pair(
                about=f"{name}, {other}",
                title=" and ".join(study.system.title("equipment", n) for n in (name, other)),
                path=("equipment", name, "backup"),
                equipment=(name, other),
                circuits=(fed.get(name, ()), fed.get(other, ())),
            )
        )
    for name, circuits in fed.items():
        if len(circuits) > 1:
            found.append(
                Pair(
                    about=name,
                    title=f"The two feeds of {study.system.title('equipment', name)}",
                    path=("equipment", name),
                    equipment=(name,),
                    circuits=(circuits[:1], circuits[1:]),
                )
            )
    return tuple(found)


@analysis
def stand_ins(study: Study) -> Mapping[str, tuple[str, ...]]:
    """Equipment → what does its work where it is gone."""
    found: dict[str, tuple[str, ...]] = {}
    for name, entry in study.document.equipment.items():
        if entry.backup is not None:
            for one, other in ((name, entry.backup), (entry.backup, name)):
                found[one] = tuple(dict.fromkeys((*found.get(one, ()), other)))
    return found


@analysis
def engine_loads(study: Study) -> frozenset[str]:
    """Equipment that keeps an engine running which stops without electricity; else none."""
    if not study.system.about.electrically_dependent:
        return frozenset()
    return frozenset(n for n, e in study.document.equipment.items() if e.role == "engine")
