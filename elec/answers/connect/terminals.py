"""The ring terminals that a stud needs, of what colour, and whether such rings are made.

In: studs of buses, grounds and switches; gauges. Out: `StudEnds` by thing that has a stud.
"""

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.model.wiring import Stud
from elec.sizing.rings import SECTIONS, made, rings, thread_at
from elec.sizing.sizing import sizing
from elec.standards import AWGS, copper
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, Part, chains
from elec.wiring.wires import kind_of

ON_TERMINALS = (
    "bus", "source", "breaker", "limiter", "link", "shunt", "switch", "contactor", "changeover",
    "ground", "diode", "post",
)  # fmt: skip
"""Ends where a wire usually carries a ring terminal."""
COLOURS: Mapping[str, str] = {
    "22": "red", "20": "red", "18": "red", "16": "blue", "14": "blue", "12": "yellow",
    "10": "yellow",
}  # fmt: skip
"""Colour of an insulated crimp terminal by gauge: a code of the trade (from memory)."""


class StudEnds(Struct, frozen=True, kw_only=True):
    """One stud and the wires that end on it: (mark, gauge)."""

    section: str
    name: str
    stud: Stud
    fits: tuple[tuple[str, str], ...]
    misfits: tuple[tuple[str, str], ...]
    """No ring of this gauge is commonly made for the stud."""
    light: tuple[str, ...] = ()
    """Marks of those of aluminium: the rings are of copper."""


@analysis
def stud_ends(study: Study) -> Mapping[str, StudEnds]:
    """Every bus, ground and switch whose stud the builder gives."""
    ends: dict[tuple[str, str], dict[str, str]] = {}
    light = {marks(study)[conductor.id] for each in aluminium(study).values() for conductor in each}
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            gauge = sizing(study).gauges.get(conductor.id)
            if gauge is None:
                continue
            for part in (conductor.a, conductor.b):
                for key in _with_stud(study, part):
                    ends.setdefault(key, {})[marks(study)[conductor.id]] = gauge.awg
    found = {}
    for (section, name), wires in ends.items():
        stud = getattr(study.document, section)[name].stud
        fits = tuple(w for w in wires.items() if made(w[1], stud))
        misfits = tuple(w for w in wires.items() if not made(w[1], stud))
        found[f"{section}.{name}"] = StudEnds(
            section=section, name=name, stud=stud, fits=fits, misfits=misfits,
            light=tuple(mark for mark in wires if mark in light),
        )  # fmt: skip
    return found


@analysis
def aluminium(study: Study) -> Mapping[str, tuple[Conductor, ...]]:
    """Chain → its wires of aluminium, of chains that have some."""
    found = {
        name: tuple(
            conductor
            for conductor in chain.conductors()
            if conductor.role != "coax" and kind_of(study, conductor).conductor == "aluminium"
        )
        for name, chain in chains(study).by_name.items()
    }
    return {name: wires for name, wires in found.items() if wires}


def _with_stud(study: Study, part: Part) -> Iterator[tuple[str, str]]:
    """The stud that a wire ends on; the device on a bus sits between bus and wire."""
    if thread_at(study, part) is not None:
        yield SECTIONS[part.kind], part.name


def together(awg: str, count: int) -> str:
    """The gauge that one ring for several wires of a gauge is for: it has the copper of them all.

    >>> together("22", 1), together("22", 4)
    ('22', '14')
    """
    asked = count * copper(awg).area_mm2
    thicker = AWGS[AWGS.index(awg) :]
    return next((one for one in thicker if copper(one).area_mm2 >= asked), AWGS[-1])


def counted(awgs: Iterable[str | None]) -> str:
    """Ring terminals in words, as one takes them from the box: insulated ones by their colour.

    >>> counted(["22", "16", "22", "4", None, "18"])
    '3 red, 1 blue, 1 of AWG 4, 1 of gauge ?'
    """
    found: dict[str, int] = {}
    for awg in sorted(awgs, key=lambda one: len(AWGS) if one is None else AWGS.index(one)):
        size = "of gauge ?" if awg is None else COLOURS.get(awg, f"of AWG {awg}")
        found[size] = found.get(size, 0) + 1
    return ", ".join(f"{number} {size}" for size, number in found.items())


__all__ = [
    "COLOURS", "ON_TERMINALS", "SECTIONS", "StudEnds", "aluminium", "counted", "made", "rings",
    "stud_ends", "thread_at",
]  # fmt: skip
