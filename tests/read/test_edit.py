"""Changes of the builder's files: what is asked for and not a byte more."""

import os
from copy import copy, deepcopy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.read import read
from elec.read.edit import CannotEdit, CannotSave, Edits, Value
from tests.read.helper import GOOD
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"
FILE = Path("tern.yaml")

AWKWARD = """\
# a head comment
system: {name: Tern,   # the name, of course
         nominal: "14 V"   }   # a voltage
phases:
  taxi:   {lasts: 10 min, engine: 1200 rpm}

  cruise: {lasts: '2 h',
           # between
           engine: 2350 rpm,}
sources: {battery: {kind: lead-acid, place: panel, capacity: 18 Ah},
  # in the middle
  alternator: {kind: alternator, place: panel, setpoint: 14.2 V, output: {1000 rpm: 8 A}}}
buses: {main: {place: panel}}
grounds:
    block:     # four spaces
        place: panel
feeders:
- {from: battery, to: main, limiter: auto}
-   from: alternator
    to: main   # to the bus
    limiter:
      rating: auto   # for now
      class: sf51

# the loads
equipment:
  # one lamp
  lamp: {place: panel, draw: 1 A, note: "a: \\"b\\", # c"}
  # two more,
  # alike
  left: {like: lamp}
  right: {like: lamp, name: 'It''s right'}

  socket:
    place: panel
    note: |
      several lines
      # not a comment

    draw: 2 A   # a guess
circuits:
  lamp: {bus: main, breaker: auto, feeds: lamp}
  left:
    like: lamp
    feeds:
      - left   # only this
  right: {like: lamp, feeds: [right]}
  socket: {bus: main, breaker: {rating: auto, class: thermal}, feeds: socket}
places: {panel: }
# the end
"""


def edits(text: str = AWKWARD) -> Edits:
    return Edits({FILE: text.encode()})


def after(change: str, value: Value, text: str = AWKWARD, **more: Any) -> str:
    found = edits(text)
    found.set(change, value, **more)
    return found.files()[FILE].decode()


def swapped(old: str, new: str, text: str = AWKWARD) -> str:
    assert text.count(old) == 1
    return text.replace(old, new)


def test_the_awkward_text_is_a_system(tmp_path: Path) -> None:
    (tmp_path / "tern.yaml").write_text(AWKWARD)
    assert read(tmp_path).mistakes == ()


@pytest.mark.parametrize(
    ("path", "value", "old", "new"),
    [
        ("system.nominal", "28 V", '"14 V"', '"28 V"'),
        ("phases.cruise.lasts", "3 h", "'2 h'", "'3 h'"),
        (
            "circuits.lamp.breaker",
            "3 A",
            "lamp: {bus: main, breaker: auto",
            "lamp: {bus: main, breaker: 3 A",
        ),
        ("feeders.2.limiter.rating", "60 A", "rating: auto   # for", "rating: 60 A   # for"),
        ("feeders.1.gauge", "AWG 4", "limiter: auto}", "limiter: auto, gauge: AWG 4}"),
        ("feeders.2.gauge", "AWG 4", "class: sf51\n", "class: sf51\n    gauge: AWG 4\n"),
        ("phases.cruise.note", "x", "engine: 2350 rpm,}", "engine: 2350 rpm, note: x,}"),
        (
            "grounds.block.kind",
            "stud",
            "        place: panel\n",
            "        place: panel\n        kind: stud\n",
        ),
        ("places.panel.station", "1 in", "{panel: }", "{panel: {station: 1 in}}"),
        ("places.tail", {"station": "9 in"}, "{panel: }", "{panel: , tail: {station: 9 in}}"),
        (
            "circuits.left.gauge",
            "AWG 20",
            "- left   # only this\n",
            "- left   # only this\n    gauge: AWG 20\n",
        ),
        ("circuits.left.feeds", "left", "feeds:\n      - left   # only this\n", "feeds: left\n"),
        ("circuits.left.feeds.1", "lamp", "- left   #", "- lamp   #"),
        ("circuits.left.feeds.2", "lamp", "# only this\n", "# only this\n      - lamp\n"),
        ("circuits.right.feeds.2", "lamp", "[right]", "[right, lamp]"),
        (
            "equipment.socket.note",
            "short: yes",
            "|\n      several lines\n      # not a comment\n",
            "'short: yes'\n",
        ),
        ("equipment.right.name", "that's it", "'It''s right'", "'that''s it'"),
        ("equipment.lamp.note", 'say "x"', '"a: \\"b\\", # c"', '"say \\"x\\""'),
        ("circuits.socket.breaker", "5 A", "{rating: auto, class: thermal}", "5 A"),
        (
            "feeders.2.limiter",
            "60 A",
            "limiter:\n      rating: auto   # for now\n      class: sf51\n",
            "limiter: 60 A\n",
        ),
        ("limits.feeder-drop", "2 %", "# the end\n", "# the end\n\nlimits:\n  feeder-drop: 2 %\n"),
    ],
)
def test_one_value_is_set(path: str, value: Value, old: str, new: str) -> None:
    assert after(path, value) == swapped(old, new)


