"""The log of an engine monitor: time, speed, volts and amperes, as arrays.

In: a .csv. Out: `EngineLog`, or `ListRefused` with file, row and column of every cell that is
unclear. pandas reads the file and is imported here alone. A head says what a column is and its
unit, in any order; what may be two things is asked about and never taken for one of them.
"""

import csv
import io
import math
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from elec.read.lists.cells import DASHES
from elec.read.lists.grid import ListRefused, letters, shown

if TYPE_CHECKING:
    import pandas as pd

    from elec.read.edit import Edits

Array = npt.NDArray[np.float64]

MOST_BYTES, MOST_ROWS, MOST_COLUMNS = 30_000_000, 200_000, 100
"""Days of a log at a sample a second (our judgement)."""
SEARCHED = 30
"""Lines in which the heads are looked for: monitors write some of their own before them."""
MOST_SAID = 8
"""So many unclear cells are told one by one; the others are counted."""
KINDS = ("time", "rpm", "volts", "alternator-amps", "battery-amps")
NEEDED = ("time", "volts")
_UNITS: Mapping[str, Mapping[str, float]] = {
    "time": {"s": 1.0, "sec": 1.0, "seconds": 1.0, "ms": 1e-3, "min": 60.0, "minutes": 60.0,
             "h": 3600.0, "hours": 3600.0},
    "rpm": {"rpm": 1.0, "1/min": 1.0, "r/min": 1.0},
    "volts": {"v": 1.0, "volt": 1.0, "volts": 1.0, "mv": 1e-3},
    "amps": {"a": 1.0, "amp": 1.0, "amps": 1.0, "ma": 1e-3},
}  # fmt: skip
_RANGE: Mapping[str, tuple[float, float, str]] = {
    "rpm": (0.0, 100_000.0, "a speed of 0 to 100000 rpm"),
    "volts": (-1.0, 1000.0, "a voltage of 0 to 1000 V"),
    "amps": (-2000.0, 2000.0, "a current of up to 2000 A"),
}
"""What is read; beyond it a value is taken for a slip, as in the system file."""
_CLOCK = re.compile(r"(\d{1,2}):([0-5]\d):([0-5]\d(?:\.\d+)?)")
_MISSING = DASHES | {""}
DAY_S = 86_400.0


class EngineLog(Struct, frozen=True, kw_only=True):
    """A log; a missing value is NaN, a missing column is not in `columns`."""

    file: str
    time_s: Array
    """From the first row on."""
    columns: Mapping[str, Array]
    """`rpm`, `volts`, `alternator-amps`, `battery-amps`."""
    heads: Mapping[str, str]
    """Kind → the head of its column, as written."""
    read_as: str
    missing: Mapping[str, int]
    """Kind → how many of its cells are empty."""

    def has(self, kind: str) -> bool:
        """Whether there is such a column."""
        return kind in self.columns


class _Head(Struct, frozen=True, kw_only=True):
    number: int
    text: str
    kinds: tuple[str, ...]
    """What it may be: none, one, or several."""
    factor: float | None
    """What a number in it is multiplied with; None where it says no unit."""


def read_log(path: Path, asked: Sequence[str] = ()) -> EngineLog:
    """Read a log.

    Args:
        path: a .csv.
        asked: `KIND=C` or `KIND=none`, for heads that do not say it.

    Raises:
        ListRefused: what is unclear, each with its place.
    """
    text = _text(path)
    name = path.name
    said = _asked(asked)
    start, separator, heads = _heads(name, text, said)
    chosen = _chosen(name, start, heads, said)
    frame = _frame(name, text, start, separator, len(heads))
    mistakes: list[str] = []
    found: dict[str, Array] = {}
    for kind, head in chosen.items():
        cells = frame.iloc[:, head.number].str.strip()
        at = _Places(name, start, head.number)
        if kind == "time":
            found[kind] = _times(cells, head, at, mistakes)
        else:
            found[kind] = _numbers(cells, kind, head, at, mistakes)
    if not mistakes and len(found["time"]) < 10:
        mistakes.append(f"{name}: {len(found['time'])} rows of readings; at least 10 are needed")
    if mistakes:
        more = len(mistakes) - MOST_SAID
        raise ListRefused(mistakes[:MOST_SAID] + ([f"and {more} more like these"] if more > 0
                                                  else []))  # fmt: skip
    time_s = found.pop("time")
    return EngineLog(
        file=name,
        time_s=time_s - time_s[0],
        columns=found,
        heads={kind: head.text for kind, head in chosen.items()},
        read_as=", ".join(
            f"{letters(head.number)} {shown(head.text)} as {kind}" for kind, head in chosen.items()
        ),
        missing={k: int(np.isnan(v).sum()) for k, v in found.items() if np.isnan(v).any()},
    )


