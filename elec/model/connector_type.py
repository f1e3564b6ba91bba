"""A builder's own connector: where its contacts are, by its maker's drawing."""

from collections.abc import Mapping
from typing import Literal

from elec.model.entry import Entry
from elec.model.quantity import Amps, Coordinate, Gauge, Metres


class FaceContact(Entry):
    """Where a contact is: on the mating face of the half with pins, its key or wide side up."""

    x_m: Coordinate
    """To the right of the middle."""
    y_m: Coordinate
    """Up from the middle."""
    size_m: Metres | None = None
    """Diameter of its hole in the insert; left out: all alike, as large as the spacing allows."""


class ConnectorType(Entry):
    """A connector whose contacts are not published here (`connector-types:` in the file)."""

    shape: Literal["circular", "rectangular"]
    """The outline of its face."""
    diameter_m: Metres | None = None
    """Of a circular face; left out: drawn around the contacts."""
    width_m: Metres | None = None
    """Of a rectangular face; left out: drawn around the contacts."""
    height_m: Metres | None = None
    """Of a rectangular face; left out: drawn around the contacts."""
    contacts: Mapping[str, FaceContact]
    """Contact → where it is, looking at the mating face of the half with pins."""
    contact_size: str = ""
    """The size of its contacts by the maker's numbering, for print."""
    rating_a: Amps | None = None
    """What one contact may carry alone, from the maker."""
    thinnest: Gauge | None = None
    """The thinnest wire that its contacts take."""
    thickest: Gauge | None = None
    """The thickest wire that its contacts take."""
    source: str
    """The maker's drawing, for print."""
