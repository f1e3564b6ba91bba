"""JSON for programs: SI values with the unit in the key, null where a value is not known.

JSON has no infinite number; where one is meant (a wire that is never damaged), it is the text
`infinity`.
"""

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from msgspec import Raw
from msgspec.json import encode
from msgspec.json import format as json_format

from elec import __version__
from elec.finding import Finding, Mistake, Place, Verdict
from elec.pages.document import (
    Block,
    Book,
    Figure,
    FindingList,
    Items,
    Paragraph,
    Section,
    TableBlock,
    WorkingBlock,
)
from elec.pages.table import Cell, Table, Value
from elec.working import Step, Term, Working
from elec.write.register import Document, Options, writer
from elec.write.values import DATA_DIGITS, symbol

FORMAT = 1
"""Grows when a field is renamed or changes its meaning; never for a field that is added."""


@writer(".json")
def to_json(document: Document, options: Options) -> bytes:
    """Write a document as JSON; all findings, whatever the options say."""
    if isinstance(document, Book):
        body = {
            name: getattr(document, name)
            for name in ("title", "subtitle", "owner", "revision", "date", "digest")
        }
        body["sections"] = [_section(section) for section in document.sections]
    else:
        body = _section(document)
    cautions = {"cautions": list(options.cautions)} if options.cautions else {}
    _step.cache_clear()  # what is equal is written alike in one document, whatever came before it
    return _written({"elec": __version__, "format": FORMAT, **cautions, **body})


def mistakes_json(mistakes: tuple[Mistake, ...]) -> bytes:
    """What could not be read, for a program that asked for JSON."""
    found = [{"message": m.message, "place": _place(m.place)} for m in mistakes]
    return dump({"elec": __version__, "format": FORMAT, "mistakes": found})


def dump(value: Any) -> bytes:
    """JSON text; a number that is none is a fault of the program and raises `ValueError`.

    As `json.dumps(value, ensure_ascii=False, indent=1, allow_nan=False)`, which is slow where it
    indents; floats to `DATA_DIGITS` digits.
    """
    return _written(_rounded(value))


def _written(value: Any) -> bytes:
    """JSON text of what holds rounded floats alone."""
    return json_format(encode(value), indent=1) + b"\n"


def _rounded(value: Any) -> Any:
    """The same with its floats to `DATA_DIGITS` digits, written as Python writes them."""
    if isinstance(value, str):
        return value
    if isinstance(value, float):
        return _float(value)
    if isinstance(value, dict):
        return {key: _rounded(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(one) for one in value]
    return value


def _float(value: float) -> float | Raw:
    number = float(f"{value:.{DATA_DIGITS}g}")
    if _LEAST_PLAIN <= abs(number) < _LEAST_LONG or not number:
        return number
    if not math.isfinite(number):
        raise ValueError(f"{number} is no number of JSON")
    return Raw(repr(number).encode())


_LEAST_PLAIN, _LEAST_LONG = 1e-4, 1e16
"""From one to the other Python writes a number without an exponent, as everybody does."""


def _section(section: Section) -> dict[str, Any]:
    body: dict[str, Any] = {"id": section.id, "title": section.title}
    body["blocks"] = [found for block in section.blocks for found in _block(block)]
    if section.sections:
        body["sections"] = [_section(inner) for inner in section.sections]
    return body


def _block(block: Block) -> Iterator[dict[str, Any]]:
    match block:
        case Paragraph():
            yield {"kind": block.kind, "text": block.text}
        case Items():
            yield {"kind": "items", "items": list(block.items), "boxes": block.boxes}
        case TableBlock():
            yield {"kind": "table", **_table(block.table)}
        case Figure():
            yield {
                "kind": "figure",
                "id": block.id,
                "title": block.title,
                "description": block.description,
            }
        case FindingList():
            counts = {v.value: sum(f.verdict is v for f in block.findings) for v in Verdict}
            yield {
                "kind": "findings",
                "counts": counts,
                "findings": [_finding(f) for f in block.findings],
            }
        case WorkingBlock():
            yield {"kind": "working", **_working(block.working)}


def _table(table: Table) -> dict[str, Any]:
    columns = [
        {"key": column.key, "head": column.head, "unit": symbol(column.unit)}
        for column in table.columns
    ]
    keys = [column.key for column in table.columns]
    rows = [
        dict(
            zip(
                keys,
                [value if isinstance(value, str) else _value(value) for value in row],
                strict=True,
            )
        )
        for row in table.rows
    ]
    return {
        "id": table.id,
        "title": table.title,
        "columns": columns,
        "rows": rows,
        "note": table.note,
    }


def _value(value: Value) -> Any:
    """A plain value, or a mapping where a cell says more."""
    if not isinstance(value, Cell):
        return _number(value)
    plain = _number(value.value)
    more: dict[str, Any] = {"value": plain}
    if value.text is not None:
        more["text"] = value.text
    if value.verdict is not None:
        more["verdict"] = value.verdict
    if value.working is not None:
        more["working"] = _working(value.working)
    return plain if len(more) == 1 else more


def _number(value: str | float | None) -> str | float | Raw | None:
    """The value, rounded; an infinite one as a text, one that has no solution as not known."""
    if not isinstance(value, float):
        return value
    if math.isnan(value):
        return None
    if math.isinf(value):
        return "infinity" if value > 0 else "-infinity"
    return _float(value)


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "check": finding.check,
        "about": finding.about,
        "verdict": finding.verdict.value,
        "sentence": finding.sentence,
        "remedy": finding.remedy,
        "consequence": finding.consequence.value,
        "reason": finding.reason,
        "value": _number(finding.value),
        "limit": _number(finding.limit),
        "unit": symbol(finding.unit),
        "place": _place(finding.place),
        "sources": list(finding.sources),
        "working": _working(finding.working) if finding.working else None,
    }


def _place(place: Place) -> dict[str, Any]:
    return {"file": place.file, "line": place.line, "column": place.column, "path": place.path}


def _working(working: Working) -> dict[str, Any]:
    return {
        "title": working.title,
        "binds": working.binds,
        "steps": [_step(step) for step in working.steps],
    }


@lru_cache(maxsize=1 << 13)
def _step(step: Step) -> Raw:
    """A step as it is written; two in three of a large book are another's again."""
    body = {
        "result": _term(step.result),
        "formula": step.formula,
        "terms": [_term(term) for term in step.terms],
        "source": step.source,
        "note": step.note,
    }
    return Raw(encode(body))


def _term(term: Term) -> dict[str, Any]:
    return {
        "symbol": term.symbol,
        "value": _number(term.value),
        "unit": symbol(term.unit),
        "meaning": term.meaning,
        "origin": term.origin,
    }
