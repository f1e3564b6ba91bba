"""Binders by purpose: what each holds, nothing twice, and how many pages that makes."""

import io
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdf import PdfReader

from elec.answers.connect.pins import pins
from elec.check import checks
from elec.drawings.from_study import drawings
from elec.finding import Finding, Verdict
from elec.pages import binder_sections
from elec.pages.bench.shopping import terminals_to_buy, wire_to_buy
from elec.pages.binder import BINDERS, Purpose
from elec.pages.book import book
from elec.pages.circuits.cable import cable_end
from elec.pages.document import Book, Figure, FindingList, Section, TableBlock
from elec.pages.reference import nearest
from elec.pages.table import Cell
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains
from elec.write.register import Options, named
from tests.answers.helper import whole
from tests.systems import SYSTEMS

PURPOSES: tuple[Purpose, ...] = ("aircraft", "bench", "inspector")


def every(sections: tuple[Section, ...]) -> Iterator[Section]:
    """Sections within sections, too."""
    for one in sections:
        yield one
        yield from every(one.sections)


def names(made: Book) -> Counter[str]:
    """The tables, drawings and sections of a binder."""
    found: Counter[str] = Counter(one.id for one in every(made.sections))
    for section in every(made.sections):
        for block in section.blocks:
            if isinstance(block, TableBlock):
                found[f"table {block.table.id}"] += 1
            elif isinstance(block, Figure):
                found[f"figure {block.id}"] += 1
    return found


@pytest.mark.parametrize("purpose", [*PURPOSES, "all"])
def test_nothing_stands_twice(purpose: Purpose) -> None:
    """No table, drawing or section is printed again in the same binder."""
    found = names(book(whole("foxglove"), purpose=purpose, on_paper=True))
    assert [name for name, number in found.items() if number > 1] == []


@pytest.mark.parametrize(
    ("purpose", "there", "not_there"),
    [
        (
            "aircraft",
            {
                "load-sheet", "table protection", "table wire-list", "figure drawing-one-line",
                "figure drawing-grounds", "summary", "changes", "cautions",
            },
            {"workings", "bench", "passes", "table panel-labels"},
        ),
        (
            "bench",
            {"bench-cut-list", "bench-labels", "bench-ring-out", "bench-first-power", "cautions",
             "table panel-labels"},
            {"workings", "load-sheet", "passes", "figure drawing-one-line"},
        ),
        (
            "inspector",
            {"load-sheet", "workings", "passes", "table sources", "summary"},
            {"bench", "changes", "figure drawing-one-line"},
        ),
    ],
)  # fmt: skip
def test_what_each_is_for(purpose: Purpose, there: set[str], not_there: set[str]) -> None:
    """What somebody at the aircraft, at the bench and with the inspector needs, and no more."""
    found = set(names(book(whole("foxglove"), purpose=purpose, on_paper=True)))
    assert there - found == set()
    assert not_there & found == set()


def test_every_connector_and_circuit_has_its_sheet() -> None:
    """The whole book, the bench and the aircraft between them lose no sheet of the set."""
    study = whole("foxglove")
    wholly = {n for n in names(book(study, on_paper=True)) if n.startswith("figure drawing-")}
    of = {purpose: set(names(book(study, purpose=purpose))) for purpose in ("aircraft", "bench")}
    connectors = {n for n in wholly if n.startswith("figure drawing-connector")}
    circuits = {n for n in wholly if n.startswith("figure drawing-circuit")}
    assert connectors
    assert connectors - of["bench"] == set()
    assert circuits
    assert circuits - of["aircraft"] == set()


def test_findings_of_the_aircrafts_papers_have_their_reason() -> None:
    """What is accepted stands there with the builder's reason; passes are counted only."""
    made = book(whole("thistledown"), purpose="aircraft")
    listed = [
        finding
        for section in every(made.sections)
        for block in section.blocks
        if isinstance(block, FindingList)
        for finding in block.findings
    ]
    assert any(f.verdict is Verdict.ACCEPTED and f.reason for f in listed)
    assert not any(f.verdict is Verdict.PASS for f in listed)


PAGES = {
    ("foxglove", "aircraft"): 45,
    ("foxglove", "bench"): 85,
    ("larkspur", "aircraft"): 60,
    ("larkspur", "bench"): 170,
}
"""At most: a binder that somebody prints. Those of larkspur are asked; those of foxglove in
proportion to the number of wires, with a few pages to spare."""


@pytest.mark.parametrize(("name", "purpose"), PAGES)
def test_pages(name: str, purpose: Purpose) -> None:
    """A binder that somebody prints."""
    made = named("pdf").write(book(whole(name), purpose=purpose, on_paper=True), Options())
    assert len(PdfReader(io.BytesIO(made)).pages) <= PAGES[name, purpose]


