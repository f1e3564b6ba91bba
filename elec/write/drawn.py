"""Drawings as files: one PDF, or SVG a sheet.

In: drawings of a study. Out: bytes.
"""

import re
from collections.abc import Sequence
from itertools import groupby

from elec import __version__
from elec.drawings.choose import KINDS
from elec.drawings.from_study import Drawing
from elec.drawings.sheet import Sheet
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
        author=about.owner or about.builder,
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


def alone(sheet: Sheet) -> bytes:
    """A sheet as SVG that needs nothing else."""
    head = f'<?xml version="1.0" encoding="UTF-8"?>\n<!-- written by elec {__version__} -->\n'
    return (head + to_svg(sheet, embed_font=True)).encode()


def _plain(name: str) -> str:
    """A name as part of a file name."""
    return re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip("-.") or "sheet"
