"""Protective devices: what each holds, what its wire may carry, how it was chosen."""

from collections.abc import Mapping

from elec.answers.connect.panel import engraving, panels
from elec.answers.heat.heat import heat
from elec.pages.circuits.wire import device, sheet
from elec.pages.columns import amps, gauge, marked, place_title, share, text
from elec.pages.table import Cell, Table, Value
from elec.sizing.devices import Device
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains


def protection(study: Study) -> Table:
    """Every protective device in the builder's order, feeders first."""
    found = sizing(study).devices
    rows = [
        _row(study, chain, found[chain.name])
        for chain in chains(study).guarded()
        if chain.name in found
    ]
    return Table(
        id="protection",
        title="Protective devices",
        columns=(
            text("circuit", "Protects"),
            text("device", "Device"),
            text("class", "Class", 3),
            text("place", "Place", 3),
            text("label", "Engraved", 2),
            amps("load_a", "Load"),
            share("used_fraction", "Used"),
            amps("needed_a", "Needs", 2),
            text("gauge_awg", "AWG"),
            amps("wire_a", "Wire allows", digits=1),
            text("inrush", "Inrush", 3),
            text("rating", "Rating was", 3),
        ),
        rows=tuple(rows),
        note=(
            "Needs: the least rating that holds the load at the share of its rating that a "
            "lasting load may "
            "use. Wire allows: in the tightest spot of the thinnest wire behind the device."
        ),
    )


def unprotected(study: Study) -> Table:
    """Wires without a protective device, each with the reason that the builder gives."""
    document = study.document
    rows: list[tuple[Value, ...]] = []
    for chain in chains(study).by_name.values():
        if not chain.brings_power or chain.device is not None or chain.guards:
            continue
        if chain.kind == "wire":
            rows.append((chain.title, None))
            continue
        key = chain.path[1]
        entry = (
            document.circuits[str(key)] if chain.kind == "circuit" else document.feeders[int(key)]
        )
        rows.append((chain.title, entry.unprotected or None))
    return Table(
        id="unprotected",
        title="Wires without a protective device",
        columns=(text("wire", "Wire"), text("reason", "Why none")),
        rows=tuple(rows),
    )


def _row(study: Study, chain: Chain, found: Device) -> tuple[Value, ...]:
    rating, load = found.rating_a, found.load_a
    wires = [heat(study)[c.id] for c in chain.conductors() if c.id in heat(study)]
    tightest = min(wires, key=lambda h: h.allowed_a, default=None)
    return (
        Cell(value=chain.title, ref=sheet(chain.name) if chain.kind == "circuit" else None),
        device(study, chain),
        found.family,
        place_title(study, chain.device.place) if chain.device else "",
        _engraving(study, chain),
        load,
        None if rating is None or load is None else load / rating,
        found.needed_a,
        gauge(tightest.awg) if tightest else None,
        marked(
            study,
            tightest.allowed_a if tightest else None,
            chain.name,
            "device-protects-wire",
            working=tightest.working if tightest else None,
        ),
        _inrush(found),
        "chosen" if found.chosen else ("given" if rating is not None else found.unknown),
    )


def _engraving(study: Study, chain: Chain) -> str:
    label = chain.device.label if chain.device and chain.kind != "wire" else ""
    if chain.kind == "circuit":
        circuit = study.document.circuits[chain.name]
        label = circuit.engraving or label
    return label or engraved(study).get(chain.name, "")


@analysis
def engraved(study: Study) -> Mapping[str, str]:
    """Circuit or feeder → what its breaker's position on a panel says."""
    return {
        subject.name: engraving(study, subject)
        for layout in panels(study).by_name.values()
        for subject in layout.engraved
        if subject.holds != "switches"
    }


def _inrush(found: Device) -> str | None:
    if found.inrush_a is None or found.inrush_s is None or found.rating_a is None:
        return ""
    held = found.holds_inrush(found.rating_a)
    what = f"{found.inrush_a:.3g} A, {1000 * found.inrush_s:.0f} ms"
    if held is None:
        return f"{what}: no curve"
    return f"{what}: held" if held[0] else f"{what}: may trip"
