"""Does the alternator carry every phase with room to charge the battery?"""

from collections.abc import Iterator

from elec.analyses.limits import limit
from elec.analyses.margins import Margin, margins
from elec.check import check
from elec.checks.answer import amps, answer, apart, listed, passes, percent, tightened
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "The alternator carries every phase of flight with room to spare",
    sources=(Cite("ac4313", "11-35", "seen"), Cite("retrofit", "load analysis", "seen")),
    limits=("generator-share", "generator-share-landing"),
)
def alternator_margin(study: Study) -> Iterator[Finding]:
    """What the alternator cannot give comes out of the battery, and it charges only from the rest.

    Lasting loads may use 80 % of the rated output; 95 % in take-off and landing with pitot heat
    and landing light on together, if it is 80 % without the light. Shed or swap a load (LED for
    filament), placard which loads go together, or fit a larger alternator.
    """
    for found in margins(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: Margin) -> Finding:
    usual, landing = limit(study, "generator-share"), limit(study, "generator-share-landing")
    share, without = found.share, found.without_landing
    path = ("sources", found.carrying[0])
    if share is None or without is None:
        return answer(
            study,
            found.phase,
            Verdict.CANNOT_TELL,
            f"The load is {amps(found.load_a)}; what the alternator is rated for is not given.",
            at=path,
            remedy="Give its rating, or its output over engine speed.",
            unit="A",
        )
    excepted = found.landing and landing.allows(share) and usual.allows(without)
    good = usual.allows(share) or excepted
    rule = landing if excepted and not usual.allows(share) else usual
    verdict = passes(good)
    if good and found.unknown:
        verdict = Verdict.CANNOT_TELL
    return answer(
        study,
        found.phase,
        verdict,
        _sentence(study, found, share, rule.value) + tightened(rule),
        at=path,
        remedy=_remedy(found, usual.value),
        value=share,
        limit=rule.value,
        working=lambda: found.working,
    )


def _sentence(study: Study, found: Margin, share: float, rule: float) -> str:
    used, allowed = apart(share * 100, rule * 100, "%", 0)
    names = listed(study.system.title("sources", name) for name in found.carrying)
    text = (
        f"{study.system.title('phases', found.phase)}, {found.condition}: {amps(found.load_a)} of "
        f"the {found.rated_a:g} A that {names} {'is' if len(found.carrying) == 1 else 'are'} rated "
        f"for, {used} of {allowed} allowed."
    )
    if found.landing:
        off = percent(found.without_landing or 0.0)
        text += f" Pitot heat and landing light are on together; without the light it is {off}."
    if found.unknown:
        names = listed(study.system.title("equipment", name) for name in found.unknown)
        text += f" Not counted, for its current is not known: {names}."
    return text


def _remedy(found: Margin, share: float) -> str:
    if found.unknown:
        return "Read the missing current off the label, or measure it."
    over = found.load_a - share * (found.rated_a or 0.0)
    return (
        f"{amps(over)} less would do. Look for the largest in the load analysis: an LED for a "
        "filament lamp, a heater by turns; or say on a placard which loads do not go together."
    )
