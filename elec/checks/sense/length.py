"""Do the lengths fit the places that they join?

Three bounds at once, two of them shares of another length; the least one is printed.
"""

from collections.abc import Iterator

from elec.answers.connect.spans import GivenLength, spans
from elec.check import check
from elec.checks.answer import answer, length, tightened
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit


@check(
    "Lengths fit the places that they join",
    sources=(Cite("textbook", "the straight line is the shortest", "computed"),),
    limits=("way-straight", "way-detour"),
)
def sense_length(study: Study) -> Iterator[Finding]:
    """A wire that is cut too short is lost, and its drop and its fault current come out wrong.

    Held against each other are the length of a way and the straight line between its places, and
    the given length of a wire and its ways. Shorter than possible fails, though the two ends lie
    as near as their places are wide (`within`); much shorter or longer than expected is advice. One
    of the two is mistyped: a unit, a digit, a sign, or a coordinate of one place.
    """
    for name, span in spans(study).items():
        yield _finding(study, name, span)


def _finding(study: Study, name: str, span: GivenLength) -> Finding:
    short, far = limit(study, "way-straight"), limit(study, "way-detour")
    rule = ""
    given, against = length(study, span.given_m), length(study, span.against_m)
    if span.given_m < span.least_m and not short.allows(span.given_m / span.against_m):
        verdict, text = Verdict.FAIL, f"shorter than is possible: {span.against} is {against}"
    elif span.nearest and not short.allows(span.given_m / max(span.against_m, 1e-9)):
        verdict, text = Verdict.ADVISE, f"{span.against} is {against} already"
        rule = tightened(short)
    elif not far.allows(span.given_m / max(span.against_m + span.reach_m, 1e-9)):
        verdict = Verdict.ADVISE
        text = f"more than {far.value:g} times {span.against}, {against}"
        rule = tightened(far)
    else:
        verdict, text = Verdict.PASS, f"{span.against} is {against}"
    return answer(
        study,
        name,
        verdict,
        f"{span.title}: written {given}, {text}.{rule}",
        at=span.path,
        remedy="Measure again and look at the unit: the length is wrong, or a station, buttline or "
        "waterline of one of the places is.",
        value=span.given_m,
        limit=span.least_m,
        unit="m",
    )
