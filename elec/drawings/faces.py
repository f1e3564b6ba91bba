"""Faces of connectors: D-subminiature from the published positions, any other type schematic."""

import math
import re
from collections.abc import Sequence
from functools import cache

from elec.drawings.inputs import Arrangement, Contact, Shell
from elec.drawings.metrics import width_mm
from elec.model.connector_type import ConnectorType
from elec.standards.table import TableRow, table

_CIRCULAR = re.compile(r"circular|round|bayonet|m12|m8\b", re.IGNORECASE)
_MM = 1000
_PITCH_MM = 4.0
"""Distance of contacts on a schematic face; it stands for nothing."""


@cache
def d_sub(name: str, *, socket: bool) -> Arrangement | None:
    """The face of a D-subminiature arrangement (`dsub-15`), or None for any other name."""
    rows = [r for r in table("elec/dsub_contacts").rows if r.text("arrangement") == name]
    shells = [r for r in table("elec/dsub_shells").rows if r.text("arrangement") == name]
    if not rows or not shells:
        return None
    shell = shells[0]
    half = "socket" if socket else "plug"
    contacts = tuple(
        Contact(pin=r.text("pin"), x_mm=r.number("x_mm"), y_mm=r.number("y_mm")) for r in rows
    )
    across = max(abs(c.x_mm) for c in contacts)
    up = max(abs(c.y_mm) for c in contacts)
    return Arrangement(
        name=name,
        shape="d-sub",
        schematic=False,
        contacts=contacts,
        shell=Shell(
            flange_width_mm=shell.number("flange_width_mm"),
            flange_height_mm=shell.number("flange_height_mm"),
            screw_spacing_mm=shell.number("screw_spacing_mm"),
            wide_half_mm=_or(shell, "wide_half_mm", across + 2.3),
            narrow_half_mm=_or(shell, f"{half}_narrow_half_mm", across + 0.9),
            height_mm=_or(shell, f"{half}_height_mm", 2 * up + 5.4),
        ),
    )


def _or(shell: TableRow, column: str, around: float) -> float:
    """A published size of the shell, or an outline around the contacts where it is not known."""
    return shell.number(column) if shell.has(column) else around


def schematic(name: str, pins: Sequence[str]) -> Arrangement:
    """A face whose contacts stand in the order of their names, in rows or, if round, in rings."""
    round_ = bool(_CIRCULAR.search(name))
    pitch = max(_PITCH_MM, 0.45 * max((width_mm(p, 1.8, bold=True) for p in pins), default=0.0))
    places = _rings(len(pins)) if round_ else _grid(len(pins))
    return Arrangement(
        name=name,
        shape="circular" if round_ else "rectangular",
        contacts=tuple(
            Contact(pin=pin, x_mm=x * pitch, y_mm=y * pitch)
            for pin, (x, y) in zip(pins, places, strict=True)
        ),
    )


def drawn_by_maker(name: str, own: ConnectorType) -> Arrangement:
    """The face of a connector type that the builder describes by its maker's drawing."""
    half = (own.width_m or 0.0) * _MM / 2, (own.height_m or 0.0) * _MM / 2
    if own.shape == "circular":
        half = ((own.diameter_m or 0.0) * _MM / 2,) * 2
    return Arrangement(
        name=name,
        shape=own.shape,
        schematic=False,
        contacts=tuple(
            Contact(
                pin=pin,
                x_mm=spot.x_m * _MM,
                y_mm=spot.y_m * _MM,
                radius_mm=None if spot.size_m is None else spot.size_m * _MM / 2,
            )
            for pin, spot in own.contacts.items()
        ),
        half_mm=half if all(half) else None,
        source=own.source,
    )


def face(
    name: str, pins: Sequence[str], *, socket: bool, own: ConnectorType | None = None
) -> Arrangement:
    """The face of a connector type with these pins: the builder's own, or published where it is."""
    found = drawn_by_maker(name, own) if own else d_sub(name, socket=socket)
    known = {c.pin for c in found.contacts} if found else set()
    return found if found and set(pins) <= known else schematic(name, pins)


def _grid(count: int) -> list[tuple[float, float]]:
    rows = 1 if count <= 3 else 2 if count <= 30 else math.ceil(count / 20)
    across = max(1, math.ceil(count / rows))
    left, top = -(across - 1) / 2, (rows - 1) / 2
    return [(left + i % across, top - i // across) for i in range(count)]


def _rings(count: int) -> list[tuple[float, float]]:
    """Contacts clockwise from the top, outer ring first, in pitches; the last one in the middle."""
    places: list[tuple[float, float]] = []
    left = count
    radius = float(_ring_count(count))
    while left > 0:
        room = 1 if radius < 0.5 else int(2 * math.pi * radius)
        here = min(left, room)
        for k in range(here):
            angle = math.pi / 2 - 2 * math.pi * k / here
            places.append((radius * math.cos(angle), radius * math.sin(angle)))
        left -= here
        radius = max(0.0, radius - 1.0)
    return places


def _ring_count(count: int) -> int:
    """Rings around a middle contact that hold so many contacts."""
    rings, room = 0, 1
    while room < count:
        rings += 1
        room += int(2 * math.pi * rings)
    return rings
