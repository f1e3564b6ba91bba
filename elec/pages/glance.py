"""The answers at a glance: what a page shows before anybody scrolls.

In: tables, sentences and findings that stand elsewhere. Out: `Answer`s, each with where it leads
to and, where there is more than a word to it, bars. Nothing is judged here.
"""

import math
from collections.abc import Callable, Iterator

from msgspec import Struct

from elec.answers.build.closing import closing
from elec.answers.failures.planned import endurance_known, lasting_cases, planned
from elec.answers.loads.margins import Margin, margins_by_condition, names_of
from elec.check import verdict_of
from elec.finding import Finding, Verdict
from elec.pages.columns import phase_title
from elec.pages.failures.page import failures_lead
from elec.pages.loads.endurance import endurance_summary
from elec.pages.loads.leads import endurance_lead, loads_lead, short
from elec.pages.told import told_id
from elec.study import Study

OPEN = (Verdict.FAIL, Verdict.ADVISE, Verdict.CANNOT_TELL)
WORST = 6
"""So many findings in a line each; the others are counted."""
FAILS, CARRIES, LASTS = "What fails?", "Does it carry?", "How long without?"
STOPS, ZONES = "What if one thing fails?", "What may be closed?"

LONG = 40
"""So many characters say what helps; a shorter sentence takes the next with it."""


class AnswerBar(Struct, frozen=True, kw_only=True):
    """One bar: how long, how long it may be at most, and what it says in words."""

    label: str
    value: float
    whole: float
    """The value of a bar as long as the picture is wide."""
    limit: float | None
    text: str
    verdict: str = ""


class Answer(Struct, frozen=True, kw_only=True):
    """One question with its answer; `ref` is where the book says more."""

    question: str
    text: str
    ref: str
    verdict: str = ""
    bars: tuple[AnswerBar, ...] = ()
    lines: tuple[tuple[str, str], ...] = ()
    """Further lines, each with where it leads to."""
    helps: tuple[str, ...] = ()
    """What helps, of each of the first lines; empty where nothing is known to."""
    before: bool = False
    """Whether it is of before the last save, since it is not known anew yet."""
    supposed: bool = False
    """Whether it supposes gauges and devices of before the last save, not yet chosen anew."""


class GlanceQuestion(Struct, frozen=True, kw_only=True):
    """One question of the first screen, and what has to be known to answer it."""

    question: str
    make: Callable[[Study, tuple[Finding, ...]], Iterator[Answer]]
    """From the study and the findings of at least the checks that it waits for."""
    waits_for: Callable[[str], bool]
    """Whether it cannot be answered before that check is asked."""


def glance(study: Study, found: tuple[Finding, ...]) -> tuple[Answer, ...]:
    """The answers, in the order in which somebody asks who is about to fly or to buy."""
    return tuple(answer for part in PARTS for answer in answers_of(part, study, found))


def answers_of(
    part: GlanceQuestion, study: Study, found: tuple[Finding, ...]
) -> tuple[Answer, ...]:
    """What one part says; empty where there is nothing to say."""
    return tuple(answer for answer in part.make(study, found) if answer.text)


def _findings(_: Study, found: tuple[Finding, ...]) -> Iterator[Answer]:
    bad = [one for one in found if one.verdict in OPEN]
    counts = [(sum(f.verdict is v for f in bad), v.value.replace("-", " ")) for v in OPEN]
    said = ", ".join(f"{n} {word}" for n, word in counts if n) or "Nothing fails or is advised."
    lines = [(f"{one.verdict.value}: {_first(one)}", told_id(one)) for one in bad[:WORST]]
    remedies = [_short(one.remedy) for one in bad[:WORST]]
    nexts = [*remedies[1:], ""]
    helps = ["" if text == next_ else text for text, next_ in zip(remedies, nexts, strict=True)]
    if len(bad) > WORST:
        lines.append((f"{len(bad) - WORST} more", "findings"))
    worst = bad[0].verdict.value if bad else "pass"
    yield Answer(question=FAILS, text=said, ref="findings", verdict=worst,
                 lines=tuple(lines), helps=tuple(helps))  # fmt: skip


def _short(remedy: str) -> str:
    """As many of its sentences as say something.

    >>> _short("Good for planning. Measure them once fitted, and write basis: measured. Or not.")
    'Good for planning. Measure them once fitted, and write basis: measured.'
    """
    said = ""
    for sentence in remedy.rstrip(".").split(". "):
        said += f"{sentence}. "
        if len(said) > LONG:
            break
    return said.strip() if remedy else ""


def _first(finding: Finding) -> str:
    """What it is about, and its first sentence."""
    sentence = finding.sentence.splitlines()[0].split(". ")[0].rstrip(".")
    return sentence if finding.about in sentence else f"{finding.about}: {sentence}"


