"""`elec pins` into a PDF or SVG: a page a connector for the bench."""

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from pypdf import PdfReader

from elec.cli import main

GLIDER = str(Path(__file__).parents[1] / "systems" / "thistledown")


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_one_connector_on_one_page() -> None:
    assert main(["pins", GLIDER, "radio.J1", "-o", "radio-J1.pdf"]) == 0
    (page,) = PdfReader("radio-J1.pdf").pages
    text = page.extract_text()
    assert "WIRING SIDE" in text
    assert "MATING FACE" in text
    assert "meter reads" in text


def test_all_connectors_with_a_bookmark_each() -> None:
    assert main(["pins", GLIDER, "-o", "all.pdf"]) == 0
    read = PdfReader("all.pdf")
    assert len(read.outline) == 12
    assert len(read.pages) >= 12


def test_one_page_as_svg_and_several_not(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["pins", GLIDER, "radio.J1", "-o", "radio.svg"]) == 0
    ET.fromstring(Path("radio.svg").read_bytes())  # noqa: S314 - our own drawing
    assert main(["pins", GLIDER, "-o", "all.svg"]) == 2
    assert "holds one page" in capsys.readouterr().err


def test_tables_still_go_into_csv() -> None:
    assert main(["pins", GLIDER, "radio.J1", "-o", "radio.csv"]) == 0
    assert b"contact," in Path("radio.csv").read_bytes()


def test_a_contact_means_its_connector(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["pins", GLIDER, "radio.J1"]) == 0
    whole = capsys.readouterr().out
    assert main(["pins", GLIDER, "radio.J1.7"]) == 0
    assert capsys.readouterr().out == whole
    assert main(["pins", GLIDER, "radio.J1.99"]) != 0
    assert "radio.J1.99" in capsys.readouterr().err
