"""Short ways to write down the steps of a hand calculation.

In: numbers that an analysis has found, with their origins. Out: terms and steps. The value of a
step is always the analysis's own; the formula beside it is for the reader to check it by.
"""

from collections.abc import Iterable, Sequence

from elec.physics.atmosphere import pressure_ratio
from elec.physics.heat import altitude_factor
from elec.standards import Cite, WireSize, default, table
from elec.study import Study
from elec.working import Step, Term

COMPUTED = "computed"
DROP_SOURCE = Cite("ac4313", "pages 11-22, 11-23", "seen")


def computed(
    symbol: str,
    value: float,
    unit: str,
    meaning: str,
    *,
    formula: str,
    terms: Sequence[Term],
    source: str = "",
    note: str = "",
) -> Step:
    """A step of arithmetic."""
    return Step(
        result=Term(symbol=symbol, value=value, unit=unit, meaning=meaning, origin=COMPUTED),
        formula=formula,
        terms=tuple(terms),
        source=source,
        note=note,
    )


def looked_up(term: Term, *, source: str = "", note: str = "") -> Step:
    """A step that states where a number comes from."""
    return Step(result=term, source=source, note=note)


def assumed(symbol: str, key: str, unit: str) -> Term:
    """A default as a term, in SI units."""
    found = default(key)
    return Term(
        symbol=symbol, value=found.si, unit=unit, meaning=found.meaning, origin=found.origin
    )


def total(terms: Iterable[Term]) -> str:
    """The formula of a sum; 0 for no terms."""
    return " + ".join(term.symbol for term in terms) or "0"


def resistance_term(wire: WireSize, symbol: str = "R") -> Term:
    """Resistance of a gauge per metre, with what its table prints."""
    kft = wire.resistance_20degc_ohm_per_m * 304.8
    return Term(
        symbol=symbol,
        value=wire.resistance_20degc_ohm_per_m,
        unit="ohm/m",
        meaning=f"resistance of AWG {wire.awg} at 20 °C",
        origin=f"{wire.resistance_note}: {kft:.4g} Ω per 1000 ft, over 304.8",
    )


def height_steps(height: Term, factor: Term) -> tuple[Step, Step]:
    """From the greatest height to the factor for thin air."""
    pressure = pressure_ratio.step(height)
    figure = ", ".join(
        f"{row.number('factor'):g} at {row.number('altitude_ft'):g} ft"
        for row in table("ac4313/altitude_derating").rows[1:]
    )
    thin = altitude_factor.step(
        pressure.result, meaning=factor.meaning, note=f"the figure has {figure}"
    )
    return pressure, thin


def where(study: Study, *path: str | int) -> str:
    """`lights.yaml:31` of a place in the builder's text."""
    return str(study.system.where(*path))
