"""The wiring book: everything about one system in the order in which the job needs it.

In: a study. Out: a `Book` of sections, without a format and without a clock.
"""

import hashlib

from elec.check import checks, run
from elec.finding import Finding
from elec.pages import sections
from elec.pages.bench.page import bench_section
from elec.pages.closing.page import zones_section
from elec.pages.document import Book, Section
from elec.pages.doubt.page import spread_section
from elec.pages.failures.page import failures_section
from elec.pages.flight.page import flight_section
from elec.pages.things.sensor_page import sensors_section
from elec.pages.things.weight_page import weights_section
from elec.pages.why.book import workings_section
from elec.study import Study


def book(study: Study, *, digest: str = "", findings: tuple[Finding, ...] | None = None) -> Book:
    """Put the book together.

    Args:
        study: the run.
        digest: sha256 of the builder's files; left out, that of the system as it was read.
        findings: what the checks said, where they were run already.
    """
    about = study.system.about
    found = run(study) if findings is None else findings
    return Book(
        title=about.name,
        subtitle=about.description,
        owner=about.people,
        revision=about.revision,
        date=about.date,
        digest=digest or digest_of(study),
        paper=about.paper,
        units=about.units,
        sections=_sections(study, found),
    )


def digest_of(study: Study) -> str:
    """The sha256 of the system as it was read, in hexadecimal: other words, other digest."""
    text = study.document.model_dump_json(by_alias=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _sections(study: Study, found: tuple[Finding, ...]) -> tuple[Section, ...]:
    made = (
        sections.summary(study, found, checks()),
        sections.loads_section(study),
        sections.endurance_section(study),
        flight_section(study),
        spread_section(study),
        failures_section(study),
        sections.protection_section(study),
        sections.wires_section(study),
        sections.drawings_section(study),
        sections.pins_section(study),
        sections.equipment_section(study),
        sections.voltages_section(study),
        sections.bundles_section(study),
        sensors_section(study),
        weights_section(study),
        sections.shopping_section(study),
        bench_section(study),
        zones_section(study, found),
        workings_section(study),
        sections.cautions_section(study, found),
        sections.defaults_section(study),
        sections.limits_section(),
        sections.passes_section(found),
    )
    return tuple(section for section in made if section.blocks or section.sections)
