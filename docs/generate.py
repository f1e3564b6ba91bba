"""Write the generated parts of the documents; with --check, say which are stale and exit 1.

A part stands in a Markdown file between `<!-- generated: name -->` and `<!-- end -->`. Each name is
a function here under `@part`. Whole files are functions under `@whole`.
"""

import json
import re
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, get_args

import published_cases
import residuals
import walk

from elec import units
from elec.cautions import ADVICE, CARE, LIMITS, MEASURES
from elec.check import checks
from elec.model import (
    connector_type,
    device,
    load,
    panel,
    phase,
    reverse,
    route,
    source,
    switch,
    system,
    wire_type,
    wiring,
)
from elec.model.laws import LAWS
from elec.read.ranges import ranges
from elec.read.schema import field_texts, schema
from elec.read.shape import keys_of, records_in, tag_of, wanted, words_of
from elec.read.starter import starter
from elec.standards import defaults, documents, wire_kind, wire_kind_names
from elec.standards import table as published
from elec.standards.cite import DATA
from elec.wiring.limits import RULES, shown
from elec.wiring.limits import published as published_limit
from elec.write.answer import answer_schema

HERE = Path(__file__).parent
MARKED = re.compile(r"(<!-- generated: ([a-z0-9 -]+) -->\n).*?(<!-- end -->)", re.DOTALL)

LINKED = re.compile(r"\]\(\.\./(elec/[\w/]+\.py)#L\d+ \"(\w+)\"\)")
"""A link to the line where a module defines a name: the line is written anew, the name stays."""

PARTS: dict[str, Callable[[], str]] = {}
WHOLE: dict[str, Callable[[], str]] = {}


def part(name: str) -> Callable[[Callable[[], str]], Callable[[], str]]:
    """Register the text of a part of a Markdown file."""

    def register(write: Callable[[], str]) -> Callable[[], str]:
        PARTS[name] = write
        return write

    return register


def whole(name: str) -> Callable[[Callable[[], str]], Callable[[], str]]:
    """Register the text of a whole file in docs/."""

    def register(write: Callable[[], str]) -> Callable[[], str]:
        WHOLE[name] = write
        return write

    return register


