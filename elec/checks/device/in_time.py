"""Does the device open before a short damages the wire?"""

import math
from collections.abc import Iterator

from elec.answers.short.damage import OpensInTime, opens_in_time
from elec.answers.short.fault import faults
from elec.answers.short.ratings import smaller
from elec.check import check
from elec.checks.answer import amps, answer, sentence
from elec.checks.compare import compare
from elec.checks.device._words import class_words, curve_sources, named
from elec.finding import Finding, Verdict
from elec.standards import Cite, table
from elec.study import Study
from elec.units import show
from elec.wiring.chains import chains
from elec.working import within

RACE = (
    Cite("elec", "damage time against opening time", "computed"),
    Cite("iec_60949", "adiabatic form", "seen"),
)


@check(
    "Every device opens before a short damages its wire",
    sources=(*RACE, Cite("ac4313", "table 11-3", "seen")),
    heats=True,
)
def device_in_time(study: Study) -> Iterator[Finding]:
    """Between overload and dead short lies the current at which wire and breaker run a race.

    Compared is, from where it must open up to the greatest short or its curve's end, its longest
    time with the time in which the wire gets to its emergency temperature. Where the published
    chart allows the device on the wire and only a class's assumed curve is slower, below twice the
    rating, it passes with a note: compare with the curve of the part you buy, and give it
    (`curve:`). Else take a faster class, a smaller rating or a thicker wire.
    """
    for found in opens_in_time(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: OpensInTime) -> Finding:
    chain = chains(study).by_name[found.chain]
    device = found.device
    at = (*chain.path, device.kind)
    if found.opens_s is None:
        return answer(
            study,
            found.chain,
            Verdict.CANNOT_TELL,
            f"{named(study, chain, device)}: {found.unknown}.",
            at=at,
            remedy=sentence(
                faults(study)[found.chain].ask
                or "compare the curve of the part you buy with the wire"
            ),
        )
    opens = show(found.opens_s, "s") if math.isfinite(found.opens_s) else "no time that is sure"
    lasts = show(found.damaged_s, "s") if math.isfinite(found.damaged_s) else "any time"
    mark = f" ({found.limit_mark})" if found.limit_mark else ""
    race = (
        f"at {amps(found.current_a)}, the worst current, it opens within {opens}; the wire bears "
        f"{lasts} up to {found.limit_degc:.0f} °C{mark}"
    )
    head = f"{named(study, chain, device)} ({class_words(device)}) on AWG {found.awg}"
    by_chart = found.chart_decides
    return compare(
        study,
        found.chain,
        at=at,
        value=found.opens_s,
        limit=found.damaged_s,
        unit="s",
        otherwise=Verdict.PASS if by_chart else Verdict.ADVISE,
        says=f"{head}: {race}.{_beyond(found)}",
        fault=f"{head}: {table('ac4313/protector').cite} allows it; only the curve of its class is "
        f"slower than the wire: {race}. Compare with the curve of the part you buy."
        if by_chart
        else "",
        remedy=lambda: _remedy(study, found),
        working=lambda: found.working,
        sources=(*map(str, RACE), *curve_sources(device)),
    )


def _beyond(found: OpensInTime) -> str:
    if within(found.end_a, found.greatest_a, "at least"):
        return ""
    greatest = amps(found.greatest_a)
    return f" Above {amps(found.end_a)} its curve says nothing; a short may drive {greatest}."


def _remedy(study: Study, found: OpensInTime) -> str:
    chain, device = chains(study).by_name[found.chain], found.device
    fit = smaller(study, chain, device) if device.chain == chain.name else None
    rating = f"{fit.words}, " if fit is not None else ""
    return (
        f"Take {rating}a faster class or a thicker wire; the band of a class is wide, so the curve "
        "of the part you buy may pass."
    )
