"""What was chosen, in sentences first: for all of the system, for a few chains, from nothing."""

from collections.abc import Iterable, Sequence

from elec.answers.base.nothing_given import from_nothing
from elec.attempt.stuck import InTheWay, failing, in_the_way
from elec.attempt.verdicts import VerdictChange, verdict_changes
from elec.check import run
from elec.finding import Verdict
from elec.pages.answers import headline
from elec.pages.columns import listed
from elec.pages.document import Block, FindingList, Items, Paragraph, Section, TableBlock
from elec.pages.size.table import (
    given_and_chosen,
    next_smaller,
    next_thinner,
    sizes,
    thinner_signals,
)
from elec.sizing.choices import Choice, choices
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.units import show_gauge
from elec.wiring.chains import chains

MOST_WAYS = 8
MOST_STUCK = 3
"""For so many the ways out are searched unasked; each takes a dozen runs of the system."""
MOST_WIRES = 750
"""Of a system up to which ways out are searched unasked: each run sizes all of them anew, and an
aircraft built at home has some 500 where it has much. The others' wait for their names."""


def size_answer(study: Study, only: Sequence[str], *, diff: str, written: Sequence[str]) -> Section:
    """What was chosen and why; what stands in the way; what was written.

    Args:
        study: the run.
        only: the chains that are asked for; none means all.
        diff: what `--write` changed; empty where it was not asked for, or had nothing to do.
        written: names of the files that were written.
    """
    blocks: list[Block] = [Paragraph(text=text, kind="lead") for text in _lead(study, only)]
    stuck = [name for name in _stuck(study) if not only or name in only]
    shown = stuck if only else stuck[:MOST_STUCK]
    wires = sum(1 for _ in chains(study).conductors())
    searched = shown if only or wires <= MOST_WIRES else []
    for name in shown:
        blocks += _against(study, name)
        if name in searched:
            blocks += _ways(study, in_the_way(study, name))
    if left := [name for name in stuck if name not in searched]:
        blocks.append(Paragraph(text=_unasked(left, searched, wires), kind="note"))
    if only:
        blocks += [block for name in only for block in _one(choices(study)[name])]
    else:
        blocks.append(TableBlock(table=sizes(study)))
    blocks += _written(study, only, diff, written)
    return Section(id="size", title=headline(study), blocks=tuple(blocks), new_page=False)


def _stuck(study: Study) -> tuple[str, ...]:
    """Chains for which nothing could be chosen, or of which something fails."""
    fails = failing(study)
    return tuple(name for name, c in choices(study).items() if c.stuck or name in fails)


def _open(study: Study, only: Sequence[str]) -> tuple[list[Choice], list[Choice]]:
    """(with a rating, with a gauge) that the builder left open and that was chosen."""
    asked = [c for c in choices(study).values() if not only or c.chain in only]
    rated = [c for c in asked if c.device is not None and c.device.chosen]
    gauged = [c for c in asked if c.chosen and c.satisfied and c.kind != "cable"]
    return rated, gauged


def _lead(study: Study, only: Sequence[str]) -> Iterable[str]:
    rated, gauged = _open(study, only)
    stuck = [name for name in _stuck(study) if not only or name in only]
    if stuck:
        names = listed([choices(study)[name].title for name in stuck])
        yield f"Something stands in the way of: {names}."
    ratings = "1 rating" if len(rated) == 1 else f"{len(rated)} ratings"
    gauges = "1 gauge" if len(gauged) == 1 else f"{len(gauged)} gauges"
    count = f"{ratings} and {gauges} (one for all wires of a circuit, feeder or ground)"
    if not rated and not gauged:
        yield "Everything asked for is given; nothing was chosen here."
    elif stuck:
        yield f"{count} were chosen here: the smallest that pass."
    else:
        yield (
            f"{count} were chosen here: the smallest with which every check of device and wire "
            "passes."
        )
    unknown = [d.chain for d in sizing(study).devices.values() if d.load_a is None]
    unknown = [name for name in unknown if not only or name in only]
    if unknown:
        names = listed([choices(study)[name].title for name in unknown])
        yield f"Not certain, for a current is not known: {names}. Read it off the label."


def _unasked(left: Sequence[str], searched: Sequence[str], wires: int) -> str:
    """For which chains ways out are searched only when they are named."""
    if searched:
        return f"Name them to see the ways out of these, too: {listed(list(left))}."
    said = (
        "Ways out are searched here only for what is named, since each is a run in which all "
        f"{wires} wires are sized anew."
    )
    return f"{said} {'Name it' if len(left) == 1 else 'Name one or more'}: {listed(list(left))}."


def _against(study: Study, name: str) -> Iterable[Block]:
    """What fails of a chain, or why nothing could be chosen for it."""
    choice = choices(study)[name]
    findings = failing(study).get(name, ())
    if findings:
        yield FindingList(findings=findings)
    else:
        yield Paragraph(text=f"{choice.title}: {choice.stuck}.")


