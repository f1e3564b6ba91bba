"""What a map of the ways shows, as plain frozen records; texts are ready for print."""

from functools import cached_property
from typing import Literal

from msgspec import Struct

from elec.drawings.sheet import Size, TitleBlock

Spot3 = tuple[float, float, float]
"""Station aft of the datum, buttline right of the centre line, waterline above the datum, m."""


class MapPlace(Struct, frozen=True, kw_only=True):
    """A place; `at_m` is None where the file gives no station."""

    id: str
    label: str
    at_m: Spot3 | None
    beyond: bool = False
    """Where a way leaves a detail; the label names the place that it runs on to."""


class PassedHole(Struct, frozen=True, kw_only=True):
    """A hole or tube that a way passes: its kind, its inner diameter and the text for print."""

    kind: Literal["hole", "tube"]
    diameter_m: float
    text: str
    inches: str = ""
    """The diameter once more, in inches, where the builder measures in these."""
    told: str = ""
    """The text with that size, too; empty where there is none."""
    grommet: bool = False
    bundle: str = ""
    """What passes it alone; empty where all that lies on the way does."""
    passing_m: float | None = None
    """How thick that bundle is; None where it is not known or has no hole of its own."""
    needs: str = ""
    """What it has to be at least for all that passes, and how much of it that is."""


class Lane(Struct, frozen=True, kw_only=True):
    """Where a line lies in a drawing, for a larger one of the same lines that must not differ."""

    side: int
    """1 or −1: the side of the straight line from its mark `a` that it lies on; 0: on that."""
    long_mm: float
    """From mark to mark; shorter lines are placed first."""


class MapWay(Struct, frozen=True, kw_only=True):
    """A way between two places.

    `diameter_m` is that of all that lies on it together; None where it is not known or nothing
    lies on it, and `diameter` says which.
    """

    number: int
    title: str
    a: str
    b: str
    wires: int
    bundles: int
    diameter_m: float | None
    diameter: str
    length: str
    passed: tuple[PassedHole, ...] = ()
    lying: str = ""
    """How its wires lie, bundle by bundle where those are named."""
    side: int = 0
    """1: it runs on the right of the airframe by its name, −1: on its left; 0: that is not told."""
    lane: Lane | None = None
    """In a detail: where the view has it."""
    given: bool = True
    """Whether the file gives its length; else that is straight from place to place."""


class Pull(Struct, frozen=True, kw_only=True):
    """Wires of the same ends, ways and length: they are pulled together."""

    ways: str
    """The ways in turn, each with its bundle where those are named."""
    passes: str
    """The holes and tubes that they go through, each behind the number of its way."""
    start: str
    stop: str
    length: str
    marks: tuple[str, ...]
    wires: tuple[str, ...]
    """Their ids."""
    lie: tuple[bool, ...]
    """Of each whether its tick says that it lies there: pulled, or further."""
    besides: tuple[str, ...] = ()
    """Behind each mark: that the cores up to it are one cable, or what it is twisted with."""
    closes: str = ""
    """The zones that close over a way of theirs, by number: z1, z2."""
    cables: tuple[str, ...] = ()
    """Of each the cable that it is a core of; empty where it is none."""


class MapZone(Struct, frozen=True, kw_only=True):
    """Places that close together, and when."""

    id: str
    label: str
    places: tuple[str, ...]
    closes: str = ""
    number: str = "zone"
    """By which lists name it: z1."""


class MapSensor(Struct, frozen=True, kw_only=True):
    """A compass or magnetometer; `at_m` is None where it has no station."""

    id: str
    label: str
    at_m: Spot3 | None
    place: str = ""
    """The place that it sits in, and its wires begin or end at."""
    off: str = ""
    """How far it is from there, straight: `4 ft 0 in`; empty where either has no coordinates."""


class MapOutline(Struct, frozen=True, kw_only=True):
    """A line of the airframe as it is seen in a view (`top` or `side`)."""

    view: Literal["top", "side"]
    points: tuple[Spot3, ...]


class RouteMap(Struct, frozen=True, kw_only=True, dict=True):
    """Places and ways of a whole airframe."""

    title: TitleBlock
    places: tuple[MapPlace, ...]
    ways: tuple[MapWay, ...]
    zones: tuple[MapZone, ...] = ()
    sensors: tuple[MapSensor, ...] = ()
    outlines: tuple[MapOutline, ...] = ()
    pulls: tuple[Pull, ...] = ()
    """All that lies in the ways, in the order of the ways."""
    equipment: tuple[tuple[str, str], ...] = ()
    """Place, and what sits there."""
    unlisted: str = ""
    """What is left out of that, and where it stands."""
    notes: tuple[str, ...] = ()
    """What is not drawn, or drawn by assumption."""
    units: Literal["feet", "metric"] = "feet"
    size: Size = "A3"

    @cached_property
    def spot(self) -> dict[str, Spot3 | None]:
        """Place → where it is in the airframe."""
        return {place.id: place.at_m for place in self.places}
