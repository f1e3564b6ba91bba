"""Prints how commands grow with the size of a system; a script, not a test.

`python -m tests.growth [--times 1,4,16] [--only check,book]`; left out, check and failures up to
16 times. larkspur is repeated: every circuit with its equipment, switch, connectors, signal wires,
buses, grounds, places and ways; sources stay single and grow instead. User CPU seconds of whole
processes and their greatest memory; the power is the slope between the logarithms of the smallest
and the greatest, and from the second on, so that what a start costs does not flatter.
"""

import argparse
import math
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

from tests import plain

ROOT = Path(__file__).parents[1]
SINGLE = frozenset({"system", "phases", "sources", "conditions", "outline"})
NOT_COPIED = frozenset({"panels"})
"""A panel names switches and circuits of coils, which no entry of the text says."""
NAMED = ("places", "buses", "switches", "grounds", "equipment", "circuits", "plugs", "multicores",
         "coax")  # fmt: skip
"""Sections whose names others refer to."""
AS_THEY_ARE = frozenset(
    {"pins", "signal", "role", "kind", "character", "on", "when", "basis", "function", "service",
     "type", "colour", "gauge", "note", "contacts", "used", "closes", "law"}
)  # fmt: skip
"""Keys whose text is no name of an entry, though it may look like one."""
APART_IN = 120
GROWING = ("rating", "capacity")
COMMANDS: dict[str, list[str]] = {
    "check": ["check"],
    "loads": ["loads"],
    "wires": ["wires"],
    "size": ["size"],
    "pins": ["pins"],
    "flight": ["flight"],
    "failures": ["failures"],
    "sheets": ["draw", "-o", "{out}/sheets"],
    "book": ["book", "-o", "{out}/book"],
}
_RUN = """
import sys
from elec.read import reading
reading.MOST_ENTRIES, reading.MOST_VALUES = 10**6, 10**7  # no light aircraft is so large
from elec.cli import run
from tests import plain
run(sys.argv[1:])
"""


def grown(times: int) -> dict[str, Any]:
    """larkspur so many times, as plain data."""
    whole: dict[str, Any] = {}
    for file in sorted((ROOT / "systems" / "larkspur").glob("*.yaml")):
        if file.name == "build.yaml":
            continue
        text = file.read_bytes()
        found = plain.texts(text)
        for section, entries in found.items():
            if isinstance(entries, list):
                whole.setdefault(section, []).extend(entries)
            else:
                whole.setdefault(section, {}).update(entries)
    if times == 1:
        return whole
    names = {name for section in NAMED for name in whole.get(section, ())}
    names |= {entry["name"] for entry in whole["feeders"] if "name" in entry}
    names -= set(whole["sources"])
    made = {key: value for key, value in whole.items() if key in SINGLE}
    made["sources"] = {n: _larger(entry, times) for n, entry in whole["sources"].items()}
    rest = {key: value for key, value in whole.items() if key not in SINGLE | NOT_COPIED}
    for turn in range(1, times + 1):
        for section, entries in _copy(rest, turn, names).items():
            if isinstance(entries, list):
                made.setdefault(section, []).extend(entries)
            else:
                made.setdefault(section, {}).update(entries)
    for place in sorted({entry["place"] for entry in whole["sources"].values()}):
        made["ways"] += [
            {"name": f"{place} {turn}", "between": [place, f"{place}-{turn}"], "length": "2 ft"}
            for turn in range(2, times + 1)
        ]
    return made


def _copy(rest: dict[str, Any], turn: int, names: set[str]) -> dict[str, Any]:
    """The sections once more; the first keeps its names, which the sources refer to."""
    if turn == 1:
        return rest

    reversed_ = [name for name, one in rest["circuits"].items() if "reverse" in one]
    relays = {f"{name}-{way}": (name, way) for name in reversed_ for way in ("down", "up")}

    def name(text: str) -> str:
        first, dot, contact = text.partition(".")
        if first in relays:  # the relays that reverse a motor are called by its circuit
            return "{0}-{2}-{1}".format(*relays[first], turn) + f"{dot}{contact}"
        return f"{first}-{turn}{dot}{contact}" if first in names else text

    def value(given: Any, key: str = "") -> Any:
        if key == "exclusive":
            return f"{given}-{turn}"  # of two pumps one runs, in each copy
        if key in AS_THEY_ARE:
            return deepcopy(given)  # the same object twice would be written as an alias
        if isinstance(given, dict):
            return {
                name(k) if key == "through" else k: value(v, k)
                for k, v in given.items()
                if k != "number"
            }
        if isinstance(given, list):
            return [value(one) for one in given]
        return name(given)

    made: dict[str, Any] = {}
    for section, entries in rest.items():
        if isinstance(entries, list):
            made[section] = [
                {**value(one), **({"name": f"{one['name']}-{turn}"} if "name" in one else {})}
                for one in entries
            ]
        else:
            made[section] = {
                name(key) if key in relays else f"{key}-{turn}": _printed(value(one), turn)
                for key, one in entries.items()
            }
    return made


