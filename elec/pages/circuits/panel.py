"""What an engraver needs: every text of every panel, with its position and height."""

from elec.answers.connect.makeup import makeups
from elec.answers.connect.panel import PanelLayout, engraving, heading, letters_mm, panels
from elec.answers.connect.throw import throw
from elec.pages.columns import count, text
from elec.pages.table import Column, Table, Value
from elec.standards import default
from elec.study import Study

ON_NONE = "on no panel"
"""In place of the position of a switch or breaker that stands by itself, as the sheet says."""
LEVER = ("up", "middle", "down")
"""Positions of a lever of three, from the top."""


def labels(study: Study) -> Table:
    """The texts to engrave, panel by panel: the headings of buses, then position by position."""
    rows = [row for layout in panels(study).by_name.values() for row in _rows(study, layout)]
    return Table(
        id="panel-labels",
        title="Panel labels",
        columns=(
            text("panel", "Panel"),
            text("position", "Position"),
            text("text", "Text"),
            Column(key="height_mm", head="Capitals, mm", digits=1),
            count("poles_count", "Poles"),
            text("origin", "Text from", 2),
        ),
        rows=tuple(rows),
        note=(
            "Give the engraver this table; heights are ours (defaults panel-…-height), the rating "
            "of a breaker stands on its button, that of a fuse beside it. Poles: one for each "
            "circuit that a switch carries, two where it turns a motor; throws and positions are "
            "under *Devices to buy*. Free positions get no text, nor does a fuse in its wire."
        ),
    )


def label_rows(study: Study, layout: PanelLayout) -> list[tuple[str, str, float]]:
    """Position, text and height of its capitals in millimetres of all that a panel says."""
    return [(str(row[1]), str(row[2]), float(str(row[3]))) for row in _rows(study, layout)]


def _rows(study: Study, layout: PanelLayout) -> list[tuple[Value, ...]]:
    height, engraved = letters_mm(layout.holds)
    lever = default("panel-lever-height").value
    found: list[tuple[Value, ...]] = []
    over: set[str] = set()
    for position in layout.positions:
        subject = position.subject
        if subject is None or subject not in layout.engraved:
            continue
        title = heading(study, position, layout.holds)
        if title and title not in over and not layout.lone:
            over.add(title)
            origin = "system file" if position.heading else "name of the bus"
            found.append((layout.title, f"over {position.name}", title, engraved, "", origin))
        poles = makeups(study)[subject.name].poles if subject.holds == "switches" else ""
        origin = "system file" if subject.given_text else "name"
        place = ON_NONE if layout.lone else position.name
        found.append((layout.title, place, engraving(study, subject), height, poles, origin))
        if subject.holds == "switches":
            words = zip(LEVER, throw(study, subject).lever, strict=False)
            found += [
                (layout.title, f"{place}, {at}", word.upper(), lever, "", "system file")
                for at, word in words
                if word
            ]
    return found
