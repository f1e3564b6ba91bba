"""Drawings as files: one PDF, or SVG a sheet.

In: drawings of a study. Out: bytes.
"""

import re
from collections.abc import Sequence
from itertools import groupby

from msgspec.structs import replace

from elec import __version__
from elec.answers.connect.pins import pins
from elec.drawings.choose import KINDS
from elec.drawings.from_study import Drawing
from elec.drawings.index import numbered
from elec.drawings.records.bench import bench_pages
from elec.drawings.sheet import Sheet
from elec.drawings.sheets.bench import bench
from elec.drawings.svg import to_svg
from elec.study import Study
from elec.write.pdf.sheets import Chapter, sheets_pdf


def sheets_pdf_of(study: Study, drawings: Sequence[Drawing]) -> bytes:
    """Drawings as one PDF with a bookmark each, under their kinds."""
    about = study.system.about
    revision = f", revision {about.revision}" if about.revision else ""
    return sheets_pdf(
        f"{about.name}{revision}: drawings",
        chapters(drawings),
        author=about.people,
    )


def chapters(drawings: Sequence[Drawing]) -> list[Chapter]:
    """Drawings by kind, each with the name of its first sheet and its title."""
    return [
        Chapter(
            title=KINDS[kind],
            parts=tuple((f"{d.sheets[0].title.label} {d.title}", d.sheets) for d in some),
        )
        for kind, some in groupby(drawings, key=lambda d: d.kind)
    ]


def sheet_files(drawings: Sequence[Drawing]) -> dict[str, bytes]:
    """File name → a sheet as SVG that stands alone, with the letters in it."""
    return {
        f"{sheet.title.label}-{_plain(drawing.about or drawing.kind)}.svg": alone(sheet)
        for drawing in drawings
        for sheet in drawing.sheets
    }


Pages = list[tuple[str, tuple[Sheet, ...]]]
"""Titles and sheets."""


def bench_sheets(study: Study, names: Sequence[str] = ()) -> Pages:
    """Connectors for the bench: those that the names mean, or all with more than one contact."""
    known = pins(study)
    several = [one for one in known.by_id.values() if len(one.pins) > 1]
    chosen = [one for name in names for one in known.of(name)] if names else several
    pages: Pages = []
    for one in dict.fromkeys(one.id for one in chosen):
        for page in bench_pages(study, one):
            made = numbered(bench(page))
            named = tuple(
                replace(sheet, id=f"bench-{len(pages)}-{n}") for n, sheet in enumerate(made)
            )
            half = f", {page.face.half}" if known.by_id[one].inline else ""
            pages.append((f"{page.face.equipment}{half}", named))
    return pages


def bench_pdf(study: Study, pages: Pages) -> bytes:
    """Pages for the bench as one PDF with a bookmark each."""
    about = study.system.about
    title = pages[0][0] if len(pages) == 1 else "connectors"
    chapter = Chapter(title="Connectors", parts=tuple(pages))
    return sheets_pdf(f"{about.name}: {title}", [chapter], author=about.people)


def alone(sheet: Sheet) -> bytes:
    """A sheet as SVG that needs nothing else."""
    head = f'<?xml version="1.0" encoding="UTF-8"?>\n<!-- written by elec {__version__} -->\n'
    return (head + to_svg(sheet, embed_font=True)).encode()


def _plain(name: str) -> str:
    """A name as part of a file name."""
    return re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip("-.") or "sheet"
