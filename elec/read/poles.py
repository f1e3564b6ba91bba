"""Poles and positions of switches, and what is left in a dimmer.

Works on the plain data beside `elec.read.names`.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from elec.model.switch import REST
from elec.read.draft import Draft, Path, near

_NAMING = ("switch", "contactor", "changeover", "dimmer")


def check_dimmer(draft: Draft, path: Path, entry: Mapping[str, Any]) -> None:
    """A dimmer says what is left in it; nobody can guess that."""
    name, switches = entry.get("dimmer"), draft.data.get("switches")
    if not isinstance(name, str):
        return
    found = switches.get(name) if isinstance(switches, dict) else None
    if not isinstance(found, dict) or "resistance" not in found:
        draft.wrong(
            (*path, "dimmer"),
            "what is left in a dimmer at its brightest is not said; write under switches: "
            f"{name}: {{kind: dimmer, resistance: 0.3 Ω}}",
        )


def check_poles(draft: Draft) -> None:
    """Poles carry circuits or feeders that go through their switch, each terminal one of them."""
    for path, entry in draft.entries("switches"):
        poles = entry.get("poles")
        if isinstance(poles, dict):
            _poles(draft, path, entry, poles)


def _poles(draft: Draft, path: Path, entry: Mapping[str, Any], poles: Mapping[str, Any]) -> None:
    through = [name for name, row in _rows(draft) if path[1] in _through(row)]
    given = entry.get("positions")
    positions = [given] if isinstance(given, str) else given if isinstance(given, list) else []
    if entry.get("kind") in ("relay", "contactor") and not positions:
        positions = [REST, "pulled in"]
    taken: dict[str, str] = {}
    for name, pole in poles.items():
        below = (*path, "poles", name)
        if name not in through:
            draft.wrong(
                below,
                f"no circuit or feeder of this name goes through {path[1]}{near(name, through)}",
                key=True,
            )
        if not isinstance(pole, dict):
            continue
        for key in ("line", "load"):
            given = pole.get(key)
            for terminal in given if isinstance(given, list) else [given]:
                if not isinstance(terminal, str):
                    continue
                if terminal in taken:
                    draft.wrong((*below, key), f"terminal {terminal} is in use: {taken[terminal]}")
                taken[terminal] = f"{key} of {name}"
        closed = pole.get("closed")
        for word in closed if isinstance(closed, list) else [closed]:
            if isinstance(word, str) and word not in positions:
                draft.wrong((*below, "closed"), f'"{word}" is none of positions:{_list(positions)}')


def _through(row: Mapping[str, Any]) -> Iterator[Any]:
    """The switches and relays that a circuit or feeder goes through."""
    yield from map(row.get, _NAMING)
    reverse, alone = row.get("reverse"), row.get("contacts")
    named = [row.get("interlock"), reverse.get("relays") if isinstance(reverse, dict) else None]
    named += alone.values() if isinstance(alone, dict) else []
    for names in named:
        yield from names if isinstance(names, list) else [names]


def _list(positions: list[Any]) -> str:
    return f" {', '.join(map(str, positions))}" if positions else " none are given"


def _rows(draft: Draft) -> Iterator[tuple[str, Mapping[str, Any]]]:
    for path, row in draft.entries("circuits"):
        yield str(path[1]), row
    for _, row in draft.entries("feeders"):
        yield str(row.get("name", f"{row.get('from')}-to-{row.get('to')}")), row
