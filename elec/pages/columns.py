"""Short forms for the columns and cells that most tables have."""

from typing import Literal

from elec import units
from elec.check import verdict_of
from elec.finding import AGAINST, SIGNS, Verdict
from elec.pages.table import Cell, Column
from elec.study import Study
from elec.working import Working

Importance = Literal[1, 2, 3]


def text(key: str, head: str, importance: Importance = 1) -> Column:
    """A column of words."""
    return Column(key=key, head=head, importance=importance)


def by_hand(key: str, head: str) -> Column:
    """A column that somebody writes into on paper where its cells are empty or not known."""
    return Column(key=key, head=head, by_hand=True)


def amps(key: str, head: str, importance: Importance = 1, digits: int = 2) -> Column:
    """A column of currents in A."""
    return Column(key=key, head=head, unit="a", digits=digits, importance=importance)


def volts(key: str, head: str, importance: Importance = 1, digits: int = 2) -> Column:
    """A column of voltages in V."""
    return Column(key=key, head=head, unit="v", digits=digits, importance=importance)


def metres(key: str, head: str, importance: Importance = 1) -> Column:
    """A column of lengths, held in m."""
    return Column(key=key, head=head, unit="m", importance=importance)


def degc(key: str, head: str, importance: Importance = 1) -> Column:
    """A column of temperatures in °C."""
    return Column(key=key, head=head, unit="degc", digits=0, importance=importance)


def share(key: str, head: str, importance: Importance = 1) -> Column:
    """A column of parts of one, printed in %."""
    return Column(key=key, head=head, unit="fraction", digits=0, importance=importance)


def count(key: str, head: str, importance: Importance = 1) -> Column:
    """A column of whole numbers."""
    return Column(key=key, head=head, digits=0, importance=importance)


def gauge(awg: str) -> Cell:
    """A gauge: `20`, `2/0`; an empty one prints nothing."""
    shown = units.show_gauge(awg).removeprefix("AWG ") if awg.isdigit() else awg
    return Cell(value=awg, text=shown)


def marked(
    study: Study, value: float | None, about: str, *checks: str, working: Working | None = None
) -> Cell:
    """A number with the mark of the finding about it; what passes or cannot be told has none."""
    verdict = verdict_of(study, about, *checks)
    return Cell(value=value, working=working, verdict=verdict if verdict in AGAINST else None)


def summed(known: float, unknown: int, working: Working | None = None) -> Cell:
    """A sum that may have unknown terms: then its value is not known, and it prints `12.3 + ?`."""
    if unknown:
        return Cell(value=None, text=f"{known:.2f} + ?", working=working)
    return Cell(value=known, working=working)


def phase_title(study: Study, phase: str) -> str:
    """A phase for print."""
    return study.system.title("phases", phase)


def place_title(study: Study, place: str) -> str:
    """A place for print."""
    return study.system.title("places", place)


def cut(study: Study, length_m: float | None) -> Cell:
    """A length to cut, rounded up to the next inch or centimetre."""
    if length_m is None:
        return Cell(value=None)
    return Cell(value=length_m, text=units.cut_length(length_m, study.system.about.units))


def sign_of(verdict: Verdict | None) -> str:
    """The sign of a verdict in a drawing; nothing for a pass, or where nothing judges.

    >>> sign_of(Verdict.FAIL), sign_of(Verdict.PASS), sign_of(None)
    ('✗', '', '')
    """
    return "" if verdict in (None, Verdict.PASS) else SIGNS[verdict.value]


def listed(words: tuple[str, ...] | list[str]) -> str:
    """Words as a list in a sentence.

    >>> listed(["radio", "beacon", "pump"])
    'radio, beacon and pump'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
