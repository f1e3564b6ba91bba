"""How far each wire and cable is built, and what was measured on it.

In: `build:`, chains. Out: `Built` by conductor. An entry names a wire by its mark (with or without
the gauge), or a circuit, feeder, ground or cable with all its wires.
"""

import re
from collections.abc import Mapping

from elec.analyses.chains import Chain, Conductor, chains
from elec.model.system import Done
from elec.record import dataclass
from elec.study import Study, analysis

STATES = ("planned", "cut", "pulled", "terminated", "rung out", "tested")
"""In order of the work."""

_GAUGE = re.compile(r"(?:\d{1,2}|0{1,4}|-|\?)?[NABCV]?")


@dataclass(frozen=True, kw_only=True)
class Built:
    """The entry that a wire's state comes from."""

    name: str
    """Its key in `build:`."""
    done: Done
    own: bool
    """Whether the entry is about this wire or cable alone, so that its measures are its own."""


@dataclass(frozen=True, kw_only=True)
class Progress:
    """All entries put to wires."""

    by_conductor: Mapping[str, Built]
    unmatched: tuple[str, ...]
    """Entries that name nothing."""
    several: Mapping[str, Chain]
    """Entries with a reading of one wire (`cut`, `ohms`, `insulation`) that name several."""


@analysis
def built(study: Study) -> Progress:
    """Every wire that an entry of `build:` is about."""
    document = study.document.build
    if not document:
        return Progress(by_conductor={}, unmatched=(), several={})
    stems = _stems(study)
    found: dict[str, Built] = {}
    unmatched: list[str] = []
    for name, done in document.items():
        chain = chains(study).by_name.get(name)
        if chain is not None:
            for conductor in chain.conductors():
                found.setdefault(conductor.id, Built(name=name, done=done, own=alone(chain)))
            continue
        wire = _wire(name, stems)
        if wire is not None:
            found[wire.id] = Built(name=name, done=done, own=True)
        elif name not in study.document.zones:
            unmatched.append(name)
    for name, done in document.items():  # what is said of one wire counts before its circuit
        wire = _wire(name, stems)
        if wire is not None and name not in chains(study).by_name:
            found[wire.id] = Built(name=name, done=done, own=True)
    several = {
        name: chain
        for name, done in document.items()
        if (chain := chains(study).by_name.get(name)) is not None
        and any((done.cut_m, done.ohms_ohm, done.insulation_ohm))
        and not alone(chain)
    }
    return Progress(by_conductor=found, unmatched=tuple(unmatched), several=several)


def alone(chain: Chain) -> bool:
    """Whether what is measured on a chain is one wire's or cable's."""
    return chain.kind == "cable" or len(chain.conductors()) == 1


@analysis
def _stems(study: Study) -> Mapping[str, Conductor]:
    """The wires by their marks without gauge."""
    every = chains(study).by_name.values()
    return {stem(chain, c): c for chain in every for c in chain.conductors()}


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


def state_of(study: Study, conductor: Conductor) -> str:
    """How far a wire is: `planned` where nothing is said."""
    found = built(study).by_conductor.get(conductor.id)
    return found.done.state if found else "planned"


def at_least(state: str, wanted: str) -> bool:
    """Whether a state is as far as another.

    >>> at_least("rung out", "pulled"), at_least("cut", "pulled")
    (True, False)
    """
    return STATES.index(state) >= STATES.index(wanted)
