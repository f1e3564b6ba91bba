"""Plain text for a terminal, a pipe or a file."""

import textwrap
from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from elec.finding import Finding, Verdict, quoted
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
from elec.pages.told import Told, told
from elec.working import Working
from elec.write.columns import GAP, lay, length, pad
from elec.write.register import Document, Options, writer
from elec.write.steps import StepLine, lines, verdict
from elec.write.values import HARD_SPACE, clean, glued, one_line

COUNT_WORDS = {
    Verdict.FAIL: "fail",
    Verdict.ADVISE: "advise",
    Verdict.CANNOT_TELL: "cannot tell",
    Verdict.PASS: "pass",
    Verdict.ACCEPTED: "accepted",
}
"""In the order in which they are counted out."""

_COLOURS = {
    Verdict.FAIL: "red",
    Verdict.ADVISE: "yellow",
    Verdict.CANNOT_TELL: "magenta",
    Verdict.PASS: "green",
    Verdict.ACCEPTED: "cyan",
}
_READABLE = 100
"""Sentences are not set wider than this, however wide the terminal."""
_NARROW = 60
"""Below this width, sentences are not set in under the name of the check."""


@writer(".txt", ".text")
def to_text(document: Document, options: Options) -> bytes:
    """Write a document as text; see `text_of`."""
    cautions = [line for text in options.cautions for line in _wrapped(text, options)]
    between = [""] if cautions else []
    return "\n".join([text_of(document, options), *between, *cautions, ""]).encode()


def text_of(document: Document, options: Options) -> str:
    """The text of a document, without a line end at its end."""
    if isinstance(document, Book):
        heading = [one_line(document.title), one_line(document.subtitle)]
        parts = ["\n".join(line for line in heading if line)]
        parts += [_section(section, options) for section in document.sections]
    else:
        parts = [_section(document, options)]
    return "\n\n".join(part for part in parts if part)


def counts(findings: Iterable[Finding]) -> str:
    """How many findings there are of each verdict that occurs.

    >>> counts([Finding(check="a", about="b", verdict=Verdict.PASS, sentence="")])
    '1 pass'
    """
    verdicts = [finding.verdict for finding in findings]
    found = [(verdicts.count(verdict), word) for verdict, word in COUNT_WORDS.items()]
    return "   ".join(f"{count} {word}" for count, word in found if count) or "nothing was checked"


def _section(section: Section, options: Options, *, inner: bool = False) -> str:
    parts = ["\n".join(_wrapped(one_line(section.title), options))] if section.title else []
    first = section.blocks[0] if section.blocks else None
    if parts and isinstance(first, FindingList):
        parts[0] += "\n" + _counted(first, options)
    titled = bool(parts)
    if parts and inner and not section.new_page:
        lines_ = parts[0].splitlines()
        parts[0] = "\n".join([*lines_, "─" * max(length(line) for line in lines_)])
    for block in section.blocks:
        if titled and isinstance(block, TableBlock) and block.table.title == section.title:
            parts.append(_table(replace(block.table, title=""), options))
        else:
            parts.append(_block(block, options, counted=block is first and titled))
    parts += [_section(one, options, inner=True) for one in section.sections]
    return "\n\n".join(part for part in parts if part)


def _block(block: Block, options: Options, *, counted: bool) -> str:
    match block:
        case Paragraph(kind="verbatim"):
            return "\n".join(clean(line.rstrip()) for line in block.text.splitlines())
        case Paragraph():
            lead = "Caution: " if block.kind == "caution" else ""
            return "\n".join(_wrapped(lead + one_line(block.text), options))
        case Items():
            return "\n".join(_items(block, options))
        case TableBlock():
            return _table(block.table, options)
        case Figure():
            return "\n".join(_wrapped(f"Figure: {block.title}. {block.description}", options))
        case FindingList():
            listed = _findings(block.findings, options)
            bare = counted or len(block.findings) == 1
            return listed if bare else "\n\n".join(filter(None, [_counted(block, options), listed]))
        case WorkingBlock():
            return working_text(block.working, options)


def _wrapped(text: str, options: Options, indent: str = "", first: str | None = None) -> list[str]:
    start = indent if first is None else first
    if options.width is None:
        return [start + text]
    width = max(20, min(options.width, _READABLE))
    lines_ = textwrap.wrap(
        glued(text),
        width,
        initial_indent=start,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(HARD_SPACE, " ") for line in lines_] or [start]


def _items(block: Items, options: Options) -> Iterator[str]:
    bullet = "[ ] " if block.boxes else "- "
    for item in block.items:
        yield from _wrapped(one_line(item), options, indent=" " * len(bullet), first=bullet)


def _table(table: Table, options: Options) -> str:
    title = _wrapped(one_line(table.title), options) if table.title else []
    if not table.rows:
        return "\n".join([*title, "Nothing to list."])
    laid = lay(table, system=options.units, width=options.width, wide=options.wide)
    note = _wrapped(one_line(table.note), options) if table.note else []
    text = [*title, *laid.lines, *note]
    if laid.dropped:
        some = "1 column" if len(laid.dropped) == 1 else f"{len(laid.dropped)} columns"
        text += _wrapped(
            f"No room for {some}: {', '.join(laid.dropped)}. --wide shows all.", options
        )
    return "\n".join(text)


def _counted(block: FindingList, options: Options) -> str:
    return "\n".join(_wrapped_counts(counts(block.findings), options))


def _wrapped_counts(text: str, options: Options) -> list[str]:
    if options.width is None or len(text) <= options.width:
        return [text]
    return textwrap.wrap(text.replace("   ", ", "), options.width)


