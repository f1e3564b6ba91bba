"""What the wiring weighs and where: by kind, by zone, and the moment for weight and balance."""

from elec import units
from elec.answers.build.weight import Heavy, Sum, added, weight
from elec.pages.columns import text
from elec.pages.table import Cell, Column, Table, Value
from elec.study import Study

KINDS = ("wire", "cable", "connector", "terminal", "tie or clamp")
_COLUMNS = (
    Column(key="mass_kg", head="Mass", unit="kg"),
    text("station", "Arm"),
    text("buttline", "Right", 2),
    text("waterline", "Up", 3),
    text("moment", "Moment"),
    text("unknown", "Not counted", 2),
)


def weight_by_kind(study: Study) -> Table:
    """The harness by kind of thing, then as a whole."""
    harness = weight(study).of(*KINDS)
    rows = [(kind, weight(study).of(kind)) for kind in KINDS]
    labels = {"wire": "wires", "cable": "cables", "connector": "connectors",
              "terminal": "terminals and splices", "tie or clamp": "ties and clamps"}  # fmt: skip
    return Table(
        id="weight-by-kind",
        title="Weight of the harness",
        columns=(text("what", "What"), *_COLUMNS),
        rows=(
            *(_row(study, labels[kind], items) for kind, items in rows if items),
            _row(study, "the whole harness", harness),
        ),
        note=(
            "Computed from lengths and tables, 10 % either way. Arm: aft of the datum; right of "
            "the centre line, up from the datum, by the coordinates of places. "
            "A real weighing supersedes it, and the aircraft is weighed again when it is finished."
        ),
    )


def weight_by_zone(study: Study) -> Table:
    """The harness by zone; what is in none, by place."""
    zone_of = {place: name for name, zone in study.document.zones.items() for place in zone.places}
    groups: dict[tuple[str, str], list[Heavy]] = {}
    for one in weight(study).of(*KINDS):
        key = ("zones", zone_of[one.place]) if one.place in zone_of else ("places", one.place)
        groups.setdefault(key, []).append(one)
    order = [("zones", name) for name in study.document.zones]
    order += [("places", name) for name in study.document.places]
    order += [key for key in groups if key not in order]
    return Table(
        id="weight-by-zone",
        title="Weight by zone",
        columns=(text("where", "Where"), *_COLUMNS),
        rows=tuple(
            _row(study, study.system.title(*key), tuple(groups[key]))
            for key in order
            if key in groups
        ),
        note="A wire counts to the places at both ends of each piece of its way, half to each.",
    )


def weight_of_equipment(study: Study) -> Table | None:
    """Equipment whose mass is given, and how many have none."""
    items = weight(study).of("equipment")
    known = tuple(one for one in items if one.mass_kg is not None)
    if not known:
        return None
    return Table(
        id="weight-of-equipment",
        title="Weight of the equipment",
        columns=(text("what", "What"), *_COLUMNS),
        rows=(
            *(_row(study, one.label, (one,)) for one in known),
            _row(study, "all of it", items),
        ),
    )


def _row(study: Study, label: str, items: tuple[Heavy, ...]) -> tuple[Value, ...]:
    found = added(items)
    return (
        label,
        found.mass_kg,
        *(_arm(study, found, axis) for axis in range(3)),
        _moment(study, found),
        _left(found),
    )


def _arm(study: Study, found: Sum, axis: int) -> Cell:
    if found.arm_m is None:
        return Cell(value=None)
    value = found.arm_m[axis]
    if study.system.about.units == "metric":
        return Cell(value=value, text=f"{value:.3f} m")
    return Cell(value=value, text=f"{value / 0.0254:.1f} in")


def _moment(study: Study, found: Sum) -> Cell:
    """Of what has a place, about the datum."""
    if found.arm_m is None:
        return Cell(value=None)
    value = found.placed_kg * found.arm_m[0]
    if study.system.about.units == "metric":
        return Cell(value=value, text=f"{value:.3f} kg·m")
    return Cell(value=value, text=f"{value / (0.45359237 * 0.0254):.1f} lb·in")


def _left(found: Sum) -> str:
    """What is not in the numbers of a row."""
    texts: list[str] = []
    if found.unknown:
        most = ", ".join(found.unknown[:3]) + (" …" if len(found.unknown) > 3 else "")
        texts.append(f"mass of {most}")
    loose = found.mass_kg - found.placed_kg
    if loose > 1e-9:
        texts.append(f"the arm of {units.show(loose, 'kg')}, whose place has no station")
    return "; ".join(texts)
