"""What the builder wrote is used, printed or refused; never taken and forgotten."""

from pathlib import Path

import pytest

from elec.check import ask, run
from elec.cli import main
from elec.finding import Verdict
from elec.read import read_texts
from elec.study import Study
from tests.answers.helper import small
from tests.hostile.systems import FINCH, changed

BUILD = """\
build:
  com: {state: pulled, date: 2026-03-04, remark: "twisted twice"}
measured:
  com:listen: {amps: 0.45 A, date: 2026-03-05, remark: "with the small meter"}
"""


def written(folder: Path, text: str) -> str:
    file = folder / "finch.yaml"
    file.write_text(text, encoding="utf-8")
    return str(file)


def test_a_reading_of_a_whole_circuit_is_refused_and_says_which_wires_there_are(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    system = written(tmp_path, FINCH)
    assert main(["done", system, "strobe", "--ohms", "5 Ω", "--insulation", "1 MΩ"]) == 2
    said = capsys.readouterr().err
    assert said.startswith("--cut, --ohms and --insulation are one wire's; strobe has: ")
    mark = said.split("has: ")[1].split(",")[0].strip()
    assert not (tmp_path / "finch-build.yaml").exists()
    assert main(["done", system, mark, "--ohms", "90 mΩ"]) == 0


def test_a_reading_of_a_whole_circuit_in_the_file_fails() -> None:
    text = FINCH + "build:\n  strobe: {state: rung out, ohms: 5 Ω}\n"
    system = read_texts({Path("finch.yaml"): text.encode()}).system
    assert system is not None
    found = {one.about: one for one in ask(Study(system), "built-known")}
    assert found["strobe"].verdict is Verdict.FAIL
    assert "Write it at the mark of the wire" in found["strobe"].remedy


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("done",), ("twisted twice", "2026-03-04", "bought in May")),
        (("measured",), ("with the small meter", "2026-03-05")),
        (("close", "aft"), ()),
    ],
)
def test_dates_remarks_and_notes_are_printed(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    arguments: tuple[str, ...],
    words: tuple[str, ...],
) -> None:
    noted = changed(("capacity: 17 Ah", "capacity: 17 Ah, note: bought in May")) + BUILD
    tail = noted.replace("  com: {state: pulled", "  strobe: {state: pulled")
    command, *rest = arguments
    assert main([command, written(tmp_path, tail), *rest]) in (0, 1)
    printed = " ".join(capsys.readouterr().out.split())
    for word in words or ("twisted twice", "2026-03-04"):
        assert word in printed


def test_owner_and_builder_are_both_named() -> None:
    text = changed(("name: Finch,", "name: Finch, owner: Ada, builder: Ben,"))
    system = read_texts({Path("finch.yaml"): text.encode()}).system
    assert system is not None
    assert system.about.people == "Ada, built by Ben"


def test_where_nothing_is_there_to_judge_that_is_said() -> None:
    study = small("system: {name: X, nominal: 14 V}\n")
    (said,) = [f for f in run(study) if f.check.startswith("network")]
    assert (said.about, said.verdict) == ("nothing to judge", Verdict.CANNOT_TELL)
    assert "no sources and no phases and no equipment and no circuits" in said.sentence
