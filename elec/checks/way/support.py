"""Is the bundle held often enough?"""

from collections.abc import Iterator

from elec.analyses.limits import limit
from elec.analyses.ways import way_map
from elec.check import check
from elec.checks.answer import answer, length, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study

RULE = Cite("ac4313", "11-96", "seen")


@check(
    "Supports stand close enough",
    sources=(RULE,),
    limits=("support-spacing",),
    given="supports on ways",
)
def way_support(study: Study) -> Iterator[Finding]:
    """A bundle that swings chafes, and pulls at its terminals.

    Clamps with a cushion, metal stand-offs; no tape, no tie as the only hold. Between supports a
    hand must not push it more than half an inch to the side. In a tube no supports are asked.
    """
    most = limit(study, "support-spacing")
    if all(way.supports_m is None for way in study.document.ways):
        return  # nobody measures supports before the bundle hangs; the closing list asks for them
    for index, way in enumerate(study.document.ways):
        if way.conduit_m is not None:
            continue
        leg = way_map(study).legs[index]
        title = way.name or leg.title
        if way.supports_m is not None:
            yield answer(
                study,
                title,
                passes(most.allows(way.supports_m)),
                f"{title}: {length(study, way.supports_m)} between supports of "
                f"{length(study, most.value)}.",
                at=("ways", index, "supports"),
                remedy="Put another clamp between them.",
                value=way.supports_m,
                limit=most.value,
                unit="m",
            )
        elif leg.length_m is None or not most.allows(leg.length_m):
            yield answer(
                study,
                title,
                Verdict.CANNOT_TELL,
                f"{title}: how far apart its supports stand is not said.",
                at=("ways", index),
                remedy=f"Measure the greatest distance and give it as supports: on the way; "
                f"{length(study, most.value)} is allowed.",
                limit=most.value,
                unit="m",
            )
