"""What a wire goes to, in the few words that a ground sheet has room for."""

from elec.drawings.records.nodes import panel_position
from elec.drawings.records.panel import off_name
from elec.study import Study
from elec.wiring.chains import Part, chains
from elec.wiring.ends import DEVICES, end_text


def designation(study: Study, part: Part) -> str:
    """What every sheet calls a device: `breaker CB3-1C`, `limiter 2`, `diode D1`; else empty."""
    if part.kind in DEVICES:
        at = panel_position(study, chains(study).by_name[part.name], part)
        return f"{part.kind} {at}" if at else off_name(study, part)
    called = off_name(study, part)
    return f"diode {called}" if called else ""


def end_of(study: Study, part: Part) -> str:
    """An end on the sheets: a device by what every sheet calls it, all else in words."""
    return designation(study, part) or end_text(study, part)


def first_line(study: Study, part: Part) -> str:
    """What a flag names: the equipment, plug, ground point or device at the other end."""
    if part.kind in ("equipment", "connector"):
        section = "equipment" if part.kind == "equipment" else "plugs"
        return study.system.title(section, part.name)
    if part.kind in DEVICES:
        chain = chains(study).by_name[part.name]
        return part.label or chain.title
    return end_text(study, part)
