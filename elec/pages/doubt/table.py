"""How sure the answers are, and what to measure first."""

from msgspec.structs import replace

from elec.answers.doubt.bands import DIGITS, asked, shown
from elec.answers.doubt.uncertainty import Band, Driver, Uncertainty
from elec.pages.columns import Importance, share, text
from elec.pages.table import Cell, Column, Table, Value
from elec.physics.spread import combined_deviation
from elec.standards import cited
from elec.study import Study

MEASURE = {
    "load": "measure it with everything else off",
    "coil": "measure it, warm",
    "output": "load it, hot, at that engine speed and read the current",
    "set-point": "read the bus voltage with the engine running",
    "capacity": "discharge it over its rated time and take the time",
    "resistance": "read its voltage with and without a load of known current",
    "rest voltage": "read it some hours after charging",
    "wires": "measure the drop with the load on",
    "diode": "measure the voltage across it with the load on",
}
"""What to do about an input, by its kind."""
MOST = 5
"""So many inputs are named for each answer."""
LEAST_SHARE = 0.02
"""An input with a smaller part is not worth a line."""


def band_tables(found: Uncertainty) -> tuple[Table, ...]:
    """Margins, the time on the battery, least voltages: each with its band."""
    tables = [
        _bands(found, "margin", "How sure: alternator margins", "a", "Phase"),
        _bands(found, "endurance", "How sure: battery alone", "min", "State"),
        _bands(found, "voltage", f"How sure: least voltage of {found.whose}", "v", "Load"),
    ]
    full = [table for table in tables if table.rows]
    return (*full[:-1], replace(full[-1], note=_note(found))) if full else ()


def _bands(found: Uncertainty, kind: str, title: str, unit: str, head: str) -> Table:
    bands = [band for band in found.bands if band.kind == kind]
    digits = DIGITS[bands[0].unit] if bands else None

    def number(key: str, heading: str, importance: Importance = 1) -> Column:
        return Column(
            key=f"{key}_{unit}", head=heading, unit=unit, digits=digits, importance=importance
        )

    return Table(
        id=f"spread-{kind}",
        title=title,
        columns=(
            text("about", head),
            number("computed", "Computed"),
            number("asked", "Asked"),
            share("met", "Chance met", 2),
            number("low", "1 in 20 below"),
            number("high", "1 in 20 above"),
            *([text("case", "Lowest in", 3)] if kind == "voltage" else []),
            number("middle", "Middle", 3),
            number("slope_low", "By slopes, from", 3),
            number("slope_high", "By slopes, to", 3),
        ),
        rows=tuple(_row(band) for band in bands),
    )


def _row(band: Band) -> tuple[Value, ...]:
    best = band.best
    voltage = band.kind == "voltage"
    return (
        band.thing if voltage else band.where,
        Cell(
            value=band.nominal,
            text=shown(band, band.nominal) if band.unit == "min" else None,
            working=band.working,
        ),
        Cell(value=band.limit, text=asked(band)) if band.unit == "min" else band.limit,
        Cell(value=best.met, text=chance(best.met)),
        _number(band, best.low),
        _number(band, best.high),
        *((band.where,) if voltage else ()),
        _number(band, best.middle),
        _number(band, band.linear.low),
        _number(band, band.linear.high),
    )


def _number(band: Band, value: float) -> Value:
    """A number of a band: minutes cut, as everywhere; all else by the digits of its column."""
    return Cell(value=value, text=shown(band, value)) if band.unit == "min" else value


def chance(met: float) -> str:
    """A chance for print: nothing is certain, and nothing impossible.

    >>> chance(1.0), chance(0.9973), chance(0.83), chance(0.0)
    ('above 99 %', 'above 99 %', '83 %', 'below 1 %')
    """
    if met > 0.99:
        return "above 99 %"
    return "below 1 %" if met < 0.01 else f"{100 * met:.0f} %"


def answer_name(band: Band) -> str:
    """What a band is about, for print.

    A margin is that of a phase; the others say enough by their titles.
    """
    return f"{band.title} in {band.where}" if band.kind == "margin" else band.title


def _note(found: Uncertainty) -> str:
    squares = cited(combined_deviation)
    if not found.samples:
        return f"By slopes and the root of the sum of squares, taken as normal: {squares}."
    how = (
        f"the network solved for each ({found.networks} solutions)"
        if found.solved
        else "voltages and currents by their slopes"
    )
    text_ = f"{found.samples} samples, always the same ones, {how}; every input independent."
    text_ += f" By slopes: the same by the root of the sum of squares, to compare: {squares}."
    if found.unmet:
        text_ += f" In {found.unmet} of the solutions the demand could not be met."
    return text_


def measure_first(study: Study, found: Uncertainty) -> Table:
    """The inputs that drive each band, the greatest first, and where each is written."""
    rows: list[tuple[Value, ...]] = []
    for band in of_interest(found):
        for driver in band.drivers[:MOST]:
            if driver.share < LEAST_SHARE:
                break
            rows.append(
                (
                    answer_name(band),
                    driver.title,
                    driver.share,
                    what_to_do(driver),
                    str(study.system.where(*driver.path)),
                    basis(driver),
                    Cell(value=driver.deviation, text=_alone(band, driver)),
                )
            )
    return Table(
        id="spread-drivers",
        title="What to measure first",
        columns=(
            text("answer", "Answer"),
            text("input", "Rests on"),
            share("share", "Part"),
            text("do", "What to do"),
            text("written", "Written at", 3),
            text("basis", "Known from", 2),
            text("alone", "Alone", 3),
        ),
        rows=tuple(rows),
        note="Part: of the spread of the answer. Alone: standard deviation from this input alone."
        if rows
        else "",
    )


def of_interest(found: Uncertainty) -> tuple[Band, ...]:
    """The time on the battery, every doubtful band, else the nearest of its kind."""
    chosen: list[Band] = []
    for kind in ("endurance", "margin", "voltage"):
        bands = [band for band in found.bands if band.kind == kind]
        doubtful = [band for band in bands if band.doubtful]
        chosen += doubtful or ([min(bands, key=_nearness)] if bands else [])
    return tuple(chosen)


def _nearness(band: Band) -> float:
    """How many standard deviations lie between a result and its limit."""
    gap = abs(band.nominal - band.limit)
    return gap / band.linear.deviation if band.linear.deviation > 0 else gap * 1e9


def basis(driver: Driver) -> str:
    """Where a driver's figure comes from, and how far it may be off.

    A group of wires and contacts has no one tolerance.
    """
    if not driver.single:
        return "assumed"
    return f"{driver.basis}, ±{100 * driver.tolerance:g} %"


def what_to_do(driver: Driver) -> str:
    """How to know a driver better."""
    if driver.basis == "measured":
        return "measured already"
    return MEASURE[driver.kind]


def _alone(band: Band, driver: Driver) -> str:
    return f"±{driver.deviation:.{DIGITS[band.unit] + 1}f} {band.unit}"


__all__ = [
    "MEASURE",
    "answer_name",
    "band_tables",
    "basis",
    "chance",
    "measure_first",
    "of_interest",
    "what_to_do",
]
