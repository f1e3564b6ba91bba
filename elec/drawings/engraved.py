"""How a text that is engraved breaks, and how narrow its letters are: one rule for plate and strip.

In: a text, the height of its capitals, the room between its neighbours. Out: its lines.
"""

from collections.abc import Iterable, Sequence

from elec.drawings import metrics

APART_MM = 1.4
"""Between the engravings of neighbours."""
SPACE_MM = 3.0
"""The same of several words, which else read on into the next ones."""
LINES = 3
"""No more lines than these stand under a hole."""
LEAST_NARROW = 0.65
TIED_NARROW = 0.69
"""No engraving is narrower than this to keep a last word of one letter in its line."""
HEAD_NARROW = 0.8
"""Nor is a heading, to keep it in one line."""
BRACKET_MM = 4.6
"""Of the room of a heading for the ends of its bracket."""


def width(text: str, capital_mm: float) -> float:
    """Width of an engraved line whose letters are not narrowed, mm."""
    return metrics.width_mm(metrics.clean(text), capital_mm, True)


def words(text: str, room: float, capital_mm: float) -> list[str]:
    """The words of an engraving; a last one of one letter stays with its word, if that has room.

    >>> words("CONTROLLER A", 40.0, 2.5), words("CONTROLLER A", 20.0, 2.5)
    (['CONTROLLER A'], ['CONTROLLER', 'A'])
    """
    found = text.split()
    last = " ".join(found[-2:])
    lone = len(found) > 1 and len(found[-1]) == 1
    return [*found[:-2], last] if lone and width(last, capital_mm) <= room else found


def narrow_of(texts: Iterable[str], pitch: float, capital_mm: float) -> float:
    """How narrow all letters of a panel are, so that every word stays in one piece; 1: as wide."""
    room = (pitch - APART_MM) / TIED_NARROW
    every = {word for text in texts for word in words(text, room, capital_mm)}
    longest = max((width(word, capital_mm) for word in every), default=0.0)
    fits = int(100 * (pitch - APART_MM) / longest) / 100 if longest else 1.0
    return max(LEAST_NARROW, min(1.0, fits))


def lines(text: str, pitch: float, narrow: float, capital_mm: float) -> list[str]:
    """The lines of what is engraved at a position: a word is never parted."""
    room = (pitch - APART_MM) / narrow
    found = words(metrics.clean(text), room, capital_mm)
    found = [metrics.clip(word, room, capital_mm, bold=True) for word in found]
    whole = " ".join(found)
    longest = max((width(word, capital_mm) for word in found), default=0.0)
    apart = room - (SPACE_MM - APART_MM) / narrow if " " in whole else room
    apart = max(apart, min(longest + 0.01, room))
    return _kept(_even(whole, apart, capital_mm), room, capital_mm)


def heading_lines(text: str, wide: float, capital_mm: float) -> tuple[list[str], float]:
    """The lines of a heading over so much room, and how narrow: in one line where that can be."""
    whole, room = metrics.clean(text.upper()), wide - BRACKET_MM
    narrow = max(HEAD_NARROW, min(1.0, room / max(width(whole, capital_mm), 0.1)))
    found = metrics.wrap(whole, capital_mm, room / narrow + 0.05, bold=True)
    return _kept(found, room / narrow, capital_mm), narrow


def _even(text: str, room: float, capital_mm: float) -> tuple[str, ...]:
    """A text in as few lines as it needs, none much longer than the others."""
    found = metrics.wrap(text, capital_mm, room, bold=True)
    if len(found) < 2:
        return found
    for part in range(5, 10):
        narrower = metrics.wrap(text, capital_mm, room * part / 10, bold=True)
        if len(narrower) == len(found) and " ".join(narrower) == text:
            return narrower
    return found


def _kept(found: Sequence[str], room: float, capital_mm: float) -> list[str]:
    """At most so many lines; the last says by dots that there is more."""
    if len(found) <= LINES:
        return list(found)
    last = metrics.clip(" ".join(found[LINES - 1 :]), room, capital_mm, bold=True)
    return [*found[: LINES - 1], last]


__all__ = ["heading_lines", "lines", "narrow_of", "width", "words"]
