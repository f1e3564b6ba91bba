"""The book: its order, its one answer first, its cautions, and that it is the same each time."""

import re
from collections import Counter
from collections.abc import Iterator

import pytest

from elec.cautions import ADVICE, CARE, LIMITS, MEASURES
from elec.check import run
from elec.finding import Finding, Place, Verdict
from elec.pages import sections
from elec.pages.book import book, digest_of
from elec.pages.document import (
    Block,
    Book,
    Figure,
    FindingList,
    Paragraph,
    Section,
    TableBlock,
    WorkingBlock,
)
from elec.pages.loads import leads
from elec.study import Study
from tests.answers.helper import NAMES, loads_of, small, whole

ORDER = (
    "summary", "loads", "endurance", "protection-section", "wires-section", "drawings", "pins",
    "equipment-section", "voltages-section", "bundles-section", "shopping", "workings", "cautions",
    "defaults-section", "limits", "passes",
)  # fmt: skip


def made(name: str) -> Book:
    return whole(name).result(_book)


def _book(study: Study) -> Book:
    return book(study)


def blocks(found: Book | Section) -> Iterator[Block]:
    if isinstance(found, Section):
        yield from found.blocks
    for inner in found.sections:
        yield from blocks(inner)


def every_section(found: Book | Section) -> Iterator[Section]:
    for inner in found.sections:
        yield inner
        yield from every_section(inner)


@pytest.mark.parametrize("name", NAMES)
def test_sections_stand_in_the_order_of_the_job(name: str) -> None:
    ids = [section.id for section in made(name).sections]
    assert [each for each in ids if each in ORDER] == [each for each in ORDER if each in ids]
    assert set(ORDER) - set(ids) <= {"passes", "endurance"}


@pytest.mark.parametrize("name", NAMES)
def test_ids_name_one_thing(name: str) -> None:
    found = made(name)
    ids = Counter(section.id for section in every_section(found))
    ids.update(b.table.id for b in blocks(found) if isinstance(b, TableBlock) if b.table.rows)
    ids.update(b.id for b in blocks(found) if isinstance(b, Figure))
    assert {name: times for name, times in ids.items() if times > 1} == {}


@pytest.mark.parametrize("name", NAMES)
def test_the_answer_comes_before_tables(name: str) -> None:
    for section in made(name).sections:
        kinds = [type(block) for block in section.blocks]
        if section.id in ("loads", "endurance", "protection-section", "wires-section", "pins",
                          "voltages-section", "summary"):  # fmt: skip
            assert kinds[0] is Paragraph
            first = section.blocks[0]
            assert isinstance(first, Paragraph)
            assert first.kind == "lead"


def test_the_title_page_says_what_the_builder_wrote() -> None:
    found, about = made("foxglove"), whole("foxglove").system.about
    assert (found.title, found.subtitle) == (about.name, about.description)
    assert (found.paper, found.units, found.revision) == ("Letter", "feet", about.revision)


def test_a_given_digest_is_printed_and_another_text_has_another() -> None:
    study = small(loads_of({"radio": "1 A"}))
    assert book(study, digest="abc").digest == "abc"
    other = small(loads_of({"radio": "1.1 A"}))
    assert digest_of(study) != digest_of(other)
    assert digest_of(study) == digest_of(small(loads_of({"radio": "1 A"})))


def test_the_same_text_gives_the_same_book() -> None:
    text = loads_of({"radio": "1 A", "lamp": "20 W"})
    assert book(small(text)) == book(small(text))


@pytest.mark.parametrize("name", NAMES)
def test_every_circuit_has_its_sheet_and_every_connector_its_pins(name: str) -> None:
    study, found = whole(name), made(name)
    figures = [b for b in blocks(found) if isinstance(b, Figure)]
    leads = {name for figure in figures for name in figure.also}
    assert {f"sheet-{c}" for c in study.document.circuits} <= leads
    ids = {section.id for section in every_section(found)}
    for equipment, entry in study.document.equipment.items():
        assert {f"pins-{equipment}.{key}" for key in entry.connectors} <= ids


@pytest.mark.parametrize("name", NAMES)
def test_links_in_tables_lead_somewhere(name: str) -> None:
    found = made(name)
    ids = {i for b in blocks(found) if isinstance(b, Figure) for i in (b.id, *b.also)}
    ids |= {section.id for section in every_section(found)}
    ids |= {b.table.id for b in blocks(found) if isinstance(b, TableBlock)}
    refs = {
        value.ref
        for b in blocks(found)
        if isinstance(b, TableBlock)
        for row in b.table.rows
        for value in row
        if not isinstance(value, str | float | int | None) and value.ref
    }
    assert refs
    assert refs <= ids


