"""Published documents: tables, citations, defaults.

In: data files, read on first use. Out: `table`, `Cite`, `source`, `default`, `copper`, bands of
breakers and fuses. A number that a document does not give raises `NotCovered`; nothing is filled
in.
"""

from elec.standards.cite import (
    Cite,
    Publication,
    cited,
    cites,
    documents,
    least_sure,
    place_of,
    source,
)
from elec.standards.default import Default, default, defaults
from elec.standards.device import (
    BandPoint,
    CurveBand,
    breaker_band,
    breaker_classes,
    breaker_ratings_a,
    breaker_resistance_ohm,
    fuse_band,
    fuse_families,
    fuse_ratings_a,
    fuse_resistance_ohm,
)
from elec.standards.table import (
    NotCovered,
    PublishedTable,
    TableRow,
    interpolate,
    table,
)
from elec.standards.wire import (
    AWGS,
    WireKind,
    WireSize,
    aluminium,
    battery_cable,
    copper,
    published_size,
    wire_kind,
    wire_kind_names,
)

__all__ = [
    "AWGS",
    "BandPoint",
    "Cite",
    "CurveBand",
    "Default",
    "NotCovered",
    "Publication",
    "PublishedTable",
    "TableRow",
    "WireKind",
    "WireSize",
    "aluminium",
    "battery_cable",
    "breaker_band",
    "breaker_classes",
    "breaker_ratings_a",
    "breaker_resistance_ohm",
    "cited",
    "cites",
    "copper",
    "default",
    "defaults",
    "documents",
    "fuse_band",
    "fuse_families",
    "fuse_ratings_a",
    "fuse_resistance_ohm",
    "interpolate",
    "least_sure",
    "place_of",
    "published_size",
    "source",
    "table",
    "wire_kind",
    "wire_kind_names",
]
