"""Does what was measured agree with what was computed?"""

from collections.abc import Iterator

from elec.answers.doubt.measured import Comparison, comparisons, spoken
from elec.check import check
from elec.checks.answer import answer, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "What was measured agrees with what was computed",
    sources=(Cite("elec", "measured values", "judgement"), Cite("elec", "ring-out", "judgement")),
    given="measured",
)
def measured_agrees(study: Study) -> Iterator[Finding]:
    """A value that is off is the first sign of a poor joint, a wrong wire or a wrong label.

    Measured values count in place of computed ones in everything else that elec says; this check
    compares them with the system as it was designed. A short circuit or a wire without insulation
    fails; what is off otherwise wants an explanation: find it, or accept this with it.
    """
    for found in comparisons(study):
        yield _finding(study, found)


def _finding(study: Study, found: Comparison) -> Finding:
    about = found.about if found.quantity == "resistance" else f"{found.about}, {found.quantity}"
    value = spoken(found.measured, found.unit)
    if found.expected is None:
        return answer(
            study,
            about,
            Verdict.CANNOT_TELL,
            f"{found.title}: {value} measured; {found.unknown}.",
            at=found.path,
            remedy="Give what is missing, so that it can be compared.",
            value=found.measured,
            unit=found.unit,
        )
    if found.quantity == "insulation":
        text = f"at least {spoken(found.low, found.unit)} is asked of a new wire"
    else:
        band = f"{spoken(max(found.low, 0.0), found.unit)} to {spoken(found.high, found.unit)}"
        text = f"{spoken(found.expected, found.unit)} expected, {band} agrees"
    off = Verdict.FAIL if found.quantity == "insulation" else Verdict.ADVISE
    return answer(
        study,
        about,
        passes(found.agrees is True, off),
        f"{found.title}: {found.quantity} {value} measured; {text}.",
        at=found.path,
        remedy=found.cause,
        value=found.measured,
        limit=found.low if found.measured < found.low else found.high,
        unit=found.unit,
        working=found.working,
    )
