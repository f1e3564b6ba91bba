"""Phases of flight and when things are on in them."""

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from elec import units
from elec.model.entry import Entry
from elec.model.load import On, Use
from elec.model.quantity import Seconds


class Engine(Entry):
    """What the engine does in a phase; `rpm` is set when it runs at a known speed."""

    state: Literal["running", "cranking", "stopped"]
    """What the engine does."""
    rpm: float | None = Field(default=None, strict=True)
    """Its speed."""


def _engine(value: Any) -> Any:
    if value in ("cranking", "stopped"):
        return {"state": value}
    if isinstance(value, str):
        return {"state": "running", "rpm": units.parse(value, "speed")}
    return value


EngineText = Annotated[
    Engine,
    BeforeValidator(_engine),
    WithJsonSchema(
        {
            "type": "string",
            "description": "an engine speed (1200 rpm), cranking, or stopped",
            "examples": ["1200 rpm", "cranking", "stopped"],
        }
    ),
]


class Phase(Entry):
    """A part of the flight."""

    name: str | None = None
    """The text for print."""
    lasts_s: Seconds = Field(gt=0)
    """How long the phase lasts."""
    engine: EngineText | None = None
    """Engine speed, `cranking` or `stopped`; left out: running at an unknown speed."""


def uses(on: On, phases: Sequence[str]) -> Mapping[str, Use]:
    """The phases in which a load is on, and how much of each.

    Args:
        on: what the builder wrote after `on:`.
        phases: all phases in order.

    Returns:
        phase → use; a phase that is missing is off.

    Raises:
        KeyError: a phase is named that does not exist; its argument is the name.

    >>> sorted(uses("taxi..cruise", ["start", "taxi", "climb", "cruise"]))
    ['climb', 'cruise', 'taxi']
    """
    full = Use(share=1.0)
    if isinstance(on, Mapping):
        return {name: use for key, use in on.items() for name in _named(key, phases)}
    if isinstance(on, list):
        return {name: full for key in on for name in _named(key, phases)}
    return dict.fromkeys(_named(on, phases), full)


def _named(text: str, phases: Sequence[str]) -> Sequence[str]:
    if text == "always":
        return phases
    if text == "never":
        return ()
    if ".." in text:
        first, last = (part.strip() for part in text.split("..", 1))
        for name in (first, last):
            if name not in phases:
                raise KeyError(name)
        return phases[phases.index(first) : phases.index(last) + 1]
    if text not in phases:
        raise KeyError(text)
    return (text,)
