"""Panels of breakers, fuses and switches as the pilot sees them."""

from collections.abc import Mapping

from elec import units
from elec.answers.connect.panel import PanelLayout, Position, panels, throw
from elec.answers.drop.drops import feeder_drops
from elec.answers.loads.carried import carried_a
from elec.drawings.inputs import PanelFace, PanelPosition
from elec.drawings.records import words
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Part, chains

GIVEN = "Positions as the system file gives them."
MADE = (
    "Nobody laid this out: positions are a proposal. "
    "Do not drill or engrave from it; section panels sets it."
)
SEEN = "Seen from its front. Dashed: a free position."
MAKERS = "Not to scale: holes and spacing as the makers say."
OFF = "off-panel"
"""What stands on no panel, as if it were one."""
OFF_TITLE = "On no panel"


def panel_record(study: Study, name: str, sheets: Mapping[str, tuple[str, str]]) -> PanelFace:
    """One panel; `sheets` gives for a circuit the name and id of its sheet."""
    if name == OFF:
        return _off_panel(study, sheets)
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
        notes=(SEEN, MAKERS, *((GIVEN,) if layout.given else ())),
        warning="" if layout.given else MADE,
        short=SWITCH_SHORT if switches else SHORT,
        missing=f"No position is given for {left}." if left else "",
        size=words.paper(study, large=False),
    )


SMALL = 4
"""A panel that nobody laid out and that holds no more than this shares a sheet with others."""


@analysis
def panel_groups(study: Study) -> tuple[tuple[str, ...], ...]:
    """Which panels share a drawing: the small ones that nobody laid out, and what is on none."""
    layouts = panels(study).by_name
    small = tuple(
        name
        for name, layout in layouts.items()
        if not layout.given and len(layout.subjects) <= SMALL
        and name not in study.document.panels
    )  # fmt: skip
    large = tuple((name,) for name in layouts if name not in small)
    shared = (*small, OFF) if _off(study) else small
    return (*large, shared) if shared else large


def panel_title(study: Study, name: str) -> str:
    """The title of a panel."""
    return OFF_TITLE if name == OFF else panels(study).by_name[name].title


FEEDERS = "P1"
"""The first sheet of the one-line diagram, where feeders stand."""
HEADS = ("at", "engraved", "rating", "protects", "gauge", "sheet")
SHORT = (0, 3, 4, 5)
SWITCH_HEADS = ("at", "engraved", "kind", "up", "down", "carries", "sheet")
SWITCH_SHORT = (0, 2, 3, 4, 5, 6)
OFF_HEADS = ("what", "rating", "sits", "protects or switches", "gauge", "sheet")


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


# --- on no panel ------------------------------------------------------------------------------


def _off_panel(study: Study, sheets: Mapping[str, tuple[str, str]]) -> PanelFace:
    """Every protective device and every contact that no panel has, and where it sits."""
    found = _off(study)
    return PanelFace(
        title=words.title_block(study, OFF_TITLE, 1),
        id=f"panel {OFF}",
        columns=0,
        rows=(),
        heads=OFF_HEADS,
        table=tuple(_off_row(study, chain, part, sheets) for chain, part in found),
        refs=tuple(f"off {part.id}" for _, part in found),
        size=words.paper(study, large=False),
    )


def _off(study: Study) -> tuple[tuple[Chain, Part], ...]:
    """Limiters and fuses in a wire, then contactors, relays, switches that no hand reaches."""
    known = panels(study)
    devices: dict[str, tuple[Chain, Part]] = {}
    contacts: dict[str, tuple[Chain, Part]] = {}
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind in PROTECTS and (part.kind not in ON_PANEL or chain.kind == "wire"):
                devices.setdefault(part.id, (chain, part))
            elif part.kind in FLIPPED and known.position(part.name, switch=True) is None:
                contacts.setdefault(part.name, (chain, part))
    return (*devices.values(), *contacts.values())


PROTECTS = ("breaker", "fuse", "limiter")
ON_PANEL = ("breaker", "fuse")
FLIPPED = ("switch", "contactor", "changeover")


def _off_row(
    study: Study, chain: Chain, part: Part, sheets: Mapping[str, tuple[str, str]]
) -> tuple[str, ...]:
    where = words.place(study, part.place) or "place ?"
    sheet = sheets.get(chain.name, (FEEDERS if chain.kind == "feeder" else "", ""))[0]
    if part.kind in PROTECTS:
        gauges = dict.fromkeys(words.gauge(study, c) for c in chain.conductors())
        near = part.label if chain.kind == "wire" else f"at {_near(chain, part)}"
        return (
            part.kind,
            f"{_amps(study, part.rated or chain.name)} A",
            f"{near}, {where}",
            chain.title,
            ", ".join(gauges),
            sheet,
        )
    used = [c for c in chains(study).by_name.values() if part.name in {p.name for p in c.parts()}]
    titles = dict.fromkeys(c.title for c in used)
    return (part.label, "", where, ", ".join(titles), "", sheet)


def _near(chain: Chain, part: Part) -> str:
    """What a device of a feeder is bolted to or near by: the end that it is next to."""
    row = next(row for row in chain.rows if part in row.parts)
    k = row.parts.index(part)
    return row.parts[0].label if k <= len(row.parts) / 2 else row.parts[-1].label
