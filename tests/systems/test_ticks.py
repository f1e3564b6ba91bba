"""A tick stays with its wire: whatever is edited, it counts for what it was given for or not."""

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec import cli
from elec.answers.base.marks import marks
from elec.answers.base.ticked import state_of, unheld
from elec.answers.build.closing import closing
from elec.drawings.records.bench import bench_pages
from elec.pages.bench import proving
from elec.pages.bench import table as bench
from elec.pages.circuits import pin
from elec.pages.table import Cell, Table, Value
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.runs import runs
from tests import plain
from tests.systems.random_edits import BASE, study_of, tried


@settings(max_examples=50, deadline=None)
@given(st.integers(min_value=0, max_value=10**9))
def test_no_tick_counts_for_a_wire_it_was_not_given_for(seed: int) -> None:
    """1 000 more: python -m tests.systems.random_edits 1000."""
    assert tried(seed).wrong == ()


def test_without_an_edit_every_tick_counts(tmp_path: Path) -> None:
    """Else the test before this one would pass for a program that drops all ticks."""
    found = [tried(seed) for seed in range(40)]
    assert sum(one.kept for one in found if one.valid) > 100
    study, _ = ticks_of(tmp_path, "strobe", "com", "whip", "spare", "seat", "battery cable")
    states = {c.chain: state_of(study, c) for c in chains(study).conductors()}
    for name in ("strobe", "com", "whip", "spare", "seat", "battery cable"):
        assert states[name] == "tested"


def ticks_of(
    folder: Path, *names: str, state: str = "tested", **changes: str
) -> tuple[Study, Path]:
    """The small system with ticks, as the command writes them."""
    file = folder / "siskin.yaml"
    text = BASE
    for old, new in changes.items():
        text = text.replace(old, new)
    file.write_text(text, encoding="utf-8")
    assert cli.main(["done", str(file), *names, "--state", state]) == 0
    return study(file), file


def study(file: Path) -> Study:
    found = read(file)
    assert found.system is not None, "\n".join(map(str, found.mistakes))
    return Study(found.system)


def edit(file: Path, old: str, new: str) -> Study:
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    file.write_text(text.replace(old, new), encoding="utf-8")
    return study(file)


def states(found: Study, chain: str) -> set[str]:
    return {state_of(found, c) for c in chains(found).by_name[chain].conductors()}


@pytest.mark.parametrize(
    ("old", "new", "state"),
    [
        ("name: nothing", "name: nothing", "tested"),
        # the other side, of the very same length
        ("feeds: strobe, gauge", "feeds: strobe, avoid: left side, gauge", "planned"),
        ("name: left side", "name: port side", "planned"),
        ("wire: etfe-tin", "wire: silver-200", "planned"),
        ("feeds: strobe, gauge: AWG 20", "feeds: strobe, gauge: AWG 18", "planned"),
        ("between: [aft, tail], length: 7 ft", "between: [aft, tail], length: 8 ft", "planned"),
        ("between: [aft, tail], length: 7 ft", "between: [aft, tail], length: 6 ft", "tested"),
        ("strobe: {place: tail", "strobe: {place: aft", "planned"),
        ("bus: main, breaker: 5 A, switch: strobe", "bus: second, breaker: 5 A, switch: strobe",
         "tested"),  # the wire begins at its breaker
    ],
)  # fmt: skip
def test_what_a_tick_holds(tmp_path: Path, old: str, new: str, state: str) -> None:
    same = BASE.replace("name: right side, between: [cabin, aft], length: 6 ft 2 in",
                        "name: right side, between: [cabin, aft], length: 6 ft").replace(
        "name: Siskin", "name: nothing")  # fmt: skip
    file = tmp_path / "siskin.yaml"
    file.write_text(same, encoding="utf-8")
    assert cli.main(["done", str(file), "strobe", "--state", "tested"]) == 0
    assert states(edit(file, old, new), "strobe") == {state}


