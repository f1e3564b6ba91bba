"""Does each alternator alone carry what stays on when the others have failed?"""

from collections.abc import Iterator

from elec.answers.failures.failure_battery import LONG_MIN
from elec.answers.failures.left_alone import LeftAlone, left_alone
from elec.answers.loads.margins import left_a, the
from elec.answers.loads.sharing import alternators
from elec.check import check
from elec.checks.answer import amps, answer, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.units import whole_minutes
from elec.working import within


@check(
    "Each alternator alone carries what stays on after shedding, or the battery helps long enough",
    sources=(
        Cite("cfr_23_64", "23.2525(b)", "seen"),
        Cite("elec", "an alternator alone", "judgement"),
    ),
)
def alternator_alone(study: Study) -> Iterator[Finding]:
    """A second alternator is often a small one, and a builder counts on it more than it gives.

    Each is solved with all others failed and what the pilot sheds switched off. What it lacks comes
    out of a battery: that has to last for the phase, or for the time asked of the battery alone
    (battery-endurance). Shed more (`shed: at once`), let its field live after shedding, or land
    within what is said here.
    """
    for name in alternators(study):
        every = [one for one in left_alone(study).values() if one.alternator == name]
        if every:
            yield _finding(study, name, every)


def _finding(study: Study, name: str, every: list[LeftAlone]) -> Finding:
    title = the(study, (name,))
    start = f"{title[:1].upper()}{title[1:]} alone, loads shed,"
    at = ("sources", name)
    unknown = [one for one in every if not one.known]
    if unknown:
        phase = study.system.title("phases", unknown[0].margin.phase)
        return answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"{start} carries what cannot be told: in {phase} its output, a current or the "
            "solution of the network is not known.",
            at=at,
            remedy="Give output over engine speed, the speeds of all phases and the missing "
            "currents; see also network-solved.",
        )
    if all(one.dead for one in every):
        return answer(
            study,
            name,
            Verdict.ADVISE,
            f"{start} gives nothing in any phase: what feeds its field is shed or dead.",
            at=at,
            remedy="Do not shed what feeds its field, or feed that from the essential bus.",
        )
    worst = min(every, key=lambda one: (one.enough, left_a(one.margin)))
    short = [
        one
        for one in every
        if not (one.carries and within(one.elsewhere_min, one.asked_min, "at least"))
    ]
    margin = worst.margin
    if not short:
        where = f"{study.system.title('phases', margin.phase)} by {margin.condition}"
        text = (
            f"{start} carries what stays on in every phase; least is left in {where}: "
            f"{amps(left_a(margin))} of {amps(margin.can_a)}."
        )
    else:
        text = f"{start} does not carry all that stays on in {listed(_said(study, short))}."
    return answer(
        study,
        name,
        Verdict.PASS if all(one.enough for one in every) else Verdict.ADVISE,
        text,
        at=at,
        remedy="Shed more (shed: at once), take a larger one, or plan to land within that time.",
        value=left_a(margin),
        limit=0.0,
        unit="A",
    )


def _said(study: Study, short: list[LeftAlone]) -> Iterator[str]:
    for one in short:
        phase = study.system.title("phases", one.margin.phase)
        asked = whole_minutes(one.asked_min)
        if one.dead:
            yield f"{phase} (it gives nothing)"
        elif one.margin.short:
            yield (
                f"{phase} ({amps(-left_a(one.margin))} short; the battery helps "
                f"{_minutes(one.helped_min)}, {asked} min asked)"
            )
        else:
            yield (
                f"{phase} (a battery elsewhere gives {amps(one.margin.share.others_a)} for "
                f"{_minutes(one.elsewhere_min)}, {asked} min asked)"
            )


def _minutes(minutes: float) -> str:
    if minutes >= LONG_MIN:
        return "a day and more"
    return f"{whole_minutes(minutes)} min"
