"""How the current of a load goes with its voltage: the one table of load laws.

In: what the builder wrote (`35 W`), a value, a voltage. Out: currents, amounts, words. Whoever
has to do with a law asks here: the reader, the network, the export, the hand calculations, the
tables. To add a law, add a `Law` to `LAWS`; nothing else knows their names.

What every law has to keep: its current is in proportion to its amount, so that loads can be
averaged over time; and it rises at most as fast as the voltage (elasticity up to 1), so that the
network's search by secants goes downhill (see `elec.network.devices`).
"""

from typing import Any

from msgspec import Struct

from elec import units
from elec.working import evaluate, of_arrays, renamed, symbols


class Law(Struct, frozen=True, kw_only=True):
    """One law. Formulas are arithmetic as `elec.working.evaluate` reads it.

    In them `V` is the voltage across the load, `I` its current, and `symbol` its value.
    """

    name: str
    suffix: str
    """The unit of the value, a key of `elec.units.SUFFIXES`."""
    word: str = ""
    """What stands behind the unit in the builder's file, where another law has the same unit."""
    example: str
    """As the builder writes it."""
    symbol: str
    current: str
    """The current, in `symbol` and `V`: as computed, as printed and as exported."""
    value: str
    """The value of a load that was measured, in `I` and `V`."""
    elasticity: str
    """By what part of itself the current rises where the voltage rises by one part, in `V`:
    0 where the current stays the same, 1 for a resistor, -1 for constant power."""
    inverse: bool = False
    """Whether a larger value draws less, as ohms do."""
    manner: str
    """Why the current changes with the voltage, as a part of a sentence."""

    @property
    def unit(self) -> str:
        """The unit of the value, such as `W`."""
        return units.SUFFIXES[self.suffix].unit

    @property
    def dimension(self) -> str:
        """What the builder writes, a key of `elec.units.DIMENSIONS`."""
        return units.SUFFIXES[self.suffix].dimension

    @property
    def off(self) -> float:
        """The value of a load that is off."""
        return float("inf") if self.inverse else 0.0

    @property
    def exponent(self) -> float | None:
        """The elasticity where it is the same at every voltage, else None."""
        return None if symbols(self.elasticity) else evaluate(self.elasticity, {})

    @property
    def linear(self) -> bool:
        """Whether the current is in proportion to the voltage, down to nothing."""
        return self.exponent == 1.0

    @property
    def resistor(self) -> bool:
        """Whether it is a resistor of its value."""
        return self.linear and self.dimension == "resistance"

    @property
    def power_stays(self) -> bool:
        """Whether it takes the same power at every voltage."""
        return self.exponent == -1.0

    @property
    def needs_voltage(self) -> bool:
        """Whether the current depends on the voltage."""
        return "V" in symbols(self.current)

    def current_a(self, value: float, voltage_v: float) -> float:
        """Current of a load of that value at a voltage across it.

        >>> POWER.current_a(140.0, 14.0)
        10.0
        """
        return evaluate(self.current, {self.symbol: value, "V": voltage_v})

    def currents_a(self, value: Any, voltage_v: Any) -> Any:
        """The same for arrays."""
        return of_arrays(self.current)({self.symbol: value, "V": voltage_v})

    def elasticities(self, voltage_v: Any) -> Any:
        """Elasticity at each voltage of an array; a number where it is the same at all."""
        return of_arrays(self.elasticity)({"V": voltage_v})

    def amount(self, value: Any) -> Any:
        """What adds up over time at one voltage: the value, or one over it; and back again.

        >>> RESISTANCE.amount(4.0), RESISTANCE.amount(0.25), POWER.amount(35.0)
        (0.25, 4.0, 35.0)
        """
        return 1.0 / value if self.inverse else value

    @property
    def amount_unit(self) -> str:
        """The unit of `amount`."""
        return f"1/{self.unit}" if self.inverse else self.unit

    def scaled(self, value: Any, factor: Any) -> Any:
        """The value of so many times the load, by a factor above 0."""
        return value / factor if self.inverse else value * factor

    def measured(self, current_a: float, voltage_v: float) -> float | None:
        """The value of a load that draws this current at this voltage; None for an endless one.

        >>> RESISTANCE.measured(2.0, 14.0), POWER.measured(2.0, 14.0)
        (7.0, 28.0)
        """
        if self.inverse and current_a <= 0:
            return None
        return evaluate(self.value, {"I": current_a, "V": voltage_v})

    def formula(self, voltage: str = "V", value: str = "") -> str:
        """The formula of the current with another symbol (or a number) for voltage and value.

        >>> POWER.formula("Vl")
        'P / Vl'
        """
        return renamed(self.current, {"V": voltage, self.symbol: value or self.symbol})

    def said(self, value: float) -> str:
        """A value in words, as the builder thinks of it.

        >>> POWER.said(35.0)
        '35 W'
        """
        return f"{units.show(value, self.suffix)} {self.word}".rstrip()

    def offered(self) -> str:
        """What a builder may write, as a part of a sentence."""
        return f"{units.DIMENSIONS[self.dimension].noun} ({self.example})"


CURRENT = Law(
    name="current",
    suffix="a",
    example="2.5 A",
    symbol="I0",
    current="I0",
    value="I",
    elasticity="0",
    manner="its current stays the same",
)
POWER = Law(
    name="power",
    suffix="w",
    example="35 W",
    symbol="P",
    current="P / V",
    value="I * V",
    elasticity="-1",
    manner="its power stays the same",
)
RESISTANCE = Law(
    name="resistance",
    suffix="ohm",
    example="5 Ω",
    symbol="R",
    current="V / R",
    value="V / I",
    elasticity="1",
    inverse=True,
    manner="its resistance stays the same",
)

LAWS: dict[str, Law] = {law.name: law for law in (CURRENT, POWER, RESISTANCE)}
"""Name → law, in the order in which they are offered. (Ohm's law and P = U·I: any textbook.)"""


def law_of(name: str) -> Law:
    """The law of that name.

    Raises:
        ValueError: there is none; it says which there are.
    """
    found = LAWS.get(name)
    if found is None:
        raise ValueError(f'no load law is called "{name}"; there are {", ".join(LAWS)}')
    return found


def read(text: str) -> tuple[Law, float]:
    """Read a load; its unit, and the word behind it, is its law.

    Raises:
        UnitError: it is no load.

    >>> found, value = read("35 W")
    >>> found.name, value
    ('power', 35.0)
    """
    quantity, word = text, ""
    head, _, last = units.fold(text).rpartition(" ")
    if last and any(last == law.word for law in LAWS.values()):
        quantity, word = head, last
    kinds = {law.dimension: law for law in LAWS.values() if law.word == word}
    behind = " or ".join(law.offered() for law in kinds.values())
    wanted = f"{word} stands behind {behind}" if word else f"a load is {offered()}"
    dimension, value = units.parse_any(quantity, kinds, wanted)
    return kinds[dimension], value


def offered() -> str:
    """What a load may be.

    >>> offered().startswith("a current (2.5 A), a power (35 W)")
    True
    """
    *others, last = (law.offered() for law in LAWS.values())
    return f"{', '.join(others)} or {last}"


def legend() -> str:
    """What stays the same of a load, as its unit says: sentences under a list of loads."""
    others = (f" {law.word}: {law.manner}." for law in LAWS.values() if law.word)
    return f"amperes, watts or ohms stay constant, as the unit says.{''.join(others)}"
