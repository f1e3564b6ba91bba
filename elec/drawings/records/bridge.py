"""The bridge of a motor that runs both ways, as its sheet shows it."""

from elec.answers.base.marks import marks
from elec.answers.connect.reversing import reversing
from elec.drawings.inputs import DrawnBridge
from elec.study import Study


def bridge(study: Study, circuit: str) -> DrawnBridge | None:
    """The bridge of a circuit; None where its motor runs one way."""
    found = reversing(study).get(circuit)
    if found is None:
        return None
    plus, minus = found.poles
    title = study.system.title
    names = (minus.label, plus.label) if found.by == "relays" else ("", plus.label)
    held = title("switches", found.control)
    lines = []
    for way in found.ways:
        by = f"{way.pulled} pulled in by {held}" if way.pulled else held
        stop = f"; stops at {way.stops}" if way.stops else ""
        lines += [
            f"{way.name}: {by}; plus on {way.plus}{stop}",
            f"   {'; '.join(way.joined)} joined",
        ]
    if found.by == "switch" and found.ways[0].stops:
        lines.append("a diode across each limit switch lets the motor come back")
    lines.append("seen from behind, off" if found.by == "switch" else "both relays at rest")
    return DrawnBridge(
        ref=f"{circuit}/bridge",
        names=names,
        marks=found.marks,
        wires=tuple(marks(study)[wire.id] for wire in found.wires),
        source=f"+ from {title('buses', study.document.circuits[circuit].bus)}",
        ground=f"to {found.wires[5].b.label}",
        motor=title("equipment", found.load),
        centred=found.by == "switch",
        lines=tuple(lines),
    )


__all__ = ["bridge"]
