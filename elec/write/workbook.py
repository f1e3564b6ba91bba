"""A workbook as a spreadsheet opens it (Office Open XML, ECMA-376): lists of texts and numbers.

In: sheets of cells that are markup already. Out: bytes, the same for the same sheets. A book has
four hundred sheets; a library that can do all of the format takes three times as long over them.
"""

import io
import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from html import escape
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from msgspec import Struct

_XML = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_KIND = "application/vnd.openxmlformats-"
_SHEET_KIND = f"{_KIND}officedocument.spreadsheetml"
_BEGINNING = (1980, 1, 1, 0, 0, 0)
"""The earliest time of a file in the archive: equal books are equal bytes."""
_LONGEST = 32767
"""So many characters a cell holds at most; a spreadsheet refuses a file with more in one."""
_ESCAPE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
"""What a spreadsheet would take for the code of a character."""
_LETTER_PX, _CELL_PX = 7, 5
"""Width of a digit and what a cell has besides, in the pixels that widths of columns count in."""

MOST_DIGITS = 9
"""Numbers print with up to so many digits after the point."""
_HEAD = (
    'fontId="1" borderId="1" applyFont="1" applyBorder="1" applyAlignment="1"',
    '<alignment vertical="top" wrapText="1"/>',
)
_RIGHT = ('applyAlignment="1"', '<alignment horizontal="right"/>')
_QUOTED = 'quotePrefix="1"'
_STYLES = {
    "": ("", ""),
    "head": _HEAD,
    "head text": (f"{_HEAD[0]} {_QUOTED}", _HEAD[1]),
    "right": _RIGHT,
    "right text": (f"{_RIGHT[0]} {_QUOTED}", _RIGHT[1]),
    "text": (_QUOTED, ""),
    **{str(n): (f'numFmtId="{164 + n}" applyNumberFormat="1"', "") for n in range(MOST_DIGITS + 1)},
}
"""What a cell can look like: a head; to the right; text that is none of a formula however it
begins; so many digits after the point. Numbers of own formats begin at 164."""
_SHOWN = {name: f' s="{n}"' if n else "" for n, name in enumerate(_STYLES)}


class WorkbookSheet(Struct, frozen=True, kw_only=True):
    """A list under a row of heads, which stays in sight and can be narrowed by its columns."""

    name: str
    """At most 31 characters, none of `[]:*?/\\'`, and no two alike."""
    columns: Sequence[Sequence[str]]
    """Each from its head down: cells as `Workbook.text` and `number` give them."""
    widths: Sequence[int]
    """In characters."""
    fixed: int = 0
    """So many columns stay in sight on the left."""
    paper: str = "A4"
    titled: bool = False
    """Whether the heads stand on every page."""
    header: str = ""
    footer: str = ""


class Workbook:
    """Gathers sheets; each text is kept once for all of them."""

    def __init__(self, title: str, author: str, created: str) -> None:
        """An empty workbook; `created` as `2000-01-01T00:00:00Z`."""
        self._said = title, author, created
        self._texts: dict[str, int] = {}
        self._sheets: list[WorkbookSheet] = []

    def text(self, place: str, text: str, style: str = "") -> str:
        """A cell of text, at a place such as `B7`; one that is empty is none."""
        if not text:
            return ""
        number = self._texts.setdefault(text, len(self._texts))
        return f'<c r="{place}"{_SHOWN[style]} t="s"><v>{number}</v></c>'

    def number(self, place: str, number: str, digits: int) -> str:
        """A cell of a number, given as text, that prints with so many digits after the point."""
        return f'<c r="{place}"{_SHOWN[str(min(digits, MOST_DIGITS))]}><v>{number}</v></c>'

    def add(self, sheet: WorkbookSheet) -> None:
        """Put a sheet behind the others."""
        self._sheets.append(sheet)

    def written(self) -> bytes:
        """The file."""
        held = io.BytesIO()
        with ZipFile(held, "w", ZIP_DEFLATED) as archive:
            for name, content in self._parts():
                part = ZipInfo(name, _BEGINNING)
                part.compress_type = ZIP_DEFLATED
                archive.writestr(part, (_XML + content).encode())
        return held.getvalue()

    def _parts(self) -> Iterator[tuple[str, str]]:
        sheets = [f"worksheets/sheet{n}.xml" for n in range(1, len(self._sheets) + 1)]
        yield "[Content_Types].xml", _types(sheets)
        relation = "metadata/core-properties"
        package = [
            (f"{_OFFICE}/officeDocument", "xl/workbook.xml"),
            (f"{_PACKAGE}/relationships/{relation}", "docProps/core.xml"),
        ]
        yield "_rels/.rels", _relations(package)
        yield "docProps/core.xml", _core(*self._said)
        yield "xl/workbook.xml", _book(self._sheets)
        own = [(f"{_OFFICE}/worksheet", name) for name in sheets]
        others = [(f"{_OFFICE}/{name}", f"{name}.xml") for name in ("styles", "sharedStrings")]
        yield "xl/_rels/workbook.xml.rels", _relations([*own, *others])
        yield "xl/styles.xml", _styles()
        for number, (name, sheet) in enumerate(zip(sheets, self._sheets, strict=True)):
            yield f"xl/{name}", _sheet(sheet, first=not number)
        texts = "".join(map(_shared, self._texts))
        yield "xl/sharedStrings.xml", f'<sst xmlns="{_MAIN}">{texts}</sst>'