def _findings(findings: tuple[Finding, ...], options: Options) -> str:
    shown = [f for f in findings if options.passes or f.verdict is not Verdict.PASS]
    if not shown:
        return ""
    groups = told(shown)
    verdict = max(len(f.verdict) for f in shown)
    check = max(length(clean(f.check)) for f in shown)
    about = max(length(one_line(_subject(group))) for group in groups)
    lines_ = [line for one in groups for line in _told(one, options, (verdict, check, about))]
    return "\n".join(lines_)


def _subject(group: Told) -> str:
    return group.findings[0].about if group.alone else group.count


def _told(group: Told, options: Options, widths: tuple[int, int, int]) -> Iterator[str]:
    """What one check says: one finding, or a paragraph with a list of several."""
    yield from _heading(group, options, widths)
    narrow = options.width is not None and options.width < _NARROW
    indent = " " * (2 if narrow else widths[0] + len(GAP))
    first = group.findings[0]
    if group.alone:
        texts = [*first.sentence.splitlines()]
    else:
        texts = []
        for one in group.findings:
            lead, place = f"{indent}- ", one_line(str(one.place))
            text = f"{one.about}: {group.item(one)}"
            text += f" ({place})" if place else ""
            yield from _wrapped(one_line(text), options, indent=indent + "  ", first=lead)
    reasons = [f"Accepted: {reason}" for reason in group.reasons]
    for text in (*texts, *(line for r in group.remedies for line in r.splitlines()), *reasons):
        yield from _wrapped(one_line(text), options, indent=indent)
    if group.verdict is Verdict.PASS:
        return
    worked = group.worked
    why = ""
    if worked is not None and options.again:
        why = f"{options.again} {worked.check} {quoted(worked.about)}"
    sources = " · ".join(one_line(source) for source in group.sources)
    closing = [" · ".join(filter(None, [sources, why]))]
    if options.width is not None and len(indent + closing[0]) > min(options.width, _READABLE):
        closing = [sources, why]  # a command is easier to copy from a line of its own
    for line in filter(None, closing):
        yield from _wrapped(line, options, indent=indent)


def _heading(group: Told, options: Options, widths: tuple[int, int, int]) -> Iterator[str]:
    """Verdict, check, what it is about, and at the right where it is written."""
    words = (group.verdict.value, clean(group.check), one_line(_subject(group)))
    word = _painted(words[0], group.verdict, options)
    place = one_line(str(group.findings[0].place)) if group.alone else ""
    if options.width is None:
        cells = [pad(text, width) for text, width in zip(words, widths, strict=True)]
        yield GAP.join([cells[0].replace(words[0], word, 1), *cells[1:], place]).rstrip()
        return
    lead = [pad(words[0], widths[0]), pad(words[1], widths[1]), words[2]]
    if length(GAP.join([*lead, place])) > options.width:
        lead = list(words)
    text = GAP.join(lead)
    room = min(options.width, _READABLE) - length(text) - length(place)
    head = text.replace(words[0], word, 1)
    if room >= len(GAP):
        yield (head + " " * room + place).rstrip()
        return
    if length(text) > options.width:
        yield GAP.join([word, words[1]])
        yield f"  {words[2]}"
    else:
        yield head
    if place:
        yield f"  {place}"


def _painted(text: str, verdict: Verdict, options: Options) -> str:
    if not options.colour:
        return text
    from click import style

    return style(text, fg=_COLOURS[verdict], bold=True if verdict is Verdict.FAIL else None)


def working_text(working: Working, options: Options) -> str:
    """A working as a hand calculation, step by step."""
    blocks = ["\n".join(_wrapped(one_line(working.title), options))]
    blocks += ["\n".join(_step(line, options)) for line in lines(working, options.units)]
    if judged := verdict(working):
        blocks.append("\n".join(_wrapped(one_line(judged), options)))
    if working.binds:
        blocks.append("\n".join(_wrapped(f"What decided: {one_line(working.binds)}.", options)))
    return "\n\n".join(blocks)


def _step(line: StepLine, options: Options) -> Iterator[str]:
    number = f"{line.number}. "
    indent = " " * len(number)
    yield from _wrapped(one_line(line.meaning), options, indent=indent, first=number)
    equals = indent + " " * max(0, line.formula.find("="))
    if line.formula:
        yield from _wrapped(line.formula, options, indent=equals + "  ", first=indent)
    if line.inserted:
        yield from _wrapped(line.inserted, options, indent=equals + "  ", first=equals)
    yield from _wrapped(
        line.result, options, indent=equals, first=equals if line.formula else indent
    )
    yield from _terms(line, options, indent)
    for label, text in (("from", line.origin), ("after", line.source), ("", line.note)):
        if text:
            yield from _wrapped(one_line(f"{label} {text}"), options, indent=indent)


def _terms(line: StepLine, options: Options, indent: str) -> Iterator[str]:
    rows = [(f"{t.symbol} = {t.value}", t.meaning, t.origin) for t in line.terms]
    if not rows:
        return
    widths = [max(length(row[k]) for row in rows) for k in (0, 1)]
    for row in rows:
        detail = [one_line(text) for text in row]
        text = GAP.join([pad(detail[0], widths[0]), pad(detail[1], widths[1]), detail[2]]).rstrip()
        if options.width is not None and length(text) + len(indent) + 2 > options.width:
            text = GAP.join(part for part in detail if part)
            yield from _wrapped(text, options, indent=indent + "    ", first=indent + "  ")
        else:
            yield f"{indent}  {text}"
