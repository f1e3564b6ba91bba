"""The time-current curve of a protective device, as its maker's sheet gives it."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from elec import units
from elec.model.entry import Entry
from elec.model.quantity import Amps, Flag, Seconds


class CurvePoint(Entry):
    """What a device does at a multiple of its rating."""

    holds_s: Literal["always"] | Seconds | None = None
    """It stays closed for at least so long: a time, or `always`."""
    opens_s: Seconds | None = None
    """It has opened after at most so long."""


def _points(value: Any) -> Any:
    """Points by multiples of the rating in rising order, with times that make sense together."""
    if not isinstance(value, Mapping):
        return value
    for key, entry in value.items():
        if isinstance(entry, Mapping) and not entry.keys() & {"holds", "opens"}:
            raise units.UnitError(f"at {key} nothing is said; write holds: or opens: and a time")
    multiples = [multiple(str(key)) for key in value]
    if len(set(multiples)) < len(multiples):
        raise units.UnitError("a multiple of the rating is given twice")
    _falls([entry for _, entry in sorted(zip(multiples, value.values(), strict=True), key=_first)])
    return value


def _first(pair: tuple[float, Any]) -> float:
    return pair[0]


def _falls(entries: list[Any]) -> None:
    """The more current, the sooner; and nothing opens before the time that it holds."""
    for key in ("holds", "opens"):
        times = [t for e in entries if (t := _seconds(e, key)) is not None]
        if any(later > earlier for earlier, later in pairwise(times)):
            raise units.UnitError(f"with more current the times after {key}: do not get longer")
    for entry in entries:
        holds, opens = _seconds(entry, "holds"), _seconds(entry, "opens")
        if holds is not None and opens is not None and holds > opens:
            raise units.UnitError("it cannot hold longer than the time in which it has opened")


def _seconds(entry: Any, key: str) -> float | None:
    text = entry.get(key) if isinstance(entry, Mapping) else None
    if text == "always":
        return float("inf")
    try:
        return float(units.parse(text, "time")) if isinstance(text, str) else None
    except units.UnitError:
        return None


def multiple(text: str) -> float:
    """A multiple of a rating: `138 %` is 1.38.

    Raises:
        UnitError: another text, or one that is not more than nothing.
    """
    plain = units.fold(text)
    number = plain.removesuffix("%").strip()
    if not plain.endswith("%") or not number.replace(".", "", 1).isdigit() or not float(number):
        raise units.UnitError(f'"{text}" is no share of the rating; write it as 200 %')
    return float(number) / 100


CURVE_SCHEMA: dict[str, Any] = {
    "type": "object",
    "additionalProperties": {
        "type": "object",
        "additionalProperties": False,
        "properties": {"holds": {"type": "string"}, "opens": {"type": "string"}},
    },
    "description": (
        "share of the rating → holds and opens, such as {115 %: {holds: 1 h}, 138 %: {opens: 1 h}, "
        "200 %: {holds: 8 s, opens: 30 s}}"
    ),
}

Curve = Annotated[Mapping[str, CurvePoint], BeforeValidator(_points), WithJsonSchema(CURVE_SCHEMA)]
"""Share of the rating → what the device does there; shares as they are written."""


class DeviceClass(Entry):
    """A kind of breaker or fuse by its maker's sheet (`device-classes:` in the file)."""

    name: str | None = None
    """The text for print."""
    curve: Curve = Field(default_factory=dict)
    """How long it holds and when it has opened, by shares of its rating at 25 °C."""
    interrupts_a: Amps | None = None
    """The largest direct current that it can interrupt."""
    compensated: Flag = False
    """Its curve does not move with the temperature around it."""
    recloses: Flag = False
    """It closes again by itself."""
    source: str = ""
    """The sheet that this comes from, for print."""
