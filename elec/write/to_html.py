"""The wiring book as one HTML file that needs nothing else: for phone, screen and binder."""

import base64
import hashlib
import json
import sys
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from itertools import accumulate
from pathlib import Path
from typing import Any

from markupsafe import Markup
from msgspec import Struct, field

from elec import __version__
from elec.cautions import ADVICE
from elec.drawings.index import targets
from elec.drawings.metrics import font_face
from elec.drawings.sheet import Sheet
from elec.drawings.svg import to_svg
from elec.finding import SIGNS, Finding, Verdict
from elec.pages.document import (
    Book,
    Figure,
    FindingList,
    Items,
    Paragraph,
    Section,
    TableBlock,
    WorkingBlock,
)
from elec.pages.glance import Answer
from elec.pages.table import Cell, Table
from elec.pages.told import Told, abouts, told, told_id
from elec.working import Working
from elec.write.columns import lacking
from elec.write.html_index import every, index_of, packed
from elec.write.html_paper import (
    BRIEF,
    KINDS,
    PrintedColumn,
    css_text,
    ease_pt,
    kind,
    least_pt,
    off_phone,
    page_rule,
    printed_columns,
    usable_pt,
)
from elec.write.html_steps import escaped, steps_html
from elec.write.register import PAPERS_MM, Document, Options, small_book, writer
from elec.write.to_text import COUNT_WORDS
from elec.write.values import UNKNOWN, clean, glued

_TEMPLATES = Path(__file__).parent / "templates"
_COMPILED = _TEMPLATES / "__pycache__"
_SYNTAX: Mapping[str, Any] = {
    "autoescape": True,
    "trim_blocks": True,
    "lstrip_blocks": True,
    "keep_trailing_newline": True,
    "optimized": False,  # longer than it saves, for a page a run
}
"""What templates are compiled by."""
_TOP = 2
"""Level of the headings of the book's own sections."""
PHONE_PX = 358
"""What a phone of 390 pixels has between its margins."""
_PHONE_PX_PER_MM = 3.2  # the smallest lettering of a sheet can then be read on a phone


@writer(".html", ".htm")
def to_html(document: Document, options: Options) -> bytes:
    """Write a book, or a section as a small book, as one HTML file."""
    book = document if isinstance(document, Book) else small_book(document, options)
    page = _Page(book=book)
    script = (_TEMPLATES / "book.js").read_text(encoding="utf-8")
    text: str = (
        _environment()
        .get_template("book.html.j2")
        .render(
            book=book,
            page=page,
            script=script,
            script_hash=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
            style=(_TEMPLATES / "book.css").read_text(encoding="utf-8"),
            fonts=font_face(),
            version=__version__,
            advice=ADVICE,
            signs=SIGNS,
            live=options.live,
            index=index_of(book, {}) if isinstance(document, Book) else "",
        )
    )
    return text.encode()


def glance_html(answers: tuple[Answer, ...], options: Options) -> str:
    """The first screen alone, before its page is made; it leads to no single finding yet."""
    page = _Page(book=small_book(Section(id="", title="", blocks=()), options))
    blocks = (
        _environment().get_template("blocks.html.j2").make_module({"page": page, "signs": SIGNS})
    )
    return str(blocks.glance(answers))


@cache
def _environment() -> Any:
    import jinja2

    changed = Path(jinja2.__file__).stat().st_mtime_ns

    class Compiled(jinja2.FileSystemBytecodeCache):
        """Templates lie compiled beside them, as modules do; else they are compiled each time."""

        def get_source_checksum(self, source: str) -> str:
            return super().get_source_checksum(f"{source} {_SYNTAX} {changed}")

        def load_bytecode(self, bucket: Any) -> None:
            try:
                super().load_bytecode(bucket)
            except Exception:  # noqa: BLE001 - however it is broken: the template is there
                bucket.reset()

        def dump_bytecode(self, bucket: Any) -> None:
            with suppress(OSError):
                Path(self.directory).mkdir(exist_ok=True)
                super().dump_bytecode(bucket)

    environment = jinja2.Environment(  # noqa: S701 - `_SYNTAX` says that it escapes
        loader=jinja2.FileSystemLoader(_TEMPLATES),
        undefined=jinja2.StrictUndefined,
        auto_reload=False,
        bytecode_cache=None if sys.dont_write_bytecode else Compiled(str(_COMPILED), "%s.cache"),
        **_SYNTAX,
    )
    environment.filters["clean"] = clean
    environment.filters["prose"] = _prose
    return environment


