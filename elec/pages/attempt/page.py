"""What a change would do, in the order in which a builder asks: fit, margins, battery, verdicts."""

from elec import units
from elec.answers.build.difference import resized
from elec.answers.failures.counted_alone import CountedAlone, counted_alone
from elec.answers.time.loss import losses
from elec.attempt.attempt import Attempt
from elec.attempt.stuck import InTheWay
from elec.attempt.ways_out import WayOut, failing_things
from elec.model.load import Equipment
from elec.pages.answers import headline
from elec.pages.attempt.differs import battery_words, margin_blocks, verdict_blocks
from elec.pages.attempt.table import circuit_answer
from elec.pages.columns import listed
from elec.pages.document import Block, Items, Paragraph, Section, TableBlock
from elec.study import Study
from elec.units import whole_minutes

MOST_WAYS = 4
"""How many ways out are told."""


def attempt_answer(
    found: Attempt,
    *,
    written: tuple[str, ...] = (),
    out: tuple[WayOut, ...] = (),
    stuck: tuple[InTheWay, ...] = (),
) -> Section:
    """The whole answer.

    Args:
        found: what was tried.
        written: the files where it was written.
        out: what would do where it does not fit.
        stuck: what would do where no device or gauge passes.
    """
    blocks: list[Block] = [Paragraph(text=_lead(found), kind="lead")]
    for circuit in found.circuits:
        table = circuit_answer(found.after, found.before, circuit, found.plan.loads)
        blocks.append(TableBlock(table=table))
    blocks += [Paragraph(text=said, kind="note") for said in found.plan.said]
    blocks += _others(found)
    blocks += margin_blocks(found)
    blocks += [Paragraph(text=sentence) for sentence in _battery(found)]
    blocks += _verdicts(found)
    blocks += _stuck(stuck)
    blocks += _ways_out(found, out)
    blocks += _lines(found, written)
    return Section(id="try", title=headline(found.after), blocks=tuple(blocks), new_page=False)


def _lead(found: Attempt) -> str:
    """Does it fit?"""
    failing = [c for c in found.changes if c.new_fail]
    fits = "It fits: n" if found.plan.loads else "N"
    if failing:
        names = listed(list(dict.fromkeys(c.check for c in failing)))
        verb = "fails that does" if len(failing) == 1 else "fail that do"
        count = "1 thing" if len(failing) == 1 else f"{len(failing)} things"
        start = "It does not fit as it is: " if found.plan.loads else ""
        return f"{start}{count} {verb} not fail now ({names})."
    open_ = [c for c in found.changes if c.worse]
    if open_:
        names = listed(list(dict.fromkeys(c.check for c in open_)))
        return f"{fits}othing fails that does not fail now. Look at {names} below."
    if any(c.further for c in found.changes):
        return f"{fits}o verdict gets worse than it is now."
    return f"{fits}othing gets worse than it is now."


# -- what else changes ----------------------------------------------------------------------------


def _others(found: Attempt) -> list[Block]:
    touched = frozenset((*found.plan.circuits, *found.plan.gone))
    changed = resized(found.before, found.after, touched)
    if not changed:
        return []
    build = found.before.document.build
    items = []
    for one in changed:
        done = build.get(one.chain)
        already = f"; it is {done.state} already" if done and done.state != "planned" else ""
        items.append(f"{one.title}: {one.before} becomes {one.after}{already}")
    lead = Paragraph(text="Elsewhere, where elec chooses, this becomes another:")
    return [lead, Items(items=tuple(items))]


# -- margins and battery --------------------------------------------------------------------------


def _battery(found: Attempt) -> list[str]:
    said = battery_words(found)
    if not said:
        return []
    texts = [said]
    texts = [said, *(_on_battery(found.after, load) for load in found.plan.loads)]
    texts.append(_charge_at_the_loss(found))
    return [" ".join(text for text in texts if text)]


def _charge_at_the_loss(found: Attempt) -> str:
    """The charge at the moment of the loss, where the change takes of it before."""
    was, now = losses(found.before), losses(found.after)
    if was is None or now is None or was.worst.phase != now.worst.phase:
        return ""
    # compared as they are printed: what rounds alike is not worth a sentence
    before = [f"{100 * share:.0f} %" for share in was.worst.charge]
    after = [f"{100 * share:.0f} %" for share in now.worst.charge]
    if before == after:
        return ""
    return f"Charge at the loss: {listed(before)} before, {listed(after)} after."


