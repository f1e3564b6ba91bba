"""Does a hole or tube fit what lies in it?

Both bounds have to be passed, so that neither decides alone.
"""

from collections.abc import Iterator

from elec.answers.connect.holes import Opening, Passage, passages
from elec.check import check
from elec.checks.answer import answer, passes, tightened
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit


@check(
    "Holes and tubes are no wider than such things are",
    sources=(Cite("elec", "sense of the input", "judgement"),),
    limits=("opening-most", "opening-ratio"),
    given="holes or conduit on ways",
)
def sense_opening(study: Study) -> Iterator[Finding]:
    """A hole of 250 mm for a bundle of 10 mm is a lost decimal point, or inches for millimetres.

    `bundle-hole` then passes whatever lies there. Wide and far wider than its bundle is what is
    told; a wide tube with much in it, or a small one that is nearly empty, is usual.
    """
    for passage in passages(study).values():
        for opening in passage.openings:
            yield _finding(study, passage, opening)


def _finding(study: Study, passage: Passage, opening: Opening) -> Finding:
    given_m = opening.given_m
    most, ratio = limit(study, "opening-most"), limit(study, "opening-ratio")
    lies_m = passage.all_m
    wide = lies_m is not None and not ratio.allows(given_m / max(lies_m, 1e-9))
    good = most.allows(given_m) or not wide
    mm = f"{given_m * 1000:.0f} mm"
    lies = "?" if lies_m is None else f"{lies_m * 1000:.0f} mm"
    return answer(
        study,
        f"{passage.title}, {opening.kind}",
        passes(good, Verdict.ADVISE),
        f"{passage.title}: a {opening.kind} of {mm}."
        if good
        else f"{passage.title}: a {opening.kind} of {mm} for {lies} of wires, more than "
        f"{ratio.value:g} times as wide.{tightened(ratio)}{tightened(most)}",
        at=("ways", passage.way, "conduit" if opening.kind == "tube" else "holes"),
        remedy="Look for the decimal point and the unit.",
        value=given_m,
        limit=most.value,
        unit="m",
    )
