"""The few values elec puts in where the builder gives none, each with its reason.

In: `data/elec/defaults.csv`. Out: `Default` records; whatever uses one says so in its working.
"""

from functools import cache

from msgspec import Struct

from elec.standards.cite import Cite
from elec.standards.table import table

FACTORS = {
    "rpm": 1.0,
    "ms": 1e-3,
    "": 1.0,
    "%": 0.01,
    "in": 0.0254,
    "mm": 1e-3,
    "m": 1.0,
    "ft": 0.3048,
    "min": 60.0,
    "s": 1.0,
    "h": 3600.0,
    "mohm": 1e-3,
    "ohm": 1.0,
    "V": 1.0,
    "A": 1.0,
    "degC": 1.0,
    "AWG": 1.0,
    "1/K": 1.0,
    "K": 1.0,
    "dB": 1.0,
    "Ah": 1.0,
    "W": 1.0,
    "uT": 1e-6,
}
"""From the unit of a default to what elec computes in (shares as fractions, °C kept)."""


class Default(Struct, frozen=True, kw_only=True):
    """One value elec assumes; `why` says why this one, `cite` where it comes from."""

    key: str
    value: float
    unit: str
    meaning: str
    why: str
    cite: Cite

    @property
    def si(self) -> float:
        """The value in metres, seconds, ohms, kilograms, fractions; volts, amperes, °C as they are.

        >>> round(default("wire-slack-per-end").si, 4)
        0.0762
        """
        return self.value * FACTORS[self.unit]

    @property
    def origin(self) -> str:
        """What a working prints as the origin of the number, with how it was got.

        >>> default("ceiling").origin, default("ambient").origin
        ('default ceiling (our judgement)', 'default ambient')
        """
        return f"default {self.key}" + (f" ({self.cite.remark})" if self.cite.remark else "")

    @property
    def source(self) -> str:
        """The published source, or whose judgement it is."""
        return str(self.cite)

    @property
    def certainty(self) -> str:
        """How the value was got: seen, memory, computed, judgement."""
        return self.cite.certainty


@cache
def defaults() -> dict[str, Default]:
    """Give every default by key."""
    return {
        row.text("key"): Default(
            key=row.text("key"),
            value=row.number("value"),
            unit=row.text("unit"),
            meaning=row.text("meaning"),
            why=row.text("why"),
            cite=row.cite,
        )
        for row in table("elec/defaults")
    }


def default(key: str) -> Default:
    """Give one default: `default("ambient").value`; an unknown key is a fault of the program."""
    return defaults()[key]