def _text(path: Path) -> str:
    if path.suffix.lower() != ".csv":
        raise ListRefused([f"{path}: a log is a .csv file; save it as one"])
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ListRefused([f"{path}: larger than {MOST_BYTES // 1_000_000} MB; cut it"])
        content = path.read_bytes()
    except OSError as error:
        raise ListRefused([f"{path}: {(error.strerror or str(error)).lower()}"]) from None
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ListRefused([f"{path.name}: no text in UTF-8; save it as CSV UTF-8"]) from None
    if "\0" in text:
        raise ListRefused([f"{path.name}: holds bytes that are no text; save it as CSV UTF-8"])
    return text.replace("\r\n", "\n").replace("\r", "\n")


# -- which column is which -------------------------------------------------------------------------


def _asked(asked: Sequence[str]) -> Mapping[str, int | None]:
    """`volts=C` by its number; None for `none`."""
    found: dict[str, int | None] = {}
    for one in asked:
        kind, sign, where = (part.strip() for part in one.partition("="))
        if not sign or kind not in KINDS:
            raise ListRefused(
                [f"--column {one}: write KIND=C, such as volts=C; kinds: {', '.join(KINDS)}"]
            )
        if where.lower() == "none":
            found[kind] = None
        elif re.fullmatch(r"[A-Za-z]{1,2}", where):
            number = 0
            for letter in where.upper():
                number = number * 26 + ord(letter) - 64
            found[kind] = number - 1
        else:
            raise ListRefused([f"--column {one}: name the column by its letter, such as {kind}=C"])
    return found


def _heads(
    name: str, text: str, said: Mapping[str, int | None]
) -> tuple[int, str, tuple[_Head, ...]]:
    """The line of the heads, what parts its cells, and its heads."""
    lines = text.split("\n")[:SEARCHED]
    for number, line in enumerate(lines):
        for separator in ";\t,":
            cells = next(iter(csv.reader([line], delimiter=separator)), [])
            heads = tuple(_head(k, cell) for k, cell in enumerate(cells))
            kinds = {kind for head in heads for kind in head.kinds}
            electric = kinds & {"volts", "alternator-amps", "rpm"}
            if 2 <= len(cells) <= MOST_COLUMNS and electric and "time" in kinds | {*said}:
                return number, separator, heads
    missing = (
        f"{name}: no line of heads in the first {SEARCHED} lines; it needs a time and the volts "
        'at least, such as "Time (s), Main bus volts (V), RPM, Alternator amps (A)"'
    )
    raise ListRefused([missing])


def _head(number: int, text: str) -> _Head:
    plain = " ".join(text.strip().lower().replace("_", " ").split())
    found = re.search(r"[\[(]\s*([^\])]*)\s*[\])]\s*$|,\s*(\S+)$", plain)
    unit = (found.group(1) or found.group(2) or "").strip() if found else ""
    words = set(re.findall(r"[a-z/]+", plain[: found.start()] if found else plain))
    kinds, family = _kinds(words, unit)
    last = next((w for w in reversed(plain.split()) if w in _UNITS.get(family, {})), "")
    factor = _UNITS.get(family, {}).get(unit or last)
    return _Head(number=number, text=text.strip(), kinds=kinds, factor=factor)