@pytest.mark.parametrize("name", NAMES)
def test_figures_are_drawn_and_say_what_they_show(name: str) -> None:
    for block in blocks(made(name)):
        if isinstance(block, Figure):
            assert block.title
            assert block.description
            drawn = block.sheet.items if block.sheet else block.chart and block.chart.ink
            assert drawn


def test_every_finding_is_in_the_book_once() -> None:
    study = whole("foxglove")
    found = run(study)
    listed = [
        finding
        for section in every_section(made("foxglove"))
        if section.id in ("findings", "passes")
        for b in section.blocks
        if isinstance(b, FindingList)
        for finding in b.findings
    ]

    def told(finding: Finding) -> tuple[str, ...]:
        return finding.check, finding.about, finding.verdict, finding.sentence

    assert Counter(map(told, listed)) == Counter(map(told, found))


def finding(verdict: Verdict, about: str = "lamp") -> Finding:
    return Finding(check="wire-drop", about=about, verdict=verdict, sentence="so", place=Place())


def test_fails_are_named_on_the_first_page() -> None:
    study = small(loads_of({"radio": "1 A"}))
    given = (finding(Verdict.FAIL), finding(Verdict.ADVISE, "a"), finding(Verdict.PASS, "b"))
    summary = sections.summary(study, given)
    (worst,) = [b for b in summary.blocks if isinstance(b, FindingList)]
    assert [f.verdict for f in worst.findings] == [Verdict.FAIL, Verdict.ADVISE]
    texts = [b.text for b in summary.blocks if isinstance(b, Paragraph)]
    assert "Findings: 1 fail, 1 advise, 1 pass." in texts


def test_cautions_are_on_the_first_page_and_at_the_end() -> None:
    found = made("thistledown")
    first = [b for b in found.sections[0].blocks if isinstance(b, Paragraph)]
    assert any(b.kind == "caution" and b.text == ADVICE for b in first)
    for word in ("battery", "uel vapour", "Measured beats computed", "lectrical fire"):
        assert any(word in text for text in (*CARE.values(), *MEASURES)), word
    words = " ".join((ADVICE, *CARE.values(), *MEASURES, *LIMITS)).casefold()
    assert re.search(r"airworthy|approved", words) is None
    assert "makers' data" in words or "maker's data" in words or "the makers' data" in words


def test_a_contact_claimed_twice_is_said_above_its_table() -> None:
    text = loads_of({"radio": "1 A"}).replace(
        "radio: {place: panel, on: always, draw: 1 A}",
        "radio: {place: panel, draw: 1 A, connectors: {J1: {type: dsub-9, contacts: pin, pins: "
        "{1: power, 6: ground}}}}",
    )
    text += "wires: [{from: radio.J1.1, to: block}]\n"
    study = small(text)
    (section,) = sections.pins_section(study).sections
    warning = section.blocks[0]
    assert isinstance(warning, Paragraph)
    assert warning.kind == "caution"
    assert "contact 1" in warning.text
    assert "radio.J1.1" in leads.pins_lead(study)[0]


def test_a_load_without_current_is_the_first_sentence() -> None:
    study = small(loads_of({"radio": "1 A", "pump": ""}))
    lead = sections.loads_section(study).blocks[0]
    assert isinstance(lead, Paragraph)
    assert "pump" in lead.text
    assert "measure it" in lead.text
    assert any("pump" in text for text in leads.endurance_lead(study))


def test_a_shortfall_says_what_the_battery_gives() -> None:
    text = leads.loads_lead(whole("foxglove"))[0]
    found = re.search(
        r"all that it can, ([\d.]+) A, and the battery gives ([\d.]+) A, ([\d.]+) Ah in 10 min",
        text,
    )
    assert found is not None
    amps, charge_ah = float(found.group(2)), float(found.group(3))
    assert charge_ah == pytest.approx(amps * 10 / 60, abs=0.06)  # one printed decimal each


def test_a_drop_above_its_limit_is_named_first() -> None:
    text = loads_of({"lamp": "5 A"}).replace(
        "feeds: lamp}", "feeds: lamp, gauge: AWG 22, length: 30 ft}"
    )
    assert "more is lost" in leads.wires_lead(small(text))[0].casefold()


@pytest.mark.parametrize("name", NAMES)
def test_workings_are_there_to_follow(name: str) -> None:
    (section,) = [s for s in made(name).sections if s.id == "workings"]
    every = [*section.sections, *(s for one in section.sections for s in one.sections)]
    workings = [b for one in every for b in one.blocks if isinstance(b, WorkingBlock)]
    titles = [b.working.title for b in workings]
    assert len(workings) == len({b.working for b in workings}) > 20  # each once
    assert any(title.startswith("Voltage drop") for title in titles)
    assert any(title.startswith("Rating for") for title in titles)
    assert any(title.startswith("Heat of") for title in titles)
    assert any(title.startswith("Battery endurance") for title in titles)
