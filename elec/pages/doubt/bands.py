"""The bands of what is uncertain as bars: alternator margins, minutes, least voltages.

In: the bands that the tables list. Out: `Figure`s. The sign before a bar is that of its finding.
"""

from elec.answers.doubt.bands import Band, asked, shown
from elec.answers.doubt.uncertainty import Uncertainty
from elec.check import verdict_of
from elec.drawings.charts.reach import BandChart, BandRow, band_chart
from elec.pages.columns import sign_of
from elec.pages.document import Figure
from elec.study import Study

KINDS = (
    ("margin", "Alternator margins, and how sure they are", "left of what the alternators give, A"),
    ("endurance", "The time on the battery, and how sure it is", "minutes"),
    ("voltage", "Least voltages of {whose}, and how sure they are", "volts"),
)
"""Kind of the bands, title, name of the axis."""


def band_figures(study: Study, found: Uncertainty) -> tuple[Figure, ...]:
    """A figure for each kind of result of which there are bands."""
    return tuple(
        _figure(study, kind, title.format(whose=found.whose), axis, bands)
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
        said=f"{shown(band, band.best.low)} to {shown(band, band.best.high)} {band.unit}; "
        f"asked {asked(band)}",
        sign=sign_of(verdict),
    )


def _name(band: Band) -> str:
    return band.thing if band.kind == "voltage" else band.where


def _words(band: Band) -> str:
    return (
        f"{_name(band)}: {shown(band, band.nominal)} {band.unit} as computed, between "
        f"{shown(band, band.best.low)} and {shown(band, band.best.high)}; "
        f"{asked(band)} asked."
    )