@cache
def letters(column: int) -> str:
    """The name of a column, counted from 0.

    >>> letters(0), letters(25), letters(26), letters(701), letters(702)
    ('A', 'Z', 'AA', 'ZZ', 'AAA')
    """
    more, last = divmod(column, 26)
    return (letters(more - 1) if more else "") + chr(ord("A") + last)


def _types(sheets: Iterable[str]) -> str:
    parts = {
        "/docProps/core.xml": f"{_KIND}package.core-properties",
        "/xl/workbook.xml": f"{_SHEET_KIND}.sheet.main",
        "/xl/styles.xml": f"{_SHEET_KIND}.styles",
        "/xl/sharedStrings.xml": f"{_SHEET_KIND}.sharedStrings",
        **{f"/xl/{name}": f"{_SHEET_KIND}.worksheet" for name in sheets},
    }
    listed = "".join(
        f'<Override PartName="{part}" ContentType="{kind}+xml"/>' for part, kind in parts.items()
    )
    return (
        f'<Types xmlns="{_PACKAGE}/content-types"><Default Extension="rels" '
        f'ContentType="{_KIND}package.relationships+xml"/>'
        f'<Default Extension="xml" ContentType="application/xml"/>{listed}</Types>'
    )


def _relations(targets: Iterable[tuple[str, str]]) -> str:
    listed = "".join(
        f'<Relationship Id="rId{n}" Type="{kind}" Target="{target}"/>'
        for n, (kind, target) in enumerate(targets, 1)
    )
    return f'<Relationships xmlns="{_PACKAGE}/relationships">{listed}</Relationships>'


def _core(title: str, author: str, created: str) -> str:
    times = "".join(
        f'<dcterms:{name} xsi:type="dcterms:W3CDTF">{created}</dcterms:{name}>'
        for name in ("created", "modified")
    )
    return (
        f'<cp:coreProperties xmlns:cp="{_PACKAGE}/metadata/core-properties" '
        'xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" '
        'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">'
        f"<dc:title>{escape(title)}</dc:title><dc:creator>{escape(author)}</dc:creator>{times}"
        "</cp:coreProperties>"
    )


def _book(sheets: Sequence[WorkbookSheet]) -> str:
    """The list of sheets, and by names of the format itself what is narrowed and repeated."""
    listed = "".join(
        f'<sheet name="{escape(sheet.name)}" sheetId="{n}" r:id="rId{n}"/>'
        for n, sheet in enumerate(sheets, 1)
    )
    names = []
    for number, sheet in enumerate(sheets):
        here = f"'{escape(sheet.name, quote=False)}'!"
        if area := _narrowed(sheet, "$"):
            narrowed = f'"_xlnm._FilterDatabase" localSheetId="{number}" hidden="1"'
            names.append(f"<definedName name={narrowed}>{here}{area}</definedName>")
        if sheet.titled:
            titles = f'"_xlnm.Print_Titles" localSheetId="{number}"'
            names.append(f"<definedName name={titles}>{here}$1:$1</definedName>")
    defined = f"<definedNames>{''.join(names)}</definedNames>" if names else ""
    return (
        f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}">'
        f"<bookViews><workbookView/></bookViews><sheets>{listed}</sheets>{defined}</workbook>"
    )


