"""The section on weight and balance."""

from elec import units
from elec.answers.build.weight import added, weight
from elec.pages.document import Paragraph, Section, TableBlock
from elec.pages.things.weight import KINDS, weight_by_kind, weight_by_zone, weight_of_equipment
from elec.study import Study


def weights_section(study: Study) -> Section:
    """What the harness weighs, its centre, and where it is."""
    equipment = weight_of_equipment(study)
    tables = [weight_by_kind(study), weight_by_zone(study), *([equipment] if equipment else [])]
    return Section(
        id="weight",
        title="Weight and balance",
        blocks=(
            *(Paragraph(text=text) for text in weight_lead(study)),
            *(TableBlock(table=table) for table in tables),
        ),
    )


def weight_lead(study: Study) -> tuple[str, ...]:
    """The harness in one sentence."""
    found = added(weight(study).of(*KINDS))
    system = study.system.about.units
    mass = units.show(found.mass_kg, "kg", system)
    if found.arm_m is None:
        return (f"The harness weighs about {mass}; no place has a station, so it has no arm.",)
    arm = found.arm_m[0]
    shown = f"{arm:.2f} m" if system == "metric" else f"{arm / 0.0254:.1f} in"
    return (f"The harness weighs about {mass}, its centre {shown} aft of the datum.",)