def _printed(entry: Any, turn: int) -> Any:
    """With a name for print of its own, and higher up than the copy before."""
    if not isinstance(entry, dict):
        return entry
    made = dict(entry)
    if "name" in made:
        made["name"] = f"{made['name']} {turn}"
    if "station" in made:
        inches = float(made.get("waterline", "0 in").removesuffix(" in"))
        made["waterline"] = f"{inches + APART_IN * (turn - 1):g} in"
    return made


def _larger(source: dict[str, Any], times: int) -> dict[str, Any]:
    """A source that carries so many times as much."""

    def by(text: str, factor: float) -> str:
        number, _, unit = text.partition(" ")
        return f"{float(number) * factor:g} {unit}"

    made = dict(source)
    for key in GROWING:
        if key in made:
            made[key] = by(made[key], times)
    if "resistance" in made:
        made["resistance"] = by(made["resistance"], 1 / times)
    if "output" in made:
        made["output"] = {speed: by(amps, times) for speed, amps in made["output"].items()}
    return made


def measured(arguments: list[str]) -> tuple[float, float]:
    """User CPU seconds and greatest memory in MB of one run of a command."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    null = os.open(os.devnull, os.O_WRONLY)
    child = os.posix_spawn(
        sys.executable,
        [sys.executable, "-c", _RUN, *arguments],
        environment,
        file_actions=[(os.POSIX_SPAWN_DUP2, null, 1), (os.POSIX_SPAWN_DUP2, null, 2)],
    )
    os.close(null)
    _, status, used = os.wait4(child, 0)
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        return math.nan, math.nan
    return used.ru_utime, used.ru_maxrss / 1024


def rows(
    times: list[int], commands: list[str], put: Callable[[str], None]
) -> Iterator[tuple[str, list[tuple[float, float]]]]:
    """Each command with its seconds and megabytes, size by size."""
    with tempfile.TemporaryDirectory() as folder:
        for factor in times:
            text = plain.written(grown(factor))
            Path(folder, f"{factor}.yaml").write_text(text)
        for command in commands:
            found = []
            for factor in times:
                first, *rest = COMMANDS[command]
                out = f"{folder}/{command}-{factor}"
                Path(out).mkdir()
                given = [first, f"{folder}/{factor}.yaml", *(a.format(out=out) for a in rest)]
                found.append(measured(given))
                put(f"{command} × {factor}: {found[-1][0]:.2f} s, {found[-1][1]:.0f} MB")
            yield command, found


def power(times: list[int], seconds: list[float]) -> float:
    """The exponent of growth between the first and the last."""
    return math.log(seconds[-1] / seconds[0]) / math.log(times[-1] / times[0])


def main() -> None:
    """Measure and print."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--times", default="1,2,4,8,16")
    asked.add_argument("--only", default="check,failures")
    asked.add_argument("--write", help="write the grown systems to this folder and stop")
    given = asked.parse_args()
    times = [int(factor) for factor in given.times.split(",")]
    if given.write:
        for factor in times:
            text = plain.written(grown(factor))
            Path(given.write, f"larkspur-{factor}.yaml").write_text(text)
        return
    print("| | " + " | ".join(f"{factor} ×" for factor in times) + " | power | from the second |")
    print("|---|" + "--:|" * (len(times) + 2))

    def put(line: str) -> None:
        print(line, file=sys.stderr, flush=True)

    for command, found in rows(times, given.only.split(","), put):
        seconds = [s for s, _ in found]
        shown = " | ".join(f"{s:.2f} s, {mb:.0f} MB" for s, mb in found)
        later = f"{power(times[1:], seconds[1:]):.2f}" if len(times) > 2 else "?"
        powers = f"{power(times, seconds):.2f} | {later}"
        print(f"| {command} | {shown} | {powers} |", flush=True)


if __name__ == "__main__":
    main()