def table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    """A Markdown table."""
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    lines += ["| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in rows]
    return "\n".join(lines) + "\n"


@part("cautions")
def _cautions() -> str:
    named = [f"{key}: {text}" for key, text in CARE.items() if text[0].islower()]
    care = [text for text in CARE.values() if not text[0].islower()]
    return "".join(f"- {text}\n" for text in (ADVICE, *care, *named, *MEASURES))


@part("limits of the method")
def _limits_of_the_method() -> str:
    return "".join(f"- {text}\n" for text in LIMITS)


@part("try")
def _try() -> str:
    from elec.attempt.asked import AskedChange, on_of
    from elec.attempt.attempt import attempt
    from elec.pages.attempt.page import attempt_answer
    from elec.write.register import Options
    from elec.write.to_text import text_of

    keys = {
        "draw": "6 W",
        "place": "float-compartment",
        "bus": "main",
        "on": on_of("taxi,dock"),
    }
    asked = AskedChange(kind="add", name="bow-light", keys={**keys, "switch": "dock-light"})
    found = attempt(HERE.parent / "systems" / "foxglove", [asked])
    command = (
        "$ elec try systems/foxglove --add bow-light --draw 6W --place float-compartment "
        "--bus main --on taxi,dock --switch dock-light"
    )
    answer = text_of(attempt_answer(found), Options(width=WIDTH, again=""))
    return f"```text\n{command}\n\n{answer}\n```\n"


@part("why")
def _why() -> str:
    from elec.answers.why.why_names import find
    from elec.pages.why.page import why_answer
    from elec.read import read
    from elec.study import Study
    from elec.write.register import Options
    from elec.write.to_text import text_of

    system = read(HERE.parent / "systems" / "foxglove").system
    assert system is not None  # noqa: S101 - the demonstration reads without a mistake
    study = Study(system)
    answer = text_of(why_answer(study, find(study, "radio breaker")), Options(width=WIDTH))
    start, end = answer.index("Rating for radio"), answer.index("Ratings tried")
    lead = answer[: answer.index("What it draws")].rstrip()
    shown = f"{lead}\n…\n\n{answer[start:end].rstrip()}\n…"
    return f'```text\n$ elec why systems/foxglove "radio breaker"\n\n{shown}\n```\n'


WIDTH = 110
"""Of the answers of commands that are shown."""


# -- the builder's file ----------------------------------------------------------------------------


@whole("elec.schema.json")
def _schema() -> str:
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"


@whole("answer.schema.json")
def _answer_schema() -> str:
    return json.dumps(answer_schema(), indent=1, ensure_ascii=False) + "\n"


@part("heat residuals")
def _heat_residuals() -> str:
    return residuals.summary()


@part("published cases")
def _published_cases() -> str:
    return published_cases.listed()


@part("accuracy counts")
def _accuracy_counts() -> str:
    from collections import Counter

    import yaml

    shown = Counter(case.certainty for case in published_cases.cases())
    said: Counter[str] = Counter()
    for file in sorted((HERE.parent / "tests" / "checks" / "cases").glob("*.yaml")):
        for case in yaml.safe_load(file.read_text(encoding="utf-8")).values():
            if isinstance(case, dict) and "expect" in case:
                expect = case["expect"]
                for one in expect if isinstance(expect, list) else [expect]:
                    said[str(one.get("verdict"))] += 1
    rows = (
        ("published cases whose figure was seen in the document", shown["seen"]),
        ("published cases from memory of the document", shown["memory"]),
        ("cases computed by hand from the published formula or table", shown["computed"]),
        ("points of heat beside published curves and tables", len(list(residuals.points()))),
        ("checks", len(checks())),
        ("cases of checks that have to pass", said["pass"]),
        ("cases that have to fail or advise", said["fail"] + said["advise"]),
        ("cases where it cannot be told", said["cannot-tell"]),
    )
    return table(("what", "how many"), [(what, str(number)) for what, number in rows])


@part("heat points")
def _heat_points() -> str:
    return residuals.every_point()


@part("starter")
def _starter() -> str:
    return f"```yaml\n{starter()}```\n"


def _value(key: str, field: Any) -> str:
    """What is written after a key."""
    if key == "on":
        return "see [above](#when-a-load-is-on)"
    words, example = wanted(field, key)
    choice = words_of(field.annotation)
    if choice and example:
        return f"{', '.join(f'`{word}`' for word in choice)}, or {words}"
    if words == "yes or no":
        return "yes or no"
    if example and " such as " in words:
        return f"{words.split(' such as ')[0]}: `{example}`"
    if words:
        return words
    if choice:
        return ", ".join(f"`{word}`" for word in choice)
    return "a name" if key in NAMES else _kind(field.annotation)


NAMES = frozenset(
    {
        "place", "ground", "ground-point", "to", "bus", "switch", "contactor", "changeover",
        "splice", "field-circuit", "shunt",
    }
)  # fmt: skip


def _kind(annotation: Any) -> str:
    text = str(annotation)
    if records_in(annotation):
        return "a mapping, see below"
    if "Mapping" in text or "dict[" in text:
        return "a mapping"
    if "tuple[" in text and "Names" not in text:
        return "a list" if "str, ..." not in text else "a name, or a list of them"
    for python, plain in (("int", "a whole number"), ("float", "a number")):
        if re.search(rf"\b{python}\b", text):
            return plain
    return "text"


def keys_table(record: Any, *, common: Any = None) -> str:
    """The keys of a record; those of `common` are left to its own table."""
    texts = field_texts(record)
    rows = []
    for key, field in keys_of(record).items():
        if common is not None and key in keys_of(common) and key != "kind":
            continue
        if key == "kind" and tag_of(record):
            rows.append((f"`{key}`", f"`{tag_of(record)}`", "yes", texts.get(key, "")))
            continue
        needed = "yes" if field.is_required() else ""
        rows.append((f"`{key}`", _value(key, field), needed, texts.get(key, "")))
    return table(("key", "value", "needed", "meaning"), rows)


RECORDS: dict[str, Any] = {
    "system": system.About,
    "phases": phase.Phase,
    "source": source.SourceEntry,
    "field-wire": source.FieldWire,
    "tap": source.SenseTap,
    "crowbar": source.Crowbar,
    "buses": wiring.Bus,
    "panels": panel.Panel,
    "interconnects": panel.Interconnect,
    "feeders": wiring.Feeder,
    "diode": wiring.Diode,
    "protection": wiring.Protection,
    "device-classes": device.DeviceClass,
    "curve": device.CurvePoint,
    "grounds": wiring.Ground,
    "second": wiring.SecondGroundWire,
    "switches": switch.Switch,
    "poles": switch.Pole,
    "coil": switch.Coil,
    "light": switch.Light,
    "equipment": load.Equipment,
    "modes": load.Mode,
    "inrush": load.Inrush,
    "maker-asks": load.MakerAsks,
    "equipment connectors": load.Connector,
    "pins": load.ConnectorPin,
    "circuits": wiring.Circuit,
    "reverse": reverse.Reverse,
    "through": wiring.Through,
    "plugs": system.InlineConnector,
    "connector-types": connector_type.ConnectorType,
    "face": connector_type.FaceContact,
    "wires": wiring.Wire,
    "wire-types": wire_type.WireType,
    "gauges": wire_type.WireGauge,
    "multicores": wiring.Cable,
    "cores": wiring.Core,
    "places": route.Spot,
    "ways": route.Way,
    "holes": route.Hole,
    "zones": route.Zone,
    "outline": route.Outline,
    "sensors": route.Sensor,
    "measured": system.Measured,
    "build": system.Done,
    "stock": system.Stock,
    "accept": system.Acceptance,
}


@part("sections")
def _sections() -> str:
    texts = field_texts(system.Document)
    rows = []
    for key in keys_of(system.Document):
        place = "multicores-and-coax" if key in ("multicores", "coax") else key
        anchor = f"[`{key}`](#{place})"
        rows.append((anchor, texts.get(key, "")))
    return table(("section", "what is in it"), rows)


@part("wire types")
def _wire_types() -> str:
    rows = [
        (
            f"`{kind.name}`",
            kind.what,
            f"{kind.rated_degc:g} °C",
            f"{kind.damaged_degc:g} °C ({kind.damaged_note})",
            f"{units.show_gauge(kind.thinnest)} to {units.show_gauge(kind.thickest)}",
        )
        for kind in map(wire_kind, wire_kind_names())
    ]
    return table(("type", "what it is", "rated", "damaged at (our judgement)", "gauges"), rows)


@part("units")
def _units() -> str:
    rows = []
    for dimension in units.DIMENSIONS:
        if dimension in ("energy", "area", "gauge", "coordinate"):
            continue
        spellings = [name for name, unit in units.UNITS.items() if unit.dimension == dimension]
        shown = " ".join(f"`{name}`" for name in spellings)
        rows.append((units.expects(dimension).split(" such as")[0], shown))
    return table(("quantity", "units that are understood"), rows)


@part("load laws")
def _load_laws() -> str:
    said = "; ".join(f"{law.offered()}: {law.manner}" for law in LAWS.values())
    return f"- The unit of a `draw` is its law. {said[0].upper()}{said[1:]}.\n"


@part("ranges")
def _ranges() -> str:
    rows = [
        (f"`{key}`" if key else f"any {quantity}", str(one), one.why)
        for (key, quantity), one in ranges().items()
    ]
    return table(("key or quantity", "what is read", "why"), rows)


for _name, _record in RECORDS.items():
    PARTS[f"keys {_name}"] = lambda record=_record: keys_table(record)  # type: ignore[misc]
for _record in get_args(get_args(source.Source)[0]):
    PARTS[f"keys {tag_of(_record)}"] = lambda record=_record: keys_table(  # type: ignore[misc]
        record, common=source.SourceEntry
    )


# -- writing ---------------------------------------------------------------------------------------


# -- what the numbers rest on ----------------------------------------------------------------------


@part("defaults")
def _defaults() -> str:
    rows = [
        (
            f"`{key}`",
            f"{entry.value:g} {entry.unit}".strip(),
            entry.meaning,
            entry.why,
            str(entry.cite),
        )
        for key, entry in sorted(defaults().items())
    ]
    return table(("name", "value", "what it is", "why this value", "source"), rows)


@part("documents")
def _documents() -> str:
    rows = [
        (entry.short, f"{entry.title} {entry.edition}".strip(), entry.year, entry.certainty)
        for entry in sorted(documents().values(), key=lambda entry: entry.short.lower())
    ]
    return table(("cited as", "document", "year", "how its numbers got here"), rows)


@part("tables")
def _tables() -> str:
    rows = [
        (f"`{name}`", found.title, found.read, str(found.cite))
        for path in sorted(DATA.glob("*/*.csv"))
        for name in (f"{path.parent.name}/{path.stem}",)
        for found in (published(name),)
    ]
    return table(("file", "what it holds", "how it was read", "source"), rows)


# -- checks ----------------------------------------------------------------------------------------


@part("limits")
def _limits() -> str:
    rows = [
        (
            f"`{key}`",
            _limit(key),
            published_limit(key).meaning,
            ", ".join(f"`{one.id}`" for one in checks() if key in one.limits) or "sheets",
            str(published_limit(key).cite),
        )
        for key in RULES
    ]
    return table(("limit", "value", "what it is", "used by", "source"), rows)


def _limit(key: str) -> str:
    """A limit with its bound; two values where the nominal voltage decides."""
    low, high = (published_limit(key, nominal_v=volts) for volts in (14.0, 28.0))
    text = f"{low.bound} {shown(low)}"
    return text if low.value == high.value else f"{text} ({shown(high)} at 28 V)"


@part("checks")
def _checks() -> str:
    rows = [
        (
            f"[`{one.id}`](#{one.id})",
            one.title,
            ", ".join(f"`{key}`" for key in one.limits),
            "; ".join(one.printed),
        )
        for one in checks()
    ]
    return table(("check", "passes when", "limits", "sources"), rows)


@part("check reasons")
def _check_reasons() -> str:
    return "\n".join(f"### {one.id}\n\n{one.why}\n" for one in checks())


def filled(text: str) -> str:
    """A Markdown text with all of its parts, and the lines that its links lead to, written anew."""

    def write(match: re.Match[str]) -> str:
        return f"{match[1]}{PARTS[match[2]]()}{match[3]}"

    return LINKED.sub(lambda link: _lined(link[1], link[2]), MARKED.sub(write, text))


def _lined(module: str, name: str) -> str:
    """A link to the line where a name is defined; raises ValueError where it is not."""
    text = (HERE.parent / module).read_text(encoding="utf-8")
    found = re.search(rf"^ *(def|class) {name}\b|^ *{name}\b *[:=]", text, re.MULTILINE)
    if found is None:
        raise ValueError(f"{module} defines no {name}")
    return f'](../{module}#L{text.count(chr(10), 0, found.start()) + 1} "{name}")'


def outputs() -> dict[Path, str]:
    """Every document with generated parts, and every generated file, with its current text."""
    found = {HERE / name: write() for name, write in WHOLE.items()}
    for file in [HERE.parent / "README.md", *sorted(HERE.rglob("*.md"))]:
        text = file.read_text(encoding="utf-8")
        if file.name in ("tutorial.md", "recipes.md"):
            found[file] = walk.walked(text)
        elif MARKED.search(text) or LINKED.search(text):
            found[file] = filled(text)
    return found


def stale() -> list[Path]:
    """Files that differ from what would be written now."""
    return [
        file
        for file, text in outputs().items()
        if not file.exists() or file.read_text(encoding="utf-8") != text
    ]


def main(arguments: list[str]) -> int:
    """Write, or check."""
    old = stale()
    if "--check" in arguments:
        for file in old:
            print(f"stale: {file.relative_to(HERE.parent)}; run python docs/generate.py")
        return 1 if old else 0
    texts = outputs()
    for file in old:
        file.write_text(texts[file], encoding="utf-8")
        print(f"written: {file.relative_to(HERE.parent)}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