def carries(study: Study, _: tuple[Finding, ...] = ()) -> Iterator[Answer]:
    """Whether the sources carry the loads, with what is left in every phase."""
    every = list(margins_by_condition(study).values())
    if not every:
        return
    known = [m for m in every if m.spare_a is not None and not m.unknown]
    whole = max((m.can_a or 0.0 for m in every), default=0.0)
    whole = max(whole, *(m.share.carried_a for m in every)) or 1.0
    several = len({m.sources for m in every}) > 1
    worse: dict[tuple[tuple[str, ...], str], Margin] = {}
    for margin in known:  # of day and night the finding about a phase speaks of the worse
        at = margin.sources, margin.phase
        if at not in worse or (margin.spare_a or 0.0) < (worse[at].spare_a or 0.0):
            worse[at] = margin
    bars = tuple(
        _margin(study, m, whole, several=several, worse=worse.get((m.sources, m.phase), m) is m)
        for m in every
    )
    least = min(known, key=lambda m: m.spare_a or 0.0, default=None)
    text = _left(study, least) if least else " ".join(loads_lead(study)[:1])
    verdicts = [bar.verdict for bar in bars]
    worst = next((v.value for v in Verdict if v.value in verdicts), "")
    yield Answer(question=CARRIES, text=text, ref="loads", verdict=worst, bars=bars)


def _left(study: Study, least: Margin) -> str:
    """What is left where least is."""
    if (least.spare_a or 0.0) < 0:
        return short(study, least)
    where = f"{phase_title(study, least.phase)} by {least.condition}"
    return f"Least is left in {where}: {least.spare_a:.1f} A."


def _margin(study: Study, margin: Margin, whole: float, *, several: bool, worse: bool) -> AnswerBar:
    judged = verdict_of(study, margin.about, "alternator-margin", "alternator-idle")
    verdict = judged if worse else None
    load, can = margin.share.carried_a, margin.can_a
    who = f"{names_of(study, margin.sources)}, " if several else ""
    more = " + ?" if margin.unknown else ""
    of = f"of {can:.1f} A" if can is not None else "of ? A"
    return AnswerBar(
        label=f"{who}{phase_title(study, margin.phase)}, {margin.condition}",
        value=load,
        whole=whole,
        limit=can,
        text=f"{load:.1f}{more} {of}",
        verdict=verdict.value if verdict else "",
    )


def _lasts(study: Study, _: tuple[Finding, ...]) -> Iterator[Answer]:
    cases = lasting_cases(study)
    if not cases or not endurance_known(study):
        return
    chosen = planned(study)
    minutes = [one.minutes or 0.0 for one in cases if not math.isinf(one.minutes or 0.0)]
    whole = max(minutes, default=1.0)
    table = endurance_summary(study)
    place = {column.key: k for k, column in enumerate(table.columns)}
    bars = tuple(
        AnswerBar(
            label=f"{row[place['lost']]}; {row[place['battery']]}"
            f"{' – plan with this' if one == chosen else ''}",
            value=min(one.minutes or 0.0, whole),
            whole=whole,
            limit=None,
            text=f"{one.printed} min",
        )
        for one, row in zip(cases, table.rows, strict=True)
    )
    yield Answer(question=LASTS, text=" ".join(endurance_lead(study)[:2]),
                 ref="endurance", bars=bars)  # fmt: skip


def _stops(study: Study, found: tuple[Finding, ...]) -> Iterator[Answer]:
    leads = failures_lead(study)
    about = [f for f in found if f.check.startswith("failure") and f.verdict is not Verdict.PASS]
    # No mark where nothing is against it: what takes loads beside what its own wire feeds is told,
    # and that no check asks for more is no praise of it.
    worst = next((v.value for v in Verdict if any(f.verdict is v for f in about)), "")
    yield Answer(question=STOPS, text=" ".join(leads[:1]),
                 ref="failures-section", verdict=worst)  # fmt: skip


def _closest(check: str, question: str) -> GlanceQuestion:
    """What comes nearest to the limit of one check, in the table of wires."""

    def make(_: Study, found: tuple[Finding, ...]) -> Iterator[Answer]:
        some = [f for f in found if f.check == check and f.value is not None and f.limit]
        if some:
            worst = max(some, key=lambda f: (f.value or 0.0) / (f.limit or 1.0))
            yield Answer(question=question, text=_first(worst), ref="wires-section",
                         verdict=worst.verdict.value)  # fmt: skip

    return GlanceQuestion(question=question, make=make, waits_for=lambda name: name == check)


def _zones(study: Study, found: tuple[Finding, ...]) -> Iterator[Answer]:
    failed = [one for one in found if one.verdict is Verdict.FAIL]
    states = [closing(study, zone, failed) for zone in study.document.zones]
    if not states:
        return
    held = [one for one in states if not one.may_close]
    text = f"{len(held)} of {len(states)} zones are held open." if held else "Nothing holds one."
    lines = tuple((f"{one.title}: {len(one.holding)} to do", f"close-{one.zone}") for one in held)
    yield Answer(question=ZONES, text=text, ref="zones", lines=lines)


PARTS = (
    GlanceQuestion(question=FAILS, make=_findings, waits_for=lambda _: True),
    GlanceQuestion(question=CARRIES, make=carries, waits_for=lambda _: False),
    GlanceQuestion(question=LASTS, make=_lasts, waits_for=lambda _: True),
    GlanceQuestion(question=STOPS, make=_stops, waits_for=lambda _: True),
    _closest("wire-drop", "Worst drop"),
    _closest("wire-heat", "Hottest wire"),
    GlanceQuestion(question=ZONES, make=_zones, waits_for=lambda _: True),
)
"""In the order of the screen; what takes long to work out waits until it is known what fails."""
