"""Comparing two texts tells what `elec try` tells, every wire that differs, and loses no value."""

import json
import re
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from pypdf import PdfReader

from elec import cli
from elec.answers.build.difference import endurance_pair, margin_pairs
from elec.answers.build.wire_changes import (
    WireChange,
    contact_changes,
    device_changes,
    wire_changes,
    work,
)
from elec.answers.build.written import written_changes
from elec.attempt.asked import AskedChange
from elec.attempt.attempt import attempt
from elec.attempt.compared import compared
from elec.drawings.changed import changed_sheets
from elec.finding import Verdict
from elec.pages.compare.page import SAME, nothing_differs, work_words
from elec.pages.compare.sheet import change_sheet
from elec.pages.document import FindingList
from elec.read import read
from elec.read.starter import starter
from elec.study import Study
from tests.answers.helper import NAMES, SYSTEMS, small, whole

Run = Callable[..., tuple[int, str, str]]


def text(changes: Mapping[str, str] | None = None) -> str:
    """The starting system, with some of its texts replaced."""
    found = starter("Tern")
    for old, new in (changes or {}).items():
        assert found.count(old) == 1, old
        found = found.replace(old, new)
    return found


def changed(changes: Mapping[str, str]) -> tuple[Study, Study]:
    return small(text()), small(text(changes))


def wires(changes: Mapping[str, str]) -> list[WireChange]:
    return list(wire_changes(*changed(changes)))


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> Run:
    """Run the command in an empty folder; gives exit status, output and errors."""
    monkeypatch.chdir(tmp_path)

    def command(*arguments: str) -> tuple[int, str, str]:
        status = cli.main(["compare", *arguments])
        out, err = capfd.readouterr()
        return status, out, err

    return command


# -- nothing, and the same as `elec try` ----------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_the_same_text_differs_in_nothing(name: str) -> None:
    found = read(SYSTEMS / name)
    assert found.system is not None
    one, other = whole(name), Study(found.system)
    assert written_changes(one, other) == ()
    assert wire_changes(one, other) == ()
    assert contact_changes(one, other) == ()
    assert device_changes(one, other) == ()
    assert margin_pairs(one, other) == ()


ASKED = (
    AskedChange(kind="set", name="circuits.field.breaker", keys={}, value="1 A"),
    AskedChange(kind="set", name="equipment.radio.draw", keys={}, value="12 A"),
    AskedChange(kind="remove", name="beacon", keys={}),
    AskedChange(kind="add", name="lamp", keys={"draw": "12 W", "place": "belly", "bus": "main"}),
)


@pytest.mark.parametrize("asked", ASKED, ids=lambda asked: f"{asked.kind} {asked.name}")
def test_comparing_tells_what_trying_told(asked: AskedChange, tmp_path: Path) -> None:
    old, new = tmp_path / "old.yaml", tmp_path / "new.yaml"
    for path in (old, new):
        path.write_text(text(), encoding="utf-8")
    tried = attempt(new, [asked])
    tried.edits.write()
    before, after = read(old).system, read(new).system
    assert before is not None
    assert after is not None
    found = compared(Study(before), Study(after))
    assert [(c.check, c.about, c.before, c.after) for c in found.changes] == [
        (c.check, c.about, c.before, c.after) for c in tried.changes
    ]
    assert found.fails == tried.fails
    assert not nothing_differs(found)
    for compare in (margin_pairs, endurance_pair, wire_changes, device_changes):
        told = [repr(compare(one.before, one.after)) for one in (found, tried)]
        same = [re.sub(r"(old|new)\.yaml", "", one) for one in told]
        assert same[0] == same[1]


# -- values ---------------------------------------------------------------------------------------

NUMBER = re.compile(r"(?<=: )(\d+(?:\.\d+)?) (A|V|W|ft(?! \d)|min|h|°C|mΩ|s|Ah)\b")


@pytest.mark.parametrize(
    "spot", [found.span() for found in NUMBER.finditer(starter("Tern"))], ids=str
)
def test_every_number_that_is_changed_is_told(spot: tuple[int, int]) -> None:
    before = starter("Tern")
    number, unit = before[slice(*spot)].split()
    other = f"{float(number) * 1.01:g} {unit}"  # too little to be seen in some rounded numbers
    found = written_changes(small(before), small(before[: spot[0]] + other + before[spot[1] :]))
    assert {one.what for one in found} == {"changed"}, other
    assert all(one.before != one.after for one in found)


