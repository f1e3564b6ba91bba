"""What differs between two systems, in words and blocks: margins, battery, verdicts.

In: a `Compared`. Out: blocks for `elec try` and for `elec compare`, the same for both.
"""

from collections.abc import Iterable

from msgspec.structs import replace

from elec.answers.build.difference import endurance_pair, margin_pairs
from elec.answers.failures.planned import plan_with
from elec.answers.time.endurance_limit import endurance_limit
from elec.attempt.compared import Compared
from elec.attempt.verdicts import VerdictChange
from elec.finding import Finding, Verdict
from elec.pages.attempt.table import margin_table
from elec.pages.columns import listed
from elec.pages.document import Block, FindingList, Paragraph, TableBlock
from elec.pages.loads.difference import minutes_words
from elec.wiring.sources import has_alternator


def margin_blocks(found: Compared) -> list[Block]:
    """The alternators' margins that move, or that none does."""
    pairs = margin_pairs(found.before, found.after)
    if pairs:
        return [TableBlock(table=margin_table(found.after, pairs))]
    if has_alternator(found.after):
        return [Paragraph(text="The alternator's margin stays as it is in every phase.")]
    return []


def battery_words(found: Compared) -> str:
    """The minutes on the battery alone, before and after; empty where there is no such case."""
    pair = endurance_pair(found.before, found.after)
    if pair.after is None:
        return ""
    was, now = minutes_words(found.before), minutes_words(found.after)
    asked = endurance_limit(found.after, pair.after).minutes
    change = f"{was} before, {now} after" if was != now else f"{now}, as before"
    return f"Battery alone: {change} ({asked:.0f} min asked). {plan_with(found.after)}".rstrip()


def verdict_blocks(changes: Iterable[VerdictChange], *, whole: bool = True) -> list[Block]:
    """What is said otherwise: findings that do not pass, each with what it was; what passes now.

    Args:
        changes: the answers that differ.
        whole: advice whose number alone moved is told in full; else named in a sentence.
    """
    every = tuple(changes)
    blocks: list[Block] = []
    moved = [] if whole else [c for c in every if c.number and c.after is not Verdict.FAIL]
    worse = [_told(c) for c in every if c.after and c.after is not Verdict.PASS and c not in moved]
    if worse:
        blocks.append(FindingList(findings=tuple(worse)))
    better = [f"{_named(c)} (was {c.before})" for c in every if c.after is Verdict.PASS]
    if better:
        blocks.append(Paragraph(text=f"Passes now: {listed(better)}."))
    gone = [f"{_named(c)} (was {c.before})" for c in every if c.after is None]
    if gone:
        blocks.append(Paragraph(text=f"Asked no more: {listed(gone)}."))
    for number, lead in _MOVED.items():
        names = [_named(c) for c in moved if c.number == number]
        if names:
            blocks.append(Paragraph(text=f"{lead}: {listed(names)}."))
    return blocks


_MOVED = {
    "worse": "As before, but by a worse number",
    "better": "As before, by a better number",
    "other": "As before, by another number",
}
"""Which way a number moved alone → how that is told in a sentence."""


def _named(change: VerdictChange) -> str:
    return f"{change.check} {change.about}"


_NUMBER = {"worse": "worse", "better": "better"}
"""Which way a number moved, where its limit tells."""


def _told(change: VerdictChange) -> Finding:
    before = "It is new." if change.before is None else f"Before: {change.before}."
    if change.before is change.after:
        way = _NUMBER.get(change.number, "another")
        before = f"Before: {change.before}, too; its number is {way} now."
    return replace(change.finding, sentence=f"{change.finding.sentence} {before}")


__all__ = ["battery_words", "margin_blocks", "verdict_blocks"]
