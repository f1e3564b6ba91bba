"""Is the bundle held often enough?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import length
from elec.checks.compare import compare
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit
from elec.wiring.ways import way_map

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
        leg = way_map(study).legs[index]
        title = way.title
        short = leg.length_m is not None and most.allows(leg.length_m)
        if way.conduit_m is None and not (way.supports_m is None and short):
            yield compare(
                study,
                title,
                at=("ways", index) if way.supports_m is None else ("ways", index, "supports"),
                value=way.supports_m,
                limit=most,
                unit="m",
                says=f"{title}: {length(study, way.supports_m)} between supports of "
                f"{length(study, most.value)}.",
                remedy="Put another clamp between them.",
                unknown=f"{title}: how far apart its supports stand is not said.",
                ask="Measure the greatest distance and give it as supports: on the way; "
                f"{length(study, most.value)} is allowed.",
            )
