"""The door for quantities: a field's annotation says what dimension the text must have."""

from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from elec import units


def _read(dimension: str) -> tuple[BeforeValidator, WithJsonSchema]:
    """How a quantity of a dimension is read, and what the schema says of it."""

    def read(value: Any) -> Any:
        return units.parse(value, dimension) if isinstance(value, str) else value

    schema = {
        "type": "string",
        "description": units.expects(dimension),
        "examples": units.examples(dimension),
    }
    return BeforeValidator(read), WithJsonSchema(schema)


def alone(key: str) -> BeforeValidator:
    """A text alone stands for a mapping with that one key."""
    return BeforeValidator(lambda value: {key: value} if isinstance(value, str) else value)


Volts = Annotated[float, *_read("voltage")]
Amps = Annotated[float, *_read("current")]
Watts = Annotated[float, *_read("power")]
Ohms = Annotated[float, *_read("resistance")]
Metres = Annotated[float, *_read("length")]
Coordinate = Annotated[float, *_read("coordinate")]
"""A distance from the datum, in m; it may be negative."""
StubMetres = Annotated[float, *_read("stub")]
"""A length in m that may be nothing."""
Celsius = Annotated[float, *_read("temperature")]
Seconds = Annotated[float, *_read("time")]
AmpHours = Annotated[float, *_read("charge")]
Fraction = Annotated[float, *_read("fraction")]
Rpm = Annotated[float, *_read("speed")]
Kilograms = Annotated[float, *_read("mass")]
Decibels = Annotated[float, *_read("level")]
Henries = Annotated[float, *_read("inductance")]
Teslas = Annotated[float, *_read("magnetic flux density")]
OhmsPerMetre = Annotated[float, *_read("resistance per length")]
KilogramsPerMetre = Annotated[float, *_read("mass per length")]
Torque = Annotated[float, *_read("torque")]
Gauge = Annotated[str, *_read("gauge")]
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
