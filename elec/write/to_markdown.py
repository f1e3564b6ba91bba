"""Markdown with tables, for notes and web pages."""

import re
from collections.abc import Iterable, Iterator

from elec.finding import Finding, Verdict
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
from elec.pages.table import Table
from elec.pages.told import told
from elec.working import Working
from elec.write.columns import head
from elec.write.register import Document, Options, writer
from elec.write.steps import lines, verdict
from elec.write.to_text import counts
from elec.write.values import clean, is_numeric, one_line, printed

MARK = "<!-- written by elec -->"
_SPECIAL = re.compile(r"([\\`*_{}\[\]<>|#~])")
_LINE_START = re.compile(r"^(\d+[.)]|[-+=])(?=\s|$)")


@writer(".md", ".markdown")
def to_markdown(document: Document, options: Options) -> bytes:
    """Write a document as Markdown; figures are named, not drawn."""
    if isinstance(document, Book):
        parts = [f"# {escape(document.title)}", escape(document.subtitle)]
        parts += [part for inner in document.sections for part in _section(inner, options, 2)]
    else:
        parts = list(_section(document, options, 1))
    parts += [f"> {escape(text)}" for text in options.cautions]
    return ("\n\n".join(part for part in [*parts, MARK] if part) + "\n").encode()


def escape(text: str) -> str:
    r"""Text on one line in which nothing acts as Markdown or HTML.

    >>> escape("a | b <c>")
    'a \\| b \\<c\\>'
    """
    safe = _SPECIAL.sub(r"\\\1", one_line(text).replace("&", "&amp;"))
    return _LINE_START.sub(lambda m: m.group()[:-1] + "\\" + m.group()[-1], safe)


def _section(section: Section, options: Options, level: int) -> Iterator[str]:
    yield f"{'#' * min(level, 6)} {escape(section.title)}"
    for block in section.blocks:
        yield from _block(block, options)
    for inner in section.sections:
        yield from _section(inner, options, level + 1)


def _block(block: Block, options: Options) -> Iterator[str]:
    match block:
        case Paragraph(kind="verbatim"):
            yield "\n".join(f"    {clean(line)}" for line in block.text.splitlines())
        case Paragraph():
            yield (
                f"> **Caution:** {escape(block.text)}"
                if block.kind == "caution"
                else escape(block.text)
            )
        case Items():
            bullet = "- [ ] " if block.boxes else "- "
            yield "\n".join(bullet + escape(item) for item in block.items)
        case TableBlock():
            yield from _table(block.table, options)
        case Figure():
            yield f"*{escape(block.title)}.* {escape(block.description)}"
        case FindingList():
            yield escape(counts(block.findings).replace("   ", ", "))
            yield from _findings(block.findings, options)
        case WorkingBlock():
            yield from _working(block.working)


def _table(table: Table, options: Options) -> Iterator[str]:
    if table.title:
        yield f"**{escape(table.title)}**"
    if not table.rows:
        yield "Nothing to list."
    else:
        heads = [escape(head(column, options.units)) for column in table.columns]
        rules = [
            "--:" if is_numeric(column, [row[k] for row in table.rows]) else ":--"
            for k, column in enumerate(table.columns)
        ]
        rows = [
            [
                escape(printed(value, column, options.units))
                for value, column in zip(row, table.columns, strict=True)
            ]
            for row in table.rows
        ]
        yield "\n".join(_row(cells) for cells in (heads, rules, *rows))
    if table.note:
        yield escape(table.note)


def _row(cells: Iterable[str]) -> str:
    return "| " + " | ".join(cells) + " |"


def _findings(findings: tuple[Finding, ...], options: Options) -> Iterator[str]:
    for group in told(f for f in findings if options.passes or f.verdict is not Verdict.PASS):
        title = f"- **{group.verdict.value}** {escape(group.check)}: "
        texts: list[str] = []
        if group.alone:
            one = group.findings[0]
            title += escape(one.about) + _at(one)
            texts += [escape(line) for line in one.sentence.splitlines()]
        else:
            title += group.count
            texts += [
                f"{escape(one.about)}{_at(one)}: {escape(group.item(one))}"
                for one in group.findings
            ]
        rest = [line for remedy in group.remedies for line in remedy.splitlines()]
        rest += [f"Accepted: {reason}" for reason in group.reasons]
        rest += ["; ".join(group.sources)] if group.sources else []
        yield "  \n  ".join([title, *(text for text in texts if text), *map(escape, rest)])


def _at(finding: Finding) -> str:
    return f" ({escape(str(finding.place))})" if str(finding.place) else ""


def _working(working: Working) -> Iterator[str]:
    yield f"**{escape(working.title)}**"
    for line in lines(working):
        sums = " ".join(part for part in (line.formula, line.inserted, line.result) if part)
        texts = [f"{line.number}. {escape(line.meaning)}: {escape(sums)}"]
        texts += [
            escape(", ".join(filter(None, [f"{t.symbol} = {t.value}", t.meaning, t.origin])))
            for t in line.terms
        ]
        texts += [escape(text) for text in (line.origin, line.source, line.note) if text]
        yield "  \n   ".join(texts)
    if judged := verdict(working):
        yield escape(judged)
    if working.binds:
        yield f"What decided: {escape(working.binds)}."
