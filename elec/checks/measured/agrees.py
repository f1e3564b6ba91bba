"""Does what was measured agree with what was computed?"""

from collections.abc import Iterator

from elec.answers.doubt.measured import Comparison, comparisons, spoken
from elec.check import check
from elec.checks.answer import UNKNOWN
from elec.checks.compare import compare
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
    insulation, expected = found.quantity == "insulation", found.expected
    below = found.measured < found.low
    if insulation:
        text = f"at least {spoken(found.low, found.unit)} is asked of a new wire"
    else:
        band = f"{spoken(max(found.low, 0.0), found.unit)} to {spoken(found.high, found.unit)}"
        told = UNKNOWN if expected is None else spoken(expected, found.unit)
        text = f"{told} expected, {band} agrees"
    return compare(
        study,
        about,
        at=found.path,
        value=found.measured,
        limit=None if expected is None else found.low if below else found.high,
        rule="at least" if below else "at most",
        unit=found.unit,
        says=f"{found.title}: {found.quantity} {value} measured; {text}.",
        remedy=found.cause,
        otherwise=Verdict.FAIL if insulation else Verdict.ADVISE,
        unknown=f"{found.title}: {value} measured; {found.unknown}.",
        ask="Give what is missing, so that it can be compared.",
        working=lambda: found.working,
    )