def _kinds(words: set[str], unit: str) -> tuple[tuple[str, ...], str]:
    """What a head may be, and the family of its unit."""
    if words & {"time", "clock", "elapsed"} and not words & {"zone", "date"}:
        return ("time",), "time"
    if "rpm" in words or unit == "rpm" or words >= {"engine", "speed"}:
        return ("rpm",), "rpm"
    if words & {"volts", "volt", "voltage"} or unit in _UNITS["volts"]:
        return ("volts",), "volts"
    if words & {"amps", "amp", "ampere", "amperes", "current"} or unit in _UNITS["amps"]:
        alternator = bool(words & {"alternator", "alt", "generator", "gen"})
        battery = bool(words & {"battery", "bat", "batt"})
        if alternator != battery:
            return ("alternator-amps",) if alternator else ("battery-amps",), "amps"
        return ("alternator-amps", "battery-amps"), "amps"
    return (), ""


def _chosen(
    name: str, start: int, heads: Sequence[_Head], said: Mapping[str, int | None]
) -> dict[str, _Head]:
    """Kind → its column; what may be two things, or stands twice, is asked about."""
    chosen: dict[str, _Head] = {}
    mistakes = []
    taken = {number for number in said.values() if number is not None}
    for kind in KINDS:
        if kind in said:
            number = said[kind]
            if number is None:
                continue
            if number >= len(heads):
                mistakes.append(f"--column {kind}={letters(number)}: there is no such column")
                continue
            chosen[kind] = _meant(heads[number], kind)
            continue
        found = [h for h in heads if kind in h.kinds and h.number not in taken]
        sure = [h for h in found if len(h.kinds) == 1]
        if len(sure) == 1:
            chosen[kind] = sure[0]
        elif len(sure) > 1:
            listed = ", ".join(f"{letters(h.number)} {shown(h.text)}" for h in sure)
            mistakes.append(
                f"{name}, row {start + 1}: {kind} may be any of {listed}; say --column "
                f"{kind}={letters(sure[0].number)}"
            )
    for head in heads:
        open_ = [k for k in head.kinds if k not in chosen and k not in said]
        if len(head.kinds) > 1 and head.number not in taken and open_:
            mistakes.append(
                f"{name}, row {start + 1}, column {letters(head.number)}: whose amperes "
                f"{shown(head.text)} are is not said; say "
                + " or ".join(f"--column {kind}={letters(head.number)}" for kind in open_)
                + ", or to leave it out "
                + " ".join(f"--column {kind}=none" for kind in open_)
            )
    mistakes += [
        f"{name}, row {start + 1}: no head says {kind}; say --column {kind}=C"
        for kind in NEEDED
        if kind not in chosen and not any(kind in m for m in mistakes)
    ]
    for kind, head in chosen.items():
        if head.factor is None and kind not in ("time", "rpm"):
            unit = "V" if kind == "volts" else "A"
            mistakes.append(
                f"{name}, row {start + 1}, column {letters(head.number)}: {shown(head.text)} says "
                f"no unit; write it into the head, such as {shown(f'{head.text} ({unit})')}"
            )
    if mistakes:
        raise ListRefused(mistakes)
    return chosen


def _meant(head: _Head, kind: str) -> _Head:
    """A column that the builder names; the unit of its head counts, else the usual one."""
    family = "amps" if kind.endswith("amps") else kind
    usual = {"time": 1.0, "rpm": 1.0}.get(kind, 1.0)
    words = head.text.lower().replace("(", " ").replace(")", " ").split()
    said = [factor for unit, factor in _UNITS[family].items() if unit in words]
    return _Head(number=head.number, text=head.text, kinds=(kind,), factor=(said or [usual])[0])


# -- its cells -------------------------------------------------------------------------------------


class _Places:
    """Where a cell of a column stands."""

    def __init__(self, name: str, start: int, column: int) -> None:
        self.name, self.start, self.column = name, start, column

    def __call__(self, row: int) -> str:
        return f"{self.name}, row {self.start + row + 2}, column {letters(self.column)}"


