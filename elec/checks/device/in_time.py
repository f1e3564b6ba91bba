"""Does the device open before a short damages the wire?"""

import math
from collections.abc import Iterator

from elec.analyses.chains import chains
from elec.analyses.damage import OpensInTime, opens_in_time
from elec.analyses.sizing import sizing
from elec.check import check
from elec.checks.answer import amps, answer, passes
from elec.checks.device._words import class_words, curve_sources
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.units import show

RACE = (
    Cite("elec", "damage time against opening time", "computed"),
    Cite("iec_60949", "adiabatic form", "seen"),
)


@check(
    "Every device opens before a short damages its wire",
    sources=RACE,
)
def device_in_time(study: Study) -> Iterator[Finding]:
    """Between overload and dead short lies the current at which wire and breaker run a race.

    Compared is, from where it must open up to the greatest short or its curve's end, its longest
    time with the time in which the wire gets to its emergency temperature. The bands
    of breakers are wide and partly from memory, so losing the race is advice: compare with the
    curve of the part you buy, or take a faster class, a smaller rating, a thicker wire.
    """
    for found in opens_in_time(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: OpensInTime) -> Finding:
    chain = chains(study).by_name[found.chain]
    device = sizing(study).devices[found.chain]
    at = (*chain.path, device.kind)
    if found.opens_s is None:
        return answer(
            study,
            found.chain,
            Verdict.CANNOT_TELL,
            f"{device.label}: {found.unknown}.",
            at=at,
            remedy="Compare the curve of the part you buy with the wire.",
        )
    opens = show(found.opens_s, "s") if math.isfinite(found.opens_s) else "no time that is sure"
    lasts = show(found.damaged_s, "s") if math.isfinite(found.damaged_s) else "any time"
    mark = f" ({found.limit_mark})" if found.limit_mark else ""
    return answer(
        study,
        found.chain,
        passes(found.share <= 1, Verdict.ADVISE),
        f"{device.label} ({class_words(device)}) on AWG {found.awg}: at "
        f"{amps(found.current_a)}, the "
        f"worst current, it opens within {opens}; the wire bears {lasts} up to "
        f"{found.limit_degc:.0f} °C{mark}.{_beyond(found)}",
        at=at,
        remedy="Take a faster class, a smaller rating or a thicker wire; the band of a class is "
        "wide, so the curve of the part you buy may pass.",
        value=found.opens_s,
        limit=found.damaged_s,
        unit="s",
        working=lambda: found.working,
        sources=(*map(str, RACE), *curve_sources(device)),
    )


def _beyond(found: OpensInTime) -> str:
    if found.end_a >= found.greatest_a * 0.999:
        return ""
    greatest = amps(found.greatest_a)
    return f" Above {amps(found.end_a)} its curve says nothing; a short may drive {greatest}."
