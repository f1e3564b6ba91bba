"""The same aircraft at twice or half its voltage, as a change of the text.

In: a study, its text. Out: one `Offer`. Every load is taken in a version of the same power for the
other voltage, every source in one of the same power and energy; given sizes are left to be chosen,
and what was built, measured or accepted is left out, for it holds at the one voltage alone.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from elec.attempt.options.offered import Offer
from elec.attempt.plan import Edit
from elec.read.draft import Path
from elec.read.edit import Edits
from elec.study import Study
from elec.units import UnitError, measure

HIGHEST_OF_12_V = 16.0
"""A system of less is one for 12 or 14 V, and is offered at twice; any other at half."""
_POWERS: Mapping[str, int] = {"voltage": 1, "current": -1, "resistance": 2, "charge": -1}
"""Dimension → the power of the ratio of the voltages that a value goes with at the same power."""
_UNITS: Mapping[str, str] = {"voltage": "V", "current": "A", "resistance": "Ω", "charge": "Ah"}
_WALKED = ("sources", "equipment")
_STAYS = frozenset({"connectors", "name", "note", "make", "maker-asks", "field-circuit", "crowbar",
                    "drop", "sense", "warning-lamp", "field-wire"})  # fmt: skip
"""Keys of sources and equipment whose values do not go with the voltage."""
_HOLDS_FOR_ONE = ("measured", "build", "accept", "limits")


def other_voltage(study: Study, edits: Edits, freed: Sequence[Edit]) -> Iterator[Offer]:
    """Twice the voltage where it is one of 12 or 14 V, else half of it.

    Args:
        study: the run.
        edits: the text, which is only read.
        freed: the edits that leave given sizes to be chosen.
    """
    nominal = study.system.about.nominal_v
    ratio = 2.0 if nominal < HIGHEST_OF_12_V else 0.5
    found: dict[Path, str] = {("system", "nominal"): f"{nominal * ratio:g} V"}
    for section in _WALKED:
        for name, entry in (edits.get((section,)) or {}).items():
            found.update(_scaled((section, name), entry, ratio))
    for name, entry in (edits.get(("buses",)) or {}).items():
        if isinstance(entry, Mapping) and isinstance(entry.get("warning"), str):
            found.update(_scaled(("buses", name, "warning"), entry["warning"], ratio))
    for name, entry in (edits.get(("switches",)) or {}).items():
        if isinstance(entry, Mapping) and entry.get("coil") is not None:
            coil = entry["coil"]
            for key in ("draw", "minimum"):
                if isinstance(coil, Mapping) and isinstance(coil.get(key), str):
                    at = ("switches", name, "coil", key)
                    found.update(_scaled(at, coil[key], ratio))
            if isinstance(coil, str):
                found.update(_scaled(("switches", name, "coil"), coil, ratio))
    for name, entry in (edits.get(("sources",)) or {}).items():
        if isinstance(entry, Mapping) and str(entry.get("cells", "")).isdigit():
            cells = max(1, round(int(entry["cells"]) * ratio))
            found["sources", name, "cells"] = str(cells)
    changes = [Edit(path=path, value=value) for path, value in found.items()]
    yield Offer(
        title=f"{nominal * ratio:g} V in place of {nominal:g} V, sizes chosen",
        edits=(*changes, *freed, *_dropped(edits)),
        assumes="every load and source in a version of the same power and mass; what is measured, "
        "ticked and accepted left out",
    )


def _scaled(at: Path, entry: Any, ratio: float) -> Iterator[tuple[Path, str]]:
    """Every value below a path that goes with the voltage, as it then is."""
    if isinstance(entry, Mapping):
        for key, value in entry.items():
            if key not in _STAYS:
                yield from _scaled((*at, key), value, ratio)
        return
    if not isinstance(entry, str):
        return
    try:
        found = measure(entry)
    except UnitError:
        return
    if found is not None and found[0] in _POWERS:
        dimension, value = found
        yield at, f"{value * ratio ** _POWERS[dimension]:.6g} {_UNITS[dimension]}"


def _dropped(edits: Edits) -> Iterator[Edit]:
    """What holds at the one voltage alone: entries of sections, and what makers ask for."""
    for section in _HOLDS_FOR_ONE:
        entries = edits.get((section,))
        keys: list[Any] = list(entries) if isinstance(entries, Mapping) else []
        if isinstance(entries, list):
            keys = list(range(len(entries)))[::-1]
        yield from (Edit(path=(section, key), value=None) for key in keys)
    for name, entry in (edits.get(("equipment",)) or {}).items():
        if isinstance(entry, Mapping) and "maker-asks" in entry:
            yield Edit(path=("equipment", name, "maker-asks"), value=None)
