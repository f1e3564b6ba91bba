"""Which two failures together take an essential load that neither takes alone.

In: the list of failures, tracing. Out: `Double`, alike ones folded. A load's own circuit counts as
one thing. Cut ways are left out: a way is a failure of many wires already. What is cut off is told,
in cruise, after changing over where that helps; voltages and the time on batteries are not asked.
"""

from collections.abc import Mapping, Sequence
from itertools import combinations

from msgspec import Struct

from elec.answers.failures.failure_list import Failure
from elec.answers.failures.failure_states import CHANGED
from elec.answers.failures.failure_sweep import Sweep
from elec.answers.failures.failures import decisive, worst_condition
from elec.answers.time.endurance import cruise_phase
from elec.study import Study, analysis
from elec.wiring.backup import engine_loads, stand_ins
from elec.wiring.cases import NORMAL
from elec.wiring.chains import chains


class Double(Struct, frozen=True, kw_only=True):
    """Any one of the first together with any one of the second."""

    first: tuple[Failure, ...]
    second: tuple[Failure, ...]
    taken: tuple[str, ...]
    """Essential equipment that they take together and neither alone."""
    engine: bool
    """Whether the engine stops."""


@analysis
def doubles(study: Study) -> tuple[Double, ...]:
    """All least pairs, the worst first: the engine, then the most loads."""
    if not study.document.phases or not chains(study).feeds:
        return ()
    groups = _groups(study)
    alone = [group[0] for group in groups]
    both = [_both(a, b) for a, b in combinations(alone, 2)]
    sweep = Sweep(
        study, (cruise_phase(study),), (NORMAL, CHANGED), ("momentary",), worst_condition(study),
        which=(*alone, *both),
    )  # fmt: skip
    singly = [taken(sweep, k) for k in range(len(alone))]
    healthy = taken(sweep, sweep.healthy)
    cuts: dict[tuple[int, int], frozenset[str]] = {}
    for column, (i, k) in enumerate(combinations(range(len(alone)), 2), len(alone)):
        if _contrary(alone[i], alone[k]):
            continue
        if new := taken(sweep, column) - singly[i] - singly[k] - healthy:
            cuts[i, k] = new
    found = [_told(study, groups, *fold) for fold in folded(cuts)]
    return tuple(sorted(found, key=lambda one: (not one.engine, -len(one.taken))))


def taken(sweep: Sweep, column: int) -> frozenset[str]:
    """Essential equipment whose work nothing does, at once or after changing over: the fewer."""
    phase = sweep.cases[0].phase
    states = [frozenset(sweep.taken(sweep.dead(phase, s, column))) for s in (NORMAL, CHANGED)]
    return min(states, key=len)


def _groups(study: Study) -> list[tuple[Failure, ...]]:
    """Failures that do the same, so that one of them is tried for all."""
    counts = set(stand_ins(study)) | {
        name
        for name, entry in study.document.equipment.items()
        if entry.essential or entry.role == "engine"
    }
    fields = {
        load
        for source in study.document.sources.values()
        if source.kind == "alternator" and source.field_circuit
        for load in chains(study).by_name[source.field_circuit].loads
    }
    found: dict[object, list[Failure]] = {}
    for effect in decisive(study):
        failure = effect.failure
        if failure.kind == "way" or not failure.powers:
            continue
        key: object = (failure.opens, failure.closes, failure.sources, failure.senses)
        if failure.branches:
            key = effect.dead & (counts | fields)
            if not key:
                continue
        found.setdefault(key, []).append(failure)
    return [tuple(group) for group in found.values()]


def _contrary(a: Failure, b: Failure) -> bool:
    """Whether a contact would be stuck open and closed at once."""
    return bool(a.opens & b.closes or b.opens & a.closes)


def _both(a: Failure, b: Failure) -> Failure:
    return Failure(
        id=f"{a.id} + {b.id}",
        kind=a.kind,
        about=f"{a.about}, {b.about}",
        title=f"{a.title} and {b.title}",
        path=a.path,
        opens=a.opens | b.opens,
        closes=a.closes | b.closes,
        sources=a.sources | b.sources,
        senses=a.senses | b.senses,
    )


Group = tuple[int, ...]
Fold = tuple[Group, Group, frozenset[str]]


def folded(cuts: Mapping[tuple[int, int], frozenset[str]]) -> tuple[Fold, ...]:
    """Pairs as few rows: what cuts the same with the same partners stands in one place.

    >>> folded({(0, 2): frozenset("r"), (1, 2): frozenset("r")})
    (((0, 1), (2,), frozenset({'r'})),)
    """
    partners: dict[int, dict[int, frozenset[str]]] = {}
    for (a, b), what in cuts.items():
        partners.setdefault(a, {})[b] = what
        partners.setdefault(b, {})[a] = what
    alike: dict[object, list[int]] = {}
    for k in sorted(partners):
        alike.setdefault(frozenset(partners[k].items()), []).append(k)
    member = {k: tuple(group) for group in alike.values() for k in group}
    left = {(frozenset((member[a], member[b])), what) for (a, b), what in cuts.items()}
    rows: list[Fold] = []
    while left:
        beside: dict[tuple[Group, frozenset[str]], list[Group]] = {}
        for both, cut in left:
            for group in both:
                beside.setdefault((group, cut), []).extend(both - {group})
        (one, what), others = max(
            beside.items(),
            key=lambda item: (len(item[1]), [-k for k in item[0][0]], sorted(item[0][1])),
        )
        rows.append((one, tuple(sorted(k for other in others for k in other)), what))
        left -= {(frozenset((one, other)), what) for other in others}
    return tuple(rows)


def _told(
    study: Study,
    groups: Sequence[tuple[Failure, ...]],
    first: tuple[int, ...],
    second: tuple[int, ...],
    what: frozenset[str],
) -> Double:
    return Double(
        first=tuple(failure for k in first for failure in groups[k]),
        second=tuple(failure for k in second for failure in groups[k]),
        taken=tuple(name for name in study.document.equipment if name in what),
        engine=bool(what & engine_loads(study)),
    )


__all__ = ["Double", "doubles", "folded", "taken"]