def _on_battery(study: Study, load: str) -> str:
    """What is counted of a load once the alternator is lost: until loads are shed, and then."""
    entry = study.document.equipment.get(load)
    counted = None if entry is None or entry.passive else counted_alone(study, load)
    if entry is None or counted is None:
        return ""
    title = study.system.title("equipment", load)
    seen = whole_minutes(counted.seen_min)
    by = "" if entry.when == "always" else f" by {counted.condition}"
    if counted.until:
        first = f"{title} counts in {_phases(study, counted.until)}{by}"
    else:
        first = f"{title} is not on in {_phases(study, counted.passed)}{by}"
    first += f", until loads are shed {seen} min after the loss"
    return f"{first}; {_after_shedding(study, entry, counted)}."


def _after_shedding(study: Study, entry: Equipment, counted: CountedAlone) -> str:
    """What is counted of a load after the shedding."""
    by = "" if entry.when == "always" else f" by {counted.condition}"
    if not counted.after:
        named = " nor in ".join(study.system.title("phases", name) for name in counted.later)
        return (
            f"not after that, for it is on neither in {named}{by}"
            if " nor " in named
            else (f"not after that, for it is not on in {named}{by}")
        )
    where = f"in {_phases(study, counted.after)}"
    if entry.essential:
        return f"after that, {where}, to the end: it is essential"
    if counted.dead_bus:
        return f"then it goes with its bus, {counted.dead_bus}"
    if entry.shed == "at once":
        return "then it is shed"
    if isinstance(entry.shed, float):
        if entry.shed <= counted.seen_min * 60:
            return "then it is shed"
        return f"after that, {where}, until it is shed after {units.show(entry.shed, 's')}"
    return (
        f"after that, {where}, to the end: its bus lives and nothing sheds it "
        "(--shed 'at once' would)"
    )


def _phases(study: Study, names: tuple[str, ...]) -> str:
    return listed([study.system.title("phases", name) for name in names])


# -- verdicts -------------------------------------------------------------------------------------


def _verdicts(found: Attempt) -> list[Block]:
    blocks = verdict_blocks(found.changes, whole=False)
    if all(c.number for c in found.changes):
        blocks.append(Paragraph(text=f"No verdict changes.{_new_passes(found)}"))
    elif not any(c.worse for c in found.changes):
        blocks.append(Paragraph(text="No verdict gets worse."))
    return blocks


def _new_passes(found: Attempt) -> str:
    names = list(dict.fromkeys([*found.plan.loads, *found.circuits]))
    return f" All that is asked about {listed(names)} passes." if names else ""


def _stuck(ways: tuple[InTheWay, ...]) -> list[Block]:
    blocks: list[Block] = []
    for one in ways:
        if not one.ways:
            text = f"None of {one.tried} single changes lets {one.chain} pass; two together may."
            blocks.append(Paragraph(text=text))
            continue
        items = [f"{way.text} Then: {way.result}." for way in one.ways[:MOST_WAYS]]
        lead = f"Ways out for the wire and device of {one.chain}, each tried:"
        blocks += [Paragraph(text=lead), Items(items=tuple(items))]
    return blocks


def _ways_out(found: Attempt, ways: tuple[WayOut, ...]) -> list[Block]:
    if not found.fails or not ways:
        return []
    items = []
    for way in ways:
        failing = listed(list(way.fails))
        count = failing_things(way.changes)
        still = f"{count} {'thing fails' if count == 1 else 'things fail'} ({failing})"
        how = f" ({way.command})" if way.command else ""
        sizes = f": {'; '.join(way.chosen)}" if way.chosen else ""
        items.append(f"{way.title}{how}{sizes}: {still if failing else 'it fits'}.")
    return [Paragraph(text="Ways out, each tried:"), Items(items=tuple(items))]


# -- the lines ------------------------------------------------------------------------------------


def _lines(found: Attempt, written: tuple[str, ...]) -> list[Block]:
    files = _files(found.diff)
    if not files:
        return [Paragraph(text="That is what the files say already; there is nothing to write.")]
    if written:
        said = f"Written into {listed(list(written))}."
    elif any(line.startswith("+") and not line.startswith("+++") for line in _all(found.diff)):
        said = f"Nothing was written. Add --write to put these lines into {listed(files)}."
    else:
        said = f"Nothing was written. Add --write to take these lines out of {listed(files)}."
    return [Paragraph(text=found.diff, kind="verbatim"), Paragraph(text=said)]


def _all(diff: str) -> list[str]:
    return diff.splitlines()


def _files(diff: str) -> list[str]:
    return [line[4:].strip() for line in _all(diff) if line.startswith("+++ ")]