def _styles() -> str:
    formats = "".join(
        f'<numFmt numFmtId="{164 + n}" formatCode="0{"." if n else ""}{"0" * n}"/>'
        for n in range(MOST_DIGITS + 1)
    )
    looks = "".join(f"<xf {given}>{inner}</xf>" for given, inner in _STYLES.values())
    font = '<sz val="11"/><name val="Calibri"/><family val="2"/>'
    sides = "<left/><right/><top/>"
    return (
        f'<styleSheet xmlns="{_MAIN}"><numFmts count="{MOST_DIGITS + 1}">{formats}</numFmts>'
        f'<fonts count="2"><font>{font}</font><font><b/>{font}</font></fonts>'
        '<fills count="2"><fill><patternFill patternType="none"/></fill>'
        '<fill><patternFill patternType="gray125"/></fill></fills>'
        f'<borders count="2"><border>{sides}<bottom/><diagonal/></border><border>{sides}'
        '<bottom style="thin"><color auto="1"/></bottom><diagonal/></border></borders>'
        '<cellStyleXfs count="1"><xf/></cellStyleXfs>'
        f'<cellXfs count="{len(_STYLES)}">{looks}</cellXfs>'
        '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>'
        "</styleSheet>"
    )


def _sheet(sheet: WorkbookSheet, *, first: bool) -> str:
    """One sheet, on the long side of the paper and as wide as that."""
    rows = "".join(
        f'<row r="{n}">{"".join(row)}</row>'
        for n, row in enumerate(zip(*sheet.columns, strict=True), 1)
    )
    widths = "".join(
        f'<col min="{n}" max="{n}" width="{_width(width)}" customWidth="1"/>'
        for n, width in enumerate(sheet.widths, 1)
    )
    columns = f"<cols>{widths}</cols>" if widths else ""
    area = _narrowed(sheet)
    filtered = f'<autoFilter ref="{area}"/>' if area else ""
    return (
        f'<worksheet xmlns="{_MAIN}"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr><sheetViews>'
        f'<sheetView tabSelected="{int(first)}" workbookViewId="0">{_panes(sheet)}</sheetView>'
        f"</sheetViews>{columns}<sheetData>{rows}</sheetData>{filtered}"
        '<pageMargins left="0.7" right="0.7" top="0.75" bottom="0.75" header="0.3" footer="0.3"/>'
        f'<pageSetup paperSize="{_PAPERS[sheet.paper]}" fitToHeight="0" orientation="landscape"/>'
        f"{_around(sheet)}</worksheet>"
    )


_PAPERS = {"A4": 9, "Letter": 1}
"""The format's numbers for them."""


def _panes(sheet: WorkbookSheet) -> str:
    """What stays in sight."""
    if not sheet.columns:
        return ""
    left = f' xSplit="{sheet.fixed}"' if sheet.fixed else ""
    active = "bottomRight" if sheet.fixed else "bottomLeft"
    return (
        f'<pane{left} ySplit="1" topLeftCell="{letters(sheet.fixed)}2" activePane="{active}" '
        f'state="frozen"/><selection pane="{active}"/>'
    )


def _narrowed(sheet: WorkbookSheet, sign: str = "") -> str:
    """The rows that can be narrowed; nothing where there are but heads."""
    lines = len(sheet.columns[0]) if sheet.columns else 0
    last = letters(len(sheet.columns) - 1) if lines > 1 else ""
    return f"{sign}A{sign}1:{sign}{last}{sign}{lines}" if last else ""


def _around(sheet: WorkbookSheet) -> str:
    head = f"<oddHeader>{escape(sheet.header, quote=False)}</oddHeader>" if sheet.header else ""
    foot = f"<oddFooter>{escape(sheet.footer, quote=False)}</oddFooter>" if sheet.footer else ""
    return f"<headerFooter>{head}{foot}</headerFooter>" if head or foot else ""


@cache
def _width(characters: int) -> str:
    """The width of a column in which so many digits find room, as the format counts it."""
    pixels = characters * _LETTER_PX + _CELL_PX
    return f"{int(pixels / _LETTER_PX * 256) / 256:.16g}"


def _shared(text: str) -> str:
    """A text as cells refer to it."""
    if len(text) > _LONGEST:
        text = f"{text[: _LONGEST - 1]}…"
    if "_x" in text:
        text = _ESCAPE.sub("_x005F_", text)
    keep = ' xml:space="preserve"' if text[0].isspace() or text[-1].isspace() else ""
    return f"<si><t{keep}>{escape(text, quote=False)}</t></si>"
