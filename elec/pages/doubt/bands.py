"""The bands of what is uncertain as bars: alternator margins, minutes, least voltages.

In: the bands that the tables list. Out: `Figure`s. The sign before a bar is that of its finding.
"""

from elec.answers.doubt.bands import Band
from elec.answers.doubt.uncertainty import Uncertainty
from elec.check import verdict_of
from elec.drawings.charts.reach import BandChart, BandRow, band_chart
from elec.pages.columns import sign_of
from elec.pages.document import Figure
from elec.pages.doubt.table import DIGITS
from elec.study import Study

KINDS = (
    ("margin", "Alternator margins, and how sure they are", "left of what the alternators give, A"),
    ("endurance", "The time on the battery, and how sure it is", "minutes"),
    ("voltage", "Least voltages of essential loads, and how sure they are", "volts"),
)
"""Kind of the bands, title, name of the axis."""


def band_figures(study: Study, found: Uncertainty) -> tuple[Figure, ...]:
    """A figure for each kind of result of which there are bands."""
    return tuple(
        _figure(study, kind, title, axis, bands)
        for kind, title, axis in KINDS
        if (bands := tuple(band for band in found.bands if band.kind == kind))
    )


def _figure(study: Study, kind: str, title: str, axis: str, bands: tuple[Band, ...]) -> Figure:
    chart = BandChart(axis=axis, rows=tuple(_row(study, band) for band in bands))
    return Figure(
        id=f"chart-spread-{kind}",
        title=title,
        drawing=band_chart(chart),
        description=(
            "A bar from where 1 in 20 lies below to where 1 in 20 lies above; the stroke is what "
            "is computed, the tall line what is asked. A bar across its line may go either way."
        ),
        words=tuple(_words(band) for band in bands),
    )


def _row(study: Study, band: Band) -> BandRow:
    verdict = verdict_of(study, band.about, "load-spread")
    return BandRow(
        name=_name(band),
        low=band.best.low,
        computed=band.nominal,
        high=band.best.high,
        asked=band.limit,
        said=f"{_number(band, band.best.low)} to {_number(band, band.best.high)} {band.unit}; "
        f"asked {_number(band, band.limit)}",
        sign=sign_of(verdict),
    )


def _name(band: Band) -> str:
    return band.thing if band.kind == "voltage" else band.where


def _number(band: Band, value: float) -> str:
    return f"{value:.{DIGITS[band.unit]}f}".replace("-", "−")


def _words(band: Band) -> str:
    return (
        f"{_name(band)}: {_number(band, band.nominal)} {band.unit} as computed, between "
        f"{_number(band, band.best.low)} and {_number(band, band.best.high)}; "
        f"{_number(band, band.limit)} asked."
    )
