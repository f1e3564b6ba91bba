"""The blocks of a book as text, tables and pictures on pages."""

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Any

from msgspec import Struct
from msgspec.structs import replace
from reportlab.platypus import CondPageBreak, Flowable

from elec.drawings.ink import Picture
from elec.finding import SIGNS, Finding, Verdict
from elec.pages.document import (
    Block,
    Figure,
    FindingList,
    Items,
    Paragraph,
    TableBlock,
    WorkingBlock,
)
from elec.pages.table import Cell, Table
from elec.pages.told import Told, told
from elec.units import UnitSystem
from elec.working import Working
from elec.write.columns import at_point
from elec.write.pdf import grid
from elec.write.pdf.flow import QUIET, VERDICTS, Chart, Heading, Marks, Named, Text, TextLook
from elec.write.pdf.grid import STRIP_GAP_PT, Extra, Grid, PrintColumn, Strips
from elec.write.pdf.paper import MM
from elec.write.steps import lines, verdict
from elec.write.to_text import COUNT_WORDS
from elec.write.values import (
    HARD_SPACE,
    UNKNOWN,
    clean,
    glued,
    is_numeric,
    one_line,
    printed,
    scale,
)

TEXT = TextLook()
LEAD = TextLook(size=10.5, leading=14.0, bold=True, after=4.0)
SMALL = TextLook(size=7.5, leading=10.0, colour=QUIET, after=2.0)
NOTE = TextLook(size=7.5, leading=10.0, colour=QUIET, after=8.0)
LINE = TextLook(size=7.5, leading=10.0, after=0.0)
CAUTION = TextLook(box="#a40000", before=4.0, after=6.0)
CAPTION = TextLook(size=9.5, leading=12.5, bold=True, before=8.0, after=2.0)
ITEM = TextLook(indent=14.0, after=2.5)
STEP = TextLook(size=8.0, leading=10.6, indent=18.0, after=1.0)
SUM = TextLook(size=8.5, leading=11.4, bold=True, indent=18.0, after=1.0)
TERMS = TextLook(size=7.0, leading=9.2, indent=30.0, colour=QUIET, after=2.0)
FOUND = TextLook(size=9.0, leading=12.0, bold=True, before=7.0, after=0.5)
SENTENCE = TextLook(indent=14.0, after=1.0)
ABOUT_CHART_PT = 55.0
"""Room for a chart's title and for the sentence under it."""
AROUND_PT = 10.0
"""Room between a caution and what it is about, at most."""
LEAST_TABLE_PT = 90.0
"""A table begins on a page only where its title, heads and some rows have room."""
_DIGIT_EM = 0.6362  # the advance of a digit in the bundled font, from its metrics
_POINT_EM = 0.3179


class SectionSetting(Struct, frozen=True, kw_only=True):
    """What the blocks of one section need to know."""

    units: UnitSystem
    marks: Marks
    wide_pt: float
    last: Mapping[int, int]
    """Finding → the list that names it last; there its working stands."""
    title: str = ""
    """Of the section: a table of the same title needs no caption."""
    high_pt: float = math.inf
    """The height of the text on a page."""
    after_pt: float = 0.0
    """The height of what has to stand on the page on which a block ends, such as a signature."""


def flowables(blocks: Sequence[Block], setting: SectionSetting) -> Iterator[Flowable]:
    """The blocks in order; a drawing sheet that is there to be drawn has a page of its own."""
    for block in blocks:
        match block:
            case Paragraph(kind="verbatim"):
                yield from (Text(_as_it_stands(ln), LINE) for ln in block.text.splitlines())
            case Paragraph():
                yield _paragraph(block)
            case Items():
                yield from _items(block, setting)
            case TableBlock():
                yield from _table(block.table, setting)
            case Figure(chart=Picture() as chart):
                setting.marks.known.add(block.id)
                wide, high = chart.width_mm * MM, chart.height_mm * MM
                yield CondPageBreak(high * min(1.0, setting.wide_pt / wide) + ABOUT_CHART_PT)
                yield Heading(prose(block.title), CAPTION, block.id, setting.marks, None)
                yield Chart(chart)
                yield Text(prose(block.description), NOTE)
            case FindingList():
                yield from _findings(block, setting)
            case WorkingBlock():
                yield CondPageBreak(6 * STEP.leading)
                yield Heading(prose(block.working.title), CAPTION, "", setting.marks, None)
                yield from steps(block.working, setting)