def _ways(study: Study, found: InTheWay) -> Iterable[Block]:
    choice = choices(study)[found.chain]
    if not found.ways:
        yield Paragraph(
            text=f"None of {found.tried} single changes lets {choice.title} pass. Two together "
            "may: a shorter run and a thicker wire, a smaller load."
        )
        return
    yield Paragraph(
        text=f"Ways out for {choice.title}, the least work first (our order); each was tried, and "
        "all that is asked of devices and wires passes then:"
    )
    yield Items(
        items=tuple(
            f"{way.text} Then: {way.result}; {_heavier(way.added_kg)}."
            for way in found.ways[:MOST_WAYS]
        )
    )


def _heavier(added_kg: float) -> str:
    grams = round(added_kg * 1000)
    if grams == 0:
        return "no heavier"
    return f"{abs(grams)} g {'heavier' if grams > 0 else 'lighter'}"


def _one(choice: Choice) -> Iterable[Block]:
    lines = []
    if choice.device is not None:
        lines.append(
            f"Device: {choice.device.label} (class {choice.device.family}). {_rating(choice)}"
        )
    why = "given" if not choice.chosen else f"chosen, by {choice.gauge_why}"
    line = f"Wire: {show_gauge(choice.awg)}, {why}."
    if next_thinner(choice):
        line += f" {next_thinner(choice)}."
    elif choice.thinner:
        line += f" {show_gauge(choice.thinner)} would pass, too."
    lines.append(line)
    yield Paragraph(text=f"{choice.title}: {choice.current_a:.3g} A lasting.")
    yield Items(items=tuple(lines))


def _rating(choice: Choice) -> str:
    device = choice.device
    if device is None or device.rating_a is None:
        return f"No rating: {choice.device_why}."
    if next_smaller(choice):
        said = f"{next_smaller(choice)}."
        return f"Given. {said}" if not device.chosen else f"Decided by {choice.device_why}. {said}"
    if device.chosen:
        return f"Decided by {choice.device_why}."
    return f"Given. {choice.smaller_a:g} A would do, too." if choice.smaller_a else "Given."


def _written(
    study: Study, only: Sequence[str], diff: str, written: Sequence[str]
) -> Iterable[Block]:
    if written:
        yield Paragraph(text=diff, kind="verbatim")
        yield Paragraph(text=f"Written into {listed(list(written))}.")
        return
    rated, gauged = _open(study, only)
    if rated or gauged:
        yield Paragraph(text="Nothing was written. --write puts what was chosen into your files.")


def from_nothing_answer(study: Study, only: Sequence[str]) -> Section:
    """What would be chosen if nothing were given, beside what is."""
    bare = from_nothing(study).study
    table = given_and_chosen(study, only)
    total = len(only) or sum(c.kind != "wire" for c in choices(study).values())
    same = total - len(table.rows)
    blocks: list[Block] = [
        Paragraph(
            text=f"If nothing were given, {same} of {total} circuits, feeders and grounds "
            "would be chosen as they are.",
            kind="lead",
        )
    ]
    stuck = [choices(bare)[name].title for name in _stuck(bare)]
    if stuck:
        text = f"Without what is given, something stands in the way of: {listed(stuck)}."
        blocks.append(Paragraph(text=text, kind="lead"))
    changes = verdict_changes(run(study, deep=False), run(bare, deep=False))
    blocks += _changes(changes)
    if table.rows:
        blocks.append(TableBlock(table=table))
    signals, gauges = thinner_signals(study)
    if signals and not only:
        text = f"{signals} signal wires would be {gauges}, the least for strength or contact."
        blocks.append(Paragraph(text=text))
    blocks.append(Paragraph(text="Nothing was written; what is given is never changed."))
    return Section(id="from-nothing", title=headline(study), blocks=tuple(blocks), new_page=False)


def _changes(changes: Sequence[VerdictChange]) -> Iterable[Block]:
    worse = tuple(c.finding for c in changes if c.worse)
    better = sum(not c.worse and not c.further and c.after is not None for c in changes)
    if worse:
        yield Paragraph(text="What would be worse then:")
        yield FindingList(findings=worse)
    else:
        yield Paragraph(text="No verdict would be worse.")
    if better:
        yield Paragraph(
            text=f"{better} {'verdict' if better == 1 else 'verdicts'} would be better."
        )


def failed(study: Study, only: Sequence[str]) -> bool:
    """Whether something asked for fails or could not be chosen."""
    fails = {
        name
        for name, found in failing(study).items()
        if any(f.verdict is Verdict.FAIL for f in found)
    }
    return any(name in fails or choices(study)[name].stuck for name in only or choices(study))
