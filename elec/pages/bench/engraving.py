"""The labels of panels at true size, to be cut out and tried on, and the size of each plate."""

from itertools import groupby

from elec.answers.connect.panel import PanelLayout, heading, letters_mm, panels
from elec.answers.connect.panel import engraving as engraved_text
from elec.drawings.charts.strips import RULE_MM, StripLabel, size_mm, strips
from elec.drawings.engraved import narrow_of
from elec.pages.circuits.panel import label_rows
from elec.pages.columns import text
from elec.pages.document import Block, Figure, Paragraph, TableBlock
from elec.pages.table import Column, Table
from elec.study import Study

TRUE_SIZE = (
    f"At true size in a PDF printed at 100 %: the rule over the strips measures {RULE_MM:.0f} mm "
    "on paper, or the print is not at size. Cut along the outlines and lay the strips on the "
    "panel: each is read from the seat, and no nut or knob covers it."
)


def engraving(study: Study) -> tuple[Block, ...]:
    """Strips panel by panel, then their sizes."""
    figures: list[Block] = []
    rows: list[tuple[str | float, ...]] = []
    for name, layout in panels(study).by_name.items():
        wanted = _wanted(study, layout)
        made = strips(wanted)
        rows += [(layout.title, one.name, one.text, *size_mm(one)) for one in wanted]
        for n, picture in enumerate(made, 1):
            part = f" ({n} of {len(made)})" if len(made) > 1 else ""
            figures.append(
                Figure(
                    id=f"strips-{name}-{n}",
                    title=f"{layout.title}{part}",
                    drawing=picture,
                    description="Under each strip its position, which is not cut out.",
                )
            )
    if not rows:
        return ()
    table = Table(
        id="panel-strips",
        title="Sizes of the strips",
        columns=(
            text("panel", "Panel"),
            text("position", "Position"),
            text("text", "Text"),
            Column(key="width_mm", head="Width, mm", digits=1),
            Column(key="height_mm", head="Height, mm", digits=1),
        ),
        rows=tuple(rows),
        note="In the letters of these papers; the engraver's own may be wider.",
    )
    return (Paragraph(text=TRUE_SIZE, kind="lead"), *figures, TableBlock(table=table))


def _wanted(study: Study, layout: PanelLayout) -> list[StripLabel]:
    entry = study.document.panels.get(layout.name)
    pitch = entry.pitch_m if entry is not None and layout.given else None
    if pitch is None:
        return [
            StripLabel(text=said, name=place, capital_mm=high)
            for place, said, high in label_rows(study, layout)
        ]
    pitch_mm, word_mm = 1000 * pitch, letters_mm(layout.holds)[0]
    texts = [engraved_text(study, one) for one in layout.engraved]
    narrow = narrow_of(texts, pitch_mm, word_mm)
    spans = _spans(study, layout)
    return [
        StripLabel(
            text=said, name=place, capital_mm=high, room_mm=pitch_mm * spans.get(place, 1),
            narrow=narrow if high == word_mm else 1.0, over=place in spans,
        )
        for place, said, high in label_rows(study, layout)
    ]  # fmt: skip


def _spans(study: Study, layout: PanelLayout) -> dict[str, int]:
    """`over 1A` → how many positions its heading stands over."""
    found: dict[str, int] = {}
    for row in layout.rows:
        groups = groupby(row, key=lambda spot: heading(study, spot, layout.holds))
        for title, group in groups:
            spots = list(group)
            if title:
                found |= {f"over {spot.name}": len(spots) for spot in spots}
    return found