def _items(block: Items, setting: SectionSetting) -> Iterator[Flowable]:
    """A list; its last item goes with what has to stand below it."""
    for n, item in enumerate(block.items):
        made = Text(prose(item), ITEM, lead="☐" if block.boxes else "–")
        if setting.after_pt and n == len(block.items) - 1:
            yield CondPageBreak(made.wrap(setting.wide_pt, 0.0)[1] + setting.after_pt)
        yield made


def height_pt(block: Block, setting: SectionSetting) -> float:
    """The height of a whole block with the room around it."""
    found = least = 0.0
    for one in flowables((block,), replace(setting, marks=Marks(), after_pt=0.0)):
        if isinstance(one, CondPageBreak):
            least = max(least, found + one.height)
            continue
        found += one.wrap(setting.wide_pt, math.inf)[1] + one.getSpaceBefore()
        found += one.getSpaceAfter()
    return max(found, least)


def begin_pt(block: Block, setting: SectionSetting) -> float:
    """The height that the beginning of a block takes: up to its first item or its first rows."""
    if isinstance(block, Figure):
        return LEAST_TABLE_PT
    found = 0.0
    least = 0.0
    for one in flowables((block,), replace(setting, marks=Marks())):
        if isinstance(one, CondPageBreak):
            least = max(least, found + one.height)
            continue
        _, high = one.wrap(setting.wide_pt, 0.0)
        found += one.getSpaceBefore()
        found += one.begin_pt if isinstance(one, Grid | Strips) else high
        if not isinstance(one, Heading | Named):
            break
        found += one.getSpaceAfter()
    return max(found, least)


def prose(text: str) -> str:
    """Text for reading: on one line, a number and its unit together."""
    return glued(one_line(text))


def _as_it_stands(line: str) -> str:
    """A line with its indent."""
    bare = line[:1] + line[1:].lstrip(" ") if line[:1] in "+- " else line
    return clean(line[:1] + HARD_SPACE * (len(line) - len(bare)) + bare[1:]).rstrip()


def _paragraph(block: Paragraph) -> Text:
    if block.kind == "caution":
        return Text(prose(block.text), CAUTION, lead="⚠ Caution")
    return Text(prose(block.text), {"lead": LEAD, "note": NOTE}.get(block.kind, TEXT))


# --- tables -----------------------------------------------------------------------------------


def ease_pt(table: Table, units: UnitSystem) -> float:
    """The width at which a table reads well."""
    return grid.ease_pt(columns(_on_paper(table), units))


def _on_paper(table: Table) -> Table:
    """A table as it stands on paper: strips have no columns of less importance."""
    kept = [k for k, one in enumerate(table.columns) if one.importance == 1 or not table.strips]
    return replace(
        table,
        columns=tuple(table.columns[k] for k in kept),
        rows=tuple(tuple(row[k] for k in kept) for row in table.rows),
    )


def columns(table: Table, units: UnitSystem) -> list[PrintColumn]:
    """The columns of a table as they print."""
    found = []
    for k, one in enumerate(table.columns):
        values = [row[k] for row in table.rows]
        texts = [_marked(row[k], printed(row[k], one, units)) for row in table.rows]
        if table.to_write:
            texts = [f"{text or HARD_SPACE}\n{HARD_SPACE}" for text in texts]
        numeric = is_numeric(one, values)
        unit = scale(one, units).unit
        head = glued(clean(one.head)) + (f", {unit}" if unit and unit != "AWG" else "")
        pads = [_pad(text) for text in at_point(texts)] if numeric else ()
        heavy = any(isinstance(value, Cell) and value.verdict for value in values)
        found.append(
            grid.column(
                head, texts, pads=pads, number=numeric, bold=k == 0, heavy=heavy,
                by_hand=one.by_hand,
            )
        )  # fmt: skip
    return found


