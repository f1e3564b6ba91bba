"""The equipment list: what it is, where, what it draws, what feeds it, what it needs."""

from elec import units
from elec.model import laws
from elec.model.load import Equipment
from elec.pages.columns import place_title, text, volts
from elec.pages.table import Cell, Table, Value
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.circuit_model import minimum_v
from elec.wiring.demand import draws


def equipment(study: Study) -> Table:
    """Every piece of equipment in the builder's order."""
    return Table(
        id="equipment",
        title="Equipment",
        columns=(
            text("equipment", "Equipment"),
            text("place", "Place"),
            text("draw", "Draws"),
            text("basis", "Known from", 2),
            text("circuit", "Circuit"),
            text("bus", "Bus", 2),
            volts("minimum_v", "Works down to", 2, digits=1),
            text("essential", "Essential", 2),
            text("shed", "Switched off", 3),
            text("inrush", "Inrush", 3),
            text("note", "Note", 3),
        ),
        rows=tuple(_row(study, name) for name in study.document.equipment),
        note=(
            f"Draws: {laws.legend()} Works down to: a number in brackets is assumed, not the "
            "maker's."
        ),
    )


def _row(study: Study, name: str) -> tuple[Value, ...]:
    entry = study.document.equipment[name]
    circuits = chains(study).feeds.get(name, ())
    titles = [chains(study).by_name[c].title for c in circuits]
    buses = dict.fromkeys(study.document.circuits[c].bus for c in circuits)
    fed = bool(circuits)
    return (
        study.system.title("equipment", name),
        place_title(study, entry.place),
        drawn(entry) if fed else drawn(entry) or "",
        _basis(entry),
        ", ".join(titles),
        ", ".join(study.system.end_title(bus) for bus in buses),
        _minimum(study, entry) if fed else "",
        "essential" if entry.essential else "",
        _shed(entry),
        _inrush(entry),
        entry.note,
    )


def drawn(entry: Equipment) -> str | None:
    """What it draws in words; None where it draws and nobody says how much; empty if nothing."""
    if entry.modes:
        found = [
            f"{name} {mode.draw.said if mode.draw else '?'}" for name, mode in entry.modes.items()
        ]
        return ", ".join(found)
    if entry.draw is not None:
        return entry.draw.said
    return None if draws(entry) else ""


def _basis(entry: Equipment) -> str:
    every = [entry.basis, *(mode.basis for mode in entry.modes.values())]
    found = ", ".join(dict.fromkeys(basis for basis in every if basis))
    tolerance = f" ±{100 * entry.tolerance:g} %" if entry.tolerance is not None else ""
    return f"{found}{tolerance}"


def _minimum(study: Study, entry: Equipment) -> Cell:
    least = minimum_v(study, entry)
    assumed = entry.minimum_v is None
    return Cell(value=least, text=f"({least:.1f})" if assumed else None)


def _shed(entry: Equipment) -> str:
    if entry.shed is None or entry.essential:
        return ""
    if isinstance(entry.shed, str):
        return entry.shed
    return f"after {units.show(entry.shed, 's')}"


def _inrush(entry: Equipment) -> str:
    if entry.inrush is None:
        return ""
    lasts = f"{1000 * entry.inrush.lasts_s:g} ms"
    if entry.inrush.current_a is not None:
        return f"{entry.inrush.current_a:g} A, {lasts}"
    return f"{entry.inrush.factor or 1:g} times, {lasts}"