def test_a_cut_counts_on_its_own_way_alone(tmp_path: Path) -> None:
    """30 ft were cut for the left side; on the right side the run is what the ways say."""
    _, file = ticks_of(tmp_path, "strobe")
    mark = next(m for m in marks(study(file)).values() if m.startswith("M2B"))
    assert cli.main(["done", str(file), mark, "--cut", "30 ft"]) == 0
    before = study(file)
    wire = next(c for c in chains(before).conductors() if marks(before)[c.id] == mark)
    assert runs(before)[wire.id].length_m == pytest.approx(30 * 0.3048)
    after = edit(file, "feeds: strobe, gauge", "feeds: strobe, avoid: left side, gauge")
    length = runs(after)[wire.id].length_m
    assert length is not None
    assert length < 20 * 0.3048


def test_a_tick_by_hand_that_does_not_say_its_wire_closes_nothing(tmp_path: Path) -> None:
    text = plain.texts(BASE)
    text["build"] = {"M2B20": "tested"}
    found = study_of(text, tmp_path)
    assert found is not None
    assert unheld(found) == ("M2B20",)
    assert states(found, "strobe") == {"planned"}
    held = [one.text for one in closing(found, "aft").holding if one.about.startswith("M2B20")]
    assert "does not say what it was given for" in held[0]


def test_what_is_listed_can_be_ticked_by_hand(tmp_path: Path) -> None:
    """`--fill` writes what each tick will stand for, so that the state alone is changed."""
    file = tmp_path / "siskin.yaml"
    file.write_text(BASE, encoding="utf-8")
    assert cli.main(["done", str(file), "--fill"]) == 0
    state = tmp_path / "siskin-build.yaml"
    lines = state.read_text(encoding="utf-8").splitlines()
    at = next(n for n, line in enumerate(lines) if line.strip().startswith("strobe:"))
    near = next(n for n in range(at, len(lines)) if "planned" in lines[n])
    lines[near] = lines[near].replace("planned", "pulled")
    state.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert states(study(file), "strobe") == {"pulled"}


def shown(table: Table, mark: str, key: str) -> list[str]:
    at = [column.key for column in table.columns].index(key)
    marked = [column.key for column in table.columns].index("mark")
    return [_text(row[at]) for row in table.rows if _text(row[marked]) == mark]


def _text(value: Value) -> str:
    return str(value.value if isinstance(value, Cell) else value)


def lists(found: Study) -> dict[str, Table]:
    return {
        "cut-list": bench.cut_list(found),
        "labels": bench.labels(found),
        "ring-out": proving.ring_out(found),
        "insulation-test": proving.insulation_test(found),
        "com.J1": next(iter(pin.pin_tables(found, "com.J1"))),
    }


@pytest.mark.parametrize("state", ["cut", "pulled", "terminated", "rung out", "tested"])
def test_every_list_says_how_far_a_wire_is(tmp_path: Path, state: str) -> None:
    found, _ = ticks_of(tmp_path, "com", state=state.replace(" ", "-"))
    mark = marks(found)[next(iter(chains(found).by_name["com"].conductors())).id]
    for name, table in lists(found).items():
        key = "built" if name == "com.J1" else "state"
        assert shown(table, mark, key) == [state], name
    far = ["cut", "pulled", "terminated", "rung out", "tested"].index(state)
    assert shown(bench.cut_list(found), mark, "ok") == ["☑"]
    assert shown(bench.cut_list(found), mark, "label") == ["☑" if far >= 2 else "☐"]
    (page, *_) = bench_pages(found, "com.J1")
    row = next(row for row in page.rows if row.wire == mark)
    told = "" if state == "terminated" else f" {state}"  # the head says crimped
    assert row.built == f"{'☑' if far >= 2 else '☐'}{told}"


def test_every_list_says_where_the_text_has_changed_since(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, file = ticks_of(tmp_path, "com")
    found = edit(file, "feeds: com, gauge: AWG 20", "feeds: com, gauge: AWG 18")
    mark = marks(found)[next(iter(chains(found).by_name["com"].conductors())).id]
    for name, table in lists(found).items():
        key = "built" if name == "com.J1" else "state"
        assert shown(table, mark, key) == ["changed since: look"], name
        assert re.search(r"com was tested for something else: wire AWG 20.*now AWG 18", table.note)
    (page, *_) = bench_pages(found, "com.J1")
    assert next(row for row in page.rows if row.wire == mark).built == "☐ changed since"
    capsys.readouterr()
    assert cli.main(["done", str(file)]) == 0
    assert "Not counted: com was tested for something else: wire AWG 20" in capsys.readouterr().out