def test_a_key_goes_behind_the_one_that_is_named() -> None:
    found = after("circuits.lamp.gauge", "AWG 20", after=("fuse", "breaker"))
    assert found == swapped(
        "lamp: {bus: main, breaker: auto,", "lamp: {bus: main, breaker: auto, gauge: AWG 20,"
    )


def test_a_line_that_would_become_too_long_is_broken() -> None:
    text = AWKWARD.replace("lamp: {bus: main", f"lamp: {{name: {'x' * 70}, bus: main")
    found = after("circuits.lamp.engraving", "ALL THE LAMPS", text)
    assert "feeds: lamp,\n         engraving: ALL THE LAMPS}\n" in found


def test_setting_what_is_there_changes_nothing() -> None:
    assert after("system.nominal", "14 V") == AWKWARD
    assert edits().diff() == ""
    assert edits().changed() == {}


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("last", [True, False])
def test_line_ends_mark_and_last_line_stay(ending: str, mark: bytes, last: bool) -> None:
    text = AWKWARD if last else AWKWARD.removesuffix("# the end\n").rstrip("\n")
    plain = text.replace("\n", ending)
    found = Edits({FILE: mark + plain.encode()})
    found.set("equipment.socket.mass", "1 kg")
    found.set("limits.feeder-drop", "2 %")
    content = found.files()[FILE]
    assert content.startswith(mark)
    assert content.count(b"\n") == content.count(ending.encode())
    assert content.endswith(b"\n") is last
    new = content.removeprefix(mark).decode()
    for piece in (f"    mass: 1 kg{ending}", f"{ending}limits:{ending}  feeder-drop: 2 %"):
        assert new.count(piece) == 1
        new = new.replace(piece, "" if "mass" in piece else ending if last else "")
    assert new.rstrip() == plain.rstrip()


def test_an_entry_is_added_in_the_style_of_its_neighbours() -> None:
    found = edits()
    found.add("tail", {"bus": "main", "feeds": "lamp"}, to="circuits", comment="later")
    found.add("spare", {"place": "panel", "draw": "1 A"}, to="equipment", behind="lamp")
    found.add("", {"from": "main", "to": "main"}, to="feeders")
    found.add("tip", {"station": "9 in"}, to="places")
    found.add("", {"between": ["panel", "tip"], "length": "5 ft"}, to="ways")
    text = swapped("class: thermal}, feeds: socket}\n", "class: thermal}, feeds: socket}\n"
                   "  # later\n  tail: {bus: main, feeds: lamp}\n")  # fmt: skip
    text = swapped(', # c"}\n', ', # c"}\n  spare: {place: panel, draw: 1 A}\n', text)
    text = swapped("sf51\n", "sf51\n- {from: main, to: main}\n", text)
    text = swapped("{panel: }", "{panel: , tip: {station: 9 in}}", text)
    text += "\nways:\n  - {between: [panel, tip], length: 5 ft}\n"
    assert found.files()[FILE].decode() == text


