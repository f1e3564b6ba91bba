"""The faces of a connector: shell, contacts, and what each of them carries.

Whether a view is mirrored: the published places are those of the plug's mating face; they are
mirrored for the socket's mating face and for the plug's wiring side.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations
from math import dist

from elec.drawings import metrics
from elec.drawings.ink import GREY, Point
from elec.drawings.inputs import TERMINALS, ConnectorFace, DrawnPin
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import parts
from elec.standards.contact import contact_class

FILLS = {
    "power": "#f2d3c4",
    "ground": "#e3e6c6",
    "signal": "#d3e4ea",
    "shield": "#e8deec",
    "": "#d3e4ea",
}
"""Fill by what a contact carries; a stroke over or under its number says the same in grey."""
LEAST_PITCH_MM = 4.6
RADIUS = 0.44
"""Radius of a contact as drawn over the least distance of two."""
CLEAR_MM = 1.4
"""Of the width of a contact, what its number leaves free, the weight of its ring included."""
LEAST_NARROW = 0.7
"""Numbers of two and three figures are drawn so narrow at most, as high as all others."""
MOST_SCALE = 3.0


def mirrored(gender: str, view: str) -> bool:
    """Whether a view shows the published places with left and right exchanged.

    >>> mirrored("pin", "mating face"), mirrored("socket", "mating face")
    (False, True)
    >>> mirrored("pin", "wiring side"), mirrored("socket", "wiring side")
    (True, False)
    """
    return (gender == "socket") != (view == "wiring side")


def gender_of(record: ConnectorFace) -> str:
    """What its contacts are, in words; screws and single contacts have none to say."""
    if record.arrangement.name == TERMINALS:
        return ""
    return {"pin": "pins (male)", "socket": "sockets (female)", "": "gender not given"}[
        record.gender
    ]


def heading(
    sheet: Sheet,
    record: ConnectorFace,
    top: float,
    *,
    right: float,
    faced: bool = True,
    more: Sequence[str] = (),
) -> float:
    """Name, type, half and gender, and what to be warned of, below `top`; gives the y under it.

    `faced` says whether the sheet shows the face; `more` is said besides.
    """
    x = sheet.frame[0] + 5.0
    room = right - x - 4.0
    source = f"places by {record.arrangement.source}" if record.arrangement.source else ""
    gender = gender_of(record)
    text = parts.join(
        type_said(record.arrangement.name),
        dsub_contacts(record.arrangement.name),
        record.half,
        f"with {gender}" if record.gender else gender,
        source,
    )
    head = parts.join(record.equipment, record.name)
    y = top + 2.2
    for line in metrics.lines(metrics.clean(head), parts.HEAD_MM, room, 2, bold=True):
        y += 4.8
        sheet.text(x, y, line, capital_mm=parts.HEAD_MM, bold=True, room_mm=room, ref=record.id)
    y += 0.6
    for said, bold in [(t, False) for t in (text, *more)] + [
        (f"⚠ {warning}", True) for warning in _warnings(record, faced=faced)
    ]:
        for line in metrics.lines(metrics.clean(said), parts.SMALL_MM, room, 4, bold=bold):
            y += parts.LINE_MM
            sheet.text(x, y, line, bold=bold, room_mm=room, ref=record.id)
    return y + 2.5


def dsub_contacts(kind: str) -> str:
    """The size of the contacts of a D-subminiature, which picks contact and crimper; else empty.

    >>> dsub_contacts("dsub-15"), dsub_contacts("dsub-hd-26"), dsub_contacts("bnc")
    ('contact size 20', 'contact size 22D', '')
    """
    size = contact_class(kind)[1] if kind.startswith("dsub-") else ""
    return f"contact size {size}" if size else ""


def type_said(kind: str) -> str:
    """A type of connector as it is read on a sheet: what ends a round one's name is no shell size.

    >>> type_said("circular-38999-16"), type_said("dsub-15")
    ('circular-38999, contact size 16', 'dsub-15')
    """
    family, size = contact_class(kind)
    return f"{family}, contact size {size}" if kind == f"{family}-{size}" else kind


def _warnings(record: ConnectorFace, *, faced: bool) -> Iterator[str]:
    doubles = [p.name for p in record.pins if p.state == "double"]
    if doubles:
        yield f"Contact {', '.join(doubles)}: claimed by two wires. Settle it first."
    faced = faced and record.arrangement.name != TERMINALS
    if faced and not record.gender:
        yield "It is not said whether this half has pins or sockets: views as for pins."
    if faced and record.arrangement.schematic:
        yield (
            "Schematic: contacts stand in the order of their names, not where they are on the "
            "part. Go by the maker's drawing."
        )


def shell_mm(record: ConnectorFace) -> tuple[float, float]:
    """Width and height of what is drawn without a flange, mm before scaling."""
    shell = record.arrangement.shell
    if shell is None:
        across, up = extent(record)
        return 2 * across, 2 * up
    return 2 * max(shell.wide_half_mm, shell.narrow_half_mm), shell.height_mm


def least_scale(record: ConnectorFace) -> float:
    """The scale at which the names of the contacts can be read in their rings."""
    widest = max((parts.width(c.pin, bold=True) for c in record.arrangement.contacts), default=0.0)
    return max(LEAST_PITCH_MM, (widest + 0.4) / (2 * RADIUS)) / pitch(record)


def extent(record: ConnectorFace) -> tuple[float, float]:
    """Half width and half height of the face, mm before scaling."""
    shell, contacts = record.arrangement.shell, record.arrangement.contacts
    if shell:
        return shell.flange_width_mm / 2, shell.flange_height_mm / 2
    if record.arrangement.half_mm:
        return record.arrangement.half_mm
    across = max((abs(c.x_mm) for c in contacts), default=0.0) + 4.0
    up = max((abs(c.y_mm) for c in contacts), default=0.0) + 4.0
    if record.arrangement.shape == "circular":
        across = up = max(across, up)
    return across, up


def pitch(record: ConnectorFace) -> float:
    """Least distance of two contacts, mm before scaling."""
    return _pitch_mm(tuple((c.x_mm, c.y_mm) for c in record.arrangement.contacts))


@lru_cache
def _pitch_mm(spots: tuple[Point, ...]) -> float:
    return min((dist(a, b) for a, b in combinations(spots, 2)), default=4.0)


def draw_face(
    sheet: Sheet,
    record: ConnectorFace,
    at: Point,
    scale: float,
    view: str,
    *,
    flange: bool = True,
) -> None:
    """One view of a connector around a point, with or without its flange."""
    if not sheet.kept:
        return
    sign = -1.0 if mirrored(record.gender, view) else 1.0
    draw_shell(sheet, record, at, scale, view, flange=flange)
    pins = {p.name: p for p in record.pins}
    radius = RADIUS * pitch(record) * scale
    most = max(
        [4.2, *(parts.width(c.pin, bold=True) / 2 + 0.5 for c in record.arrangement.contacts)]
    )
    for contact in record.arrangement.contacts:
        x, y = at[0] + sign * contact.x_mm * scale, at[1] - contact.y_mm * scale
        pin = pins.get(contact.pin, DrawnPin(name=contact.pin))
        own = (contact.radius_mm or 0.0) * scale
        draw_contact(sheet, pin, (x, y), max(min(radius, most), own), f"{record.id} {view}")


def draw_contact(sheet: Sheet, pin: DrawnPin, at: Point, radius: float, group: str) -> None:
    """A contact: its number, its state by the ring, what it carries by fill and stroke."""
    used = pin.state in ("used", "double")
    open_ = pin.state == "spare"
    sheet.circle(
        at,
        radius,
        kind="rule",
        width_mm=0.5 if used else 0.2,
        dash=(0.7, 0.5) if open_ else (),
        fill=FILLS[pin.carries] if used else None,
        ref=pin.name,
        group=group,
    )
    _stroke_kind(sheet, pin, at, radius, group)
    if pin.state == "double":
        sheet.circle(at, radius - 0.7, kind="rule", width_mm=0.3, ref=pin.name, group=group)
    wide = parts.width(metrics.clean(pin.name), bold=used)
    narrow = max(LEAST_NARROW, min(1.0, (2 * radius - CLEAR_MM) / max(wide, 0.1)))
    sheet.text(
        at[0],
        at[1],
        pin.name,
        middle=True,
        align="center",
        bold=used,
        colour="#000000" if used else GREY,
        room_mm=(2 * radius - 0.3) / narrow,
        ref=pin.name,
        group=group,
        narrow=narrow,
    )


def _stroke_kind(sheet: Sheet, pin: DrawnPin, at: Point, radius: float, group: str) -> None:
    """What it carries without colour: strokes over or under the number, a broken ring inside."""
    x, y = at
    away = max(1.6, radius * 0.72)
    if pin.carries in ("power", "ground"):
        level, over = (y - away, True) if pin.carries == "power" else (y + away, False)
        for a, b in ((-1.0, -0.25), (0.25, 1.0)) if over else ((-1.0, 1.0),):
            sheet.line(((x + a, level), (x + b, level)), width_mm=0.35, kind="rule", group=group)
    elif pin.carries == "shield":
        sheet.circle(
            at, radius - 0.35, kind="rule", width_mm=0.2, dash=(0.6, 0.4), ref=pin.name, group=group
        )


def draw_shell(
    sheet: Sheet, record: ConnectorFace, at: Point, scale: float, view: str, *, flange: bool
) -> None:
    """The outline of a connector around a point."""
    x, y = at
    half_width, half_height = (v * scale for v in extent(record))
    box = (x - half_width, y - half_height, x + half_width, y + half_height)
    group = f"{record.id} {view}"
    shell = record.arrangement.shell
    if record.arrangement.shape == "circular":
        radius = max(half_width, half_height)
        sheet.circle(at, radius, kind="rule", width_mm=0.5, group=group)
        key = ((x - 1.5, y - radius), (x, y - radius + 1.8), (x + 1.5, y - radius))
        sheet.line(key, kind="rule", width_mm=0.5, group=group)
        return
    if flange or not shell:
        sheet.rect(box, kind="rule", width_mm=0.35, corner_mm=1.5, group=group)
    if shell:
        wide, narrow = shell.wide_half_mm * scale, shell.narrow_half_mm * scale
        half = shell.height_mm / 2 * scale
        corners = (
            (x - wide, y - half), (x + wide, y - half),
            (x + narrow, y + half), (x - narrow, y + half),
        )  # fmt: skip
        sheet.polygon(corners, kind="rule", width_mm=0.5, group=group)
        for side in (-1, 1) if flange else ():
            screw = (x + side * shell.screw_spacing_mm / 2 * scale, y)
            sheet.circle(screw, 1.5 * scale, kind="rule", width_mm=0.35, group=group)
