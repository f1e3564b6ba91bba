"""Is every short cleared before a wire is damaged, whichever source feeds it?

The verdict is how the course of a short ends (`answers.short.shorts`), the worst of several.
"""

import math
from collections.abc import Iterator

from elec.answers.heat.heat import heat
from elec.answers.short.bare import bare, without
from elec.answers.short.short_clearing import ShortCourse
from elec.answers.short.shorts import Short, Shorted, lasting_alternator_a, shorts
from elec.check import check
from elec.checks.answer import amps, answer, sentence
from elec.checks.short._words import (
    cut_words,
    device_words,
    feeding_words,
    opening_words,
    where_words,
)
from elec.finding import Finding, Verdict
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.working import within

Judged = tuple[Verdict, str]
ORDER = (Verdict.FAIL, Verdict.CANNOT_TELL, Verdict.PASS)


@check(
    "Every short is cleared, whichever source feeds it",
    sources=(
        Cite("ac4313", "11-47", "seen"),
        Cite("cfr_23", "23.1357(a)", "quoted"),
        Cite("elec", "shorts with every source feeding", "computed"),
    ),
    heats=True,
)
def short_cleared(study: Study) -> Iterator[Finding]:
    """A wire between two sources is fed from both ends: a device at one end does not guard it.

    Each power wire is shorted at both ends, in normal flight and after changing over, with every
    battery and alternator feeding. Devices take their longest time, one after the other. It fails
    where a battery feeds on, and where a wire is damaged even if every device is the quickest of
    its class; the races in between are device-in-time's. What an alternator alone feeds on
    its wire has to bear, until its field is off. Fit a second device where the other source is:
    `far-end: {limiter: auto}`; an alternator's limiter belongs at the bus.
    """
    for shorted in shorts(study).by_name.values():
        if shorted.kind != "bus" and not without(study, shorted):
            yield _finding(study, shorted)


def _finding(study: Study, shorted: Shorted) -> Finding:
    verdict, text = Verdict.CANNOT_TELL, f"What a short drives cannot be told: {shorted.unknown}."
    if not shorted.unknown:
        verdict, text = _judged(study, shorted)
    chain = chains(study).by_name[shorted.name]
    far = chain.far_end.replace("-", " ")
    remedy = sentence(shorted.ask or "give what is missing: a length, a rating, a curve")
    if verdict is Verdict.FAIL:
        remedy = (
            f"Fit a second device at {far}: far-end: {{limiter: auto}}. Or let it begin there "
            f"(from: {chain.far_end}, to: {chain.source_end}), so that its device sits there."
            if chain.kind == "feeder" and chain.far is None
            else "Take a quicker or smaller device, or a thicker wire."
        )
    return answer(study, shorted.name, verdict, text, at=shorted.path, remedy=remedy)


def _judged(study: Study, shorted: Shorted) -> Judged:
    if shorted.name in bare(study):
        return (
            Verdict.PASS,
            "It may go without a device, and bears a short until somebody switches off.",
        )
    found = [
        _course(study, shorted, short, course) for short in shorted.shorts
        for course in short.courses
    ]  # fmt: skip
    worst = min(found, key=lambda pair: ORDER.index(pair[0]))
    if worst[0] is not Verdict.PASS:
        return worst
    cut = min(
        (pair for short in shorted.shorts for pair in _without(study, shorted, short)),
        key=lambda pair: ORDER.index(pair[0]),
        default=worst,
    )
    return cut if cut[0] is not Verdict.PASS else (Verdict.PASS, _passing(study, shorted))


def _without(study: Study, shorted: Shorted, short: Short) -> Iterator[Judged]:
    """The same where a management system takes a battery away, or may."""
    if short.cut is None:
        return
    for course in short.cut.courses:
        verdict, text = _course(study, shorted, short, course)
        if verdict is Verdict.FAIL and short.cut.missing:
            verdict = Verdict.CANNOT_TELL
        yield verdict, f"{sentence(cut_words(study, short.cut))} Then: {text}" if text else ""


def _course(study: Study, shorted: Shorted, short: Short, course: ShortCourse) -> Judged:
    head = f"Shorted {where_words(shorted, short)}, {amps(course.drives_a)} run into it; "
    opens = opening_words(study, course, shorted.name)
    head += opens
    if course.unsure:
        names = [device_words(study, key, shorted.name) for key in course.unsure]
        return (
            Verdict.CANNOT_TELL,
            f"{head}, but no curve tells when {' or '.join(names)} opens so great a current.",
        )
    burnt = [(part, name) for name, (part, _) in course.heated.items() if part >= 1
             and math.isfinite(course.cleared_s)]  # fmt: skip
    if burnt:
        name = max(burnt)[1]
        wire = chains(study).by_name[name.rpartition("/")[0]].title
        awg = sizing(study).gauges[name].awg
        return (
            Verdict.FAIL,
            f"{head}. AWG {awg} of {wire} is damaged before, even with the quickest devices.",
        )
    if math.isfinite(course.cleared_s):
        return Verdict.PASS, ""
    lasting = lasting_alternator_a(study, course.left_from)
    if math.isinf(lasting):
        feeds = feeding_words(study, course)
        feed = "feeds" if len(course.left_from) == 1 else "feed"
        text = f"{head}, and {feeds} {feed} on {amps(course.left_a)} that nothing takes off."
        return Verdict.FAIL, text
    wires = [
        heat(study)[c.id]
        for c in chains(study).by_name[shorted.name].conductors()
        if c.role == "feed" and c.id in heat(study)
    ]
    bears = min((wire.allowed_a for wire in wires), default=math.inf)
    if not within(lasting, bears):
        text = f"{head}, then {feeding_words(study, course)} alone feeds it with {amps(lasting)}; "
        return Verdict.FAIL, f"{text}its wire may carry {amps(bears)}."
    return Verdict.PASS, ""


def _passing(study: Study, shorted: Shorted) -> str:
    """The short that takes longest, and whether an alternator feeds on."""
    every = [(short, course) for short in shorted.shorts for course in short.courses]
    closed = [pair for pair in every if pair[1].opened]
    text = ""
    if closed:
        short, course = max(closed, key=lambda pair: pair[1].opened[-1].at_s)
        text = (
            f"At either end a short is cleared. Slowest {where_words(shorted, short)}: "
            f"{amps(course.drives_a)}, {opening_words(study, course, shorted.name)}."
        )
    fed = [course for _, course in every if math.isinf(course.cleared_s)]
    if fed:
        most = max(fed, key=lambda course: lasting_alternator_a(study, course.left_from))
        names = feeding_words(study, most)
        lasting = amps(lasting_alternator_a(study, most.left_from))
        feed = "feeds" if len(most.left_from) == 1 else "feed"
        text += (
            f" {names[:1].upper()}{names[1:]} alone then {feed} it, {lasting} that its wire bears."
        )
    return text.strip()