def test_an_entry_in_lines_among_entries_in_lines() -> None:
    found = edits()
    found.add("stud", {"place": "panel", "kind": "stud"}, to="grounds")
    new = "    stud:\n        place: panel\n        kind: stud\n"
    assert found.files()[FILE].decode() == swapped(
        "        place: panel\n", f"        place: panel\n{new}"
    )


@pytest.mark.parametrize(
    ("path", "old", "new"),
    [
        (
            "equipment.socket",
            AWKWARD[AWKWARD.index("  socket:\n") : AWKWARD.index("circuits:")],
            "",
        ),
        (
            "equipment.lamp",
            '  # one lamp\n  lamp: {place: panel, draw: 1 A, note: "a: \\"b\\", # c"}\n',
            "",
        ),
        ("equipment.right", "  right: {like: lamp, name: 'It''s right'}\n", ""),
        ("feeders.1", "- {from: battery, to: main, limiter: auto}\n", ""),
        ("feeders.2.from", "-   from: alternator\n    to: main", "-   to: main"),
        ("feeders.2.limiter.rating", "      rating: auto   # for now\n", ""),
        ("phases.cruise.engine", "engine: 2350 rpm,", ","),
        ("system.name", "name: Tern,   # the name, of course\n         ", ""),
        ("circuits.right.feeds", ", feeds: [right]", ""),
        ("circuits.left.feeds.1", "    feeds:\n      - left   # only this\n", ""),
        ("buses.main", "main: {place: panel}", ""),
        ("grounds", "grounds:\n    block:     # four spaces\n        place: panel\n", ""),
    ],
)
def test_something_is_removed(path: str, old: str, new: str) -> None:
    found = edits(swapped("engine: 2350 rpm,}", "engine: 2350 rpm}") if path == "x" else AWKWARD)
    if path == "phases.cruise.engine":  # a comma alone is not YAML, so this one is refused
        with pytest.raises(CannotEdit):
            found.remove(path)
        assert found.files()[FILE].decode() == AWKWARD
        return
    found.remove(path)
    assert found.files()[FILE].decode() == swapped(old, new)


def test_comments_of_one_entry_go_and_headings_of_several_stay() -> None:
    text = (
        "places:\n  # heading\n  a: {station: 1 in}\n  b:\n\n"
        "  # of c\n  c: # mine\n    station: 2 in\n\n  d:\n"
    )
    found = edits(text)
    found.remove("places.a")
    found.remove("places.c")
    assert found.files()[FILE].decode() == "places:\n  # heading\n  b:\n\n  d:\n"


def test_what_cannot_be_done_is_refused_and_leaves_all_as_it_was() -> None:
    found = edits()
    for path, value in (
        ("system.nominal.x", "1"), ("circuits.left.feeds.5", "x"), ("circuits.left.feeds.x", "y"),
    ):  # fmt: skip
        with pytest.raises(CannotEdit):
            found.set(path, value)
    with pytest.raises(CannotEdit, match=r"circuits\.lamp is there already"):
        found.add("lamp", {"bus": "main"}, to="circuits")
    with pytest.raises(CannotEdit, match=r"circuits\.lump is not there"):
        found.remove("circuits.lump")
    with pytest.raises(CannotEdit):
        found.set_all({("system", "name"): "Other", ("system", "nominal", "x"): "1"})
    assert found.changed() == {}


@pytest.mark.parametrize(
    "text", ["a: &x 1\n", "a: *x\n", "a: [\n", "- a\n", "a: 1\na: 2\n", "a: !t 1\n"]
)
def test_what_elec_does_not_read_is_refused(text: str) -> None:
    with pytest.raises(CannotEdit):
        edits(text)


