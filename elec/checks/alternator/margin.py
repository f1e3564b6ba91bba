"""Does each alternator carry every phase with room to charge the battery?"""

from collections.abc import Iterator

from elec.answers.loads.margins import Margin, keeps_rule, rule_of, the, worst
from elec.check import check
from elec.checks.answer import amps, apart, listed, percent
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Each alternator carries every phase of flight with room to spare",
    sources=(Cite("ac4313", "11-35", "seen"), Cite("retrofit", "load analysis", "seen")),
    limits=("generator-share", "generator-share-landing"),
)
def alternator_margin(study: Study) -> Iterator[Finding]:
    """What the alternator cannot give comes out of the battery, and it charges only from the rest.

    All that may be on together for more than five minutes may ask 80 % of its rated output; 95 % in
    take-off and landing with pitot heat and landing light on together, if it is 80 % without the
    light. Averages count for the battery's charge only (alternator-idle). Each alternator carries
    what the solved network asks of it; outputs are added only where they carry one bus together.
    Shed or swap a load (LED for filament), placard which loads go together, or fit a larger one.
    """

    def key(margin: Margin) -> tuple[float, ...]:
        kept = keeps_rule(study, margin)
        return (float(not kept), margin.share.asked_a, float(len(margin.unknown)))

    for found in worst(study, key):
        yield _finding(study, found)


def _finding(study: Study, found: Margin) -> Finding:
    rule, share = rule_of(study, found), found.used_part if found.share.solved else None
    why = "what the alternator is rated for is not given"
    return compare(
        study,
        found.about,
        at=("sources", found.sources[0]),
        value=share,
        limit=None if share is None else rule,
        unsure=(Verdict.PASS,) if found.unknown else (),
        says="" if share is None else _sentence(study, found, share, rule.value),
        remedy=lambda: _remedy(found, rule.value),
        unknown=f"Lasting loads ask {amps(found.share.asked_a)}; "
        f"{why if found.share.solved else 'the network has no solution'}.",
        ask=""
        if share is not None
        else "Give its rating, or its output over engine speed."
        if found.share.solved
        else "See network-solved.",
        working=None if share is None else lambda: found.used,
    )


def _sentence(study: Study, found: Margin, share: float, rule: float) -> str:
    used, allowed = apart(share * 100, rule * 100, "%", 0)
    added = ", added, for they carry one bus together" if len(found.sources) > 1 else ""
    text = (
        f"{study.system.title('phases', found.phase)}, {found.condition}: what may be on "
        f"together for more than five minutes asks {amps(found.share.asked_a)} of "
        f"{the(study, found.sources)}, rated {found.rated_a:g} A{added}: {used} used, "
        f"{allowed} allowed."
    )
    if found.landing:
        off = percent(found.used_without_lights)
        text += f" Pitot heat and landing light are on together; without the light it is {off}."
    if found.unknown:
        names = listed(study.system.title("equipment", name) for name in found.unknown)
        text += f" Not counted, for its current is not known: {names}."
    return text


def _remedy(found: Margin, share: float) -> str:
    if found.unknown:
        return "Read the missing current off the label, or measure it."
    assert found.rated_a is not None  # noqa: S101 - asked where its share is known
    over = found.share.asked_a - share * found.rated_a
    return (
        f"{amps(over)} less would do. Look for the largest in the load analysis: an LED for a "
        "filament lamp, a heater by turns; or say on a placard which loads do not go together."
    )
