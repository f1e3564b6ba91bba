"""What a tick was given for, beside what has its name now.

In: state of building, chains, marks, runs. Out: the text that a tick keeps, and the ticks that no
longer match: other ends, another wire, another way, a longer run. Such a tick counts as nothing
done, and so does one that does not say what it was given for.
"""

from collections.abc import Mapping, Sequence
from typing import Literal

from msgspec import Struct

from elec import units
from elec.answers.base.marks import gauge_of
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.built import Built, at_least, built, ends_of, find
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.runs import run_as_planned, way_text
from elec.wiring.wires import kind_name

PARTS = ("ends", "wire", "length", "way")
"""What a tick keeps, in this order; of several wires that differ, each one's after a plus."""


class Lost(Struct, frozen=True, kw_only=True):
    """A tick that does not match any more."""

    entry: Built
    now: str
    """What it would be given for today."""

    @property
    def said(self) -> str:
        """In words: what is another now, and what it was."""
        then, now = _parts(self.entry.done.for_), _parts(self.now)
        apart = [
            f"{part} {had or 'not said'}, now {has}"
            for part, had, has in zip(PARTS, then, now, strict=True)
            if had != has
        ]
        return f"{self.entry.done.state} for something else: {'; '.join(apart)}"


def given_for(study: Study, name: str) -> str:
    """What a tick of that name is given for today: ends; wire; length; places on its way.

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


def entry_of(study: Study, conductor: Conductor) -> Built | None:
    """The tick that counts for a wire: one that was given for it as it is now."""
    found = built(study).by_conductor.get(conductor.id)
    return found if found and found.done.for_ and conductor.id not in lost(study) else None


def state_of(study: Study, conductor: Conductor) -> str:
    """How far a wire is: `planned` where nothing is said, or was said of another."""
    found = entry_of(study, conductor)
    return found.done.state if found else "planned"


Standing = Literal["", "done", "changed", "not held"]


def standing(study: Study, conductor: Conductor, wanted: str) -> Standing:
    """Whether a wire is as far as a list asks, or why its tick does not count."""
    if conductor.id in lost(study):
        return "changed"
    found = built(study).by_conductor.get(conductor.id)
    if found and not found.done.for_ and found.done.state != "planned":
        return "not held"
    return "done" if at_least(state_of(study, conductor), wanted) else ""


def unheld(study: Study) -> tuple[str, ...]:
    """Entries of work done that do not say what they were given for."""
    entries = built(study).by_conductor.values()
    return tuple(
        dict.fromkeys(e.name for e in entries if not e.done.for_ and e.done.state != "planned")
    )


def _now(study: Study, conductors: Sequence[Conductor]) -> str:
    laid = _laid(study, conductors)
    runs = [run_as_planned(study, one) for one in laid]
    system = study.system.about.units
    lengths = ["?" if r.length_m is None else units.cut_length(r.length_m, system) for r in runs]
    ways = [way_text(study, run) for run in runs]
    sizes = [_size(study, one) for one in laid]
    return "; ".join((ends_of(conductors), _listed(sizes), _listed(lengths), _listed(ways)))


def _listed(texts: Sequence[str]) -> str:
    """What holds for each wire, once where it holds for all.

    >>> _listed(["AWG 20", "AWG 20"]), _listed(["2 ft", "3 ft"])
    ('AWG 20', '2 ft + 3 ft')
    """
    return texts[0] if len(set(texts)) == 1 else " + ".join(texts)


def _laid(study: Study, conductors: Sequence[Conductor]) -> Sequence[Conductor]:
    """The cores of a cable are as long as the cable."""
    chain = chains(study).by_name[conductors[0].chain] if conductors else None
    return conductors[:1] if chain is not None and chain.kind == "cable" else conductors


def _size(study: Study, conductor: Conductor) -> str:
    """Gauge, type and given colour of a wire; the type of a cable."""
    if conductor.cable:
        return study.document.cables[conductor.cable].type
    gauge = gauge_of(sizing(study).gauges, conductor)
    size = "?" if gauge == "?" else units.show_gauge(gauge)
    return " ".join(filter(None, (size, conductor.colour, kind_name(study, conductor))))


def _parts(text: str) -> list[str]:
    found = [part.strip() for part in text.split(";")]
    return [*found, *[""] * (len(PARTS) - len(found))][: len(PARTS)]


def _holds(then: str, now: str) -> bool:
    """Whether all is the same and no run is longer by more than what a cut may be off."""
    had, has = _parts(then), _parts(now)
    at = PARTS.index("length")
    same = had[:at] == has[:at] and had[at + 1 :] == has[at + 1 :]
    return same and _reach(had[at].split(" + "), has[at].split(" + "))


def _reach(had: list[str], asked: list[str]) -> bool:
    """Whether each wire that is there is as long as is asked now."""
    count = max(len(had), len(asked))
    if {len(had), len(asked)} - {1, count}:
        return False
    pairs = zip(had * (count // len(had)), asked * (count // len(asked)), strict=True)
    return all(_reaches(_metres(a), _metres(b)) for a, b in pairs)


def _reaches(had_m: float | None, asked_m: float | None) -> bool:
    if had_m is None or asked_m is None:
        return had_m is asked_m
    return asked_m <= had_m + default("cut-tolerance").si


def _metres(text: str) -> float | None:
    try:
        return float(units.parse(text, "length"))
    except units.UnitError:
        return None
