"""How far a given figure may be off, by where it comes from.

In: `basis` and `tolerance` of an entry. Out: `Spread`. What is given wins; else the default of its
basis, named.
"""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from elec.physics.spread import triangular_deviation_share, uniform_deviation_share
from elec.standards import default
from elec.study import Study

Shape = Literal["uniform", "triangular"]

SHAPES: Mapping[str, Shape] = {
    "measured": "uniform",
    "data sheet": "uniform",
    "typical": "triangular",
    "estimate": "triangular",
    "unstated": "uniform",
}
"""How the values of a basis lie within their tolerance; the reasons stand with the defaults."""
MOST = 0.95
"""A wider tolerance is taken as this, so that a draw stays a draw."""
QUANTILE = 1.6448536269514722
"""Below so many standard deviations above its middle lie 95 % of a normal distribution."""


class Spread(Struct, frozen=True, kw_only=True):
    """How far one figure may be off, as a part of its value."""

    tolerance: float
    shape: Shape
    basis: str
    """What the tolerance rests on, for print."""
    origin: str

    @property
    def deviation(self) -> float:
        """Standard deviation, as a part of the value."""
        if self.shape == "uniform":
            return uniform_deviation_share(tolerance_share=self.tolerance)
        return triangular_deviation_share(tolerance_share=self.tolerance)


def spread_of(
    study: Study, basis: str | None, given: float | None, path: tuple[str | int, ...]
) -> Spread:
    """The spread of a figure that stands at a path of the file."""
    word = basis or "unstated"
    usual = default(f"tolerance-{word.replace(' ', '-')}")
    stated = str(study.system.where(*path, "tolerance"))
    return Spread(
        tolerance=min(MOST, usual.si if given is None else given),
        shape=SHAPES[word],
        basis=basis or "basis not said",
        origin=usual.origin if given is None else stated,
    )


def draw_spread(study: Study, name: str, mode: str) -> Spread:
    """How far the draw of a load may be off in one of its modes."""
    entry = study.document.equipment[name]
    own = entry.modes.get(mode)
    basis = (own.basis if own else None) or entry.basis
    given = own.tolerance if own and own.tolerance is not None else entry.tolerance
    path = ("equipment", name, *(("modes", mode) if own else ()))
    return spread_of(study, basis, given, path)
