"""Measured values in place of those that were written down before.

In: a system. Out: the same system with the measured currents and resistances in it, each with the
place in the text where it was measured.
"""

from collections import ChainMap
from collections.abc import Mapping
from typing import Any

from msgspec.structs import replace

from elec.finding import Place
from elec.model.entry import Entry
from elec.model.load import Draw, Equipment
from elec.model.system import Document, Measured, System

RESISTIVE = ("sources", "grounds", "switches")
"""Sections whose entries have a resistance of their own."""


def with_measured(system: System) -> System:
    """The system as it was measured: what was not measured stays as designed.

    A current takes the law that the load was given: where the voltage was measured with it, its
    value (a power, a resistance) follows from both; else the current itself counts.
    """
    measured = system.document.measured
    if not measured:
        return system
    changed: dict[str, dict[str, Entry]] = {}
    places: dict[tuple[str | int, ...], Place] = {}
    for name, found in measured.items():
        base, _, mode = name.partition(":")
        for section in ("equipment", *RESISTIVE):
            entries: Mapping[str, Any] = getattr(system.document, section)
            entry = changed.get(section, {}).get(base, entries.get(base))
            if entry is None:
                continue
            if isinstance(entry, Equipment):
                made, path = _drawn(entry, mode, found)
                value = "amps"
            else:
                made, path, value = _resisting(entry, found), ("resistance",), "ohms"
            if made is not None:
                changed.setdefault(section, {})[base] = made
                places[section, base, *path] = system.where("measured", name, value)
    document = _with(system.document, changed)
    return replace(system, document=document, places=ChainMap(places, dict(system.places)))


def _drawn(
    entry: Equipment, mode: str, found: Measured
) -> tuple[Equipment | None, tuple[str, ...]]:
    """The equipment with its measured draw, and the path of that draw."""
    if found.amps_a is None:
        return None, ()
    if mode and mode in entry.modes:
        old = entry.modes[mode]
        new = old.model_copy(
            update={"draw": _law(old.draw, found), "basis": "measured", "tolerance": None}
        )
        return entry.model_copy(update={"modes": {**entry.modes, mode: new}}), (
            "modes", mode, "draw",
        )  # fmt: skip
    if entry.modes:
        return None, ()
    draw = _law(entry.draw, found)
    update = {"draw": draw, "basis": "measured", "tolerance": None}
    return entry.model_copy(update=update), ("draw",)


def _law(old: Draw | None, found: Measured) -> Draw:
    amps = found.amps_a or 0.0
    if found.volts_v is not None and old is not None:
        value = old.by.measured(amps, found.volts_v)
        if value is not None:
            return Draw(law=old.law, value=value)
    return Draw.steady(amps)


def _resisting(entry: Any, found: Measured) -> Any:
    if found.ohms_ohm is None or "resistance_ohm" not in type(entry).model_fields:
        return None
    return entry.model_copy(update={"resistance_ohm": found.ohms_ohm})


def _with(document: Document, changed: Mapping[str, Mapping[str, Entry]]) -> Document:
    update = {
        section: {**getattr(document, section), **entries} for section, entries in changed.items()
    }
    return document.model_copy(update=update)
