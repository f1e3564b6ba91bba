"""Which wire goes on which terminal of a ground point or stud of the structure.

Both are numbered in the order of the file.
"""

from collections.abc import Mapping

from elec.answers.grounds.grounding import Landed, ground_points
from elec.study import Study, analysis
from elec.wiring.chains import STRUCTURE, chains


@analysis
def terminals(study: Study) -> Mapping[str, tuple[tuple[Landed, ...], ...]]:
    """Ground point → its terminals, the first one is number 1: wires, one each, then shields.

    Shields share terminals where the file says that they may.
    """
    found: dict[str, tuple[tuple[Landed, ...], ...]] = {}
    for name, point in ground_points(study).items():
        wires = [end for end in point.landed if end.other is not None]
        shields = [end for end in point.landed if end.other is None]
        together = study.document.grounds[name].shields_per_terminal
        shared = [shields[i : i + together] for i in range(0, len(shields), together)]
        found[name] = (*((end,) for end in wires), *map(tuple, shared))
    return found


@analysis
def terminal_of(study: Study) -> Mapping[tuple[str, str], int]:
    """(Ground point, wire or cable) → the number of the terminal."""
    return {
        (name, end.wire): number
        for name, every in terminals(study).items()
        for number, ends in enumerate(every, 1)
        for end in ends
    }


@analysis
def on_structure(study: Study) -> Mapping[str, tuple[Landed, ...]]:
    """Place → the wires that end on the metal there, and not on a ground point of the file.

    Each has a stud of its own: the first one is number 1.
    """
    found: dict[str, list[Landed]] = {}
    for conductor in chains(study).conductors():
        for part, other in ((conductor.a, conductor.b), (conductor.b, conductor.a)):
            if part.kind == "ground" and part.name == STRUCTURE:
                found.setdefault(part.place, []).append(Landed(wire=conductor.id, other=other))
    return {place: tuple(landed) for place, landed in found.items()}


@analysis
def stud_of(study: Study) -> Mapping[tuple[str, str], int]:
    """(Place, wire) → the number of its stud on the structure there."""
    return {
        (place, end.wire): number
        for place, landed in on_structure(study).items()
        for number, end in enumerate(landed, 1)
    }


@analysis
def metal_at(study: Study) -> Mapping[str, str]:
    """Place → the ground point that stands for the structure there: no wire ends on it alone."""
    first: dict[str, str] = {}
    for name, ground in study.document.grounds.items():
        if ground.kind == "structure" and not ground_points(study)[name].landed:
            first.setdefault(ground.place, name)
    return first
