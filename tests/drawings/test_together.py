"""Circuits that share sheets: each once and whole, by system and switch, few moved by one more."""

from pathlib import Path

import pytest

from elec.drawings.choose import choose
from elec.drawings.from_study import Drawings, draw, drawings, plan
from elec.drawings.records.together import circuit_groups, group_record
from elec.drawings.sheet import Item, Sheet, Trial
from elec.drawings.sheets import parts
from elec.drawings.sheets.together import _filled, heading_lines, together
from elec.read import read
from elec.study import Study
from tests import plain
from tests.answers.helper import small
from tests.drawings.inspect import inspect
from tests.systems import NAMES, SYSTEMS

TEXT = """
system: {name: Sheets, nominal: 14 V}
sources: {battery: {kind: lead-acid, place: bay, capacity: 18 Ah}}
buses: {main: {place: bay}}
feeders: [{from: battery, to: main, limiter: 40 A, length: 1 ft}]
places: {bay: }
equipment:
  lamp: {place: bay, draw: 1 A}
  fan: {place: bay, draw: 1 A}
  horn: {place: bay, draw: 1 A}
circuits:
  lamp: {bus: main, breaker: 5 A, switch: both, feeds: lamp, function: L}
  horn: {bus: main, breaker: 5 A, feeds: horn, function: W MORE}
  fan: {bus: main, breaker: 5 A, switch: both, feeds: fan, function: H}
"""


def groups(more: str) -> dict[str, tuple[str, ...]]:
    return {g.title: g.names for g in circuit_groups(small(TEXT.replace(" MORE", more)))}


def test_one_switch_keeps_its_circuits_together_and_the_builder_may_say() -> None:
    assert groups("") == {"Lights": ("lamp", "fan"), "Instruments and warnings": ("horn",)}
    assert groups(", sheet: Lights") == {"Lights": ("lamp", "fan", "horn")}


def test_a_circuit_alone_has_a_sheet_of_its_own() -> None:
    study = small(TEXT.replace(" MORE", ""))
    (alone,) = choose(study, ["fan"])
    (sheet,) = draw(study, alone).sheets
    assert "lamp" not in {item.ref for item in sheet.items}
    (shared,) = choose(study, ["lights"])
    assert {"lamp", "fan"} <= {item.ref for s in draw(study, shared).sheets for item in s.items}


@pytest.mark.parametrize("name", NAMES)
def test_a_circuit_is_parted_only_where_it_fills_a_sheet(name: str) -> None:
    system = read(SYSTEMS / name).system
    assert system is not None
    study = Study(system)
    for one in plan(study):
        if one.kind == "circuit":
            sheets = draw(study, one).sheets
            assert [str(f) for sheet in sheets for f in inspect(sheet)] == []
            for circuit in one.names:
                refs = {i.ref for s in sheets for i in s.items if i.ref.startswith(f"{circuit}/")}
                on = [s for s in sheets if refs & {i.ref for i in s.items}]
                assert len(on) == 1, circuit


def _ink(found: Drawings) -> dict[str, list[str]]:
    return {
        sheet.title.label: [repr((i.kind, i.ink, i.ref)) for i in _drawn(sheet)]
        for drawing in found.of("circuit")
        for sheet in drawing.sheets
    }


def _drawn(sheet: Sheet) -> list[Item]:
    return [i for i in sheet.items if i.box[3] < sheet.block[1]]  # the title block counts sheets


def test_one_more_circuit_changes_at_most_two_sheets(tmp_path: Path) -> None:
    texts = {file.name: file.read_text() for file in (SYSTEMS / "larkspur").glob("*.yaml")}
    before = _ink(_drawn_of(tmp_path / "before", texts))
    texts["equipment.yaml"] += "\n  dome-light: {place: roof, draw: 4 W, on: never}\n"
    circuits = plain.texts(texts["circuits.yaml"])
    assert "dome-light" not in circuits["circuits"]
    texts["circuits.yaml"] += (
        "\n  dome-light: {bus: main, breaker: 2 A, feeds: dome-light, function: L, number: 99}\n"
    )
    after = _ink(_drawn_of(tmp_path / "after", texts))
    assert sum(before.get(label) != ink for label, ink in after.items()) <= 2
    assert before.keys() <= after.keys()


def _drawn_of(folder: Path, texts: dict[str, str]) -> Drawings:
    folder.mkdir()
    for name, text in texts.items():
        (folder / name).write_text(text)
    system = read(folder).system
    assert system is not None
    return drawings(Study(system))


def test_facts_over_a_circuit_are_named_in_bold_and_stand_whole_in_a_line() -> None:
    """Three lines of prose were read word by word for the one number that was sought."""
    facts = (("coil", "starter contactor"), ("current", "160 A at most"), ("drop", "0.63 V"))
    room = 90.0
    lines = heading_lines(facts, room)
    assert [text for line in lines for _, text, bold in line if bold] == [
        "coil:", "current:", "drop:"
    ]  # fmt: skip
    assert [text for line in lines for _, text, bold in line if not bold] == [
        said for _, said in facts
    ]
    assert len(lines) == 2
    for line in lines:
        at, text, bold = line[-1]
        assert at + parts.width(text, bold=bold) <= room
    narrow = heading_lines(
        (("current", "a at most 160 A"),), parts.width("current: a at most 160 ")
    )
    assert narrow[-1][-1][1].endswith("160 A")  # a number stays with its unit


@pytest.mark.parametrize("name", NAMES)
def test_headings_of_circuits_keep_to_the_sheet(name: str) -> None:
    system = read(SYSTEMS / name).system
    assert system is not None
    study = Study(system)
    for one in plan(study):
        if one.kind == "circuit":
            for sheet in draw(study, one).sheets:
                assert all(i.box[2] <= sheet.frame[2] for i in sheet.items if i.ref in
                           study.document.circuits), sheet.title.label  # fmt: skip


@pytest.mark.parametrize("name", ["yarrow", "larkspur"])
def test_circuits_stand_in_their_order_where_that_takes_no_sheet_more(name: str) -> None:
    """Yarrow's *Position tail* (M13) stood a sheet before M10 and its switch's other pole."""
    one = Study(read(SYSTEMS / name).system)  # type: ignore[arg-type]
    groups = {"yarrow": "Circuits of all kinds", "larkspur": "Lights"}
    (group,) = (g for g in circuit_groups(one) if g.title == groups[name])
    refs = [i.ref for s in together(group_record(one, group)) for i in s.items]
    assert [r for r in dict.fromkeys(refs) if r in group.names] == list(group.names)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("ordered", [False, True])
def test_circuits_laid_out_stand_where_they_are_drawn(name: str, ordered: bool) -> None:
    one = Study(read(SYSTEMS / name).system)  # type: ignore[arg-type]
    for group in circuit_groups(one):
        record = group_record(one, group)
        laid, drawn = (
            _filled(record, len(record.circuits), ordered=ordered, kind=kind).pages
            for kind in (Trial, Sheet)
        )
        assert [page.y for page in laid] == [page.y for page in drawn], group.title
        assert not any(page.sheet.items for page in laid)


def test_a_plug_of_several_circuits_says_part_on_each() -> None:
    """Larkspur's left wing root plug stood twice on a sheet, each time as if whole."""
    one = Study(read(SYSTEMS / "larkspur").system)  # type: ignore[arg-type]
    (group,) = (g for g in circuit_groups(one) if g.title == "Lights")
    said = [i.text for s in together(group_record(one, group)) for i in s.items]
    assert said.count("left wing root plug (part)") > 1
    assert "left wing root plug" not in said
