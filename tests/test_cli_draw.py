"""The command `elec draw`: what a subject means, where it goes, and what it says when it cannot."""

import io
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from pypdf import PdfReader

from elec.cli import main
from elec.drawings.from_study import drawings
from elec.read import read
from elec.read.starter import starter
from elec.study import Study

ROOT = Path(__file__).parents[1]
XML = b'<?xml version="1.0" encoding="UTF-8"?>\n<svg>mine</svg>'
GLIDER = str(ROOT / "systems" / "thistledown")


def sheet_count() -> int:
    system = read(Path(GLIDER)).system
    assert system is not None
    return len(drawings(Study(system)).sheets)


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_without_output_it_lists_what_there_is(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draw", GLIDER]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert any(line.startswith("P1 ") and "one-line" in line for line in lines)
    assert any(line.startswith("C1 ") for line in lines)
    assert any("radio.J1" in line and line.startswith("K") for line in lines)


def test_a_piece_of_equipment_means_all_its_sheets(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draw", GLIDER, "radio"]) == 0
    codes = [line.split()[0][:1] for line in capsys.readouterr().out.splitlines()[3:6]]
    assert codes == ["C", "K", "K"]  # its circuit, its connector, its antenna


def test_all_into_one_pdf_with_a_bookmark_for_each_drawing() -> None:
    assert main(["draw", GLIDER, "-o", "all.pdf"]) == 0
    pdf = PdfReader(io.BytesIO(Path("all.pdf").read_bytes()), strict=True)
    assert len(pdf.pages) == sheet_count()
    assert pdf.metadata is not None
    assert "Thistledown" in str(pdf.metadata.title)
    dests = [link.get_object()["/Dest"] for page in pdf.pages for link in page.get("/Annots", [])]
    assert len(dests) >= 9  # the one-line diagram leads to every circuit
    pages = {page.indirect_reference.idnum for page in pdf.pages if page.indirect_reference}
    assert all(dest[0].idnum in pages for dest in dests)


def test_a_single_sheet_as_svg_and_the_same_in_a_folder() -> None:
    assert main(["draw", GLIDER, "one-line", "-o", "one.svg"]) == 0
    root = ET.fromstring(Path("one.svg").read_bytes())  # noqa: S314 - our own drawing
    assert root.get("width") == "297mm"
    assert "font-face" in Path("one.svg").read_text()
    assert main(["draw", GLIDER, "-o", "sheets"]) == 0
    assert len(list(Path("sheets").iterdir())) == sheet_count()
    alone, in_set = (Path(n).read_text() for n in ("one.svg", "sheets/P1-one-line.svg"))
    count = f"3 of {sheet_count()} in all"  # behind two of the legend
    assert count in in_set
    assert [line for line in in_set.splitlines() if count not in line] == [
        line for line in alone.splitlines() if line in in_set or "sheet P1" not in line
    ]
    assert main(["draw", GLIDER, "-o", "sheets"]) == 0  # our own files are replaced


def test_several_sheets_do_not_go_into_one_svg(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draw", GLIDER, "radio", "-o", "radio.svg"]) == 2
    assert "holds one sheet, and these are 3" in capsys.readouterr().err
    assert not Path("radio.svg").exists()


def test_an_unknown_subject_is_likened_to_what_is_near(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draw", GLIDER, "rado.J1"]) == 2
    assert 'did you mean "radio.J1"?' in capsys.readouterr().err


def test_anothers_file_stays(capsys: pytest.CaptureFixture[str]) -> None:
    for name, content in (("a.pdf", b"%PDF-1.4\nmine\n%%EOF\n"), ("a.svg", XML)):
        Path(name).write_bytes(content)
        assert main(["draw", GLIDER, "one-line", "-o", name]) == 2
        assert Path(name).read_bytes() == content
        assert "was not written by elec" in capsys.readouterr().err
        assert main(["draw", GLIDER, "one-line", "-o", name, "--force"]) == 0
        assert main(["draw", GLIDER, "one-line", "-o", name]) == 0


def test_no_other_ending(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draw", GLIDER, "one-line", "-o", "one.dxf"]) == 2
    assert ".pdf or .svg" in capsys.readouterr().err


def test_paper_can_be_chosen_and_the_system_here_is_found() -> None:
    Path("plane.yaml").write_text(starter("Plane"), encoding="utf-8")
    assert main(["draw", "one-line", "--paper", "Letter", "-o", "x.pdf"]) == 0
    (page,) = PdfReader("x.pdf").pages
    assert float(page.mediabox[2]) == pytest.approx(792, abs=0.1)


def test_a_later_sheet_is_a_subject(capsys: pytest.CaptureFixture[str]) -> None:
    """A circuit diagram on several sheets, and grounds on two: each sheet by its name."""
    yarrow = str(ROOT / "systems" / "yarrow")
    for name in ("C1.2", "G2", "C1"):
        status = main(["draw", yarrow, name, "-o", "one.svg", "--force"])
        assert status == (2 if name == "C1" else 0), name  # C1 is the whole drawing
    assert "C1.2" in capsys.readouterr().err
    assert main(["draw", yarrow, "C1.99", "-o", "one.svg"]) == 2
    assert "no sheet C1.99; there are C1, C1.2" in capsys.readouterr().err
