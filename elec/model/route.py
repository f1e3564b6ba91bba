"""Where things are and the ways that wires take."""

from elec.model.entry import Entry
from elec.model.quantity import Celsius, Flag, Metres




class Spot(Entry):
    """A named point in the airframe (`places:` in the file)."""

    name: str | None = None
    station_m: Metres | None = None
    buttline_m: Metres | None = None
    waterline_m: Metres | None = None
    ambient_degc: Celsius | None = None
    within_m: Metres | None = None
    """Usual length of a wire between two things at this place; None: default."""
    fuel_vapour: Flag = False


class Hole(Entry):
    """A hole that a way passes through."""

    diameter_m: Metres
    grommet: Flag = False


class Way(Entry):
    """A path between two places that wires can lie in."""

    name: str | None = None
    between: tuple[str, str]
    length_m: Metres | None = None
    ambient_degc: Celsius | None = None
    holes: tuple[Hole, ...] = ()
    conduit_m: Metres | None = None
    """Inner diameter, when the way is a tube."""
    free_air: Flag = False


class Zone(Entry):
    """Places that close together."""

    name: str | None = None
    places: tuple[str, ...]
    closes: str = ""
