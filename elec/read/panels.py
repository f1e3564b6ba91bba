"""The rows of panels: every name exists, is of the panel's kind, and stands in one position."""

from collections.abc import Callable, Iterator, Mapping
from difflib import get_close_matches
from typing import Any

from elec import units
from elec.model.panel import FREE, SpanError, span_of
from elec.read.draft import Draft, Path, dotted, near

Exists = Callable[[Path, Any, str, str], bool]
NOUNS = {"breakers": "breaker", "fuses": "fuse"}


def check_panels(draft: Draft, exists: Exists) -> None:
    """Note every name in a panel's rows that cannot stand there.

    Args:
        draft: the builder's data.
        exists: whether a name is in a section; it notes a mistake where it is not.
    """
    seen: dict[tuple[bool, str], Path] = {}
    switches = set(_switches(draft))
    for path, panel in draft.entries("panels"):
        holds = panel.get("holds", "breakers")
        for below, name in _positions((*path, "rows"), panel.get("rows")):
            if name == FREE:
                continue
            first = seen.setdefault((holds == "switches", name), below)
            if first != below:
                draft.wrong(below, f'"{name}" has a position already, at {dotted(first)}')
            elif holds == "switches":
                if name not in switches:
                    draft.wrong(below, f'there is no switch "{name}"{near(name, sorted(switches))}')
                _same_place(draft, below, name, panel)
            else:
                _protected(draft, exists, below, name, NOUNS.get(holds, ""))
        _headings(draft, path, panel)
        _apart(draft, path, panel)


def _same_place(draft: Draft, path: Path, name: str, panel: Mapping[str, Any]) -> None:
    """A switch that says where it sits sits where its panel does; its wires are laid to there."""
    section = draft.data.get("switches")
    entry = section.get(name) if isinstance(section, dict) else None
    own = entry.get("place") if isinstance(entry, dict) else None
    if isinstance(own, str) and own != panel.get("place"):
        draft.wrong(
            path,
            f'"{name}" sits in {own}, this panel in {panel.get("place")}: '
            f"leave out the place of the switch, or put it on a panel that sits in {own}",
        )


def _apart(draft: Draft, path: Path, panel: Mapping[str, Any]) -> None:
    """Between two holes stays some of the plate."""
    for which in ("hole", "button-hole"):
        hole = _length_m(panel.get(which))
        for key, where in (("pitch", "the next one in its row"), ("row-pitch", "the next row")):
            apart = _length_m(panel.get(key))
            if hole is not None and apart is not None and hole >= apart:
                draft.wrong(
                    (*path, which),
                    f"a hole of {panel[which]} does not fit: {where} is {panel[key]} away ({key})",
                )
                break


def _length_m(said: Any) -> float | None:
    """A length; None for anything else, which is told elsewhere."""
    found = units.measure(said) if isinstance(said, str) else None
    return found[1] if found is not None and found[0] == "length" else None


def _headings(draft: Draft, path: Path, panel: Mapping[str, Any]) -> None:
    """A heading stands over positions that there are, and no two over the same."""
    rows = panel.get("rows")
    if isinstance(rows, list) and not all(isinstance(row, list) for row in rows):
        return  # how many positions there are is not known before that is mended
    rows = [row if isinstance(row, list) else [row] for row in rows] if rows else []
    given = panel.get("columns")
    least = int(given) if isinstance(given, str) and given.isdecimal() else 0
    columns = max((least, *map(len, rows)))
    headings = panel.get("headings")
    taken: dict[tuple[int, int], str] = {}
    for heading, spans in headings.items() if isinstance(headings, dict) else ():
        for index, text in enumerate(spans if isinstance(spans, list) else [spans]):
            below: Path = (*path, "headings", heading)
            below = (*below, index) if isinstance(spans, list) else below
            if not isinstance(text, str):
                continue
            try:
                row, first, last = span_of(text)
            except SpanError as error:
                draft.wrong(below, str(error))
                continue
            if row > len(rows) or last > columns:
                draft.wrong(below, f"{text}: the panel has {len(rows)} rows of {columns} positions")
            for spot in ((row, column) for column in range(first, last + 1)):
                if spot in taken:
                    draft.wrong(below, f"{text} stands under a heading already, {taken[spot]}")
                    break
                taken[spot] = heading


def _positions(path: Path, rows: Any) -> Iterator[tuple[Path, str]]:
    for i, row in enumerate(rows if isinstance(rows, list) else ()):
        for k, name in enumerate(row if isinstance(row, list) else ()):
            if isinstance(name, str):
                yield (*path, i, k), name


def _switches(draft: Draft) -> Iterator[str]:
    """Switches with an entry, and those that a circuit or feeder names."""
    for path, _ in draft.entries("switches"):
        yield str(path[1])
    for section in ("circuits", "feeders"):
        for _, entry in draft.entries(section):
            yield from (str(entry[key]) for key in ("switch", "changeover") if key in entry)


def _protected(draft: Draft, exists: Exists, path: Path, name: str, noun: str) -> None:
    feeders = _feeders(draft)
    entry = feeders.get(name)
    circuits = draft.data.get("circuits")
    others = circuits if isinstance(circuits, dict) else {}
    if entry is None and name not in others:
        meant = next(iter(get_close_matches(name, [*feeders, *others], 1, 0.6)), "")
        if meant in feeders:  # else the circuits tell of it, once for all lines that name it
            draft.wrong(path, f'there is no circuit or feeder "{name}"{near(name, [meant])}')
            return
    if entry is None:
        if not exists(path, name, "circuits", "circuit or feeder"):
            return
        entry = others.get(name)
    if isinstance(entry, dict) and noun and noun not in entry:
        draft.wrong(path, f'"{name}" has no {noun}')


def _feeders(draft: Draft) -> Mapping[str, Any]:
    return {
        str(entry.get("name") or f"{entry.get('from')}-to-{entry.get('to')}"): entry
        for _, entry in draft.entries("feeders")
    }