def _marked(value: object, text: str) -> str:
    """A text after the sign of its verdict."""
    sign = SIGNS.get(value.verdict or "", "") if isinstance(value, Cell) else ""
    text = text.replace("\n", " ") or ("" if text == "" else UNKNOWN)
    return f"{sign}{HARD_SPACE}{text}".strip() if sign else text


def _pad(aligned: str) -> float:
    """The width of what a number lacks behind the point, in em."""
    missing = len(aligned) - len(aligned.rstrip(" "))
    return 0.0 if not missing else _POINT_EM + (missing - 1) * _DIGIT_EM


def _table(table: Table, setting: SectionSetting) -> Iterator[Flowable]:
    marks, table = setting.marks, _on_paper(table)
    extras = extras_of(table)
    ready = columns(table, setting.units)
    across = _across(ready, setting.wide_pt) if table.strips else 1
    wide = (setting.wide_pt + STRIP_GAP_PT) / across - STRIP_GAP_PT
    laid = list(grid.lay(ready, wide, extras))
    shown = dict.fromkeys(extra.verdict for extra in extras.values() if extra.verdict)
    signs = "  ".join(f"{SIGNS[word]} {word}" for word in SIGNS if word in shown)
    note = "  ".join(part for part in (signs, prose(table.note)) if part)
    below = Text(note, NOTE) if note else None
    after = setting.after_pt
    if below is not None:
        after += below.wrap(setting.wide_pt, 0.0)[1] + NOTE.after
    if after:
        after += grid.AFTER_PT
    yield CondPageBreak(max(LEAST_TABLE_PT, _begin_pt(laid, after, setting.high_pt)))
    if table.title != setting.title:
        yield Heading(prose(table.title), CAPTION, table.id, marks, None)
    else:
        yield Named(table.id, marks)
    if not table.rows:
        yield Text("Nothing to list.", TEXT)
        return
    for n, part in enumerate(laid):
        if across > 1:
            yield Strips(part, marks, across)
        else:
            yield Grid(part, marks, after_pt=after if n == len(laid) - 1 else 0.0)
    if below is not None:
        yield below


def _across(ready: Sequence[PrintColumn], wide_pt: float) -> int:
    """How many strips of a table stand side by side."""
    return max(1, int((wide_pt + STRIP_GAP_PT) / (grid.ease_pt(ready) + STRIP_GAP_PT)))


def _begin_pt(laid: Sequence[grid.LaidGrid], after_pt: float, high_pt: float) -> float:
    """How high a table's title, heads and first two rows are, which stay together.

    One too short to be parted is whole, with what stands below it, where a page holds that.
    """
    if not laid or not laid[0].heights:
        return 0.0
    title = CAPTION.before + CAPTION.leading + CAPTION.after
    high = title + laid[0].head_height
    whole = high + sum(laid[0].heights) + after_pt
    if len(laid) == 1 and len(laid[0].heights) < 2 * grid.LEAST_ROWS and whole < high_pt:
        return whole
    return high + sum(laid[0].heights[: grid.LEAST_ROWS])


def extras_of(table: Table) -> Mapping[tuple[int, int], Extra]:
    """What cells of a table have beside their texts, by row and column."""
    return {
        (r, c): Extra(link=value.ref or "", verdict=value.verdict or "")
        for r, row in enumerate(table.rows)
        for c, value in enumerate(row)
        if isinstance(value, Cell) and (value.ref or value.verdict)
    }


# --- findings ---------------------------------------------------------------------------------


