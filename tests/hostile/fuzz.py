"""Mutated systems: of bytes, of words, of structure, of values. Each is refused or answered.

`python -m tests.hostile.fuzz --count 20000 --jobs 2` runs many and prints what went wrong (exit
status 1), with `--shapes` valid systems of any shape; some of either run with the tests, and the
twenty thousand in `.ci/run`. The same number gives the same system for ever.
"""

import argparse
import multiprocessing
import random
import re
import sys
import time
import traceback
import warnings
from collections import Counter
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from msgspec.structs import replace

from elec.check import run
from elec.pages.answers import findings_answer, tables_answer
from elec.pages.document import Section
from elec.pages.loads.leads import loads_lead
from elec.pages.loads.load import conditions, load_lines, loads_by_phase, source_margin
from elec.read import read_texts
from elec.read.ranges import ranges
from elec.study import Study
from elec.units import measure
from elec.write.register import Options, named
from tests import plain
from tests.hostile.shapes import blinded, silent_zeros, thrown, thrown_ring, written
from tests.hostile.systems import FINCH

NOT_FINITE = re.compile(r"(?<![\w-])-?(nan|inf|infinity)(?![\w-])", re.IGNORECASE)
MOST_MESSAGES = 40

WORDS = (
    "", "~", "[]", "{}", "[a, b]", "{a: b}", "yes", "on", "never", "main", "auto", "nan", ".inf",
    "1e308 A", "-1 A", "0 A", "0.001 A", "2000 A", "0 V", "1e-9 Ω", "AWG 40", "AWG 4/0", "0 %",
    "100 %", "1 ms", "72 h", "60000 ft", "140 °C", "-60 °C", "always", "taxi..cruise", "com.J1.1",
    "'", '"', "#", ": ", "- ", "&a", "*a", "!!int 3", "\t", "---", "é", "\ufeff", "\x00", "|",
)  # fmt: skip


def of_bytes(dice: random.Random, text: str) -> bytes:
    """A few bytes lost, doubled or changed."""
    content = bytearray(text.encode())
    for _ in range(dice.randint(1, 3)):
        at = dice.randrange(len(content))
        kind = dice.randrange(3)
        if kind == 0:
            del content[at : at + dice.randint(1, 12)]
        elif kind == 1:
            content[at:at] = content[at : at + dice.randint(1, 30)]
        else:
            content[at] = dice.randrange(256)
    return bytes(content)


def of_words(dice: random.Random, text: str) -> bytes:
    """Words exchanged, lost, or others in their place."""
    words = re.split(r"(\s+|[,:{}\[\]])", text)
    solid = [k for k, word in enumerate(words) if word.strip()]
    for _ in range(dice.randint(1, 3)):
        a, b = dice.choice(solid), dice.choice(solid)
        kind = dice.randrange(3)
        if kind == 0:
            words[a], words[b] = words[b], words[a]
        elif kind == 1:
            words[a] = ""
        else:
            words[a] = dice.choice(WORDS)
    return "".join(words).encode()


def of_structure(dice: random.Random, text: str) -> bytes:
    """Keys lost, entries doubled or moved, values of another shape."""
    data = plain.texts(text)
    for _ in range(dice.randint(1, 2)):
        _reshape(dice, data)
    return _written(data)


def _reshape(dice: random.Random, data: Any) -> None:
    holder, key = dice.choice(list(_spots(data)))
    kind = dice.randrange(5)
    if kind == 0:
        del holder[key]
    elif kind == 1:
        holder[key] = dice.choice([[], {}, "", [holder[key]], {"a": holder[key]}, ["a", "b"]])
    elif kind == 2 and isinstance(holder, dict):
        holder[dice.choice(["again", "main", "com", "kind", "like", "name"])] = holder[key]
    elif kind == 3 and data:
        other = dice.choice(list(data.values()))
        if isinstance(other, dict) and other is not holder[key]:
            other[str(key)] = plain.texts(_written(holder[key]))
    else:
        other, place = dice.choice(list(_spots(data)))
        if not _within(holder[key], other) and not _within(other[place], holder):
            holder[key], other[place] = other[place], holder[key]


def of_values(dice: random.Random, text: str) -> bytes:
    """Values that somebody might write: too large, too small, at the edge of what is read."""
    data = plain.texts(text)
    spots = [(h, k) for h, k in _spots(data) if isinstance(h[k], str) and measure(h[k])]
    for _ in range(dice.randint(1, 4)):
        holder, key = dice.choice(spots)
        found = measure(holder[key])
        if found is None:
            continue
        number, unit = re.split(r"(?<=[0-9])\s+(?=[^0-9/])", holder[key], maxsplit=1)
        known = ranges().get((str(key), found[0])) or ranges().get(("", found[0]))
        bounds = (known.least, known.most) if known else ("0 %", "100 %")
        edge = [bound for bound in bounds if bound]
        factor = 10.0 ** dice.randint(-4, 4)
        scaled = f"{float(number) * factor * dice.uniform(0.5, 2):.4g} {unit}"
        holder[key] = dice.choice([*edge, scaled, scaled, scaled, f"0 {unit}", f"-{number} {unit}"])
    return _written(data)


def _written(data: Any) -> bytes:
    return plain.written(data).encode()


def _spots(data: Any) -> Iterator[tuple[Any, Any]]:
    below = data.items() if isinstance(data, dict) else enumerate(data)
    for key, child in list(below):
        yield data, key
        if isinstance(child, dict | list):
            yield from _spots(child)


def _within(outer: Any, inner: Any) -> bool:
    if outer is inner:
        return True
    below = outer.values() if isinstance(outer, dict) else outer if isinstance(outer, list) else ()
    return any(_within(child, inner) for child in below)