def _frame(name: str, text: str, start: int, separator: str, width: int) -> "pd.DataFrame":
    """All cells below the heads as texts."""
    import pandas as pd

    lines = text.split("\n")[start + 1 :]
    while lines and not lines[-1].strip(" ;,\t"):
        lines.pop()
    if len(lines) > MOST_ROWS:
        raise ListRefused([f"{name}: more than {MOST_ROWS} rows; cut it to the flight that counts"])
    if not lines:
        raise ListRefused([f"{name}: no readings stand below the heads"])
    try:
        frame = pd.read_csv(
            io.StringIO("\n".join(lines)),
            sep=separator,
            header=None,
            names=list(range(width)),
            dtype=str,
            keep_default_na=False,
            skip_blank_lines=False,
            index_col=False,
            on_bad_lines="error",
            engine="c",
        )
    except (pd.errors.ParserError, ValueError) as error:
        found = re.search(r"line (\d+), saw (\d+)", str(error))
        where = f", row {int(found.group(1)) + start + 1}" if found else ""
        what = (
            f"{found.group(2)} cells under {width} heads: a comma in a number or a text parted it"
            if found
            else "cannot be read as a list"
        )
        raise ListRefused([f"{name}{where}: {what}"]) from None
    return frame.fillna("")


def _numbers(
    cells: "pd.Series[str]", kind: str, head: _Head, at: _Places, mistakes: list[str]
) -> Array:
    import pandas as pd

    values = pd.to_numeric(cells, errors="coerce").to_numpy(dtype=float, copy=True)
    texts = cells.to_numpy()
    low, high, what = _RANGE["amps" if kind.endswith("amps") else kind]
    for row in np.flatnonzero(~np.isfinite(values)).tolist():
        if texts[row] in _MISSING:
            values[row] = np.nan
        else:
            mistakes.append(f"{at(row)}: {_no_number(str(texts[row]))}")
    values = values * (head.factor or 1.0)
    mistakes += [
        f"{at(row)}: {shown(str(texts[row]))} is not {what}"
        for row in np.flatnonzero((values < low) | (values > high)).tolist()
    ]
    return values


def _no_number(text: str) -> str:
    if re.fullmatch(r"[-+]?\d+,\d+", text):
        return f"{shown(text)} has a decimal comma; write a point"
    return f"{shown(text)} is no number; leave the cell empty where nothing was read"


def _times(cells: "pd.Series[str]", head: _Head, at: _Places, mistakes: list[str]) -> Array:
    """Seconds; a clock (h:mm:ss) may pass midnight, and no row goes back."""
    import pandas as pd

    texts = [str(text) for text in cells]
    clock = [_CLOCK.fullmatch(text) for text in texts]
    if any(clock):
        values = np.array([_seconds(found) for found in clock])
    else:
        values = pd.to_numeric(cells, errors="coerce").to_numpy(dtype=float, copy=True)
        if head.factor is None and np.isfinite(values).all():
            mistakes.append(
                f"{at(-1)}: {shown(head.text)} says no unit; write it into the head, such as "
                f"{shown(head.text + ' (s)')}"
            )
        values = values * (head.factor or 1.0)
    bad = np.flatnonzero(~np.isfinite(values)).tolist()
    mistakes += [f"{at(row)}: {shown(texts[row])} is no time (12:30:05, or seconds)" for row in bad]
    if bad:
        return values
    steps = np.diff(values)
    over = np.flatnonzero(steps < -DAY_S / 2).tolist() if any(clock) else []
    for row in over:
        values[row + 1 :] += DAY_S
    mistakes += [
        f"{at(row + 1)}: {shown(texts[row + 1])} is not later than the row before"
        for row in np.flatnonzero(np.diff(values) <= 0).tolist()
    ]
    return values


def _seconds(found: re.Match[str] | None) -> float:
    if found is None:
        return math.nan
    return int(found.group(1)) * 3600 + int(found.group(2)) * 60 + float(found.group(3))


def put_log(
    edits: "Edits", writes: Sequence[tuple[tuple[str | int, ...], str | Mapping[str, str]]]
) -> None:
    """Put what a log says into the text: under `measured:`, or in place of what is there.

    Raises:
        CannotEdit: the file cannot be changed so.
    """
    there = edits.get("measured")
    there = there if isinstance(there, Mapping) else {}
    new: dict[str, dict[str, str]] = {}
    puts: dict[tuple[str | int, ...], str | Mapping[str, str]] = {}
    for path, value in writes:
        if path[0] == "measured" and path[1] not in there:
            new.setdefault(str(path[1]), {})[str(path[2])] = str(value)
        else:
            puts[path] = value
    edits.set_all(puts)
    for name, keys in new.items():
        edits.add(name, keys, to="measured")
