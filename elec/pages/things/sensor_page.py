"""The section on compasses and magnetometers."""

from elec.answers.fields.field import disturbed
from elec.pages.document import Paragraph, Section, TableBlock
from elec.pages.things.sensor import interference_test, sensors
from elec.study import Study


def sensors_section(study: Study) -> Section:
    """What disturbs each sensor, worst first, and the test that decides."""
    test = interference_test(study)
    tables = [*sensors(study), *([test] if test else [])]
    leads = [Paragraph(text=text) for text in sensors_lead(study)]
    blocks = tuple(TableBlock(table=table) for table in tables)
    return Section(id="sensors", title="Magnetic sensors", blocks=(*leads, *blocks))


def sensors_lead(study: Study) -> tuple[str, ...]:
    """The load that does most to each sensor."""
    texts: list[str] = []
    for found in disturbed(study).values():
        if found.unknown or found.too_near:
            texts.append(f"{found.title}: not all of it can be told; see sensor-step.")
        elif found.disturbances:
            one = found.disturbances[0]
            name = study.system.title("equipment", one.equipment)
            texts.append(
                f"{found.title}: {name} does most, {one.horizontal_t * 1e6:.2f} µT of the earth's "
                f"{found.earth_field_t * 1e6:g} µT horizontally."
            )
    return tuple(texts)