def _findings(block: FindingList, setting: SectionSetting) -> Iterator[Flowable]:
    findings = block.findings
    counted = [
        (sum(f.verdict is word for f in findings), SIGNS[word.value], text)
        for word, text in COUNT_WORDS.items()
    ]
    line = "     ".join(f"{sign} {n} {text}" for n, sign, text in counted if n)
    yield Text(line, TextLook(bold=True, before=3.0, after=2.0))
    open_ = (f for v in Verdict if v is not Verdict.PASS for f in findings if f.verdict is v)
    for group in told(open_):
        last = {id(f) for f in group.findings if setting.last.get(id(f)) == id(block)}
        yield from _told(group, setting, last)
    passed = [f for f in findings if f.verdict is Verdict.PASS]
    yield from _passed(passed, setting)


def _told(group: Told, setting: SectionSetting, last: Collection[int]) -> Iterator[Flowable]:
    """What one check says: one finding, or a paragraph with a list of several."""
    word, first = group.verdict.value, group.findings[0]
    place = _at(first) if group.alone else ""
    head = Text(
        f"{one_line(first.about if group.alone else group.count)} · {group.check}{place}",
        FOUND,
        lead=f"{SIGNS[word]} {word}",
        lead_colour=VERDICTS[word],
    )
    yield CondPageBreak(4 * FOUND.leading)
    yield head
    for finding in group.findings:
        if not group.alone:
            text = prose(group.item(finding))
            yield Text(f"{one_line(finding.about)}{_at(finding)}: {text}", SENTENCE, lead="–")
            continue
        for line in finding.sentence.splitlines():
            yield Text(prose(line), SENTENCE)
    for remedy in group.remedies:
        yield Text(prose(remedy), SENTENCE, lead="→")
    for reason in group.reasons:
        yield Text(f"Accepted: {prose(reason)}", SENTENCE)
    if group.sources:
        yield Text(one_line("; ".join(group.sources)), TextLook(size=7.5, leading=10.0, indent=14.0,
                   colour=QUIET))  # fmt: skip
    for finding in group.findings:
        if finding.working is not None and id(finding) in last:
            if not group.alone:
                yield Text(f"{one_line(finding.about)}:", SMALL)
            yield from steps(finding.working, setting)


def _at(finding: Finding) -> str:
    return f"  ({one_line(str(finding.place))})" if str(finding.place) else ""


def _passed(findings: Sequence[Finding], setting: SectionSetting) -> Iterator[Flowable]:
    """What passes, check by check, in two columns."""
    for name in dict.fromkeys(f.check for f in findings):
        mine = [f for f in findings if f.check == name]
        sources = "; ".join(dict.fromkeys(s for f in mine for s in f.sources))
        yield CondPageBreak(6 * FOUND.leading)
        yield Text(f"{SIGNS['pass']} {name} · {len(mine)}", FOUND)
        if sources:
            yield Text(one_line(sources), SMALL)
        pair = [
            grid.column("", [one_line(f.about) for f in mine], bold=True),
            grid.column("", [prose(f.sentence) for f in mine]),
        ]
        for laid in grid.lay(pair, setting.wide_pt, {}):
            yield Grid(laid, setting.marks)


# --- workings ---------------------------------------------------------------------------------


def steps(working: Working, setting: SectionSetting) -> Iterator[Flowable]:
    """A hand calculation, step by step."""
    for line in lines(working, setting.units):
        yield CondPageBreak(3 * STEP.leading)
        yield Text(prose(line.meaning), STEP, lead=f"{line.number}.")
        parts = (line.formula, line.inserted, line.result)
        total = Text("  ".join(part for part in parts if part), SUM)
        more = "\n".join(_details(line))
        yield total
        if more:
            yield Text(more, TERMS)
    judged = verdict(working)
    if judged:
        yield Text(prose(judged), SUM)
    if working.binds:
        yield Text(f"What decided: {prose(working.binds)}.", STEP)


def _details(line: Any) -> Iterable[str]:
    for term in line.terms:
        origin = f"  [{one_line(term.origin)}]" if term.origin else ""
        yield f"{term.symbol} = {term.value}  {one_line(term.meaning)}{origin}"
    for lead, text in (("from ", line.origin), ("after ", line.source), ("", line.note)):
        if text:
            yield lead + one_line(text)