KINDS: tuple[tuple[Callable[[random.Random, str], bytes], int], ...] = (
    (of_bytes, 8), (of_words, 8), (of_structure, 3), (of_values, 1),
)  # fmt: skip
"""Each kind, and how many of twenty are of it. What is refused costs 2 ms, what is computed 200 ms,
and of changed values every third is computed, of changed bytes every fortieth."""


def kind_of(number: int) -> Callable[[random.Random, str], bytes]:
    """In what way the system of a number is changed."""
    turn = number * 7 % sum(share for _, share in KINDS)
    for kind, share in KINDS:
        if turn < share:
            return kind
        turn -= share
    raise AssertionError(number)


def mutant(number: int, text: str = FINCH) -> bytes:
    """The system of a number; the same for ever."""
    dice = random.Random(number)  # noqa: S311 - chance that can be repeated
    return kind_of(number)(dice, text)


def trouble(content: bytes, *, deep: bool = False) -> str:
    """What goes wrong with a system: "" for nothing, else a line that says it."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        found = read_texts({Path("finch.yaml"): content})
        if found.system is None:
            return _of_messages([mistake.message for mistake in found.mistakes])
        study = Study(found.system)
        printed = named("text").write(answer(study, deep=deep), Options(passes=True)).decode()
    given = content.lower()  # a switch may be called nan
    found_odd = NOT_FINITE.finditer(printed)
    odd = next((m for m in found_odd if m.group(1).lower().encode() not in given), None)
    return f"prints {printed[max(0, odd.start() - 80) : odd.end() + 40]!r}" if odd else ""


def trouble_of_shape(number: int, throw: Callable[[int], dict[str, Any]] = thrown) -> str:
    """What goes wrong with a valid system, or with the same one of which less is known."""
    whole, less = throw(number), blinded(number, throw(number))
    said = trouble(written(whole))
    if said or not less[1]:
        return said
    one, other = (read_texts({Path("t.yaml"): written(d)}).system for d in (whole, less[0]))
    if one is None or other is None:
        return f"refused {'' if one is None else f'without {less[1]}'}"
    zeros = silent_zeros(Study(one), Study(other))
    return f"without {less[1]}: {zeros[0]}" if zeros else ""


def answer(study: Study, *, deep: bool) -> Section:
    """All findings and the load tables."""
    each = (load_lines(study, condition) for condition in conditions(study))
    tables = (source_margin(study), loads_by_phase(study), *each)
    loads = tables_answer(study, "loads", tables, loads_lead(study))
    return replace(findings_answer(study, run(study, deep=deep), []), sections=(loads,))


def _of_messages(messages: list[str]) -> str:
    if not messages:
        return "refused without a word"
    if len(messages) > MOST_MESSAGES:
        return f"{len(messages)} messages, such as {messages[0]!r} and {messages[-1]!r}"
    odd = [text for text in messages if "Traceback" in text or not text.strip()]
    return f"says {odd[0]!r}" if odd else ""


class Tried(NamedTuple):
    """What came of one system: what went wrong or "", what kind it was, processor time in s."""

    number: int
    said: str
    kind: str
    lasted_s: float


LONGEST_S = 5.0
"""What takes longer is told as a hang."""
TIMES = 4
"""A valid system is answered twice, each time by its check and by all its tables."""


def tried(number: int, *, given: argparse.Namespace, text: str) -> Tried:
    """The system of a number, put to the program; a fault of it is told by its line."""
    start = time.process_time()
    throw = thrown_ring if given.rings else thrown if given.shapes else None
    try:
        said = (
            trouble_of_shape(number, throw)
            if throw
            else trouble(mutant(number, text), deep=given.deep)
        )
    except Exception as error:  # noqa: BLE001 - that is what is looked for
        spot = traceback.extract_tb(error.__traceback__)[-1]
        said = f"{type(error).__name__} in {spot.filename[-40:]}:{spot.lineno}: {error}"
    lasted = time.process_time() - start
    if not said and lasted > LONGEST_S * (TIMES if throw else 1):
        said = f"takes {lasted:.1f} s"
    return Tried(number, said, throw.__name__ if throw else kind_of(number).__name__, lasted)


def main() -> int:
    """Run many, print what went wrong and how many there were; 1 where something did."""
    asked = argparse.ArgumentParser(prog="python -m tests.hostile.fuzz")
    asked.add_argument("--first", type=int, default=0)
    asked.add_argument("--count", type=int, default=1000)
    asked.add_argument("--jobs", type=int, default=1, help="how many processes")
    asked.add_argument("--deep", action="store_true")
    asked.add_argument("--shapes", action="store_true", help="valid systems of any shape")
    asked.add_argument("--rings", action="store_true", help="those with the most sources")
    asked.add_argument("--file", type=Path, help="another system to begin with")
    given = asked.parse_args()
    text = given.file.read_text(encoding="utf-8") if given.file else FINCH
    numbers = range(given.first, given.first + given.count)
    kinds, wrong, longest = Counter[str](), 0, 0.0
    with multiprocessing.Pool(given.jobs) as pool:
        one = partial(tried, given=given, text=text)
        for each in pool.imap_unordered(one, numbers, chunksize=25):
            kinds[each.kind] += 1
            wrong += bool(each.said)
            longest = max(longest, each.lasted_s)
            if each.said:
                print(f"{each.number} {each.kind}: {each.said}", flush=True)
    told = ", ".join(f"{name} {count}" for name, count in sorted(kinds.items()))
    print(f"{len(numbers)} systems ({told}); longest {longest:.1f} s; {wrong} went wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
