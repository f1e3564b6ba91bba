"""What a tick was given for, beside what has its name now.

In: state of building, chains, marks, runs. Out: the text that a tick keeps, and the ticks that no
longer match: other ends, another gauge, a longer run. Such a tick counts as nothing done.
"""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from elec import units
from elec.answers.base.marks import gauge_of
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.built import Built, built, ends_of, find
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.runs import run_as_planned


class Lost(Struct, frozen=True, kw_only=True):
    """A tick that does not match any more."""

    entry: Built
    now: str
    """What it would be given for today."""

    @property
    def said(self) -> str:
        """In words."""
        return f"{self.entry.done.state} for {self.entry.done.for_}; it is now {self.now}"


def given_for(study: Study, name: str) -> str:
    """What a tick of that name is given for today: `beacon to belly-block; AWG 20; 9 ft 4 in`.

    Raises:
        KeyError: nothing has the name.
    """
    found = find(study, name)
    if found is None:
        raise KeyError(name)
    return _now(study, found.conductors() if isinstance(found, Chain) else (found,))


@analysis
def lost(study: Study) -> Mapping[str, Lost]:
    """Conductor id → the tick that no longer matches it."""
    progress = built(study)
    found: dict[str, Lost] = {}
    for key, entry in {**progress.by_conductor, **progress.moved}.items():
        if entry.done.for_ and not _holds(entry.done.for_, now := given_for(study, entry.name)):
            found[key] = Lost(entry=entry, now=now)
    return found


def state_of(study: Study, conductor: Conductor) -> str:
    """How far a wire is: `planned` where nothing is said, or was said of another."""
    found = built(study).by_conductor.get(conductor.id)
    return found.done.state if found and conductor.id not in lost(study) else "planned"


def unheld(study: Study) -> tuple[str, ...]:
    """Entries of work done that do not say what they were given for."""
    entries = built(study).by_conductor.values()
    return tuple(
        dict.fromkeys(e.name for e in entries if not e.done.for_ and e.done.state != "planned")
    )


def _now(study: Study, conductors: Sequence[Conductor]) -> str:
    sizes = " and ".join(dict.fromkeys(_size(study, one) for one in conductors))
    lengths = [run_as_planned(study, one).length_m for one in _laid(study, conductors)]
    known = [length for length in lengths if length is not None]
    whole = (
        units.cut_length(sum(known), study.system.about.units)
        if len(known) == len(lengths)
        else "?"
    )
    return f"{ends_of(conductors)}; {sizes}; {whole}"


def _laid(study: Study, conductors: Sequence[Conductor]) -> Sequence[Conductor]:
    """The cores of a cable are as long as the cable."""
    chain = chains(study).by_name[conductors[0].chain] if conductors else None
    return conductors[:1] if chain is not None and chain.kind == "cable" else conductors


def _size(study: Study, conductor: Conductor) -> str:
    if conductor.role == "coax" and conductor.cable:
        return study.document.cables[conductor.cable].type
    gauge = gauge_of(sizing(study).gauges, conductor)
    return "?" if gauge == "?" else units.show_gauge(gauge)


def _holds(then: str, now: str) -> bool:
    """Whether ends and gauge are the same and the run is not longer by what a cut is off."""
    *rest_then, length_then = (part.strip() for part in then.split(";"))
    *rest_now, length_now = (part.strip() for part in now.split(";"))
    had, asked = _metres(length_then), _metres(length_now)
    reaches = had is None or asked is None or asked <= had + default("cut-tolerance").si
    return rest_then == rest_now and reaches


def _metres(text: str) -> float | None:
    try:
        return float(units.parse(text, "length"))
    except units.UnitError:
        return None
