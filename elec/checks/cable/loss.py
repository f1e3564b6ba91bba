"""Does enough of the signal reach the antenna?"""

from collections.abc import Iterator

from elec.answers.connect.coax_loss import CoaxLoss, coax_losses
from elec.check import check
from elec.checks.answer import longest_run, run_length
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.working import within

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
        yield _too_little(study, found) if _is_too_little(found) else _finding(study, found)


def _is_too_little(found: CoaxLoss) -> bool:
    """Whether it keeps what is allowed, but not what an amplified antenna asks."""
    if found.worst_db is None or found.allowed_db is None or not found.asked_db:
        return False
    known = found.nominal_db is not None and within(found.nominal_db, found.asked_db, "at least")
    return within(found.worst_db, found.allowed_db) and not known


def _finding(study: Study, found: CoaxLoss) -> Finding:
    untold = None in (found.worst_db, found.allowed_db, found.length_m)
    nominal = f", {found.nominal_db:.1f} dB to be expected" if found.nominal_db is not None else ""
    least = f" and asks {found.asked_db:.1f} dB at least" if found.asked_db else ""
    long = run_length(study, found.length_m)
    return compare(
        study,
        found.cable,
        at=study.document.cable_path(found.cable),
        value=None if untold else found.worst_db,
        limit=found.allowed_db,
        unit="dB",
        digits=1,
        says=lambda lost, allowed: (
            f"{found.title}: {long} of {found.type} lose {lost} at {found.frequency_mhz:g} MHz at "
            f"the worst{nominal}; {found.service} allows {allowed}{least}."
        ),
        remedy=f"Shorten it to {longest_run(study, found.longest_m)}, or take a type that "
        "loses less.",
        unknown=f"{found.title}: its loss cannot be told: {found.unknown}.",
        ask=found.missing,
        working=None if untold else lambda: found.working,
        sources=() if untold else (found.source, str(LAW)),
    )


def _too_little(study: Study, found: CoaxLoss) -> Finding:
    given = study.document.cables[found.cable].least_loss_db is not None
    untold = found.nominal_db is None
    length, who = run_length(study, found.length_m), "its manual" if given else found.service
    return compare(
        study,
        found.cable,
        at=study.document.cable_path(found.cable),
        value=found.nominal_db,
        limit=found.asked_db,
        rule="at least",
        unit="dB",
        digits=1,
        otherwise=Verdict.FAIL if given else Verdict.ADVISE,
        says=lambda lost, asked: (
            f"{found.title}: {length} of {found.type} are expected to lose {lost} at "
            f"{found.frequency_mhz:g} MHz; {who} asks {asked} at least, so that the receiver is "
            "not overloaded."
        ),
        remedy="Read both manuals: take the length or the attenuator that they ask, or give "
        "least-loss: 0 dB where they ask nothing.",
        unknown=f"{found.title}: whether {found.type} loses enough for an amplified antenna cannot "
        "be told: its expected loss is not published here.",
        ask="Compare the data sheet of the cable with the radio's manual.",
        working=None if untold else lambda: found.nominal_working,
        sources=() if untold else (found.source, str(LAW)),
    )
