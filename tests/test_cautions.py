"""Every kind of output, and the caution that it carries; one place has the sentences."""

import re
import subprocess
import zipfile
from collections.abc import Callable, Mapping
from io import BytesIO
from pathlib import Path

import pytest

from elec import cli
from elec.answers.build.care import care_of, cautions_for, fire, general
from elec.cautions import ADVICE, ANSWERS, CARE, LIMITS, MEASURES, SHORT
from elec.drawings import frame
from elec.drawings.choose import KINDS
from elec.drawings.from_study import drawings
from elec.pages import sections
from elec.pages.bench.page import PAPERS, paper
from elec.pages.book import book
from elec.pages.closing.page import closing_answer
from elec.pages.columns import text
from elec.pages.document import Items, Paragraph, Section, TableBlock
from elec.pages.loads.sheet import load_sheet_section
from elec.pages.table import Table
from elec.read.starter import starter
from elec.write.drawn import bench_pdf, bench_sheets
from elec.write.register import Options, formats
from elec.write.to_csv import table_csv
from tests.answers.helper import NAMES, whole

ROOT = Path(__file__).parents[1]
YARROW = str(ROOT / "systems" / "yarrow")
THISTLEDOWN = str(ROOT / "systems" / "thistledown")
FOXGLOVE = str(ROOT / "systems" / "foxglove")

ASKED: Mapping[str, tuple[str, ...]] = {
    "bench": ("bench", YARROW, "cut-list"),
    "buy": ("buy", YARROW),
    "check": ("check", YARROW),
    "close": ("close", FOXGLOVE, "under-floor"),
    "compare": ("compare", YARROW, YARROW),
    "done": ("done", FOXGLOVE),
    "draw": ("draw", YARROW),
    "failures": ("failures", YARROW),
    "flight": ("flight", YARROW),
    "issue": ("issue", YARROW),
    "loads": ("loads", YARROW),
    "measured": ("measured", YARROW),
    "options": ("options", THISTLEDOWN, "radio"),
    "pins": ("pins", YARROW, "radio.J1"),
    "show": ("show", YARROW, "radio.J1"),
    "size": ("size", YARROW),
    "spread": ("spread", YARROW),
    "try": ("try", YARROW, "--set", "circuits.radio.breaker=5 A"),
    "why": ("why", YARROW, "radio breaker"),
    "wires": ("wires", YARROW),
}
"""Command → how it is asked here, for an answer in text."""
BY_FILE = {"add", "book", "export", "live", "new"}
"""Commands that write files, each with a test of its own."""
NOTHING_TO_DO = ("checks", "schema")
"""Commands whose answer speaks of elec and of no aircraft."""
PAPER_CARE: Mapping[str, str | None] = {
    "cut-list": None, "labels": None, "pull-test": None,  # cutting, marking, a sample in a clamp
    "engraving": None,  # paper and scissors
    "terminations": "crimp",
    "ring-out": "ring-out",
    "insulation-test": "shock",
    "first-power": "first power",
}  # fmt: skip
"""Paper for the bench → the caution that stands on it; None: the work harms nobody."""


def one_space(said: str) -> str:
    return " ".join(said.split())


def test_every_command_is_listed() -> None:
    assert ANSWERS.keys() | set(NOTHING_TO_DO) == set(cli.COMMANDS)
    assert ASKED.keys() | BY_FILE == ANSWERS.keys()
    assert not ANSWERS.keys() & set(NOTHING_TO_DO)
    assert {s for some in ANSWERS.values() for s in some} <= {*CARE, "fire"}


