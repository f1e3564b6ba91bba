"""What would do where a change does not fit: sizes chosen anew, another bus, shedding.

In: an attempt that fails, what was asked. Out: `WayOut` by variant, each really tried: the changed
text read and all checks asked again.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path as File

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.attempt.asked import AskedChange, Unclear
from elec.attempt.attempt import Attempt, begun, changed
from elec.attempt.plan import ChangePlan, Edit, plan
from elec.attempt.stuck import InTheWay, in_the_way
from elec.attempt.verdicts import VerdictChange, verdict_changes
from elec.check import run
from elec.model.wiring import Protected
from elec.read.draft import Path, dotted
from elec.sizing.choices import choices
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.sources import has_alternator

MOST_BUSES = 2
"""How many other buses are tried."""


class WayOut(Struct, frozen=True, kw_only=True):
    """One variant of a change that did not fit."""

    title: str
    """What is done, as the begin of a sentence."""
    command: str
    """What to add to the command, or to write in place of what it has."""
    changes: tuple[VerdictChange, ...]
    chosen: tuple[str, ...] = ()
    """Sizes that it leads to."""

    @property
    def fails(self) -> tuple[str, ...]:
        """Checks that fail with it and do not fail now, each once."""
        return tuple(dict.fromkeys(c.check for c in self.changes if c.new_fail))


class _Variant(Struct, frozen=True, kw_only=True):
    title: str
    command: str
    plan: ChangePlan
    resized: tuple[str, ...] = ()


def ways_out(path: str | File, asked: Sequence[AskedChange], failed: Attempt) -> tuple[WayOut, ...]:
    """Try the nearest variants of a change that makes something fail.

    Given are those after which less fails, the best first; none where none is better.

    Args:
        path: the system.
        asked: what was asked.
        failed: what came of it.
    """
    found = [
        made
        for variant in _variants(asked, failed)
        if (made := _tried(path, failed, variant)) is not None
    ]
    now = failing_things(failed.changes)
    better = [way for way in found if failing_things(way.changes) < now]
    return tuple(sorted(better, key=lambda way: failing_things(way.changes)))


def failing_things(changes: Sequence[VerdictChange]) -> int:
    """How many things fail that did not."""
    return len({(c.check, c.about) for c in changes if c.new_fail})


def stuck_circuits(failed: Attempt) -> tuple[InTheWay, ...]:
    """What stands in the way of the circuits in question where elec may choose and nothing does."""
    study = failed.after
    return tuple(in_the_way(study, name) for name in failed.circuits if choices(study)[name].stuck)


def _tried(path: str | File, failed: Attempt, variant: _Variant) -> WayOut | None:
    try:
        study = Study(changed(begun(path), variant.plan, failed.before.system))
    except Unclear:
        return None
    changes = verdict_changes(failed.findings_before, run(study, deep=False))
    sizes = tuple(_size(study, name) for name in variant.resized)
    return WayOut(title=variant.title, command=variant.command, changes=changes, chosen=sizes)


def _size(study: Study, name: str) -> str:
    """`main feed 30 A breaker, AWG 10`."""
    device = sizing(study).devices.get(name)
    gauges = {sizing(study).gauges[c.id].awg for c in chains(study).by_name[name].conductors()}
    parts = [device.label] if device else []
    return f"{name} {', '.join([*parts, *(f'AWG {awg}' for awg in sorted(gauges, key=int))])}"


def _variants(asked: Sequence[AskedChange], failed: Attempt) -> Iterator[_Variant]:
    yield from _chosen_anew(failed)
    yield from _other_buses(asked, failed)
    yield from _shed(asked, failed)


def _chosen_anew(failed: Attempt) -> Iterator[_Variant]:
    """Devices and gauges that the builder gave and that fail, left to elec."""
    names = _failing_chains(failed)
    edits: list[Edit] = []
    resized: list[str] = []
    for name in names:
        more = list(_freed(failed.after, name))
        edits += more
        resized += [name] if more else []
    if edits:
        whole = replace(failed.plan, edits=(*failed.plan.edits, *edits))
        title = f"With the sizes of {_listed(resized)} chosen anew"
        command = " ".join(f"--set {dotted(e.path)}={e.value or ''}" for e in edits)
        yield _Variant(title=title, command=command, plan=whole, resized=tuple(resized))


def _failing_chains(failed: Attempt) -> list[str]:
    study = failed.after
    by_mark = {mark: conductor.rpartition("/")[0] for conductor, mark in marks(study).items()}
    found = (by_mark.get(c.about, c.about) for c in failed.changes if c.new_fail)
    return [name for name in dict.fromkeys(found) if name in chains(study).by_name]


def _freed(study: Study, name: str) -> Iterator[Edit]:
    chain = chains(study).by_name[name]
    if chain.kind not in ("circuit", "feeder"):
        return
    entry: Protected
    if chain.kind == "circuit":
        entry = study.document.circuits[name]
    else:
        entry = study.document.feeders[int(chain.path[1])]
    device = entry.device()
    if device is not None and device[1].rating_a is not None:
        at: Path = (*chain.path, device[0])
        inner: Path = (*at, "rating")
        yield Edit(path=inner if inner in study.system.places else at, value="auto")
    if getattr(entry, "gauge", None) is not None and (*chain.path, "gauge") in study.system.places:
        yield Edit(path=(*chain.path, "gauge"), value=None)


def _other_buses(asked: Sequence[AskedChange], failed: Attempt) -> Iterator[_Variant]:
    """The one new load on the buses that most circuits hang on."""
    added = [one for one in asked if one.kind == "add" and "circuit" not in one.keys]
    if len(added) != 1:
        return
    here = failed.after.document.circuits[failed.circuits[0]].bus
    used = Counter(c.bus for c in failed.before.document.circuits.values())
    for bus in [name for name, _ in used.most_common() if name != here][:MOST_BUSES]:
        every = _with(asked, added[0], {"bus": bus})
        yield _Variant(
            title=f"On {failed.before.system.title('buses', bus)}",
            command=f"--bus {bus}",
            plan=plan(failed.before, every),
        )


def _shed(asked: Sequence[AskedChange], failed: Attempt) -> Iterator[_Variant]:
    alternator = has_alternator(failed.before)
    if not alternator:
        return
    for one in asked:
        new = one.kind in ("add", "change") and not {"essential", "shed"} & set(one.keys)
        entry = failed.after.document.equipment.get(one.name)
        if new and entry is not None and not entry.essential and entry.shed is None:
            every = _with(asked, one, {"shed": "at once"})
            yield _Variant(
                title=f"With {one.name} shed at once when the alternator is lost",
                command='--shed "at once"',
                plan=plan(failed.before, every),
            )
            return


def _with(
    asked: Sequence[AskedChange], one: AskedChange, keys: Mapping[str, str]
) -> list[AskedChange]:
    return [replace(a, keys={**a.keys, **keys}) if a is one else a for a in asked]


def _listed(names: Sequence[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
