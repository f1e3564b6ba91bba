"""Does enough of the signal reach the antenna?"""

from collections.abc import Iterator

from elec.analyses.coax_loss import CoaxLoss, coax_losses
from elec.check import check
from elec.checks.answer import answer, apart, longest_run, passes, run_length
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study

LAW = Cite("mil_c_17", "two-term law", "seen")


@check(
    "No coaxial cable loses more than its radio allows, nor less than an amplified antenna asks",
    sources=(Cite("trade", "antenna cable losses", "memory"), LAW),
)
def cable_loss(study: Study) -> Iterator[Finding]:
    """Two decibels lose a third of the power, and a transponder that is too weak is not seen.

    Counted is the worst credible curve of the type, with a connector at each end. Shorten the
    cable, move the radio or the antenna, or take a type that loses less. Behind an amplified
    antenna a cable that loses too little overloads the receiver: there the expected curve counts.
    Both are usual values: the manual of the radio decides (`loss`, `least-loss`).
    """
    for found in coax_losses(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: CoaxLoss) -> Finding:
    at = ("cables", found.cable)
    if found.worst_db is None or found.allowed_db is None or found.length_m is None:
        return answer(
            study,
            found.cable,
            Verdict.CANNOT_TELL,
            f"{found.title}: its loss cannot be told: {found.unknown}.",
            at=at,
            remedy=found.missing,
            limit=found.allowed_db,
            unit="dB",
        )
    lost, allowed = apart(found.worst_db, found.allowed_db, "dB", 1)
    nominal = f", {found.nominal_db:.1f} dB to be expected" if found.nominal_db is not None else ""
    longest = longest_run(study, found.longest_m or 0.0)
    good = found.worst_db <= found.allowed_db * (1 + 1e-9)
    if good and (found.nominal_db or 0.0) < found.asked_db * (1 - 1e-9):
        return _too_little(study, found)
    least = f" and asks {found.asked_db:.1f} dB at least" if found.asked_db else ""
    return answer(
        study,
        found.cable,
        passes(good),
        f"{found.title}: {run_length(study, found.length_m)} of {found.type} lose {lost} at "
        f"{found.frequency_mhz:g} MHz at the worst{nominal}; {found.service} allows {allowed}"
        f"{least}.",
        at=at,
        remedy=f"Shorten it to {longest}, or take a type that loses less.",
        value=found.worst_db,
        limit=found.allowed_db,
        unit="dB",
        working=lambda: found.working,
        sources=(found.source, str(LAW)),
    )


def _too_little(study: Study, found: CoaxLoss) -> Finding:
    at = ("cables", found.cable)
    given = study.document.cables[found.cable].least_loss_db is not None
    if found.nominal_db is None:
        return answer(
            study,
            found.cable,
            Verdict.CANNOT_TELL,
            f"{found.title}: whether {found.type} loses enough for an amplified antenna cannot be "
            "told: its expected loss is not published here.",
            at=at,
            remedy="Compare the data sheet of the cable with the radio's manual.",
            limit=found.asked_db,
            unit="dB",
        )
    lost, asked = apart(found.nominal_db, found.asked_db, "dB", 1)
    length, who = run_length(study, found.length_m or 0.0), "its manual" if given else found.service
    return answer(
        study,
        found.cable,
        Verdict.FAIL if given else Verdict.ADVISE,
        f"{found.title}: {length} of {found.type} are expected to lose {lost} at "
        f"{found.frequency_mhz:g} MHz; {who} asks {asked} at least, so that the receiver is "
        "not overloaded.",
        at=at,
        remedy="Read both manuals: take the length or the attenuator that they ask, or give "
        "least-loss: 0 dB where they ask nothing.",
        value=found.nominal_db,
        limit=found.asked_db,
        unit="dB",
        working=lambda: found.nominal_working,
        sources=(found.source, str(LAW)),
    )
