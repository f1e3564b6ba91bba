"""Would the answer be another one if the figures are off by what they may be off?"""

from collections.abc import Iterator

from elec.answers.doubt.bands import asked, shown
from elec.answers.doubt.uncertainty import Band, Untold, uncertainty
from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.working import within


@check(
    "The answers stay the same within what the figures may be off",
    sources=(Cite("jcgm100", "5.1.2", "memory"), Cite("elec", "uncertainty", "judgement")),
)
def load_spread(study: Study) -> Iterator[Finding]:
    """A margin of 2 A says little when the currents behind it are known to 5 A.

    For each phase's alternator margin, the time on the battery, the least voltages and what each
    breaker and fuse holds the band is worked out in which nine of ten outcomes lie, from `basis`
    and `tolerance` of every figure.
    Where the limit lies within it, the answer rests on luck until you measure. What to measure
    first is named; `elec spread` ranks the rest.
    """
    found = uncertainty(study)
    for one in found.untold:
        if one.kind != "voltage":
            yield _untold(study, one)
    for band in (*found.of("margin"), *found.of("endurance")):
        yield _finding(study, band)
    yield from _worst_of(study, found.of("voltage"), "voltages")
    yield from _worst_of(study, found.of("device"), "devices")


def _untold(study: Study, one: Untold) -> Finding:
    return answer(
        study,
        one.about,
        Verdict.CANNOT_TELL,
        f"How sure the answer is cannot be told for {one.title}: {one.why}.",
        at=one.path,
        remedy="Give what is missing; see alternator-idle or battery-endurance.",
    )


def _finding(study: Study, band: Band, about: str = "") -> Finding:
    # a margin that is short as computed is told by alternator-idle already
    told = band.kind == "margin" and not within(band.nominal, band.limit, "at least")
    verdict = Verdict.ADVISE if band.doubtful and not told else Verdict.PASS
    if band.unknown:
        verdict = Verdict.CANNOT_TELL
    return answer(
        study,
        about or band.about,
        verdict,
        _sentence(study, band),
        at=band.path,
        remedy=_remedy(study, band),
        value=band.linear.low,
        limit=band.limit,
        unit=band.unit,
        working=lambda: band.working,
    )


def _worst_of(study: Study, bands: tuple[Band, ...], about: str) -> Iterator[Finding]:
    """One finding a doubtful one; where there is none, the one that is nearest to its limit."""
    doubtful = [band for band in bands if band.doubtful]
    yield from (_finding(study, band) for band in doubtful)
    if bands and not doubtful:
        least = min(bands, key=lambda band: band.linear.low - band.limit)
        yield _finding(study, least, about)


def _sentence(study: Study, band: Band) -> str:
    if band.kind == "device":
        return (
            f"{_title(band)}, {band.where}: the load leaves {_shown(band, band.nominal)} of that, "
            f"nine times of ten {_shown(band, band.linear.low)} to "
            f"{_shown(band, band.linear.high)}."
        )
    text = (
        f"{_title(band)} in {band.where}: {_shown(band, band.nominal)} as computed, nine times of "
        f"ten {_shown(band, band.linear.low)} to {_shown(band, band.linear.high)} (limit "
        f"{asked(band)} {band.unit})."
    )
    if band.unknown:
        names = listed(study.system.title("equipment", name) for name in band.unknown)
        text += f" Not counted, for its current is not known: {names}."
    return text


def _title(band: Band) -> str:
    return band.title[0].upper() + band.title[1:]


def _remedy(study: Study, band: Band) -> str:
    if band.unknown:
        return "Read the missing currents off the labels, or measure them."
    first = next((d for d in band.drivers if d.basis != "measured"), None)
    if first is None:
        return "All that matters is measured; make more room instead."
    how = f"{first.basis}, ±{100 * first.tolerance:g} %" if first.single else first.basis
    where = study.system.where(*first.path)
    return (
        f"Measure first: {first.title} ({how}), {100 * first.share:.0f} % of the spread "
        f"({where}). elec spread ranks the rest."
    )


def _shown(band: Band, value: float) -> str:
    return f"{shown(band, value)} {band.unit}"