def test_many_values_at_once_are_the_same_as_one_by_one() -> None:
    wanted: dict[tuple[str | int, ...], Value] = {
        ("circuits", "lamp", "breaker"): "3 A", ("circuits", "lamp", "gauge"): "AWG 20",
        ("circuits", "lamp", "colour"): "red", ("places", "panel", "station"): "1 in",
        ("places", "panel", "waterline"): "2 in", ("build", "lamp"): "tested",
        ("build", "left"): "cut",
    }  # fmt: skip
    once, each = edits(), edits()
    once.set_all(wanted)
    for path, value in wanted.items():
        each.set(path, value)
    assert once.files() == each.files()
    assert once.get("build") == {"lamp": "tested", "left": "cut"}


# -- several files ---------------------------------------------------------------------------------

A = "system: {name: Tern, nominal: 14 V}\nplaces: {panel: }\nwires:\n  - {from: a.1, to: b.1}\n"
B = "places:\n  tail:\n  nose:\nwires:\n  - {from: c.1, to: d.1}\n"


def test_entries_are_found_in_the_file_that_they_stand_in() -> None:
    found = Edits({Path("a.yaml"): A.encode(), Path("b.yaml"): B.encode()})
    found.set("wires.2.gauge", "AWG 22")
    found.set("places.tail.station", "9 in")
    assert list(found.changed()) == [Path("b.yaml")]
    found.add("fin", {}, to="places")
    found.add("", {"from": "e.1", "to": "f.1"}, to="wires", file=Path("a.yaml"))
    assert found.get("wires.2.from") == "e.1"
    assert found.file_of("places.fin") == Path("b.yaml")
    assert found.diff() == (
        "--- a.yaml\n+++ a.yaml\n@@ -2,3 +2,4 @@\n places: {panel: }\n wires:\n"
        "   - {from: a.1, to: b.1}\n+  - {from: e.1, to: f.1}\n"
        "--- b.yaml\n+++ b.yaml\n@@ -1,5 +1,6 @@\n places:\n-  tail:\n+  tail: {station: 9 in}\n"
        "   nose:\n+  fin: {}\n wires:\n-  - {from: c.1, to: d.1}\n"
        "+  - {from: c.1, to: d.1, gauge: AWG 22}\n"
    )


def test_a_missing_section_goes_where_it_fits() -> None:
    texts = {
        "circuits.yaml": "circuits:\n",
        "sources.yaml": "sources:\n  a:\nfeeders:\n",
        "z.yaml": "limits:\n",
    }
    found = Edits({Path(name): text.encode() for name, text in texts.items()})
    found.add("main", {"place": "panel"}, to="buses")
    found.add("tip", {}, to="circuits")
    found.add("x", {}, to="accept")
    assert {file.name for file in found.changed()} == {"sources.yaml", "circuits.yaml", "z.yaml"}


# -- on the disk -----------------------------------------------------------------------------------


def system_in(folder: Path) -> Path:
    (folder / "one.yaml").write_text(GOOD[: GOOD.index("places:")])
    (folder / "two.yaml").write_text(GOOD[GOOD.index("places:") :])
    (folder / "two.yaml").chmod(0o640)
    return folder


def test_files_are_written_and_keep_their_permissions(tmp_path: Path) -> None:
    found = Edits.of(system_in(tmp_path))
    found.set("circuits.beacon.breaker", "3 A")
    found.set("ways.1.length", "4 ft")
    assert found.write() == (tmp_path / "one.yaml", tmp_path / "two.yaml")
    assert {file.name for file in tmp_path.iterdir()} == {"one.yaml", "two.yaml"}
    assert (tmp_path / "two.yaml").stat().st_mode & 0o777 == 0o640
    again = read(tmp_path).system
    assert again is not None
    assert again.document.circuits["beacon"].breaker is not None
    assert again.document.circuits["beacon"].breaker.rating_a == 3.0
    assert found.write() == ()