def _prose(text: str) -> str:
    """Text for reading: a number and its unit stay on one line."""
    return glued(clean(text))


class Head(Struct, frozen=True, kw_only=True):
    """The head of a column for print."""

    text: str
    unit: str
    kind: str


class VerdictGroup(Struct, frozen=True, kw_only=True):
    """The findings of one verdict."""

    verdict: str
    word: str
    findings: tuple[Finding, ...]


class PassedCheck(Struct, frozen=True, kw_only=True):
    """What passes one check."""

    check: str
    sources: str
    findings: tuple[Finding, ...]


class _Page(Struct, kw_only=True):
    """What the template asks for; it holds the ids so that each is given once."""

    book: Book
    _ids: set[str] = field(default_factory=set)
    _leads: dict[str, str] = field(default_factory=dict)
    """Link of a drawing sheet → the id in the page that it leads to."""
    _last: dict[int, int] = field(default_factory=dict)
    _steps: dict[Working, Any] = field(default_factory=dict)
    _steps_by_id: dict[int, Any] = field(default_factory=dict)
    _held: list[Working] = field(default_factory=list)
    _gone: dict[int, set[int]] = field(default_factory=dict)
    _homes: dict[Working, str] = field(default_factory=dict)
    """Where a hand calculation is printed; whatever else shows it only leads there."""
    _given: set[str] = field(default_factory=set)
    _printed: dict[int, tuple[PrintedColumn, ...]] = field(default_factory=dict)
    """By the number of a table, which the book holds, so that it stands for no other."""
    _carded: dict[int, bool] = field(default_factory=dict)
    _wide: dict[int, bool] = field(default_factory=dict)
    _heads: dict[tuple[str, ...], str] = field(default_factory=dict)
    """Heads of a table that is cards on a phone → the class of the rules that say them there."""
    _numbers: dict[str, int] = field(default_factory=dict)
    """Name of a thing → which of the cards is its."""
    _way: str = "open"
    """How the section stands that is being written."""
    _parts: dict[str, str] = field(default_factory=dict)
    """Part of the page → its markup."""

    def __post_init__(self) -> None:
        roots: dict[str, str] = {}
        sheets: list[Sheet] = []
        for section in every(self.book.sections):
            self._ids.add(section.id)
            for block in section.blocks:
                if isinstance(block, TableBlock):
                    self._ids.add(block.table.id)
                    if self.carded(block.table):
                        self._heads.setdefault(self._said(block.table), f"h{len(self._heads)}")
                elif isinstance(block, WorkingBlock):
                    self._homes.setdefault(block.working, f"w{len(self._homes) + 1}")
                elif isinstance(block, FindingList):
                    self._last |= {id(finding): id(block) for finding in block.findings}
                    self._ids |= {told_id(finding) for finding in block.findings}
                elif isinstance(block, Figure):
                    self._ids |= {block.id, *block.also}
                    roots |= {} if block.sheet is None else {block.sheet.id: root_id(block)}
                    sheets += [] if block.sheet is None else [block.sheet]
        for link, target in targets(sheets).items():
            self._leads[link] = roots[target.sheet_id] + link.removeprefix(target.sheet_id)

        for number, card in enumerate(self.book.cards):
            for name in (card.name, card.title, card.drawn):
                self._numbers.setdefault(name, number)

    @property
    def light(self) -> bool:
        """Whether the page keeps all but its beginning folded until somebody opens it."""
        return bool(self.book.cards)

    def way(self, section: Section, level: int) -> str:
        """How a section stands in the page.

        open: as it is; drawn: each of its sheets waits until it comes into sight; plain: text that
        reads without a script; packed: what needs one.
        """
        if level > _TOP or not self.light:
            return "open"
        self._way = "open"
        if section.look_up:
            self._way = "packed"
        elif section is not self.book.sections[0]:
            sheets = any(isinstance(block, Figure) and block.sheet for block in section.blocks)
            self._way = "drawn" if sheets else "plain"
        return self._way

    def part(self, name: str, markup: str) -> Any:
        """A part of the page as it is, its content noted."""
        self._parts[name] = markup
        return Markup(markup)  # noqa: S704 - markup that a template made

    def parts(self) -> str:
        """What every part holds in short, for a page that takes over what is new in a later one.

        Two pages with the same hold the same there.
        """
        sums = {
            name: hashlib.sha256(markup.encode()).hexdigest()[:16]
            for name, markup in self._parts.items()
        }
        return packed(json.dumps(sums))

    def percent(self, value: float, whole: float) -> str:
        """How long a bar is, in per cent of the room.

        >>> _Page(book=small_book(Section(id="s", title="", blocks=()), Options())).percent(3, 4)
        '75.0'
        """
        return f"{100 * min(1.0, max(0.0, value / whole if whole > 0 else 0.0)):.1f}"

    def waits(self, figure: Figure) -> bool:
        """Whether a sheet is put in only when it comes into sight."""
        return self._way == "drawn" and figure.sheet is not None

    def shape(self, figure: Figure) -> str:
        """Width to height, so that nothing moves when a sheet comes."""
        return f"{figure.drawing.width_mm:g}/{figure.drawing.height_mm:g}"

    def packed(self, markup: str) -> str:
        """What a section holds, for the browser to unpack."""
        return packed(str(markup))

    def once(self, identifier: str) -> str:
        """An id the first time it is asked for; later a numbered one."""
        name, number = identifier, 2
        while name in self._given:
            name, number = f"{identifier}-{number}", number + 1
        self._given.add(name)
        return name

    def known(self, ref: str | None) -> bool:
        """Whether a link leads anywhere in this book."""
        return ref is not None and ref in self._ids

    def home(self, working: Working) -> str:
        """The id under which a hand calculation is printed, where this is its place."""
        name = self._homes[working]
        return name if self.once(name) == name else ""

    def by(self, finding: Finding) -> Any:
        """The cards of what a finding is about, by which a list of findings is narrowed."""
        if not self.light:
            return ""
        found = {self._numbers[name]: None for name in abouts(finding) if name in self._numbers}
        numbers = " ".join(map(str, found))
        return Markup(f' data-by="{numbers}"')  # noqa: S704 - made of numbers

    def told_id(self, finding: Finding) -> str:
        """The id of where a finding is told; empty where it was told before."""
        name = told_id(finding)
        return self.once(name) if name not in self._given else ""

    def carded(self, table: Table) -> bool:
        """Whether a table is too wide for a phone, where each of its rows is then a card."""
        if id(table) not in self._carded:
            self._carded[id(table)] = off_phone(self.printed(table), PHONE_PX)
        return self._carded[id(table)]

    def printed(self, table: Table) -> tuple[PrintedColumn, ...]:
        """The columns of a table of the book, as they print."""
        if id(table) not in self._printed:
            self._printed[id(table)] = printed_columns(table, self.book.units)
        return self._printed[id(table)]

    def headed(self, table: Table) -> str:
        """The class of a table whose rows are cards on a phone."""
        return self._heads[self._said(table)]

    def _said(self, table: Table) -> tuple[str, ...]:
        """What stands over each value of a card."""
        heads = []
        for one in self.printed(table):
            text = clean(one.column.head)
            heads.append(f"{text}, {one.unit}" if one.unit and one.unit != "AWG" else text)
        return tuple(heads)

    def last(self, finding: Finding, block: FindingList) -> bool:
        """Whether a finding is listed here for the last time; there paper shows its working."""
        return self._last[id(finding)] == id(block)

    def kind(self, block: object) -> str:
        """Which part of the template prints a block."""
        names: Mapping[type, str] = {
            Paragraph: "paragraph",
            Items: "items",
            TableBlock: "table",
            Figure: "figure",
            FindingList: "findings",
            WorkingBlock: "working",
        }
        return names[type(block)]

    def own_id(self, figure: Figure) -> bool:
        """Whether the drawing itself bears the figure's id."""
        return root_id(figure) == figure.id

    def svg(self, figure: Figure) -> Any:
        """The figure's drawing as markup."""
        found = to_svg(
            figure.drawing,
            name=root_id(figure),
            title=figure.title,
            description=figure.description,
            leads=self._leads,
        )
        return Markup(found)  # noqa: S704 - every text is escaped

    def only_sheets(self, section: Section) -> bool:
        """Whether a section is nothing but drawing sheets, which bear their own titles."""
        blocks = section.blocks
        return bool(blocks) and all(isinstance(block, Figure) and block.sheet for block in blocks)

    def only_workings(self, section: Section) -> bool:
        """Whether a section holds hand calculations and next to nothing else."""
        kinds = [type(block) for block in section.blocks]
        return kinds.count(WorkingBlock) > 1 and set(kinds) <= {WorkingBlock, Paragraph, TableBlock}

    def sheet_page(self, figure: Figure) -> str:
        """The name of the page that is as large as a drawing sheet."""
        return f"sheet-{figure.drawing.width_mm:.0f}-{figure.drawing.height_mm:.0f}"

    def wide(self, table: Table) -> bool:
        """Whether a table needs the long side of the paper to be read with ease."""
        if id(table) not in self._wide:
            room_pt = usable_pt(self.book.paper, lying=False)
            widths = accumulate(map(ease_pt, self.printed(table)))
            self._wide[id(table)] = any(width > room_pt for width in widths)
        return self._wide[id(table)]

    def off_paper(self, table: Table) -> set[int]:
        """The columns that find no room on paper at a legible size; the least important ones."""
        if id(table) not in self._gone:
            self._gone[id(table)] = self._without_room(table)
        return self._gone[id(table)]

    def _without_room(self, table: Table) -> set[int]:
        if not self.wide(table):  # it is read with ease even on the short side
            return set()
        room_pt = usable_pt(self.book.paper, lying=True)
        least = [least_pt(one) for one in self.printed(table)]
        gone: set[int] = set()
        for importance in (3, 2):
            for k in reversed(range(len(least))):
                if sum(width for i, width in enumerate(least) if i not in gone) <= room_pt:
                    return gone
                if table.columns[k].importance == importance and k:
                    gone.add(k)
        return gone

    def left_out(self, table: Table) -> str:
        """The heads of the columns that are not on paper."""
        return ", ".join(clean(table.columns[k].head) for k in sorted(self.off_paper(table)))

    def lies(self, section: Section) -> bool:
        """Whether a section is printed on the long side of the paper, for a wide table in it."""
        return any(
            isinstance(block, TableBlock) and self.wide(block.table) for block in section.blocks
        )

    def heads(self, table: Table) -> list[Head]:
        """The heads of a table."""
        gone = self.off_paper(table)
        found = []
        for k, one in enumerate(self.printed(table)):
            found.append(
                Head(
                    text=clean(one.column.head),
                    unit="" if one.unit == "AWG" else one.unit,
                    kind=("number" if one.numeric else "") + (" off-paper" if k in gone else ""),
                )
            )
        return found

    def rows(self, table: Table) -> Any:
        """The rows of a table as markup; a large book has ten thousands, too many for a template.

        Numbers are padded behind the point, so that points stand in line.
        """
        columns = []
        gone = self.off_paper(table)
        for k, one in enumerate(self.printed(table)):
            begin, end = ("<td", "</td>") if k else ('<th scope="row"', "</th>")
            begins = {how: f"{begin}{_class(how, off_paper=k in gone)}>" for how in KINDS}
            if one.numeric:
                starts = [begins["number"]] * len(one.texts)
                numbers = list(map(_number, one.texts, lacking(one.texts)))
            else:
                starts = [begins[kind(text)] for text in one.texts]
                numbers = list(map(_number, one.texts))
            cells = [row[k] for row in table.rows]
            columns.append(
                [
                    f"{start}{self._cell(cell, number) if isinstance(cell, Cell) else number}{end}"
                    for start, number, cell in zip(starts, numbers, cells, strict=True)
                ]
            )
        rows = map("".join, zip(*columns, strict=True))
        return Markup("".join(f'<tr class="entry">{row}</tr>\n' for row in rows))  # noqa: S704 - escaped

    def _cell(self, cell: Cell, number: str) -> str:
        """A cell's sign, number, and link or hand calculation."""
        mark = ""
        if cell.verdict:
            sign, word = escaped(SIGNS.get(cell.verdict, "")), escaped(cell.verdict)
            mark = (
                f'<span class="mark {word}"><span aria-hidden="true">{sign}</span>'
                f'<span class="vh">{word}</span></span> '
            )
        if cell.working:
            home = self._homes.get(cell.working)
            title = escaped(clean(cell.working.title))
            shows = (
                f'<p class="title">{title}</p>{self.steps(cell.working)}'
                if home is None
                else (f'<p class="title"><a href="#{home}">{title}</a></p>')
            )
            return (
                f'{mark}<details class="why" name="why"><summary>{number}</summary>'
                f'<div class="panel">{shows}</div></details>'
            )
        if self.known(cell.ref):
            return f'{mark}<a href="#{escaped(cell.ref)}">{number}</a>'
        return mark + number

    def marked(self, table: Table) -> list[str]:
        """The verdicts that occur in a table, for its legend."""
        found = {v.verdict for row in table.rows for v in row if isinstance(v, Cell) and v.verdict}
        return [verdict for verdict in SIGNS if verdict in found]

    def groups(self, block: FindingList) -> list[VerdictGroup]:
        """Findings by verdict, worst first."""
        return [
            VerdictGroup(
                verdict=verdict.value,
                word=COUNT_WORDS[verdict],
                findings=tuple(f for f in block.findings if f.verdict is verdict),
            )
            for verdict in Verdict
            if any(f.verdict is verdict for f in block.findings)
        ]

    def told(self, findings: tuple[Finding, ...]) -> tuple[Told, ...]:
        """What one check says put together."""
        return told(findings)

    def by_check(self, findings: tuple[Finding, ...]) -> list[PassedCheck]:
        """Findings by check, in their order, with every source that one of them names."""
        grouped: dict[str, list[Finding]] = {}
        for finding in findings:
            grouped.setdefault(finding.check, []).append(finding)
        return [
            PassedCheck(
                check=name,
                sources="; ".join(dict.fromkeys(s for finding in of for s in finding.sources)),
                findings=tuple(of),
            )
            for name, of in grouped.items()
        ]

    def passed(self, findings: tuple[Finding, ...]) -> Any:
        """Rows of what passes one check as markup: a large book has thousands of them."""
        rows = "".join(map(self._passed, findings))
        return Markup(rows)  # noqa: S704 - escaped

    def _passed(self, finding: Finding) -> str:
        said = escaped(_prose(finding.sentence))
        if finding.working:
            title = escaped(clean(finding.working.title))
            said = (
                f'<details class="why" name="why"><summary>{said}</summary><div class="panel">'
                f'<p class="title">{title}</p>{self.steps(finding.working)}</div></details>'
            )
        word = f'<span class="vh">pass {escaped(finding.check)}</span>'
        mark = (
            f'<span class="mark pass"><span aria-hidden="true">{SIGNS["pass"]}</span>{word}</span>'
        )
        return (
            f'<tr class="entry"{self.by(finding)}>\n'
            f'<th scope="row">{mark} {escaped(clean(finding.about))}</th>\n<td>{said}</td>\n</tr>\n'
        )

    def counts(self, block: FindingList) -> list[VerdictGroup]:
        """Groups in the order in which they are counted out."""
        by_word = {group.word: group for group in self.groups(block)}
        return [by_word[word] for word in COUNT_WORDS.values() if word in by_word]

    def steps(self, working: Working) -> Any:
        """A hand calculation as markup; the same one is printed in many places."""
        if id(working) in self._steps_by_id:
            return self._steps_by_id[id(working)]
        if working not in self._steps:
            text = steps_html(working, self.book.units)
            self._steps[working] = Markup(text)  # noqa: S704 - every text is escaped
        self._held.append(working)  # or its number could come to stand for another
        self._steps_by_id[id(working)] = self._steps[working]
        return self._steps[working]

    def page_rules(self) -> Any:
        """Sizes, margins and running heads of the pages; builder's text is escaped for CSS."""
        width, height = PAPERS_MM[self.book.paper]
        rules = [
            page_rule("upright", (width, height), self.book, binding="left"),
            page_rule("wide", (height, width), self.book, binding="top"),
        ]
        sheets: dict[str, tuple[float, float]] = {}
        for section in every(self.book.sections):
            for block in section.blocks:
                if isinstance(block, Figure) and block.sheet:
                    size = (block.drawing.width_mm, block.drawing.height_mm)
                    sheets[self.sheet_page(block)] = size
        for name, (w, h) in sheets.items():
            rules.append(f"@page {name}{{size:{w:g}mm {h:g}mm;margin:0}}")
            # Half a millimetre less than the page: a sheet that overflows by a hair starts another.
            fitted = f".{name} svg{{width:{w - 0.5:g}mm;height:{h - 0.5:g}mm}}"
            rules.append(f"@media print{{.{name}{{page:{name}}}{fitted}}}")
            wide = f".{name} svg{{min-width:{w * _PHONE_PX_PER_MM:.0f}px}}"
            rules.append(f"@media screen and (max-width:70rem){{{wide}}}")
        named = "".join(
            f".{name} tr>:nth-child({k}):before{{content:{css_text(text)}}}"
            for texts, name in self._heads.items()
            for k, text in enumerate(texts, 1)
            if text
        )
        rules.append(f"@media screen and (max-width:40rem){{{named}}}")
        return Markup("\n".join(rules))  # noqa: S704 - made of numbers and escaped text


def root_id(figure: Figure) -> str:
    """The id of a figure's drawing in the page; all ids in it begin with it."""
    if figure.sheet is None:
        return f"{figure.id}-chart"
    name = figure.sheet.id
    own = name == figure.id or name.startswith(f"{figure.id}-")
    return name if own else f"{figure.id}-{name}"


def _class(how: str, *, off_paper: bool) -> str:
    """The class of a cell; the kind that most are of has none."""
    kinds = f"{how} off-paper" if off_paper else how
    return "" if kinds == BRIEF else f' class="{kinds}"'


def _number(text: str, pad: int = 0) -> str:
    """A cell's text as markup, with what it lacks behind the point."""
    if not pad and text != UNKNOWN:
        return escaped(text)
    lacks = f' data-pad=".{"0" * (pad - 1)}"' if pad else ""
    if text == UNKNOWN:
        return f'<span class="unknown" title="not known"{lacks}><b>?</b></span>'
    return f"<span{lacks}>{escaped(text)}</span>"
