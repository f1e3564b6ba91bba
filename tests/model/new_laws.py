"""Load laws that elec does not have, as somebody would add them: each is one record.

The figures are of our own invention, near those of the trade; nothing is sized by them.
"""

from elec.model.laws import Law

LAMP = Law(
    name="lamp",
    suffix="w",
    word="lamp",
    example="35 W lamp",
    symbol="Pn",
    current="Pn / 14 * (V / 14) ** 0.55",
    value="I * 14 / (V / 14) ** 0.55",
    elasticity="0.55",
    manner="its filament has more resistance the hotter it burns",
)
"""A filament lamp, of its power at 14 V: the current rises as about V^0.55 (common practice)."""

KNEE = Law(
    name="knee",
    suffix="a",
    word="regulated",
    example="2 A regulated",
    symbol="Ir",
    current="Ir * V / sqrt(V ** 2 + 36)",
    value="I * sqrt(V ** 2 + 36) / V",
    elasticity="36 / (V ** 2 + 36)",
    manner="its regulator lets go towards 6 V",
)
"""A constant current with a knee."""

TALLY = Law(
    name="tally",
    suffix="ohm",
    word="thermistor",
    example="5 Ω thermistor",
    symbol="Rn",
    current="sqrt(14 * V) / Rn",
    value="sqrt(14 * V) / I",
    elasticity="0.5",
    inverse=True,
    manner="it has more resistance the hotter it gets",
)
"""A heater that limits itself: ohms at 14 V, more above."""
