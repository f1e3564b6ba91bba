"""Short ways to write down the numbers of a hand calculation.

In: what an analysis has found, and where it stands. Out: terms and steps.
"""

from typing import Protocol

from elec.physics.atmosphere import pressure_ratio
from elec.physics.heat import altitude_factor
from elec.standards import WireSize, default, table
from elec.study import Study
from elec.working import Step, Term


class Said(Protocol):
    """A number with its meaning and where it stands: a default, a limit."""

    @property
    def meaning(self) -> str:
        """What it is."""

    @property
    def origin(self) -> str:
        """Where it stands."""


def said(found: Said, value: float, symbol: str = "", unit: str = "") -> Term:
    """A number that says itself what it is and where it stands."""
    return Term(symbol, value, unit, found.meaning, found.origin)


def assumed(key: str, symbol: str = "", unit: str = "") -> Term:
    """A default as a term, in SI units."""
    return said(default(key), default(key).si, symbol, unit)


def looked_up(term: Term, *, source: str = "", note: str = "") -> Step:
    """A step that states where a number comes from."""
    return Step(result=term, source=source, note=note)


def resistance_term(wire: WireSize) -> Term:
    """Resistance of a gauge per metre, with what its table prints."""
    kft = wire.resistance_20degc_ohm_per_m * 304.8
    return Term(
        "R",
        wire.resistance_20degc_ohm_per_m,
        "ohm/m",
        f"resistance of AWG {wire.awg} at 20 °C",
        f"{wire.resistance_note}: {kft:.4g} Ω per 1000 ft, over 304.8",
    )


def height_step(height: Term, factor: Term) -> Step:
    """From the greatest height over the pressure there to the factor for thin air."""
    figure = ", ".join(
        f"{row.number('factor'):g} at {row.number('altitude_ft'):g} ft"
        for row in table("ac4313/altitude_derating").rows[1:]
    )
    return altitude_factor.step(
        pressure_ratio=pressure_ratio.step(altitude_m=height),
        meaning=factor.meaning,
        note=f"the figure has {figure}",
    )


def where(study: Study, *path: str | int) -> str:
    """`lights.yaml:31` of a place in the builder's text."""
    return str(study.system.where(*path))
