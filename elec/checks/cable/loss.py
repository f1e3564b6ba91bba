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
    "No coaxial cable loses more than its radio allows",
    sources=(Cite("trade", "antenna cable losses", "memory"), LAW),
)
def cable_loss(study: Study) -> Iterator[Finding]:
    """Two decibels lose a third of the power, and a transponder that is too weak is not seen.

    Counted is the worst credible curve of the type, with a connector at each end. Shorten the
    cable, move the radio or the antenna, or take a type that loses less. The allowance is a usual
    one: the manual of the radio decides.
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
    return answer(
        study,
        found.cable,
        passes(found.worst_db <= found.allowed_db * (1 + 1e-9)),
        f"{found.title}: {run_length(study, found.length_m)} of {found.type} lose {lost} at "
        f"{found.frequency_mhz:g} MHz at the worst{nominal}; {found.service} allows {allowed}.",
        at=at,
        remedy=f"Shorten it to {longest}, or take a type that loses less.",
        value=found.worst_db,
        limit=found.allowed_db,
        unit="dB",
        working=lambda: found.working,
        sources=(found.source, str(LAW)),
    )
