"""How sure the answers are: the sentences that come first, and the section of the book."""

from elec.answers.doubt.bands import asked, shown
from elec.answers.doubt.uncertainty import Band, Driver, Uncertainty, sampled
from elec.pages.columns import listed
from elec.pages.document import Block, Paragraph, Section, TableBlock
from elec.pages.doubt.table import (
    answer_name,
    band_tables,
    basis,
    chance,
    measure_first,
    what_to_do,
)
from elec.study import Study

SAMPLES = 4000
"""In the book: without solving the network for each, so that it does not take long."""


def spread_section(study: Study) -> Section:
    """The section of the book."""
    found = sampled(study, SAMPLES, solved=False)
    leads = spread_lead(study, found)
    blocks: list[Block] = [
        Paragraph(text=text, kind="text" if number else "lead") for number, text in enumerate(leads)
    ]
    if found.bands:
        from elec.pages.doubt.bands import band_figures

        blocks += band_figures(study, found)
    tables = (*band_tables(found), measure_first(study, found))
    blocks += [TableBlock(table=table) for table in tables if table.rows]
    shown = blocks if found.bands else []
    return Section(id="spread", title="How sure the numbers are", blocks=tuple(shown))


def spread_lead(study: Study, found: Uncertainty) -> tuple[str, ...]:
    """What is short or in doubt, then what is certain, then what to measure first."""
    texts = [*_not_told(study, found)]
    every = [*_battery(found), *_margins(found), *_voltages(found)]
    texts += [text for _, text in sorted(every, key=lambda pair: pair[0])]
    texts += _first(study, found)
    if not found.bands and not texts:
        texts.append("There is nothing to say: no alternator, no battery or no phases are given.")
    return tuple(texts)


SHORT, DOUBTFUL, CERTAIN = range(3)
"""In the order in which they are said."""
Said = tuple[int, str]


def _not_told(study: Study, found: Uncertainty) -> list[str]:
    texts = []
    unknown = tuple(dict.fromkeys(name for band in found.bands for name in band.unknown))
    if unknown:
        names = listed([study.system.title("equipment", name) for name in unknown])
        texts.append(
            f"Not in any of this, for the current is not known: {names}. Find that out before "
            "anything else."
        )
    if found.untold:
        whys = list(dict.fromkeys(one.why for one in found.untold))
        names = listed([one.title for one in found.untold])
        texts.append(f"Cannot be told for {names}: {listed(whys)}.")
    return texts


def _rank(band: Band) -> int:
    if band.short:
        return SHORT
    return DOUBTFUL if band.doubtful else CERTAIN


def _battery(found: Uncertainty) -> list[Said]:
    return [
        (
            _rank(band),
            f"On the battery alone, in {band.where}: {_number(band, band.nominal)} as computed, "
            f"{_between(band)}. "
            f"{asked(band)} {band.unit} are asked; the chance that it lasts so long is "
            f"{chance(band.best.met)}."
            + (
                " Shed more (shed: at once), or fit a larger battery."
                if _rank(band) == SHORT
                else ""
            ),
        )
        for band in found.of("endurance")
    ]


def _margins(found: Uncertainty) -> list[Said]:
    bands = found.of("margin")
    texts = [
        (
            SHORT,
            (
                f"In {band.where}, the alternator falls short of the load: "
                f"{_signed(band, band.nominal)} as computed, {_between(band)}. The battery gives "
                "the rest: run the engine faster there, or switch more off."
            ),
        )
        for band in bands
        if _rank(band) == SHORT
    ]
    texts += [
        (
            DOUBTFUL,
            (
                f"In {band.where}, it is not certain that the alternator carries the load: "
                f"{_signed(band, band.nominal)} as computed, {_between(band)}."
            ),
        )
        for band in bands
        if _rank(band) == DOUBTFUL
    ]
    if bands and not texts:
        least = min(bands, key=lambda band: band.best.low)
        text = (
            "The alternator carries every phase also with what is uncertain against it; least "
            f"is left in {least.where}, {_between(least)}."
        )
        texts.append((CERTAIN, text))
    return texts


def _voltages(found: Uncertainty) -> list[Said]:
    bands = found.of("voltage")
    if not bands:
        return []
    texts = [
        (
            _rank(band),
            f"Whether {band.thing} keeps its voltage is not certain: "
            f"{_number(band, band.nominal)} as computed, {_between(band)}; it works down to "
            f"{asked(band)} {band.unit} ({band.where})."
            if band.doubtful
            else f"{_capital(band.thing)} gets too little voltage: "
            f"{_number(band, band.nominal)} as computed, {_between(band)}; it works down to "
            f"{asked(band)} {band.unit} ({band.where}).",
        )
        for band in bands
        if _rank(band) != CERTAIN
    ]
    if texts:
        return texts
    least = min(bands, key=lambda band: band.best.low - band.limit)
    text = (
        f"Every {found.whose.removesuffix('s')} keeps its voltage; the nearest to its limit is "
        f"{least.thing}, {_between(least)}; it works down to {_number(least, least.limit)} "
        f"({least.where})."
    )
    return [(CERTAIN, text)]


def _first(study: Study, found: Uncertainty) -> list[str]:
    """What to measure where an answer is in doubt; else what would narrow the battery's time."""
    doubtful = [band for band in found.bands if band.doubtful]
    asked = doubtful or list(found.of("endurance"))
    texts: dict[str, str] = {}
    for band in asked:
        driver = next((d for d in band.drivers if d.basis != "measured"), None)
        if driver is not None and driver.title not in texts:
            part = f"{100 * driver.share:.0f} % of the spread of {answer_name(band)}"
            texts[driver.title] = f"{_capital(_named(study, driver))}: {part}."
    if not texts:
        return []
    one = "this" if len(texts) == 1 else "these"
    head = f"Measure {one} first." if doubtful else "No answer is in doubt. What matters most:"
    return [" ".join([head, *texts.values()])]


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]


def _named(study: Study, driver: Driver) -> str:
    where = study.system.where(*driver.path)
    return f"{driver.title} ({basis(driver)}, at {where}; {what_to_do(driver)})"


def _between(band: Band) -> str:
    low, high = _signed(band, band.best.low), _signed(band, band.best.high)
    return f"nine times of ten {low} to {high}"


def _number(band: Band, value: float) -> str:
    return f"{shown(band, value)} {band.unit}"


def _signed(band: Band, value: float) -> str:
    sign = "+" if band.kind == "margin" and value > 0 else ""
    return sign + _number(band, value)


__all__ = ["spread_lead", "spread_section"]