def test_words_of_the_file_that_mean_the_same_are_no_change() -> None:
    same = {"draw: 1.5 A": "draw: 1500 mA", "# what closes together": "# or otherwise"}
    assert written_changes(*changed(same)) == ()


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"beacon: {rating: 10 A}": "beacon: {rating: 16 A}"},
         [("switches.beacon.rating", "changed", "10 A", "16 A")]),
        ({"draw: 12 W": "draw: 10 W"}, [("equipment.beacon.draw", "changed", "12 W", "10 W")]),
        ({"breaker: 5 A": "breaker: auto"},
         [("circuits.field.breaker.rating", "changed", "5 A", ""),
          ("circuits.field.breaker", "changed", "", "auto")]),
        ({"length: 5 ft 6 in": "length: 6 ft"},
         [("ways.panel to belly.length", "changed", "5 ft 6 in", "6 ft")]),
        ({"zones: {under-floor": "zones: {floor"},
         [("zones.floor", "renamed", "under-floor", "floor")]),
    ],
)  # fmt: skip
def test_what_is_written_differently(
    changes: dict[str, str], told: list[tuple[str, str, str, str]]
) -> None:
    found = written_changes(*changed(changes))
    said = [(one.path, one.what, one.before, one.after) for one in found]
    assert sorted(said) == sorted(told)


def test_a_tick_is_no_other_design(tmp_path: Path) -> None:
    built = text() + "\nbuild:\n  radio: {state: cut}\n"
    assert written_changes(small(text()), small(built)) == ()


# -- wires ----------------------------------------------------------------------------------------

BEACON = "{bus: main, breaker: auto, switch: beacon, feeds: beacon"


def does(changes: Mapping[str, str]) -> set[tuple[str, str]]:
    """Circuit and work of each wire that differs."""
    return {
        (one.does, one.after.chain if one.after else one.before.chain if one.before else "")
        for one in wires(changes)
    }


def test_a_thicker_or_longer_wire_is_another_one() -> None:
    assert does({BEACON: BEACON + ", gauge: AWG 14"}) == {("replace", "beacon")}
    assert does({"length: 5 ft 6 in": "length: 9 ft"}) >= {("replace", "beacon")}


def test_a_shorter_way_needs_no_work() -> None:
    found = wires({"length: 5 ft 6 in": "length: 5 ft"})
    assert {(one.does, one.differs) for one in found} == {("nothing", ("length",))}


def test_a_new_circuit_is_added_and_moves_no_other_wire() -> None:
    lamp = "\ncircuits:                    # auto"
    found = wires(
        {
            lamp: "\n  lamp: {place: belly, draw: 6 W, on: always, basis: typical}" + lamp,
            "  field: {bus: main": "  lamp: {bus: main, breaker: auto, feeds: lamp}\n"
            "  field: {bus: main",
        }
    )
    fresh = [one for one in found if one.does == "add"]
    assert {one.after.chain for one in fresh if one.after} == {"lamp"}
    assert len(fresh) == 2  # out and back; the breaker sits on the bus
    assert {one.does for one in found} <= {"add", "mark anew"}


def test_a_circuit_with_another_name_keeps_its_wires() -> None:
    found = wires({"  radio: {bus: main, breaker: auto, feeds: radio}":
                   "  com: {bus: main, breaker: auto, feeds: radio}"})  # fmt: skip
    assert not {one.does for one in found} & {"replace"}
    back = [one for one in found if one.before and "return" in one.before.role]
    assert back == []  # the same ends, the same mark


def test_another_end_is_ended_anew_where_it_reaches() -> None:
    moved = {"  radio: {place: panel": "  radio: {ground: engine-block, place: panel"}
    (one,) = wires(moved)
    assert one.before is not None
    assert one.after is not None
    assert "ends" in one.differs
    assert one.does == "replace"  # it has to reach further than it does
    (other,) = wire_changes(*reversed(changed(moved)))
    assert other.does == "end anew"


def test_zones_are_those_in_which_something_is_touched() -> None:
    before, after = changed({BEACON: BEACON + ", gauge: AWG 14"})
    assert work(before, after, wire_changes(before, after)).zones == ("under-floor",)
    before, after = changed({"breaker: 5 A": "breaker: 7.5 A"})
    assert work(before, after, wire_changes(before, after)).zones == ()


def test_only_ticked_wires_are_known_to_be_built() -> None:
    thick = {BEACON: BEACON + ", gauge: AWG 14"}
    before, after = changed(thick)
    found = work(before, after, wire_changes(before, after))
    assert found.counts["replace"] > 0
    assert found.built["replace"] == 0


