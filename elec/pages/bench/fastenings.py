"""Clamps, ties, grommets, tubes and labels to buy."""

import math

from elec import units
from elec.answers.connect.holes import members, passages
from elec.pages.bench.table import labels
from elec.pages.columns import count, text
from elec.pages.table import Cell, Table, Value
from elec.standards import default
from elec.study import Study
from elec.wiring.limits import limit, shown
from elec.wiring.ways import ties_between, way_map


def fastenings_to_buy(study: Study) -> Table:
    """What holds the bundles, way by way as they are, then counted by size."""
    clamps: dict[str, int] = {}
    grommets: dict[str, int] = {}
    tubes: dict[str, float] = {}
    ties = 0
    unknown: list[str] = []
    for index in members(study):
        way, leg = study.document.ways[index], way_map(study).legs[index]
        for hole in way.holes:
            if hole.grommet:
                size = f"for a hole of {hole.diameter_m * 1000:.0f} mm"
                grommets[size] = grommets.get(size, 0) + 1
        if leg.length_m is None:
            unknown.append(way.title)
            continue
        if way.conduit_m is not None:
            size = f"{way.conduit_m * 1000:.0f} mm inside"
            tubes[size] = tubes.get(size, 0.0) + leg.length_m
            continue
        passage = passages(study)[index]
        thick = passage.diameter_m
        size = "size not known" if thick is None else f"for {_even(thick * 1000)} mm"
        spacing = way.supports_m or min(
            default("clamp-spacing").si, limit(study, "support-spacing").value
        )
        number = max(1, math.ceil(leg.length_m / spacing - 1e-9)) * passage.bundles
        clamps[size] = clamps.get(size, 0) + number
        if ties_between(study, spacing):
            ties += math.ceil(leg.length_m / default("tie-spacing").si) * passage.bundles
    stickers = sum(int(n) for row in labels(study).rows if isinstance(n := _bare(row[1]), int))
    rows: list[tuple[Value, ...]] = [
        *(("cushioned clamp", size, number, "") for size, number in sorted(clamps.items())),
        *(("grommet", size, number, "") for size, number in sorted(grommets.items())),
        *(
            ("tube", size, "", Cell(value=length, text=units.cut_length(length, _system(study))))
            for size, length in sorted(tubes.items())
        ),
        ("cable tie", "", ties, ""),
        ("label or sleeve", "", stickers, ""),
    ]
    system = _system(study)
    spaced, tied = (
        units.show(default(key).si, "m", system) for key in ("clamp-spacing", "tie-spacing")
    )
    supported, beyond = (
        shown(limit(study, key), system) for key in ("support-spacing", "ties-beyond")
    )
    left = f" Without a length, not counted: {', '.join(unknown)}." if unknown else ""
    return Table(
        id="fastenings-to-buy",
        title="Clamps, ties, grommets, tubes, labels",
        columns=(
            text("what", "What"),
            text("size", "Size"),
            count("pieces_count", "Pieces"),
            text("length_m", "Length"),
        ),
        rows=tuple(row for row in rows if row[2] != 0),
        note=(
            f"A clamp every {spaced} where the way does not say how far apart ({supported} is the "
            f"most); where clamps are further apart than {beyond}, a tie every {tied}; labels as "
            f"the bench's list has them.{left}"
        ),
    )


def _even(millimetres: float) -> int:
    """A size of clamp: the next even millimetre up.

    >>> _even(9.2), _even(8.0)
    (10, 8)
    """
    return 2 * math.ceil(millimetres / 2 - 1e-9)


def _bare(value: Value) -> object:
    return value.value if isinstance(value, Cell) else value


def _system(study: Study) -> units.UnitSystem:
    return study.system.about.units
