"""Where does the battery have to help a running alternator?"""

from collections.abc import Iterator

from elec.analyses.margins import Margin, margins
from elec.check import check
from elec.checks.answer import amps, answer, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.units import show


@check(
    "At its engine speed the alternator gives what each phase takes",
    sources=(Cite("mil_e_7016", "load against source in every condition", "memory"),),
)
def alternator_idle(study: Study) -> Iterator[Finding]:
    """At taxi speed an alternator gives a part of its rating, and the battery pays the difference.

    A little on the ground comes back in the climb. Switch heavy loads on later, taxi faster, or
    fit a smaller pulley. If it also happens in the air, the load is too great.
    """
    for found in margins(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: Margin) -> Finding:
    phase = study.document.phases[found.phase]
    title = study.system.title("phases", found.phase)
    rpm = phase.engine.rpm if phase.engine else None
    speed = f" at {rpm:.0f} rpm" if rpm else ""
    if found.available_a is None:
        return answer(
            study,
            found.phase,
            Verdict.CANNOT_TELL,
            f"{title}, {found.condition}: {amps(found.load_a)} are drawn; what the alternator "
            "gives "
            "then is not known.",
            at=("phases", found.phase),
            remedy="Give the engine speed of the phase and the alternator's output over speed.",
            value=found.load_a,
            unit="A",
        )
    short = found.available_a - found.load_a
    good = short >= 0
    text = (
        f"{title}, {found.condition}{speed}: {amps(found.load_a)} of {amps(found.available_a)} "
        "that "
        "it gives."
        if good
        else (
            f"{title}, {found.condition}{speed}: it gives {amps(found.available_a)} of "
            f"{amps(found.load_a)}; {amps(-short)} come out of the battery, "
            f"{found.drained_ah:.1f} Ah "
            f"in {show(found.lasts_s, 's')}."
        )
    )
    verdict = passes(good, Verdict.ADVISE)
    if good and found.unknown:
        verdict = Verdict.CANNOT_TELL
        text += " Loads of unknown current are not counted."
    return answer(
        study,
        found.phase,
        verdict,
        text,
        at=("phases", found.phase),
        remedy=(
            "Read the missing currents off the labels, or measure them."
            if good
            else "Switch heavy loads on later, keep the engine faster, or fit a smaller pulley; "
            "see that later phases put it back (alternator-recharge)."
        ),
        value=found.load_a,
        limit=found.available_a,
        unit="A",
        working=lambda: found.working,
    )