def test_a_system_with_mistakes_is_never_written(tmp_path: Path) -> None:
    found = Edits.of(system_in(tmp_path))
    found.set("circuits.beacon.bus", "mian")
    with pytest.raises(CannotEdit, match=r'one\.yaml:.*did you mean "main"'):
        found.write()
    assert Edits.of(tmp_path).get("circuits.beacon.bus") == "main"


def test_what_others_wrote_meanwhile_is_not_lost(tmp_path: Path) -> None:
    found = Edits.of(system_in(tmp_path))
    found.set("circuits.beacon.breaker", "3 A")
    found.set("ways.1.length", "4 ft")
    with (tmp_path / "two.yaml").open("a") as file:
        file.write("# by hand\n")
    with pytest.raises(CannotSave, match=r"two\.yaml was changed meanwhile; nothing was written"):
        found.write()
    assert (tmp_path / "one.yaml").read_text() == GOOD[: GOOD.index("places:")]
    assert {file.name for file in tmp_path.iterdir()} == {"one.yaml", "two.yaml"}


def test_all_files_are_written_or_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = Edits.of(system_in(tmp_path))
    found.set("circuits.beacon.breaker", "3 A")
    found.set("ways.1.length", "4 ft")
    real = Path.replace

    def failing(self: Path, target: str | os.PathLike[str]) -> Path:
        if Path(target).name == "two.yaml":
            raise OSError(28, "No space left on device")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", failing)
    with pytest.raises(CannotSave, match="nothing was written: no space left"):
        found.write()
    assert (tmp_path / "one.yaml").read_text() == GOOD[: GOOD.index("places:")]
    assert {file.name for file in tmp_path.iterdir()} == {"one.yaml", "two.yaml"}


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "real" / "tern.yaml").write_text(GOOD)
    (tmp_path / "tern.yaml").symlink_to(tmp_path / "real" / "tern.yaml")
    found = Edits.of(tmp_path / "tern.yaml")
    found.set("ways.1.length", "4 ft")
    found.write()
    assert (tmp_path / "tern.yaml").is_symlink()
    assert "length: 4 ft" in (tmp_path / "real" / "tern.yaml").read_text()


def test_no_system(tmp_path: Path) -> None:
    with pytest.raises(CannotEdit, match="there is no system here"):
        Edits.of(tmp_path)


# -- whatever is asked -----------------------------------------------------------------------------

TRAPS = "3 A|AWG 20|yes|~|null|a: b|a #b|[x|{|- a|'|\"|a,b|<<|&a|*a|!x|%|@|`|? a|>|---|é|1:2|:a|a:"
"""What YAML may take for something else."""
WORDS = st.one_of(
    st.sampled_from([*TRAPS.split("|"), "|"]),
    st.text(
        st.characters(
            codec="utf-8",
            exclude_categories=["Cs", "Cc", "Cn"],
            exclude_characters="\ufeff\u2028\u2029",
        ),
        min_size=1,
        max_size=12,
    ),
)


def texts_of(name: str) -> dict[Path, bytes]:
    if name == "awkward":
        return {FILE: AWKWARD.encode()}
    if name == "windows":
        return {FILE: b"\xef\xbb\xbf" + AWKWARD.replace("\n", "\r\n").rstrip().encode()}
    return {file: file.read_bytes() for file in sorted((SYSTEMS / name).iterdir())}


START = {name: Edits(texts_of(name)) for name in (*NAMES, "awkward", "windows")}


def fresh(name: str) -> Edits:
    return copy(START[name])