def test_contacts_and_devices() -> None:
    pins = "radio: {place: panel, connectors: {J1: {type: dsub-15, pins: {%s: power}}}, "
    one, other = (small(text({"radio: {place: panel, ": pins % n})) for n in (1, 8))
    assert {(c.connector, c.contact) for c in contact_changes(one, other)} == {
        ("radio.J1", "1"), ("radio.J1", "8"),
    }  # fmt: skip
    before, after = changed({"breaker: 5 A": "breaker: 7.5 A"})
    (device,) = device_changes(before, after)
    assert (device.chain, device.before[:5], device.after[:7]) == ("field", "5 A b", "7.5 A b")


def test_a_sheet_is_changed_by_what_is_drawn_and_not_by_its_date() -> None:
    before, after = changed({"  nominal: 14 V": "  nominal: 14 V\n  revision: B\n  date: today"})
    assert changed_sheets(before, after) == ()
    before, after = changed({"breaker: 5 A": "breaker: 7.5 A"})
    kinds = {one.label[0] for one in changed_sheets(before, after)}
    assert {"P", "C", "B"} & kinds
    assert {one.what for one in changed_sheets(before, after)} == {"changed"}


# -- the command ----------------------------------------------------------------------------------


def test_files_are_compared_and_a_new_fail_is_status_1(run: Run) -> None:
    Path("old.yaml").write_text(text(), encoding="utf-8")
    Path("new.yaml").write_text(text({"breaker: 5 A": "breaker: 1 A"}), encoding="utf-8")
    status, out, err = run("old.yaml", "new.yaml")
    assert (status, err) == (1, "")
    first = out.splitlines()[2]
    assert re.match(r"\d+ things? fails? that do(es)? not fail in old\.yaml \(.*device", first)
    assert "circuits  field" in out
    status, out, _ = run("new.yaml", "old.yaml")
    assert (status, out.splitlines()[2]) == (
        0,
        "No check answers worse than in new.yaml; what moved stands below.",
    )
    assert "Passes now" in out
    status, out, _ = run("old.yaml", "old.yaml")
    assert (status, out.splitlines()[2]) == (0, SAME)


def test_a_revision_of_git_is_read_without_touching_anything(run: Run) -> None:
    def git(*arguments: str) -> None:
        name = ("-c", "user.name=Builder", "-c", "user.email=builder@example.invalid")
        subprocess.run(["git", *name, *arguments], check=True, capture_output=True)

    git("init", "-q")
    Path("plane").mkdir()
    plane = Path("plane/plane.yaml")
    plane.write_text(text(), encoding="utf-8")
    git("add", ".")
    git("commit", "-q", "-m", "first")
    plane.write_text(text({"draw: 12 W": "draw: 10 W"}), encoding="utf-8")
    told = [
        run("HEAD:plane", "plane"), run("HEAD:plane/plane.yaml", str(plane)),
        run("--rev", "HEAD", "plane"), run("--rev", "HEAD", str(plane)),
    ]  # fmt: skip
    for status, out, err in told:
        assert (status, err) == (0, "")
        assert "12 W" in out
        assert "10 W" in out
    assert plane.read_text(encoding="utf-8").count("10 W") == 1
    for asked, said in (
        (("HEAD:boat", "plane"), "has no system of that name"),
        (("HEAD~7:plane", "plane"), 'git knows no revision "HEAD~7"'),
        (("--rev", "-x", "plane"), "nor a revision of git before the :"),
        (("--rev", "HEAD", "plane", "plane"), "name one"),
    ):
        status, out, err = run(*asked)
        assert (status, out) == (2, "")
        assert said in err


def test_a_book_keeps_the_text_that_it_was_made_of(run: Run) -> None:
    Path("plane.yaml").write_text(text(), encoding="utf-8")
    assert cli.main(["book", "plane.yaml", "-o", "book"]) == 0
    assert Path("book/text/plane.yaml").read_text(encoding="utf-8") == text()
    assert run("book", "plane.yaml")[1].splitlines()[-3] == SAME
    Path("plane.yaml").write_text(text({"draw: 12 W": "draw: 10 W"}), encoding="utf-8")
    assert "equipment  beacon" in run("book", "plane.yaml")[1]


def test_wrong_use(run: Run) -> None:
    Path("plane.yaml").write_text(text(), encoding="utf-8")
    for asked, said in (
        (("plane.yaml", "boat.yaml"), "there is no such file or folder"),
        (("", "plane.yaml"), "An empty name"),
        (("plane.yaml", "plane.yaml", "--reason", "why"), "add --sheet"),
    ):
        status, out, err = run(*asked)
        assert (status, out) == (2, "")
        assert said in err


