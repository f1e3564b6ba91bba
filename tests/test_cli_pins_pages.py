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
    assert "mV at 1 A" in text


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


SHAPES = str(Path(__file__).parents[1] / "docs" / "shapes.yaml")


def test_a_switch_by_its_name_says_what_ends_on_each_terminal(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["pins", SHAPES, "flaps"]) == 0
    rows = [line.split() for line in capsys.readouterr().out.splitlines()]
    ends = {row[0]: " ".join(row[3:]) for row in rows if row and row[0] in {"(1)", "(2)", "(3)"}}
    assert ends == {
        "(1)": "flap down limit switch flaps control down",
        "(2)": "breaker of flaps control flaps control up, down",
        "(3)": "flap up limit switch flaps control up",
    }
    assert main(["pins", SHAPES, "flops"]) == 2
    assert 'did you mean "flaps' in capsys.readouterr().err


def test_a_page_for_the_bench_is_a_connector_s(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["pins", SHAPES, "trim", "-o", "trim.pdf"]) == 2
    assert "trim is a switch" in capsys.readouterr().err
    assert not Path("trim.pdf").exists()
