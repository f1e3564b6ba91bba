"""How far each wire and cable is built, and what was measured on it.

In: `build:`, chains. Out: `Built` by conductor. An entry names a wire by its mark (with or without
the gauge), or a circuit, feeder, ground or cable with all its wires.
"""

import re
from collections.abc import Mapping, Sequence

from msgspec import Struct

from elec.model.system import Done
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains
from elec.wiring.ends import end_id

STATES = ("planned", "cut", "pulled", "terminated", "rung out", "tested")
"""In order of the work."""

_GAUGE = re.compile(r"(?:\d{1,2}|0{1,4}|-|\?)?[NABCV]?")


class Built(Struct, frozen=True, kw_only=True):
    """The entry that a wire's state comes from."""

    name: str
    """Its key in `build:`."""
    done: Done
    own: bool
    """Whether the entry is about this wire or cable alone, so that its measures are its own."""


class Progress(Struct, frozen=True, kw_only=True):
    """All entries put to wires."""

    by_conductor: Mapping[str, Built]
    unmatched: tuple[str, ...]
    """Entries that name nothing."""
    moved: Mapping[str, Built]
    """By conductor, what was ticked for other ends than it has now; it counts for nothing."""
    several: Mapping[str, Chain]
    """Entries with a reading of one wire (`cut`, `ohms`, `insulation`) that name several."""


@analysis
def built(study: Study) -> Progress:
    """Every wire that an entry of `build:` is about."""
    document = study.document.build
    if not document:
        return Progress(by_conductor={}, unmatched=(), moved={}, several={})
    found: dict[str, Built] = {}
    moved: dict[str, Built] = {}
    named = {name: find(study, name) for name in document}
    wires = {name: one for name, one in named.items() if isinstance(one, Conductor)}
    whole = {name: one for name, one in named.items() if isinstance(one, Chain)}
    for name, chain in whole.items():
        entry = Built(name=name, done=document[name], own=alone(chain))
        target = found if _ends_hold(chain.conductors(), entry.done) else moved
        for conductor in chain.conductors():
            target.setdefault(conductor.id, entry)
    for name, wire in wires.items():  # what is said of one wire counts before its circuit
        entry = Built(name=name, done=document[name], own=True)
        holds = _ends_hold((wire,), entry.done)
        (found if holds else moved)[wire.id] = entry
        (moved if holds else found).pop(wire.id, None)
    several = {
        name: chain
        for name, chain in whole.items()
        if any((document[name].cut_m, document[name].ohms_ohm, document[name].insulation_ohm))
        and not alone(chain)
    }
    unmatched = [n for n, one in named.items() if one is None and n not in study.document.zones]
    return Progress(by_conductor=found, unmatched=tuple(unmatched), moved=moved, several=several)


def ends_of(conductors: Sequence[Conductor]) -> str:
    """Where wires end, as a tick keeps it: `beacon switch to beacon.+, beacon.- to belly-block`."""
    said, last = "", ""
    for conductor in conductors:
        start, stop = _end(conductor.a), _end(conductor.b)
        head = "" if start == last else f", {start}" if said else start
        said, last = f"{said}{head} to {stop}", stop
    return said


def _end(part: Part) -> str:
    name = end_id(part)
    plain = part.kind in ("equipment", "connector", "source", "bus", "ground", "place")
    return name if plain else f"{name} {part.kind}"


def _ends_hold(conductors: Sequence[Conductor], done: Done) -> bool:
    return not done.for_ or done.for_.partition(";")[0].strip() == ends_of(conductors)


def alone(chain: Chain) -> bool:
    """Whether what is measured on a chain is one wire's or cable's."""
    return chain.kind == "cable" or len(chain.conductors()) == 1


@analysis
def _stems(study: Study) -> Mapping[str, Conductor]:
    """The wires by their marks without gauge."""
    every = chains(study).by_name.values()
    return {stem(chain, c): c for chain in every for c in chain.conductors()}


@analysis
def wires_by_id(study: Study) -> Mapping[str, Conductor]:
    """Every conductor by its id."""
    return {one.id: one for one in chains(study).conductors()}


def find(study: Study, name: str) -> Chain | Conductor | None:
    """What an entry of that name is about; None where nothing has the name."""
    return chains(study).by_name.get(name) or _wire(name, _stems(study))


def stem(chain: Chain, conductor: Conductor) -> str:
    """A wire's mark without gauge and ending, which does not depend on sizes: `L31A`."""
    return f"{chain.function}{chain.number}{conductor.segment}"


def _wire(name: str, stems: Mapping[str, Conductor]) -> Conductor | None:
    """The wire whose mark this is, gauge and ending given or not."""
    for end in range(len(name), 0, -1):
        if name[:end] in stems and _GAUGE.fullmatch(name[end:]):
            return stems[name[:end]]
    return None


def at_least(state: str, wanted: str) -> bool:
    """Whether a state is as far as another.

    >>> at_least("rung out", "pulled"), at_least("cut", "pulled")
    (True, False)
    """
    return STATES.index(state) >= STATES.index(wanted)
