"""A folder of files is one system; what is missing is said, never raised."""

from pathlib import Path

import pytest

from elec.model import laws
from elec.read import read
from tests.read.helper import GOOD, good, said


def write(folder: Path, **files: str) -> Path:
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder


def split(section: str) -> tuple[str, str]:
    """The small system without one section, and that section."""
    start = GOOD.index(f"\n{section}:") + 1
    lines = GOOD[start:].splitlines(keepends=True)
    end = next((i for i, line in enumerate(lines) if i and not line.startswith(" ")), len(lines))
    part = "".join(lines[:end])
    return GOOD.replace(part, ""), part


def test_sections_merge(tmp_path: Path) -> None:
    rest, ways = split("ways")
    first, second = ways.splitlines()[1:]
    write(
        tmp_path,
        a=rest,
        b=f"ways:\n{first}\n",
        c=f"ways:\n{second}\nbuses: {{aux: {{place: panel}}}}\n",
    )
    (tmp_path / "notes.txt").write_text("not: read")
    (tmp_path / ".hidden.yaml").write_text("not: read")
    found = read(tmp_path)
    system = good(found)
    assert list(system.document.buses) == ["main", "aux"]
    assert [way.between for way in system.document.ways] == [
        ("engine", "panel"),
        ("panel", "belly"),
    ]
    assert str(system.where("ways", 1, "length")) == "c.yaml:2"
    assert str(system.where("buses", "aux")) == "c.yaml:3"
    assert [Path(file).name for file in found.files] == ["a.yaml", "b.yaml", "c.yaml"]


def test_a_name_in_two_files(tmp_path: Path) -> None:
    write(tmp_path, a=GOOD, b="equipment:\n  radio: {place: panel}\n")
    assert said(read(tmp_path)) == [
        "b.yaml:2:3: equipment.radio is given twice; first in a.yaml:17"
    ]


def test_a_section_in_two_shapes(tmp_path: Path) -> None:
    write(tmp_path, a=GOOD, b="ways: {a: b}\n")
    assert said(read(tmp_path)) == [
        "b.yaml:1:1: ways is written in another way in a.yaml:37; they cannot merge"
    ]


@pytest.mark.parametrize(("section", "why"), [
    ("grounds", "the first ground is the battery's"),
    ("phases", "phases are in the order of the flight"),
])  # fmt: skip
def test_what_has_an_order_stands_in_one_file(tmp_path: Path, section: str, why: str) -> None:
    """By the names of the files, a new file would move the battery to another ground."""
    rest, part = split(section)
    write(tmp_path, b=part, c=rest, a=part.splitlines()[0] + "\n  other: {place: panel}\n")
    told = f"{section} stands in a.yaml:1, too: {why}, so all of it has to stand in one file"
    assert f"b.yaml:1:1: {told}" in said(read(tmp_path))


def test_mistakes_of_all_files_in_order(tmp_path: Path) -> None:
    rest, circuits = split("circuits")
    circuits = circuits.replace("breaker: 5 A", "breaker: 5").replace(
        "bus: main, breaker: auto", ("bus: mian, breaker: auto")
    )
    found = read(write(tmp_path, b=circuits, a=rest.replace("draw: 12 W", "draw: 14 V")))
    assert said(found) == [
        f'a.yaml:22:32: equipment.beacon.draw: "14 V" is a voltage; a load is {laws.offered()}',
        'b.yaml:2:31: circuits.radio.breaker: "5" has no unit; write 5 A',
        'b.yaml:4:11: circuits.beacon.bus: there is no bus "mian"; did you mean "main"?',
    ]
    assert found.summary() == "3 mistakes in 2 files; nothing was computed."


def test_a_broken_file_does_not_make_its_names_unknown(tmp_path: Path) -> None:
    rest, circuits = split("buses")
    assert said(read(write(tmp_path, a=rest, b=circuits + "\tx: y\n"))) == [
        "b.yaml:3:1: there is a tab in the indent; YAML wants spaces"
    ]


def test_a_folder_without_files_and_no_folder(tmp_path: Path) -> None:
    assert said(read(tmp_path)) == [f"{tmp_path}:1:1: there is no *.yaml file in this folder"]
    missing = tmp_path / "nothing.yaml"
    assert said(read(missing)) == [f"{missing}:1:1: there is no such file or folder"]
    assert read(missing).summary() == "1 mistake; nothing was computed."
    assert read("bad\0name").mistakes