def test_the_sheet_says_why_what_and_what_to_repeat(run: Run) -> None:
    Path("old.yaml").write_text(text(), encoding="utf-8")
    thick = {BEACON: BEACON + ", gauge: AWG 14", "draw: 1.5 A": "draw: 2.5 A"}
    Path("new.yaml").write_text(text(thick), encoding="utf-8")
    asked = ("old.yaml", "new.yaml", "--sheet", "--reason", "a second radio")
    status, out, _ = run(*asked, "--format", "json")
    assert status == 0
    blocks = json.loads(out)["blocks"]
    said = {
        row["about"]: row["statement"]
        for block in blocks
        if block.get("id") == "change-statements"
        for row in block["rows"]
    }
    assert said["Reason"] == "a second radio"
    assert "net increase: up to 1.00 A connected" in said["Loads"]
    assert "under-floor" in said["Work"] or "under floor" in said["Work"]
    assert "ring-out of" in said["Tests to repeat"]
    assert "Function, and current by an ammeter, of radio." in said["Tests to repeat"]
    assert said["Compass"].startswith("?")
    assert "wire schedule" in said["Lists to replace"].lower()
    assert re.search(r"\bC\d", said["Sheets to replace"])
    status, _, err = run(*asked, "-o", "change.pdf")
    assert (status, err) == (0, "Wrote change.pdf.\n")
    pages = [page.extract_text() for page in PdfReader("change.pdf").pages]
    assert "matter of local" in pages[0]
    assert pages[0].count("Signature") == 2
    assert "Loads by phase" in "".join(pages[1:])


def test_the_sheet_has_every_finding_that_differs_with_what_to_do() -> None:
    found = compared(*changed({"draw: 1.5 A": "draw: 9 A"}))
    differs = {(one.check, one.about) for one in found.changes if one.after is not Verdict.PASS}
    assert Verdict.ADVISE in {one.after for one in found.changes}
    sheet = change_sheet(found, reason="why")
    (said,) = [section for section in sheet.sections if section.id == "change-verdicts"]
    stand = [one for block in said.blocks if isinstance(block, FindingList)
             for one in block.findings]  # fmt: skip
    assert {(one.check, one.about) for one in stand} == differs
    assert all(one.remedy for one in stand)
    assert "may ask for it all the same" in work_words(found, work(found.before, found.after, ()))


def test_advice_that_only_moves_its_number_is_compared_and_is_work_to_think_of(run: Run) -> None:
    """A longer flight by a weaker alternator: the advice stays advice, further off."""
    Path("old.yaml").write_text(text({"draw: 1.5 A": "draw: 11 A"}), encoding="utf-8")
    Path("new.yaml").write_text(text({"draw: 1.5 A": "draw: 12 A"}), encoding="utf-8")
    out = run("old.yaml", "new.yaml", "--all")[1]
    assert "worse by its number" in out
    assert "its number is worse now" in " ".join(out.split())


def test_a_sheet_without_a_reason_or_a_change_says_so(run: Run) -> None:
    Path("old.yaml").write_text(text(), encoding="utf-8")
    _, _, err = run("old.yaml", "old.yaml", "--sheet", "-o", "change.pdf")
    assert "the sheet has no change on it" in err
    assert 'add --reason "second radio"' in err
    Path("new.yaml").write_text(text({"draw: 12 W": "draw: 10 W"}), encoding="utf-8")
    _, _, err = run("old.yaml", "new.yaml", "--sheet", "--reason", "why", "-o", "other.pdf")
    assert err == "Wrote other.pdf.\n"


def test_how_far_a_wire_is_comes_from_a_tick_or_is_not_told() -> None:
    """Not ticked is not planned; and what the newer text ticks of the new wire is told, too."""
    from elec.answers.base.ticked import given_for
    from elec.pages.compare.table import built_words

    after_text = text({BEACON: BEACON + ", gauge: AWG 14"})
    before, after = small(text()), small(after_text)
    found = [one for one in wire_changes(before, after) if one.does == "replace"]
    assert {built_words(one) for one in found} == {"not ticked"}
    old, new = (
        f'\nbuild:\n  beacon: {{state: {state}, for: "{given_for(study, "beacon")}"}}\n'
        for state, study in (("cut", before), ("pulled", after))
    )
    before, after = small(text() + old), small(after_text + new)
    changes = wire_changes(before, after)
    found = [one for one in changes if one.does == "replace"]
    assert {built_words(one) for one in found} == {"cut → pulled"}
    done = work(before, after, changes)
    assert done.built["replace"] == done.done["replace"] == len(found) > 0
