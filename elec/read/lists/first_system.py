"""A first system around the loads of a list: the starter, with these in place of its own."""

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from elec.read.edit import Value
from elec.read.edit.words import inline, key
from elec.read.lists.grid import ListRefused
from elec.read.lists.loads import ListedLoads, Load
from elec.read.reading import read_texts
from elec.read.starter import starter

RESERVED = (
    "battery", "alternator", "main", "master", "battery-on", "field", "regulator", "engine",
    "panel", "belly", "master-coil", "engine-block", "panel-block", "always", "never", "inside",
)  # fmt: skip
"""Names that the starter has for other things."""
_TYPICAL: Mapping[str, str] = {
    "run-up": "{lasts: 3 min, engine: 1800 rpm}",
    "take-off": "{lasts: 2 min, engine: 2400 rpm}",
    "climb": "{lasts: 10 min, engine: 2400 rpm}",
    "descent": "{lasts: 10 min, engine: 2000 rpm}",
    "approach": "{lasts: 5 min, engine: 1600 rpm}",
    "landing": "{lasts: 5 min, engine: 1200 rpm}",
}
"""Phases that the starter has not, with lengths and speeds by our judgement."""
_PUT_RIGHT: Mapping[str, str] = {
    "system": "Put right: name, nominal voltage, return, and whether the engine needs electricity.",
    "sources": "Put right: what your battery and alternator are; these are typical ones.",
    "buses": "Put right: all loads hang on this one bus; write more, and move circuits to them.",
    "feeders": "Put right: gauge and device of the heavy wires, by your battery and alternator.",
    "switches": "Put right: what the contacts of yours may carry, an entry for each switch.",
    "grounds": "Put right: where your return wires end.",
    "places": "Put right: places, and below them the ways between; none of the list's is known.",
}


def first_system(name: str, found: ListedLoads, source: str) -> str:
    """The text of a system with the loads of a list.

    Args:
        name: what the aeroplane is called.
        found: the loads.
        source: the name of the list, for a comment.

    Raises:
        ListRefused: what was read makes no system; the mistakes of its text.
    """
    parts = dict(_sections(starter(name)))
    if found.phases:
        parts["phases"] = _phases(found.phases, parts["phases"])
    ground = [p for p in found.phases if p != "start"]
    run = "always" if found.phases and not ground else inline(ground, flow=True)
    field = [line for line in parts["equipment"].splitlines() if line.startswith("  regulator:")]
    if found.phases:
        field = [re.sub(r"on: [^,]+", lambda _: f"on: {run}", line) for line in field]
    parts["switches"] = _without(parts["switches"], "beacon")
    parts["equipment"] = "\n".join(
        [
            f"# From {source}: estimates until you measure them. Put right: the place of each,",
            "# what is essential, and the peak of what flashes, sounds or has a motor.",
            "equipment:",
            *(_line(one.name, _equipment(one)) for one in found.loads),
            *field,
            "",
            "",
        ]
    )
    field = [line for line in parts["circuits"].splitlines() if line.startswith("  field:")]
    parts["circuits"] = "\n".join(
        [
            "circuits:                    # auto: the rating is chosen, and so is every gauge",
            *(_line(one.name, _circuit(one)) for one in found.loads),
            *field,
            "",
            "",
        ]
    )
    text = "".join(
        (f"# {_PUT_RIGHT[section]}\n" if section in _PUT_RIGHT else "") + part
        for section, part in parts.items()
    )
    reading = read_texts({Path("list.yaml"): text.encode()})
    if reading.mistakes:
        raise ListRefused(
            [f"{source}: {one.place.path}: {one.message}" for one in reading.mistakes]
        )
    return text


def _sections(text: str) -> Iterator[tuple[str, str]]:
    """The name of each section ("" before the first) with its lines."""
    for part in re.split(r"^(?=[a-z])", text, flags=re.MULTILINE):
        head, sign, _ = part.partition(":")
        yield head if sign and not part.startswith("#") else "", part


def _without(part: str, name: str) -> str:
    lines = part.splitlines(keepends=True)
    return "".join(line for line in lines if not line.startswith(f"  {name}:"))


def _phases(names: tuple[str, ...], starters: str) -> str:
    """The phases of the list, in the order of its columns."""
    known = dict(re.findall(r"^  ([\w-]+): (\{.*\})$", starters, re.MULTILINE))
    lines = [f"  {name}: {known.get(name) or _TYPICAL[name]}" for name in names]
    head = "# Put right: how long each lasts and how fast the engine turns; these are typical."
    return "\n".join([head, "phases:", *lines, "", ""])


def _line(name: str, entry: Mapping[str, Value]) -> str:
    return f"  {key(name, flow=False)}: {inline(entry, flow=False)}"


def _equipment(one: Load) -> dict[str, Value]:
    whole = isinstance(one.on, Mapping) and set(one.on.values()) == {"100 %"}
    on: Value = list(one.on) if whole else one.on
    return {
        **({"name": one.title} if one.title != one.name else {}),
        "place": "panel",
        **({"draw": one.draw} if one.draw else {}),
        "on": on,
        "basis": "estimate",
    }


def _circuit(one: Load) -> dict[str, Value]:
    return {
        "bus": "main",
        one.device: one.rating,
        **({"gauge": one.gauge} if one.gauge else {}),
        **({"switch": one.switch} if one.switch else {}),
        "feeds": one.name,
    }
