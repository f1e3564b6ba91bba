"""Panels of breakers, fuses and switches as the pilot sees them."""

from collections.abc import Mapping

from elec import units
from elec.answers.connect.panel import PanelLayout, Position, panels, throw
from elec.answers.drop.drops import feeder_drops
from elec.answers.loads.carried import carried_a
from elec.drawings.inputs import PanelFace, PanelPosition
from elec.drawings.records import words
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains

GIVEN = "Positions as the system file gives them."
MADE = "Nobody laid this out: by bus, as in the file. The section panels sets it."
SEEN = "Seen from the seat. Dashed: a free position."


def panel_record(study: Study, name: str, sheets: Mapping[str, tuple[str, str]]) -> PanelFace:
    """One panel; `sheets` gives for a circuit the name and id of its sheet."""
    layout = panels(study).by_name[name]
    taken = [p for p in layout.positions if p.subject is not None]
    switches = layout.holds == "switches"
    rows = [_switch_row(study, p, sheets) if switches else _row(study, p, sheets) for p in taken]
    left = ", ".join(s.text for s in layout.left_over)
    return PanelFace(
        title=words.title_block(study, layout.title, 1),
        id=f"panel {name}",
        columns=layout.columns,
        rows=tuple(tuple(_spot(study, layout, p) for p in row) for row in layout.rows),
        heads=SWITCH_HEADS if switches else HEADS,
        table=tuple(rows),
        notes=(SEEN, GIVEN if layout.given else MADE),
        missing=f"No position is given for {left}." if left else "",
        size=words.paper(study, large=False),
    )


SMALL = 4
"""A panel that nobody laid out and that holds no more than this shares a sheet with others."""


def panel_groups(study: Study) -> tuple[tuple[str, ...], ...]:
    """Which panels share a drawing: the small ones that nobody laid out."""
    layouts = panels(study).by_name
    small = tuple(
        name
        for name, layout in layouts.items()
        if not layout.given and len(layout.subjects) <= SMALL
        and name not in study.document.panels
    )  # fmt: skip
    large = tuple((name,) for name in layouts if name not in small)
    return (*large, small) if small else large


FEEDERS = "P1"
"""The first sheet of the one-line diagram, where feeders stand."""
HEADS = ("position", "engraved", "rating", "protects", "gauge", "sheet")
SWITCH_HEADS = ("position", "engraved", "kind", "up", "down", "carries", "sheet")


def _spot(study: Study, layout: PanelLayout, position: Position) -> PanelPosition:
    subject = position.subject
    buses = study.document.buses
    grouped = layout.holds != "switches" and position.bus in buses
    bus = study.system.title("buses", position.bus) if grouped else ""
    if subject is None:
        return PanelPosition(name=position.name, column=position.column, bus=bus)
    return PanelPosition(
        name=position.name,
        column=position.column,
        text=subject.text,
        rating=_amps(study, subject.chains[0]) if layout.holds != "switches" else "",
        kind=subject.kind,
        bus=bus,
        ref=subject.name,
    )


def _amps(study: Study, chain: str) -> str:
    """A rating as it stands on a breaker's button: amperes without the unit."""
    device = sizing(study).devices.get(chain)
    amps = device.rating_a if device else None
    return "?" if amps is None else f"{amps:g}"


def _row(
    study: Study, position: Position, sheets: Mapping[str, tuple[str, str]]
) -> tuple[str, ...]:
    subject = position.subject
    assert subject is not None  # noqa: S101  # the caller asks for taken positions only
    chain = chains(study).named(subject.chains[0])
    gauges = dict.fromkeys(words.gauge(study, c) for c in chain.conductors())
    return (
        position.name,
        subject.text,
        f"{_amps(study, chain.name)} A",
        chain.title,
        ", ".join(gauges),
        sheets.get(chain.name, (FEEDERS, ""))[0],
    )


def _switch_row(
    study: Study, position: Position, sheets: Mapping[str, tuple[str, str]]
) -> tuple[str, ...]:
    subject = position.subject
    assert subject is not None  # noqa: S101  # the caller asks for taken positions only
    does = throw(study, subject)
    found = dict.fromkeys(sheets.get(name, (FEEDERS, ""))[0] for name in subject.chains)
    known = [amps for name in subject.chains if (amps := _carried_a(study, name)) is not None]
    carries = units.show(sum(known), "a", digits=1) if any(known) else ""
    return (
        position.name,
        subject.text,
        subject.kind if len(subject.chains) < 2 else f"{subject.kind}, {len(subject.chains)} poles",
        does.up,
        does.down,
        carries,
        ", ".join(found),
    )


def _carried_a(study: Study, chain: str) -> float | None:
    """What a circuit carries at most, or a feeder has to carry lastingly."""
    if chain in study.document.circuits:
        return carried_a(study, chain)
    found = feeder_drops(study).get(chain)
    return found.current_a if found is not None else None
