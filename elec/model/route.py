"""Where things are and the ways that wires take."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from elec import units
from elec.model.entry import Entry
from elec.model.quantity import Celsius, Coordinate, Flag, Metres, Teslas
from elec.model.wiring import Names

Structure = Literal["aluminium", "steel-tube", "wood", "glass", "carbon"]
REST = "rest"
"""Stands for all that no other bundle of the way names."""


class Spot(Entry):
    """A named point in the airframe (`places:` in the file)."""

    name: str | None = None
    """The text for print."""
    station_m: Coordinate | None = None
    """Distance aft of the datum."""
    buttline_m: Coordinate | None = None
    """Distance right of the centre line; left is negative."""
    waterline_m: Coordinate | None = None
    """Height over the datum."""
    ambient_degc: Celsius | None = None
    """The warmest it gets there; left out: the system's, or an engine compartment's beside an
    alternator."""
    within_m: Metres | None = None
    """Usual length of a wire between two things at this place; left out: a default."""
    fuel_vapour: Flag = False
    """Fuel vapour may be there."""
    structure: Structure | None = None
    """What the airframe is made of there; left out: that of its zone, else of the system."""
    reach: Flag | None = None
    """Whether the pilot, strapped in, reaches breakers and fuses there in flight."""


class Hole(Entry):
    """A hole that a way passes through."""

    diameter_m: Metres = Field(gt=0)
    """Diameter of the hole."""
    grommet: Flag = False
    """Whether a grommet lines it."""
    bundle: str | None = None
    """The bundle of the way (`bundled`) that alone passes it; left out: all wires of the way do."""


class Way(Entry):
    """A path between two places that wires can lie in."""

    name: str | None = None
    """The text for print."""
    between: tuple[str, str]
    """The two places that it joins."""
    length_m: Metres | None = Field(default=None, gt=0)
    """Length along the way, measured; left out: from the coordinates of both places."""
    ambient_degc: Celsius | None = None
    """The warmest it gets along the way; left out: the warmer of its ends."""
    holes: tuple[Hole, ...] = ()
    """Holes that it passes through."""
    conduit_m: Metres | None = Field(default=None, gt=0)
    """Inner diameter, when the way is a tube."""
    supports_m: Metres | None = Field(default=None, gt=0)
    """The greatest distance between two supports on it."""
    bend_m: Metres | None = Field(default=None, gt=0)
    """The least radius that the bundle is bent to on it."""
    fuel_line_m: Metres | None = None
    """How near it comes to a fuel or oxygen line."""
    controls_m: Metres | None = None
    """How near it comes to a control cable or another thing that moves."""
    exhaust_m: Metres | None = None
    """How near it comes to an exhaust or a heater."""
    clamped: Flag = False
    """Clamped so closely that no wire can touch what it is near, also with one clamp gone."""
    guarded: Flag = False
    """A guard stands between the bundle and what moves."""
    bundles: int = Field(default=1, ge=1, le=20)
    """In how many separate bundles the wires lie; left out: as many as `bundled` names."""
    bundled: Mapping[str, Names] = Field(default_factory=dict)
    """What lies in which bundle: {left: [radio, main feed], right: rest}. Named are circuits,
    feeders, cables, grounds and negatives (battery-negative); rest is all that no other names."""

    @model_validator(mode="before")
    @classmethod
    def _counted(cls, data: Any) -> Any:
        """As many bundles as are named, where their number is left out."""
        named = data.get("bundled") if isinstance(data, dict) else None
        if isinstance(named, dict) and named and "bundles" not in data:
            return {**data, "bundles": len(named)}
        return data

    @property
    def title(self) -> str:
        """Its name, else `panel to belly`."""
        return self.name or " to ".join(self.between).replace("-", " ")


class Sensor(Entry):
    """A compass or magnetometer (`sensors:` in the file), which currents near it disturb."""

    name: str | None = None
    """The text for print."""
    place: str
    """The place it sits in."""
    kind: Literal["compass", "magnetometer"]
    """A compass that is read, or a magnetometer that a display reads."""
    station_m: Coordinate | None = None
    """Where it is exactly, aft of the datum, and wires to equipment of its name lead; left out: as
    its place."""
    buttline_m: Coordinate | None = None
    """Right of the centre line; left is negative; left out: as its place."""
    waterline_m: Coordinate | None = None
    """Height over the datum; left out: as its place."""
    clear_m: Metres | None = None
    """How far all wires that begin and end within one place keep from it; left out: not known."""
    earth_field_t: Teslas | None = None
    """Horizontal strength of the earth's field where you fly; left out: a weak one."""

    @property
    def spotted(self) -> bool:
        """Whether it has coordinates of its own, other than those of its place."""
        return not self.station_m == self.buttline_m == self.waterline_m is None


class Zone(Entry):
    """Places that close together."""

    name: str | None = None
    """The text for print."""
    places: tuple[str, ...]
    """Places that close together."""
    closes: str = ""
    """When, in your words."""
    structure: Structure | None = None
    """What the airframe is made of in it; left out: that of the system."""


def _point(value: Any) -> Any:
    if not isinstance(value, list | tuple) or len(value) != 2:
        raise units.UnitError(f"a point is two distances from the datums: {_meant(value)}")
    return value


def _meant(value: Any) -> str:
    """A point as it was probably meant: two distances without their comma, or an example.

    >>> _meant(["36 in 160 in"]), _meant(["36 in"])
    ('[36 in, 160 in]', '[60 in, 20 in]')
    """
    said = value[0] if isinstance(value, list | tuple) and len(value) == 1 else value
    words = said.split() if isinstance(said, str) else []
    for k in range(1, len(words)):
        both = (" ".join(words[:k]), " ".join(words[k:]))
        if all((units.measure(one) or ("",))[0] == "length" for one in both):
            return f"[{', '.join(both)}]"
    return "[60 in, 20 in]"


OutlinePoint = Annotated[tuple[Coordinate, Coordinate], BeforeValidator(_point)]
OutlinePoints = Annotated[
    tuple[OutlinePoint, ...],
    WithJsonSchema(
        {
            "type": "array",
            "minItems": 2,
            "items": {
                "type": "array",
                "minItems": 2,
                "maxItems": 2,
                "items": {"type": "string", "description": units.expects("coordinate")},
            },
            "description": "points, such as [[60 in, 20 in], [110 in, 23 in]]",
        }
    ),
]
"""Points of a line of the airframe, m."""


class Outline(Entry):
    """A line of the airframe (`outline:` in the file), for the map alone."""

    above_m: OutlinePoints | None = None
    """Seen from above: station and buttline of each point in turn."""
    left_m: OutlinePoints | None = None
    """Seen from the left: station and waterline of each point in turn."""
    mirrored: Flag = True
    """Seen from above, drawn on the other side of the centre line, too."""

    @model_validator(mode="after")
    def _seen(self) -> Self:
        given = [points for points in (self.above_m, self.left_m) if points is not None]
        if not given:
            raise ValueError("an outline needs points: above or left, or both")
        if any(len(points) < 2 for points in given):
            raise ValueError("a line needs two points or more")
        return self
