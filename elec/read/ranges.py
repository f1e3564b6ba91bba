"""Values that no light aircraft has are mistakes at their line, before anything is computed.

In: the builder's texts. Out: one mistake for every quantity outside `elec/ranges`: a key's own
range where the table has one, else that of its quantity. Within these ranges formulas neither
overflow nor ask for hours of computing; what a published curve covers is another question, which
the checks answer.
"""

from functools import cache
from typing import Any

from msgspec import Struct

from elec.read.draft import Draft, Path
from elec.standards import table
from elec.units import measure

_FREE_TEXTS = frozenset(
    {"name", "note", "remark", "reason", "closes", "unprotected", "date", "builder", "owner"}
)
_MAY_BE_NEGATIVE = frozenset({"temperature", "level"})
_BEGINS = frozenset("0123456789.+-−½¼¾")


class Range(Struct, frozen=True, kw_only=True):
    """What is read, as the table writes it and as numbers; None: no bound."""

    least: str
    most: str
    least_si: float | None
    most_si: float | None
    why: str

    def holds(self, value: float, quantity: str) -> bool:
        """Whether a value may be; nothing at all is always possible."""
        size = value if quantity in _MAY_BE_NEGATIVE else abs(value)
        if size == 0 and quantity not in _MAY_BE_NEGATIVE:
            return True
        low, high = self.least_si, self.most_si
        return not ((low is not None and size < low) or (high is not None and size > high))

    def __str__(self) -> str:
        """Give `1 ms to 72 h`, or `up to 60000 ft`."""
        return f"{self.least} to {self.most}" if self.least else f"up to {self.most}"


@cache
def ranges() -> dict[tuple[str, str], Range]:
    """Key ("" for every other) and quantity → what is read."""
    found = {}
    for row in table("elec/ranges"):
        quantity, least, most = row.text("quantity"), row.text("least"), row.text("most")
        found[row.text("key"), quantity] = Range(
            least=least,
            most=most,
            least_si=_number(least, quantity),
            most_si=_number(most, quantity),
            why=row.text("why"),
        )
    return found


def _number(text: str, quantity: str) -> float | None:
    if not text:
        return None
    found = _measured(text)
    if found is None or found[0] != quantity:
        raise ValueError(f"elec/ranges: {text} is no {quantity}")
    return found[1]


def _measured(text: str) -> tuple[str, float] | None:
    """Quantity and value of a text, a bare number included; None for any other text."""
    if not _begins(text):
        return None
    try:
        return "number", float(text)
    except ValueError:
        return measure(text)


def check_ranges(draft: Draft) -> None:
    """Note a mistake at every quantity that no light aircraft has."""
    every: list[tuple[Path, str, bool]] = []
    _numbers(draft.data, (), every)
    for path, text, at_key in every:
        found = _measured(text)
        if found is None or path in draft.spoiled:
            continue
        quantity, value = found
        key = "" if at_key else str(next((p for p in reversed(path) if isinstance(p, str)), ""))
        known = ranges().get((key, quantity)) or ranges().get(("", quantity))
        if known is not None and not known.holds(value, quantity):
            draft.wrong(path, _says(text, key, value, quantity, known), key=at_key)
            draft.spoiled.add(path)
            draft.beyond[path] = draft.mistakes[-1]


def _numbers(data: Any, path: Path, found: list[tuple[Path, str, bool]]) -> None:
    """Every text that begins as a number, with its path, in the order of the text.

    Keys of curves, which are quantities themselves, are there, too.
    """
    if isinstance(data, str):
        if _begins(data):
            found.append((path, data, False))
    elif isinstance(data, dict):
        deep = len(path) > 2
        for key, child in data.items():
            if key in _FREE_TEXTS:
                continue
            if deep and _begins(key):
                found.append(((*path, key), key, True))
            if not isinstance(child, str) or _begins(child):
                _numbers(child, (*path, key), found)
    elif isinstance(data, list):
        for index, child in enumerate(data):
            _numbers(child, (*path, index), found)


def _begins(text: str) -> bool:
    return text.lstrip()[:1] in _BEGINS


def _says(text: str, key: str, value: float, quantity: str, known: Range) -> str:
    shown = " ".join(text.split())
    shown = shown if len(shown) <= 40 else shown[:37] + "..."
    meant = _meant(key, value, quantity)
    return f'"{shown}" cannot be right here; {known} is read: {known.why}{meant}'


def _meant(key: str, value: float, quantity: str) -> str:
    """Air of 150 °C is 150 °F, as a rule."""
    known = ranges().get((key, quantity))
    if quantity == "temperature" and known and known.holds((value - 32) / 1.8, quantity):
        return f'; did you mean "{value:g} °F"?'
    return ""
