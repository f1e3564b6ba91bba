"""Thin wires of regulators and contactors become entries of `wires:`, as if written there.

`sense: main` on an alternator is a wire from that bus, through a fuse, to the contact `sense` of
the regulator; `warning-lamp: annunciator.J1.7` one from there to its contact `lamp`;
`engaged-light:` of a contactor one from behind its contact, through a fuse. What is wrong in them
is told where they are written. Works on the plain data, before names are looked up.
"""

from collections.abc import Iterator
from typing import Any

from elec.model.source import INSIDE, sense_contact
from elec.read.draft import Draft, Path

_OF_WIRE = ("gauge", "length", "via")


def expand_taps(draft: Draft) -> None:
    """Make the wires of every alternator and contactor that tells of them."""
    for path, source in list(draft.entries("sources")):
        regulator = _name(source.get("field-wire"))
        beside = regulator not in (None, INSIDE)
        box = str(regulator).partition(".")[0] if beside else str(path[1])
        usual = sense_contact(box, inside=not beside)
        _tap(draft, (*path, "sense"), source.get("sense"), usual)
        lamp = f"{box}.{'lamp' if beside else 'L'}"
        _tap(draft, (*path, "warning-lamp"), source.get("warning-lamp"), lamp)
    for path, entry in list(draft.entries("switches")):
        said = entry.get("engaged-light")
        light = said.get("to") if isinstance(said, dict) else said
        if isinstance(light, str) and light != "none":
            more = said if isinstance(said, dict) else {}
            _wire(draft, (*path, "engaged-light"), more, f"{path[1]}.load", light, fused=True)


def _tap(draft: Draft, path: Path, said: Any, usual: str) -> None:
    start = _name(said)
    if start == INSIDE and isinstance(said, dict) and "if-open" in said:
        draft.wrong(
            (*path, "if-open"),
            "inside the regulator there is no wire that could open: leave it out, or say from "
            "which bus the wire comes",
            key=True,
        )
    if start is None or start == INSIDE:
        return
    more = said if isinstance(said, dict) else {}
    end = str(more.get("to", usual))
    _wire(draft, path, more, start, end, fused=path[-1] == "sense" or "fuse" in more)


def _wire(
    draft: Draft, path: Path, more: dict[str, Any], start: str, end: str, *, fused: bool
) -> None:
    made: dict[str, Any] = {"from": start, "to": end, "function": "P"}
    made |= {key: more[key] for key in _OF_WIRE if key in more}
    if "amps" in more:
        made["amps"] = more["amps"]
    if fused:
        made["fuse"] = more.get("fuse", "auto")
    wires = draft.data.setdefault("wires", [])
    if not isinstance(wires, list):
        return
    here: Path = ("wires", len(wires))
    wires.append(made)
    draft.made[here] = path
    for marks in (draft.keys, draft.spots):
        whole = draft.spot_of(path, key=marks is draft.keys)
        marks[here] = whole
        for at in _within(made):
            marks[(*here, *at)] = marks.get((*path, *at), marks.get((*path, at[0]), whole))


def _within(value: Any) -> Iterator[Path]:
    """The way to each thing in a mapping or list, and to what is in that."""
    inner = value.items() if isinstance(value, dict) else enumerate(value)
    for key, one in inner:
        yield (key,)
        if isinstance(one, dict | list):
            yield from ((key, *rest) for rest in _within(one))


def _name(said: Any) -> str | None:
    start = said.get("from") if isinstance(said, dict) else said
    return start if isinstance(start, str) else None
