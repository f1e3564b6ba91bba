"""The wiring book by purpose: which sections a binder holds, in which order.

In: what a book is made of. Out: the sections of the whole book, or of the binder that stays with
the aircraft, lies on the bench, or goes to the inspector. A binder holds nothing twice; what it
leaves out stands in another or in the whole book.
"""

from collections.abc import Callable, Mapping
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from elec.check import checks
from elec.finding import Finding, Verdict
from elec.pages import binder_sections, sections
from elec.pages.bench.page import bench_section
from elec.pages.closing.page import zones_section
from elec.pages.document import Section
from elec.pages.doubt.page import spread_section
from elec.pages.failures.page import failures_section
from elec.pages.flight.page import flight_section
from elec.pages.issues import Past, since_section
from elec.pages.loads.sheet import load_sheet_section
from elec.pages.things.sensor_page import sensors_section
from elec.pages.things.weight_page import weights_section
from elec.pages.why.book import asked_workings_section, workings_section
from elec.study import Study

Purpose = Literal["all", "aircraft", "bench", "inspector"]


class Asked(Struct, frozen=True, kw_only=True):
    """What sections are made of."""

    study: Study
    found: tuple[Finding, ...]
    digest: str
    """Of the builder's text, so that an old print is found out."""
    on_paper: bool = False
    """For a printer: nothing twice that is only convenient on a screen."""
    past: Past | None = None
    """What was issued before; None where nothing was."""


Maker = Callable[[Asked], Section]


class Binder(Struct, frozen=True, kw_only=True):
    """What one is for, and its sections in order."""

    title: str
    """What the title page says beside the aircraft's name."""
    makers: tuple[Maker, ...]


def _of(make: Callable[[Study], Section]) -> Maker:
    """A section for which the study is enough."""
    return lambda asked: make(asked.study)


def _look_up(make: Maker) -> Maker:
    """A section that a page keeps packed until it is opened: answers, sheets and pins are not."""
    return lambda asked: replace(make(asked), look_up=True)


def _connector_pages(asked: Asked) -> Section:
    """The pages for the bench on the screen; on paper they stand with the list of connectors."""
    if asked.on_paper:
        return Section(id="connector-pages", title="Connector pages", blocks=())
    made = binder_sections.sheets(
        asked.study, ("connector",), title="Connector pages", engraved=False
    )
    return replace(made, id="connector-pages", look_up=True)


def _load_sheet(asked: Asked) -> Section:
    return replace(load_sheet_section(asked.study, digest=asked.digest), new_page=True)


def _checked(asked: Asked) -> Section:
    return sections.checked_section(asked.found, checks())


def _passes(asked: Asked) -> Section:
    return sections.passes_section(asked.found)


def _aircraft_sheets(asked: Asked) -> Section:
    return binder_sections.sheets(
        asked.study, binder_sections.AIRCRAFT_SHEETS, title="Drawings", engraved=False
    )


def _bench_sheets(asked: Asked) -> Section:
    return binder_sections.sheets(
        asked.study, binder_sections.BENCH_SHEETS, title="Connectors", engraved=True
    )


def _limits(_: Asked) -> Section:
    return sections.limits_section()


WHOLE: tuple[Maker, ...] = (
    lambda asked: sections.summary(asked.study, asked.found),
    _look_up(lambda asked: since_section(asked.past)),
    _look_up(_of(sections.loads_section)),
    _of(sections.endurance_section),
    _look_up(_of(flight_section)),
    _look_up(_of(spread_section)),
    _look_up(_of(failures_section)),
    _look_up(_of(sections.protection_section)),
    _look_up(_of(sections.wires_section)),
    _of(sections.drawings_section),
    lambda asked: sections.pins_section(asked.study, on_paper=asked.on_paper),
    _connector_pages,
    _look_up(_of(sections.equipment_section)),
    _look_up(_of(sections.voltages_section)),
    _look_up(_of(sections.bundles_section)),
    _look_up(_of(sensors_section)),
    _look_up(_of(weights_section)),
    _look_up(_of(sections.shopping_section)),
    _look_up(_of(bench_section)),
    _look_up(lambda asked: zones_section(asked.study, asked.found)),
    _look_up(_of(workings_section)),
    lambda asked: sections.cautions_section(asked.study, asked.found),
    _look_up(_of(sections.defaults_section)),
    _limits,
    _look_up(_checked),
    _look_up(_passes),
)
AIRCRAFT: tuple[Maker, ...] = (
    lambda asked: binder_sections.open_findings(asked.study, asked.found),
    _load_sheet,
    _of(binder_sections.breakers_and_feeders),
    _of(binder_sections.every_wire),
    _aircraft_sheets,
    _of(binder_sections.care),
    lambda asked: binder_sections.change_record(asked.study, asked.past),
)
BENCH: tuple[Maker, ...] = (
    _bench_sheets,
    _of(bench_section),
    lambda asked: zones_section(asked.study, asked.found),
    _of(sections.shopping_section),
    _of(binder_sections.care),
)
INSPECTOR: tuple[Maker, ...] = (
    lambda asked: sections.summary(asked.study, asked.found),
    _checked,
    _load_sheet,
    _of(sections.loads_section),
    _of(sections.endurance_section),
    _of(flight_section),
    _of(spread_section),
    _of(failures_section),
    _of(sections.protection_section),
    _of(sections.voltages_section),
    _of(sections.bundles_section),
    _of(sensors_section),
    _of(weights_section),
    lambda asked: asked_workings_section(asked.study, _open(asked.found)),
    lambda asked: sections.cautions_section(asked.study, asked.found),
    _of(sections.defaults_section),
    _limits,
    lambda asked: binder_sections.nearest_passes(asked.found),
)
BINDERS: Mapping[Purpose, Binder] = {
    "all": Binder(title="", makers=WHOLE),
    "aircraft": Binder(title="Papers that stay with the aircraft", makers=AIRCRAFT),
    "bench": Binder(title="Papers for the bench", makers=BENCH),
    "inspector": Binder(title="Papers for the inspector", makers=INSPECTOR),
}
"""What each binder holds; the key is what `elec book --for` takes."""


def bound(asked: Asked, purpose: Purpose) -> tuple[Section, ...]:
    """The sections of a binder that say something."""
    made = (make(asked) for make in BINDERS[purpose].makers)
    return tuple(section for section in made if section.blocks or section.sections)


def _open(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    return tuple(one for one in found if one.verdict is not Verdict.PASS)
