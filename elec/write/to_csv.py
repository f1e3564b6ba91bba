"""CSV for spreadsheets and label printers: SI values under heads that carry the unit."""

import csv
import io
import math
from collections.abc import Iterator, Sequence

from elec.finding import Finding
from elec.pages.document import Book, FindingList, Paragraph, Section, TableBlock
from elec.pages.table import Cell, Table, Value
from elec.write.register import Document, Options, writer
from elec.write.values import DATA_DIGITS, UNKNOWN, bare, clean, one_line

STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""With these a spreadsheet begins a formula."""
BYTE_ORDER_MARK = "\ufeff"
"""By it, spreadsheets know the text as UTF-8."""


@writer(".csv")
def to_csv(document: Document, options: Options) -> bytes:
    """Write the tables and findings of a document, with an empty row between two of them."""
    sheets = [
        carrying(table_rows(table), (*options.cautions, *own))
        for table, own in _with_cautions(document)
    ]
    findings = list(findings_in(document))
    if findings:
        rows = finding_rows(findings, passes=options.passes)
        sheets.insert(0, carrying(rows, options.cautions))
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\r\n")
    for number, rows in enumerate(sheets):
        if number:
            out.writerow([])
        out.writerows(rows)
    return (BYTE_ORDER_MARK + text.getvalue()).encode()


def carrying(rows: list[list[str]], cautions: Sequence[str]) -> list[list[str]]:
    """Rows whose head says, behind its last column, what whoever acts on them has to know.

    >>> carrying([["mark"], ["L1A20"]], ("Advice.",))
    [['mark', 'Advice.'], ['L1A20', '']]
    """
    said = guarded(" ".join(dict.fromkeys(cautions)))
    return [[*row, "" if n else said] for n, row in enumerate(rows)] if said else rows


def _with_cautions(document: Document | Section) -> Iterator[tuple[Table, tuple[str, ...]]]:
    """Every table with the cautions that stand before it in its section."""
    cautions: tuple[str, ...] = ()
    if not isinstance(document, Book):
        for block in document.blocks:
            if isinstance(block, Paragraph) and block.kind == "caution":
                cautions = (*cautions, block.text)
            if isinstance(block, TableBlock):
                yield block.table, cautions
    for inner in document.sections:
        yield from _with_cautions(inner)


def table_csv(table: Table, cautions: Sequence[str] = ()) -> bytes:
    """One table as CSV."""
    text = io.StringIO()
    rows = carrying(table_rows(table), cautions)
    csv.writer(text, lineterminator="\r\n").writerows(rows)
    return (BYTE_ORDER_MARK + text.getvalue()).encode()


def guarded(text: str) -> str:
    """Text that no spreadsheet takes for a formula (CWE-1236).

    >>> guarded("=2+3"), guarded("-4.2"), guarded("AWG 20")
    ("'=2+3", '-4.2', 'AWG 20')
    """
    plain = clean(text)
    if not plain.startswith(STARTS_FORMULA):
        return plain
    try:
        float(plain)
    except ValueError:
        return "'" + plain
    return plain


def tables(document: Document | Section) -> Iterator[Table]:
    """Every table of a document, in its order."""
    if not isinstance(document, Book):
        for block in document.blocks:
            if isinstance(block, TableBlock):
                yield block.table
    for inner in document.sections:
        yield from tables(inner)


def table_rows(table: Table) -> list[list[str]]:
    """Head and rows of a table as texts; numbers in the unit of the column's name."""
    body = [[_text(value) for value in row] for row in table.rows]
    return [[guarded(column.key) for column in table.columns], *body]


def finding_rows(findings: list[Finding], *, passes: bool = True) -> list[list[str]]:
    """Head and rows of findings as texts."""
    heads = ["verdict", "check", "about", "value", "limit", "unit", "sentence", "remedy", "reason"]
    rows = [
        [
            f.verdict.value, f.check, f.about, _number(f.value), _number(f.limit), f.unit,
            one_line(f.sentence), one_line(f.remedy), f.reason,
            str(f.place), "; ".join(f.sources),
        ]
        for f in findings
        if passes or f.verdict.value != "pass"
    ]  # fmt: skip
    return [[*heads, "place", "sources"], *([guarded(text) for text in row] for row in rows)]


def findings_in(document: Document | Section) -> Iterator[Finding]:
    """Every finding outside of books, in order."""
    if not isinstance(document, Book):
        for block in document.blocks:
            if isinstance(block, FindingList):
                yield from block.findings
    for inner in document.sections:
        yield from findings_in(inner)


def _number(value: float | None) -> str:
    """A number, or nothing where the check compares none."""
    return "" if value is None else _plain(value)


def _text(value: Value) -> str:
    if isinstance(value, str):  # as most are
        return guarded(value)
    plain = bare(value)
    if isinstance(plain, str):
        return guarded(plain)
    if plain is None:
        known = value.text if isinstance(value, Cell) and value.text else UNKNOWN
        return guarded(known)
    if isinstance(plain, bool):
        return "yes" if plain else "no"
    return _plain(plain)


def _plain(value: float) -> str:
    """A number with a point and without the noise of binary arithmetic."""
    if not math.isfinite(value):
        return UNKNOWN if math.isnan(value) else str(value)
    return str(value) if isinstance(value, int) else f"{value:.{DATA_DIGITS}g}"