@pytest.mark.parametrize("command", sorted(ASKED))
def test_every_answer_carries_its_cautions(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main([*ASKED[command]]) in (0, 1)
    said = one_space(capsys.readouterr().out)
    study = whole(Path(ASKED[command][1]).name)
    wanted = cautions_for(study, command)
    assert wanted[0] == ADVICE
    assert len(wanted) == 1 + len(ANSWERS[command])
    for sentence in wanted:
        assert sentence in said, sentence


def test_what_is_written_to_files_carries_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["new", str(tmp_path / "p.yaml")]) == 0
    assert ADVICE in one_space(capsys.readouterr().out)
    plug = "radio: {connectors: {J1: {type: own}}, "
    box = starter("P").replace("radio: {place", plug + "place", 1)
    (tmp_path / "box.yaml").write_text(box, encoding="utf-8")
    (tmp_path / "pins.csv").write_text("Pin,Signal\n1,power\n2,ground\n", encoding="utf-8")
    named = (str(tmp_path / "box.yaml"), "radio.J1", "--from", str(tmp_path / "pins.csv"))
    assert cli.main(["add", "pins", *named]) == 0
    assert ADVICE in one_space(capsys.readouterr().out)
    case = ("--phase", "cruise", "--condition", "day", "--scenario", "normal")
    assert cli.main(["export", YARROW, "--to", "spice", *case]) == 0
    assert SHORT in capsys.readouterr().out
    folder = tmp_path / "book"
    assert cli.main(["book", YARROW, "-o", str(folder)]) == 0
    for file in ("book.html", "book.json", "tables/cut-list.csv"):
        found = one_space((folder / file).read_text(encoding="utf-8")).replace("&#39;", "'")
        assert ADVICE in found, file
    for drawn in (folder / "drawings").glob("*.svg"):
        sheet = drawn.read_text(encoding="utf-8")
        chart = "it approves nothing" in sheet  # a chart alone has it in its description
        assert SHORT in sheet or chart, drawn.name


PAGE = Section(
    id="page",
    title="Page",
    blocks=(
        Paragraph(text="Own caution.", kind="caution"),
        TableBlock(
            table=Table(id="t", title="T", columns=(text("mark", "Mark"),), rows=(("L1A20",),))
        ),
    ),
)


def pdf_text(content: bytes) -> str:
    made = subprocess.run(["pdftotext", "-", "-"], input=content, capture_output=True, check=True)
    return one_space(made.stdout.decode())


def packed_text(content: bytes) -> str:
    with zipfile.ZipFile(BytesIO(content)) as packed:
        return " ".join(packed.read(name).decode() for name in packed.namelist())


def plain_text(content: bytes) -> str:
    return one_space(content.decode())


READERS: Mapping[str, Callable[[bytes], str]] = {
    "csv": plain_text, "html": plain_text, "json": plain_text, "markdown": plain_text,
    "pdf": pdf_text, "text": plain_text, "xlsx": packed_text,
}  # fmt: skip


@pytest.mark.parametrize("form", sorted(formats()))
def test_every_format_carries_it(form: str) -> None:
    written = formats()[form].write(PAGE, Options(cautions=("Our advice.", "Our care.")))
    said = READERS[form](written)
    assert "Our advice." in said
    if form != "xlsx":  # the foot of a sheet has room for one line
        assert "Our care." in said
        assert "Own caution." in said
    if form == "pdf":
        assert SHORT in said


def test_the_head_of_a_csv_says_it_behind_its_last_column() -> None:
    rows = table_csv(PAGE.blocks[1].table, (ADVICE,)).decode("utf-8-sig").splitlines()  # type: ignore[union-attr]
    assert rows[0].startswith("mark,")
    assert ADVICE in rows[0]
    assert rows[1] == "L1A20,"


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_says_it_in_its_title_block(name: str) -> None:
    made = drawings(whole(name))
    assert {one.kind for one in made.drawings} <= KINDS.keys()
    assert SHORT in frame.CREATOR
    for drawing in made.drawings:
        for sheet in drawing.sheets:
            assert any(frame.CREATOR in item.text for item in frame.blank(sheet.size)), drawing
    study = whole(name)
    assert SHORT in pdf_text(bench_pdf(study, bench_sheets(study)[:1]))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("one", sorted(PAPERS))
def test_every_paper_has_the_caution_of_its_work(name: str, one: str) -> None:
    assert PAPER_CARE.keys() == PAPERS.keys()
    subject = PAPER_CARE[one]
    made = paper(whole(name), one)
    cautions = [b.text for b in made.blocks if isinstance(b, Paragraph) and b.kind == "caution"]
    if subject is None:
        assert not cautions
        return
    assert CARE[subject] in " ".join(cautions)
    first = made.blocks[0]
    assert isinstance(first, Paragraph)
    assert first.kind == "caution"  # before anything that could be done