def leaves(data: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    if isinstance(data, str):
        return [path]
    items = data.items() if isinstance(data, dict) else enumerate(data)
    return [leaf for key, child in items for leaf in leaves(child, (*path, key))] or [path]


def tree(found: Edits) -> Any:
    return deepcopy({name: found.get((name,)) for name in SECTION_NAMES if found.get((name,))})


def found_in(data: Any, path: tuple[str | int, ...]) -> Any:
    for part in path:
        data = data[part]
    return data


SECTION_NAMES = tuple({key: None for one in START.values() for key in one._data})
LEAVES = {name: leaves(tree(found)) for name, found in START.items()}


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_random_value_is_set_and_all_else_stays(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(list(START)))
    path = data.draw(st.sampled_from(LEAVES[name]))
    word = data.draw(WORDS)
    found = fresh(name)
    old = found.get(path)
    before = found.files()
    found.set(path, word)
    assert found.get(path) == word
    after_ = found.files()
    changed = [file for file in before if before[file] != after_[file]]
    assert len(changed) == (old != word)
    for file in changed:
        head, tail = _edges(before[file], after_[file])
        gone = before[file][head : len(before[file]) - tail]
        assert len(gone) <= len(str(old).encode()) * 4 + 40  # the old value, its quotes and escapes
        if isinstance(old, str) and "\n" not in old:
            assert b"\n" not in gone or gone.startswith(b">")  # and no other line, unless folded
    if isinstance(old, str):
        found.set(path, old)
        assert found.get(path) == old


def _edges(one: bytes, other: bytes) -> tuple[int, int]:
    """How many bytes are equal at the begin and at the end."""
    if one == other:
        return len(one), 0
    most = min(len(one), len(other))
    head = next((k for k in range(most) if one[k] != other[k]), most)
    rest = most - head
    tail = next((k for k in range(rest) if one[-1 - k] != other[-1 - k]), rest)
    return head, tail


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_random_key_is_put_in_and_only_put_in(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(list(START)))
    found = fresh(name)
    leaf = data.draw(st.sampled_from(LEAVES[name]))
    holders = [leaf[:k] for k in range(1, len(leaf)) if isinstance(leaf[k], str)]
    holder = data.draw(st.sampled_from(holders)) if holders else leaf[:1]
    word, key = data.draw(WORDS), data.draw(WORDS.map(str.strip).filter(bool))
    if key in found.get(holder) or key == "<<" or ":" in key:
        return
    before = found.files()
    found.set((*holder, key), word)
    assert found.get((*holder, key)) == word
    for file, content in found.files().items():
        head, tail = _edges(before[file], content)
        assert head + tail >= len(before[file])  # nothing that was there has gone
    found.remove((*holder, key))
    if len(holder) > 1:
        assert found.files() == before
    else:  # where blank lines separate entries, one stays
        assert {f: c.split() for f, c in found.files().items()} == {
            f: c.split() for f, c in before.items()
        }


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_whatever_is_removed_only_lines_of_it_go(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(list(START)))
    found = fresh(name)
    whole = data.draw(st.sampled_from(LEAVES[name]))
    path = whole[: data.draw(st.integers(1, len(whole)))]
    before, expected = found.files(), tree(found)
    try:
        found.remove(path)
    except CannotEdit:
        assert found.files() == before
        return
    while len(path) > 3 and len(found_in(expected, path[:-1])) == 1:
        path = path[:-1]
    del found_in(expected, path[:-1])[path[-1]]
    assert tree(found) == {key: child for key, child in expected.items() if child}
    for file, content in found.files().items():
        head, tail = _edges(before[file], content)
        assert head + tail >= len(content)  # nothing is new


@settings(max_examples=15, deadline=None)
@given(st.lists(st.tuples(WORDS, WORDS), min_size=1, max_size=4), st.sampled_from(list(START)))
def test_a_random_entry_is_added(pairs: list[tuple[str, str]], name: str) -> None:
    entry: dict[str, Value] = {
        k.strip(): v for k, v in pairs if k.strip() not in ("", "<<") and ":" not in k
    }
    for section in ("equipment", "circuits", "places", "limits", "feeders"):
        found = fresh(name)
        before = found.files()
        listed = section == "feeders"
        found.add("" if listed else "new-one", entry or "x", to=section)
        at = (section, len(found.get(section)) - 1 if listed else "new-one")
        assert found.get(at) == (entry or "x")
        for file, content in found.files().items():
            head, tail = _edges(before[file], content)
            assert head + tail >= len(before[file])
