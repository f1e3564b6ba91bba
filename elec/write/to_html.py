"""The wiring book as one HTML file that needs nothing else: for phone, screen and binder."""

import base64
import hashlib
from pathlib import Path

from elec import __version__
from elec.cautions import ADVICE
from elec.drawings.metrics import font_face
from elec.pages.document import Book, Section
from elec.pages.glance import Answer
from elec.write.html_blocks import contents, glance, plain, section
from elec.write.html_index import index_of
from elec.write.html_page import TOP, HtmlPage
from elec.write.html_paper import DIGEST_SHOWN
from elec.write.html_steps import escaped
from elec.write.register import Document, Options, carrying, writer

_PARTS = Path(__file__).parent / "page"


@writer(".html", ".htm")
def to_html(document: Document, options: Options) -> bytes:
    """Write a book, or a section as a small book, as one HTML file."""
    book = document if isinstance(document, Book) else _small_book(document, options)
    page = HtmlPage(book=book)
    script = _part("book.js")
    index = index_of(book, {}) if isinstance(document, Book) else ""
    text = (
        f'<!doctype html>\n<html lang="en">\n{_head(page, script, options)}'
        f"{_body(page, index, options)}<script>{script}</script>\n</body>\n</html>\n"
    )
    return text.encode()


def glance_html(answers: tuple[Answer, ...], options: Options) -> str:
    """The first screen alone, before its page is made; it leads to no single finding yet."""
    return glance(HtmlPage(book=_small_book(Section(id="", title="", blocks=()), options)), answers)


def _small_book(section_: Section, options: Options) -> Book:
    return Book(
        title=section_.title,
        subtitle="",
        owner="",
        revision="",
        date="",
        digest="",
        paper=options.paper,
        units=options.units,
        sections=(carrying(section_, options),),
    )


def _part(name: str) -> str:
    return (_PARTS / name).read_text(encoding="utf-8")


def _head(page: HtmlPage, script: str, options: Options) -> str:
    book = page.book
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    connect = "connect-src 'self'; " if options.live else ""
    policy = (
        "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; "
        f"{connect}script-src 'sha256-{digest}'; "
        "base-uri 'none'; form-action 'none'"
    )
    revision = f", revision {plain(book.revision)}" if book.revision else ""
    return (
        f'<head>\n<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta name="generator" content="elec {__version__}">\n'
        '<meta name="format-detection" content="telephone=no">\n'
        f"<title>{plain(book.title)}{revision}</title>\n"
        f"<style>\n{font_face()}\n{_part('book.css')}\n{page.page_rules()}\n</style>\n</head>\n"
    )


def _body(page: HtmlPage, index: str, options: Options) -> str:
    """All that is seen, up to the script."""
    book, title = page.book, plain(page.book.title)
    live = f' data-live="{options.live}"' if options.live else ""
    parts = [page.part("glance", glance(page, book.answers))] if book.answers else []
    parts += [page.part(one.id, section(page, one, TOP)) for one in book.sections]
    shown = "".join(f"{part}\n" for part in parts)
    told = f" from the text {plain(book.digest[:DIGEST_SHOWN])}" if book.digest else ""
    return (
        f'<body data-book="{title}"{live}>\n{_NEWS if options.live else ""}'
        f'<a class="skip" href="#text">To the text</a>\n{_masthead(book)}<div class="columns">\n'
        f'<nav class="contents" aria-label="Contents">\n{_SEARCH if index else ""}'
        f'<details class="toc" open>\n<summary>Contents</summary>\n'
        f"{contents(page, book.sections)}\n</details>\n</nav>\n"
        f'<main id="text">\n{shown}</main>\n</div>\n{_CARD if index else ""}'
        '<footer>\n<button id="print" type="button" hidden>Print all of it</button>\n'
        f"<p>Written by elec {__version__}{told}. {escaped(ADVICE)} "
        f"A measured value beats a computed one.</p>\n</footer>\n{_kept(page, index, options)}"
    )


def _masthead(book: Book) -> str:
    facts = {
        "Owner": book.owner,
        "Revision": book.revision,
        "Date": book.date,
        "Digest of the text": book.digest[:DIGEST_SHOWN],
    }
    listed = "".join(
        f"<div><dt>{name}</dt><dd>{plain(value)}</dd></div>\n"
        for name, value in facts.items()
        if value
    )
    subtitle = f"<p>{plain(book.subtitle)}</p>\n" if book.subtitle else ""
    return (
        f'<header class="masthead">\n<div class="name">\n<h1>{plain(book.title)}</h1>\n{subtitle}'
        f"</div>\n<dl>\n{listed}</dl>\n</header>\n"
    )


def _kept(page: HtmlPage, index: str, options: Options) -> str:
    """What scripts of the page read: all that has a name, and what each part of the page holds."""
    kept = ""
    if index:
        kept += f'<script type="text/plain" id="index">{page.part("index", index)}</script>\n'
    if options.live:
        number = f'data-page="{options.live}"'
        kept += f'<script type="text/plain" id="parts" {number}>{page.parts()}</script>\n'
    return kept


_NEWS = """\
<aside id="news" class="news" role="status" aria-live="polite" hidden></aside>
"""
_SEARCH = """\
<div class="search" hidden>
<label for="search">Find a wire, contact, box, place, sheet or word</label>
<input id="search" type="search" autocomplete="off" spellcheck="false" role="combobox" \
aria-expanded="false" aria-controls="results" aria-autocomplete="list">
<ol id="results" role="listbox" aria-label="Found" hidden></ol>
<output id="found" for="search"></output>
</div>
"""
_CARD = """\
<aside id="card" class="panel" aria-label="Card" hidden></aside>
<div id="carry" class="carry" hidden>
<output></output>
<label for="states">Lines for the file: save them and run <code>elec done SYSTEM --from FILE</code>\
</label>
<textarea id="states" rows="4" readonly></textarea>
<button type="button">Copy</button> <button type="button" id="scan">Pictures to scan</button>
<div id="scans"></div>
</div>
"""