def test_a_form_within_a_binder_has_its_pages_and_its_bookmark() -> None:
    """The sheet to sign stands in the binder as it does alone, and the contents lead to it."""
    made = named("pdf").write(book(whole("foxglove"), purpose="aircraft"), Options())
    read = PdfReader(io.BytesIO(made))
    titles = {str(entry.get("/Title")) for entry in read.outline if isinstance(entry, dict)}
    assert {"Electrical load analysis: Foxglove", "Change record"} <= titles
    texts = [page.extract_text() for page in read.pages]
    signed = [text for text in texts if "Electrical load analysis: Foxglove" in text]
    assert any("page 1 of 2 of this form" in text for text in signed)
    assert any("Checked by" in text and "Signature" in text for text in signed)


def test_the_nearest_pass_is_the_one_with_least_left() -> None:
    """Of each check the number of passes, and the tightest: 0.49 of 0.5 V, not 0.1 of 0.5 V."""
    some = [
        Finding(
            check="wire-drop", about=about, verdict=Verdict.PASS, sentence=about, value=value,
            limit=0.5,
        )
        for about, value in (("far", 0.1), ("near", 0.49), ("middle", 0.3))
    ]  # fmt: skip
    failed = Finding(
        check="wire-drop", about="failed", verdict=Verdict.FAIL, sentence="", value=0.5, limit=0.5
    )
    rows = {row[0]: row[1:] for row in nearest(checks(), [*some, failed]).rows}
    assert rows == {"wire-drop": (3, "near")}


def test_every_binder_has_a_title() -> None:
    """Somebody who finds it on the shelf sees what it is."""
    assert all(BINDERS[purpose].title for purpose in PURPOSES)


def test_the_shelf_is_taken_off_what_is_to_buy(tmp_path: Path) -> None:
    """Of what is needed, a reel on the shelf is not ordered again."""
    shutil.copytree(SYSTEMS / "foxglove", tmp_path / "foxglove")
    file = tmp_path / "foxglove" / "system.yaml"
    reel = "stock:\n  reels: {AWG 22 white: 200 ft}\n"
    file.write_text(file.read_text(encoding="utf-8").replace("stock:\n", reel), encoding="utf-8")
    stocked = read(tmp_path / "foxglove").system
    assert stocked is not None
    assert _ordered_m(whole("foxglove")) - _ordered_m(Study(stocked)) == pytest.approx(
        60.96, abs=0.31
    )
    # rounded up to whole feet, each


def _ordered_m(study: Study) -> float:
    table = wire_to_buy(study)
    place = {column.key: number for number, column in enumerate(table.columns)}
    for row in table.rows:
        awg, order = row[place["gauge_awg"]], row[place["order_m"]]
        if isinstance(awg, Cell) and awg.value == "22" and row[place["colour"]] == "white":
            assert isinstance(order, float | int)
            return order
    raise AssertionError("no such wire")


def test_terminals_are_bought_by_stud() -> None:
    """A stud that the file names is named; one that nobody named is not known."""
    found = terminals_to_buy(whole("yarrow"))
    studs = {row[2] if isinstance(row[2], str) else "?" for row in found.rows}
    assert {"5/16", "?"} <= studs


@pytest.mark.parametrize("name", ["larkspur", "thistledown"])
def test_every_connector_is_found_by_its_sheet(name: str) -> None:
    """The first page of the connectors held one line of text and nothing else."""
    study = whole(name)
    table = binder_sections.where_connectors(study)
    assert len(table.rows) == len(pins(study).by_id)
    labels = {s.title.label for one in drawings(study).of("connector") for s in one.sheets}
    sheets = {str(row[0]): row[4].value for row in table.rows if isinstance(row[4], Cell)}
    assert len(sheets) == len({str(row[0]) for row in table.rows})  # none without a sheet
    assert set(sheets.values()) <= labels
    texts = {s.title.label: {item.text for item in s.items}
             for one in drawings(study).of("connector") for s in one.sheets}  # fmt: skip
    faced = [row for row in table.rows if str(row[2]).startswith("dsub")]
    assert faced
    for row in faced:  # its own title stands there, not that of its continuation
        assert str(row[0]) in texts[str(sheets[str(row[0])])]


def test_an_end_of_a_cable_is_named_once() -> None:
    """It was *right wing root plug, contact G; right wing root plug, contact H; …*."""
    chain = next(c for c in chains(whole("larkspur")).of("cable")
                 if f"{c.function}{c.number}" == "R32")  # fmt: skip
    assert (
        cable_end(whole("larkspur"), chain, first=True)
        == "right wing root plug, contacts G, H, J and K"
    )
