"""What options are compared by: weight, drop, margins, endurance, findings.

In: a study, the chain that is asked about. Out: `Measures`. Each number is one that a table of the
book has, too; nothing is computed here that is not computed elsewhere.
"""

from collections import Counter
from collections.abc import Iterable, Mapping

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.answers.build.weight import added, weight
from elec.answers.drop.drops import feeder_drops, load_drops
from elec.answers.loads.margins import margins_by_condition, names_of
from elec.answers.time.endurance import endurance
from elec.check import OPEN, run
from elec.finding import Finding, Verdict
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.sources import has_alternator

Key = tuple[str, str]
"""A check and what it is about; wires by what they are, since their marks have the gauge in it."""


class Measure(Struct, frozen=True, kw_only=True):
    """One number to compare by. None: not known."""

    value: float | None
    where: str = ""
    """What it is about, or why it is not known."""
    applies: bool = True
    """False where there is no such thing, such as the margin of an alternator that is not there."""


NONE = Measure(value=None, applies=False)


class Measures(Struct, frozen=True, kw_only=True):
    """Everything that options are compared by."""

    mass_kg: Measure
    """Harness, sources and equipment, as far as their masses are known."""
    unweighed: tuple[str, ...]
    """What is in it without a mass."""
    drop_part: Measure
    """The worst drop over what is allowed there."""
    margin_a: Measure
    """The least that an alternator has left."""
    device_part: Measure
    """The most that a device carries over what it holds where it sits."""
    endurance_min: Measure
    verdicts: Mapping[Key, Verdict]
    """Every answer that is no pass, the worst of each check about each thing."""
    said: Mapping[Key, Finding]
    """The finding behind each of them."""
    marked: Mapping[Key, str]
    """What each of them is about, as findings print it."""

    def count(self, verdict: Verdict) -> int:
        """How many things get that answer."""
        return sum(one == verdict for one in self.verdicts.values())


def measures(study: Study, chain: str = "") -> Measures:
    """Everything that options are compared by.

    Args:
        study: the run.
        chain: a circuit or feeder, whose drop and device count; empty: the worst of all count.
    """
    found = added(weight(study).items)
    bare = Counter(one.label for one in weight(study).items if one.mass_kg is None)
    worst, marked = _findings(study, run(study, deep=False))
    return Measures(
        mass_kg=Measure(value=found.mass_kg),
        unweighed=tuple(sorted(bare.elements())),
        drop_part=_drop(study, chain),
        margin_a=_margin(study),
        device_part=_device(study, chain),
        endurance_min=_endurance(study),
        verdicts={key: one.verdict for key, one in worst.items()},
        said=worst,
        marked=marked,
    )


def _worst(rows: Iterable[tuple[float | None, str]]) -> Measure:
    """The greatest of some numbers, not known where one of them is not."""
    every = list(rows)
    if not every:
        return NONE
    for value, where in every:
        if value is None:
            return Measure(value=None, where=where)
    value, where = max(every, key=lambda row: row[0] or 0.0)
    return Measure(value=value, where=where)


def _drop(study: Study, chain: str) -> Measure:
    rows = [
        (None if one.lost_v is None else one.lost_v / one.limit_v, one.load)
        for one in load_drops(study).values()
        if chain in ("", one.circuit)
    ]
    rows += [
        (None if one.lost_v is None else one.lost_v / one.limit_v, name)
        for name, one in feeder_drops(study).items()
        if chain in ("", name)
    ]
    return _worst(rows)


def _device(study: Study, chain: str) -> Measure:
    return _worst(
        (one.share, name) for name, one in sizing(study).devices.items() if chain in ("", name)
    )


def _margin(study: Study) -> Measure:
    if not has_alternator(study):
        return NONE
    every = list(margins_by_condition(study).values())
    lost = [one for one in every if one.spare_a is None or one.unknown]
    if not every or lost:
        why = "a current is not known" if lost and lost[0].unknown else "its output is not known"
        return Measure(value=None, where=why)
    least = min(every, key=lambda one: one.spare_a or 0.0)
    title = f"{names_of(study, least.sources)}, {study.system.title('phases', least.phase)}"
    return Measure(value=least.spare_a, where=title)


def _endurance(study: Study) -> Measure:
    found = endurance(study)
    if found is None:
        return NONE
    if found.minutes is None or found.unknown:
        return Measure(value=None, where="a current, or what the battery gives, is not known")
    return Measure(value=found.minutes)


def _findings(
    study: Study, every: Iterable[Finding]
) -> tuple[Mapping[Key, Finding], Mapping[Key, str]]:
    """The worst open finding of each check about each thing, and what it is called in print."""
    by_mark = {mark: conductor for conductor, mark in marks(study).items()}
    worst: dict[Key, Finding] = {}
    named: dict[Key, str] = {}
    for one in every:  # the worst come first
        key = (one.check, by_mark.get(one.about, one.about))
        if one.verdict in OPEN and key not in worst:
            worst[key], named[key] = one, one.about
    return worst, named
