"""The door for quantities: a field's annotation says what dimension the text must have."""

from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from elec import units


def _reader(dimension: str) -> Callable[[Any], Any]:
    def read(value: Any) -> Any:
        return units.parse(value, dimension) if isinstance(value, str) else value

    return read


def _schema(dimension: str) -> dict[str, Any]:
    return {
        "type": "string",
        "description": units.expects(dimension),
        "examples": units.examples(dimension),
    }


Volts = Annotated[float, BeforeValidator(_reader("voltage")), WithJsonSchema(_schema("voltage"))]
Amps = Annotated[float, BeforeValidator(_reader("current")), WithJsonSchema(_schema("current"))]
Watts = Annotated[float, BeforeValidator(_reader("power")), WithJsonSchema(_schema("power"))]
Ohms = Annotated[
    float, BeforeValidator(_reader("resistance")), WithJsonSchema(_schema("resistance"))
]
Metres = Annotated[float, BeforeValidator(_reader("length")), WithJsonSchema(_schema("length"))]
Coordinate = Annotated[
    float, BeforeValidator(_reader("coordinate")), WithJsonSchema(_schema("coordinate"))
]
"""A distance from the datum, in m; it may be negative."""
StubMetres = Annotated[float, BeforeValidator(_reader("stub")), WithJsonSchema(_schema("stub"))]
"""A length in m that may be nothing."""
Celsius = Annotated[
    float, BeforeValidator(_reader("temperature")), WithJsonSchema(_schema("temperature"))
]
Seconds = Annotated[float, BeforeValidator(_reader("time")), WithJsonSchema(_schema("time"))]
AmpHours = Annotated[float, BeforeValidator(_reader("charge")), WithJsonSchema(_schema("charge"))]
Fraction = Annotated[
    float, BeforeValidator(_reader("fraction")), WithJsonSchema(_schema("fraction"))
]
Rpm = Annotated[float, BeforeValidator(_reader("speed")), WithJsonSchema(_schema("speed"))]
Kilograms = Annotated[float, BeforeValidator(_reader("mass")), WithJsonSchema(_schema("mass"))]
Decibels = Annotated[float, BeforeValidator(_reader("level")), WithJsonSchema(_schema("level"))]
Henries = Annotated[
    float, BeforeValidator(_reader("inductance")), WithJsonSchema(_schema("inductance"))
]
Teslas = Annotated[
    float,
    BeforeValidator(_reader("magnetic flux density")),
    WithJsonSchema(_schema("magnetic flux density")),
]
OhmsPerMetre = Annotated[
    float,
    BeforeValidator(_reader("resistance per length")),
    WithJsonSchema(_schema("resistance per length")),
]
KilogramsPerMetre = Annotated[
    float, BeforeValidator(_reader("mass per length")), WithJsonSchema(_schema("mass per length"))
]
Torque = Annotated[float, BeforeValidator(_reader("torque")), WithJsonSchema(_schema("torque"))]
Gauge = Annotated[str, BeforeValidator(_reader("gauge")), WithJsonSchema(_schema("gauge"))]
"""A wire size by its number alone: "22", "4", "00"."""


def _flag(value: Any) -> Any:
    return units.parse_flag(value) if isinstance(value, str) else value


Flag = Annotated[
    bool,
    BeforeValidator(_flag),
    WithJsonSchema({"enum": ["yes", "no"], "description": "yes or no"}),
]


def _day(value: Any) -> Any:
    return units.parse_day(value) if isinstance(value, str) and value else value


Day = Annotated[
    str,
    BeforeValidator(_day),
    WithJsonSchema(
        {"type": "string", "description": 'a date such as "2031-05-04"', "examples": ["2031-05-04"]}
    ),
]
"""A date, year-month-day."""
