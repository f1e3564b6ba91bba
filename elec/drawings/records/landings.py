"""What a wire goes to, in the few words that a ground sheet has room for."""

from elec.study import Study
from elec.wiring.chains import Part, chains
from elec.wiring.ends import DEVICES, end_text


def first_line(study: Study, part: Part) -> str:
    """What a flag names: the equipment, plug, ground point or device at the other end."""
    if part.kind in ("equipment", "connector"):
        section = "equipment" if part.kind == "equipment" else "plugs"
        return study.system.title(section, part.name)
    if part.kind in DEVICES:
        chain = chains(study).by_name[part.name]
        return part.label or chain.title
    return end_text(study, part)
