"""The smallest change after which no single fault stops the engine or takes an essential bus.

In: a system's files. Out: `Search`. Every set of changes is made in the text, read and computed;
what is found is computed again over all phases of flight, and put to every check.
"""

from collections.abc import Callable
from pathlib import Path as File

from msgspec import Struct

from elec.answers.build.weight import added, weight
from elec.attempt.asked import Unclear
from elec.attempt.attempt import begun
from elec.attempt.faults.faults import (
    SingleFault,
    counted,
    faults,
    sized_like,
    solved_faults,
    untold,
)
from elec.attempt.faults.moves import Move, edits_of, moves
from elec.attempt.faults.search import SearchResult, search
from elec.attempt.options.options import changed_by
from elec.attempt.verdicts import VerdictChange, verdict_changes
from elec.check import run
from elec.read.edit import Edits
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.runs import runs

WORK = 30_000
"""Sets tried times failures of each: about a minute on one core (our choice)."""
LEAST_TRIED = 20
MOST_SHOWN = 6
"""So many of the smallest sets are put to all checks, the lightest first."""


class Found(Struct, frozen=True, kw_only=True):
    """A set of changes after which no single fault does that."""

    titles: tuple[str, ...]
    more_kg: float
    """What it adds to the harness, sources and equipment, as far as masses are known."""
    more_m: float | None
    """What it adds in wire; None where a length is not known."""
    changes: tuple[VerdictChange, ...]
    """What the checks answer otherwise."""
    diff: str


class Search(Struct, frozen=True, kw_only=True):
    """What single faults do now, and what was found."""

    study: Study
    now: tuple[SingleFault, ...]
    low: tuple[SingleFault, ...]
    """What takes as much by too little voltage alone; that is not searched."""
    moves: tuple[Move, ...]
    result: SearchResult
    most: int
    found: tuple[Found, ...]
    """The lightest first."""
    more: int
    """How many more sets of that number do it, which are heavier."""
    not_in_flight: tuple[tuple[str, ...], ...]
    """Sets that do it in cruise and not in every phase of flight."""
    untold: int


def smallest(path: str | File, tell: Callable[[int, int], None]) -> Search:
    """Search for the smallest change.

    Args:
        path: the system.
        tell: hears how many sets were tried, and of how many at most.

    Raises:
        Mistaken: the system as it is has mistakes.
    """
    edits = begun(path)
    study = Study(edits.reading().good())
    now = faults(study)
    low = tuple(one for one in solved_faults(study) if one.id not in {f.id for f in now})
    may = {one.id for one in low}
    every = moves(study, now) if now else ()
    most = max(LEAST_TRIED, WORK // max(1, len(counted(study))))

    def left(chosen: tuple[int, ...]) -> tuple[SingleFault, ...] | None:
        try:
            after = _with(edits, study, every, chosen)[0]
            return None if leads_nowhere(study, after) else faults(sized_like(after, study))
        except Unclear:
            return None

    result = search(every, now, left, most, lambda count: tell(count, most))
    made = [_weighed(edits, study, every, chosen) for chosen in result.sets]
    made.sort(key=lambda one: (one[0], one[1]))
    findings = run(study, deep=False) if made else ()
    found: list[Found] = []
    dropped: list[tuple[str, ...]] = []
    for more_kg, chosen, after, diff in made:
        if len(found) == MOST_SHOWN:
            break
        if any(one.id not in may for one in solved_faults(after)):
            dropped.append(tuple(every[k].title for k in chosen))
            continue
        found.append(
            Found(
                titles=tuple(every[k].title for k in chosen),
                more_kg=more_kg,
                more_m=_more_m(study, after),
                changes=verdict_changes(findings, run(after, deep=False)),
                diff=diff,
            )
        )
    return Search(
        study=study,
        now=now,
        low=low,
        moves=every,
        result=result,
        most=most,
        found=tuple(found),
        more=len(made) - len(found) - len(dropped),
        not_in_flight=tuple(dropped),
        untold=untold(study),
    )


def leads_nowhere(before: Study, after: Study) -> bool:
    """Whether a wire has no length after a change that was not there or had one: no way leads."""
    was = runs(before)
    return any(
        run.length_m is None and (name not in was or was[name].length_m is not None)
        for name, run in runs(after).items()
    )


def _with(
    edits: Edits, study: Study, every: tuple[Move, ...], chosen: tuple[int, ...]
) -> tuple[Study, str]:
    return changed_by(edits, edits_of(study, [every[k] for k in chosen]))


def _weighed(
    edits: Edits, before: Study, every: tuple[Move, ...], chosen: tuple[int, ...]
) -> tuple[float, tuple[int, ...], Study, str]:
    after, diff = _with(edits, before, every, chosen)
    was, now = (added(weight(study).items).mass_kg for study in (before, after))
    return now - was, chosen, after, diff


def _more_m(before: Study, after: Study) -> float | None:
    """More wire, by the lengths that are cut."""
    was, now = _wire_m(before), _wire_m(after)
    return None if was is None or now is None else now - was


def _wire_m(study: Study) -> float | None:
    lengths = [
        runs(study)[conductor.id].length_m
        for chain in chains(study).by_name.values()
        if chain.kind in ("circuit", "feeder", "ground")
        for conductor in chain.conductors()
    ]
    known = [length for length in lengths if length is not None]
    return sum(known) if len(known) == len(lengths) else None
