"""Where does the battery have to help a running alternator?

Whether the battery helps is what the solved network says (`answers.loads.margins`).
"""

from collections.abc import Iterator

from elec.answers.loads.margins import Margin, margins, the
from elec.check import check
from elec.checks.answer import amps, answer, listed, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.units import show


@check(
    "At its engine speed each alternator gives what its loads take",
    sources=(Cite("mil_e_7016", "load against source in every condition", "memory"),),
)
def alternator_idle(study: Study) -> Iterator[Finding]:
    """At taxi speed an alternator gives a part of its rating, and the battery pays the difference.

    Each alternator is held against its own output, with the current that it has in the solved
    network. A little on the ground comes back in the climb. Switch heavy loads on later, taxi
    faster, or fit a smaller pulley. If it also happens in the air, the load is too great.
    """
    for found in margins(study):
        yield _finding(study, found)


def _finding(study: Study, found: Margin) -> Finding:
    phase = study.document.phases[found.phase]
    share = found.share
    title = study.system.title("phases", found.phase)
    rpm = phase.engine.rpm if phase.engine else None
    speed = f" at {rpm:.0f} rpm" if rpm else ""
    name = the(study, found.sources)
    if found.can_a is None or not share.solved:
        why = "what {} gives then is not known" if share.solved else "the network has no solution"
        return answer(
            study,
            found.about,
            Verdict.CANNOT_TELL,
            f"{title}, {found.condition}: the loads take {amps(share.carried_a)}; "
            f"{why.format(name)}.",
            at=("phases", found.phase),
            remedy="Give the engine speed of the phase and the alternator's output over speed."
            if share.solved
            else "See network-solved.",
            value=share.carried_a,
            unit="A",
        )
    good = not found.short
    text = f"{title}, {found.condition}{speed}: {_sentence(found, name)}"
    verdict = passes(good, Verdict.ADVISE)
    if good and found.unknown:
        verdict = Verdict.CANNOT_TELL
        text += " Loads of unknown current are not counted."
    return answer(
        study,
        found.about,
        verdict,
        text,
        at=("phases", found.phase),
        remedy=(
            "Read the missing currents off the labels, or measure them."
            if good
            else "Set its regulator right first (alternator-setpoint)."
            if found.can_a and not share.limited
            else "Switch heavy loads on later, keep the engine faster, or fit a smaller pulley; "
            "see that later phases put it back (alternator-recharge)."
        ),
        value=share.carried_a,
        limit=found.can_a,
        unit="A",
        working=lambda: found.left,
    )


def _sentence(found: Margin, name: str) -> str:
    share, can = found.share, amps(found.can_a)
    if not found.short:
        left = amps(found.spare_a)
        return (
            f"its loads take {amps(share.carried_a)} of the {can} that {name} can give; "
            f"{left} are left."
        )
    helps = []
    if share.drawn_a > 0:
        time = show(found.lasts_s, "s")
        helps.append(
            f"{amps(share.drawn_a)} come out of the battery, {found.drained_ah:.1f} Ah in {time}"
        )
    if share.help_a > 0:
        helps.append(f"other alternators help with {amps(share.help_a)}")
    if not found.can_a:
        return f"{name} gives nothing at that speed; {listed(helps)}."
    if share.limited:
        return f"{name} gives all that it can, {can}; {listed(helps)}."
    return (
        f"{name} gives {amps(share.given_a)} of the {can} that it can, for the battery stands "
        f"above its set-point; {listed(helps)}."
    )