def test_the_book_and_the_load_sheet_carry_it() -> None:
    study = whole("yarrow")
    made = book(study)
    last = next(one for one in made.sections if one.id == "cautions")
    said = " ".join(i for b in last.blocks if isinstance(b, Items) for i in b.items)
    for sentence in (*general(study), *MEASURES):
        assert sentence in said
    sheet = load_sheet_section(study, digest="0")
    assert any(isinstance(b, Paragraph) and ADVICE in b.text for b in sheet.blocks)
    limits = sections.limits_section()
    assert [b.items for b in limits.blocks if isinstance(b, Items)] == [LIMITS]


def test_limits_in_docs_are_the_printed_ones() -> None:
    """Whether the file is up to date says `docs/generate.py --check`."""
    said = (ROOT / "docs" / "limits.md").read_text(encoding="utf-8")
    for sentence in (ADVICE, *CARE.values(), *MEASURES, *LIMITS):
        assert sentence in said, sentence


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("larkspur", "stops without electricity"),
        ("foxglove", "runs without electricity"),
        ("thistledown", "Everything off"),
    ],
)
def test_what_is_said_of_fire_depends_on_the_engine(name: str, said: str) -> None:
    found = fire(whole(name))
    assert said in found
    assert "own emergency list comes first" in found


def test_where_nobody_says_what_the_engine_needs_fire_says_so() -> None:
    from tests.answers.helper import small
    from tests.hostile.systems import FINCH

    assert fire(small(FINCH)) == CARE["fire, not known"]


def test_the_work_on_a_load_has_its_own_caution_by_name() -> None:
    study = whole("larkspur")

    def about(*loads: str) -> str:
        return " ".join(care_of(study, loads))

    assert CARE["heats"] in about("pitot-heat")
    assert CARE["moves"] in about("flap-motor")
    assert CARE["transmit"] in about("radio-1")
    assert CARE["transmit"] in about("transponder")
    assert CARE["flashes"] in about(*(n for n in study.document.equipment if "strobe" in n))
    assert about("clock") == ""
    assert CARE["moves"] not in about("cabin-fan")
    assert care_of(whole("foxglove"), ["turn-coordinator"]) == ()  # its motor turns inside it
    said = " ".join(general(study))
    assert CARE["magneto"] in said
    assert CARE["lithium"] in " ".join(general(whole("yarrow")))
    assert CARE["lithium"] not in said


@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_of_a_circuit_has_its_caution(name: str) -> None:
    study = whole(name)
    for drawing in drawings(study).drawings:
        if drawing.kind != "circuit":
            continue
        said = one_space(" ".join(i.text for sheet in drawing.sheets for i in sheet.items))
        for name_ in drawing.names:
            loads = [feed.partition(".")[0] for feed in study.document.circuits[name_].feeds]
            for whole_sentence in care_of(study, loads):
                alone = len(set(loads)) == 1  # then its name need not be said
                sentence = whole_sentence.partition(": ")[2] if alone else whole_sentence
                assert sentence in said, (drawing.title, name_)
        assert CARE["wires"] in said


def test_a_zone_says_who_must_have_looked() -> None:
    section = closing_answer(whole("foxglove"), "under-floor", ())
    first = section.blocks[0]
    assert isinstance(first, Paragraph)
    assert first.text == CARE["closing"]
    assert not re.search(r"may be closed|approved|airworthy", section.title)


def test_the_sentences_stand_nowhere_else() -> None:
    """A part of each sentence, long enough to be no chance, is in one file of the program."""
    files = {p: one_space(p.read_text(encoding="utf-8")) for p in (ROOT / "elec").rglob("*.py")}
    for sentence in (ADVICE, *CARE.values(), *MEASURES):
        part = sentence[:40]
        assert [p.name for p, said in files.items() if part in said] in (["cautions.py"], [])
