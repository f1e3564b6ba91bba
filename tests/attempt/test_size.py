"""`elec size`: what it prints, what it writes, what it offers where nothing passes."""

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from elec import cli
from elec.attempt import stuck
from elec.attempt.stuck import in_the_way
from elec.attempt.write_sizes import put_sizes
from elec.check import run as all_findings
from elec.model.system import System
from elec.pages.size import page
from elec.read import read
from elec.read.edit import Edits
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from tests.answers.helper import NAMES, SYSTEMS, small, whole
from tests.attempt.test_attempt import small as small_file
from tests.sizing.test_choices import PLUG

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> Run:
    """Run the command beside the starting system; gives exit status, output and errors."""
    small_file(tmp_path)
    monkeypatch.chdir(tmp_path)

    def command(*arguments: str) -> tuple[int, str, str]:
        status = cli.main(["size", *arguments])
        out, err = capfd.readouterr()
        return status, out, err

    return command


# -- written into the files ------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_written_sizes_change_no_verdict_and_no_other_byte(name: str, tmp_path: Path) -> None:
    shutil.copytree(SYSTEMS / name, tmp_path / name)
    study = whole(name)
    edits = Edits.of(tmp_path / name)
    before = edits.files()
    counts = put_sizes(study, edits)
    written = edits.write()
    assert counts[0] > 0
    assert counts[1] > 0
    for file, content in before.items():
        assert (file.read_bytes() != content) == (file in written)
    found = read(tmp_path / name).system
    assert found is not None
    again = Study(found)
    for chain, device in sizing(study).devices.items():
        assert sizing(again).devices[chain].rating_a == device.rating_a, chain
    for wire, gauge in sizing(study).gauges.items():
        assert sizing(again).gauges[wire].awg == gauge.awg, wire
    verdicts = [
        {(f.check, f.about): f.verdict for f in all_findings(s, deep=False)} for s in (study, again)
    ]
    assert verdicts[0] == verdicts[1]
    second = Edits.of(tmp_path / name)
    assert put_sizes(again, second) == (0, 0)
    assert second.diff() == ""


@pytest.mark.parametrize("name", NAMES)
def test_only_what_was_left_open_is_written(name: str) -> None:
    study, edits = whole(name), Edits.of(SYSTEMS / name)
    put_sizes(study, edits)
    old = {line.strip() for content in Edits.of(SYSTEMS / name).files().values()
           for line in content.decode().splitlines()}  # fmt: skip
    assert old
    gone = [line[1:] for line in edits.diff().splitlines() if re.match(r"-(?!-- )", line)]
    new = [line[1:] for line in edits.diff().splitlines() if re.match(r"\+(?!\+\+ )", line)]
    short = re.compile(r"(sense|warning-lamp|engaged-light): \{(?:from|to): ([\w.-]+)"
                       r"(?:, fuse: [\d.]+ A)?(?:, gauge: AWG \d+)?\}")  # fmt: skip
    new = [short.sub(r"\1: \2", line) for line in new]  # a short form says more now
    more = re.compile(r"(sense: \{from: [\w.-]+, if-open: \w+), fuse: [\d.]+ A")
    new = [more.sub(r"\1", line) for line in new]  # so does a mapping
    coils = re.compile(r"(reverse: \{by: relays[^}]*?), breaker: [\d.]+ A")
    new = [coils.sub(r"\1", line) for line in new]  # the breaker of the circuit that is made of it
    for pattern in (r"(?:breaker|fuse|limiter): [\d.]+ A", r"gauge: AWG [\d/]+"):
        given = re.findall(pattern, "\n".join(gone))
        now = re.findall(pattern, "\n".join(new))
        for one in given:  # each that stood there still stands there
            now.remove(one)
    unsized = re.compile(r"(?:(?<=breaker)|(?<=fuse)|(?<=limiter)|(?<=rating)): (?:auto|[\d.]+ A)"
                         r"|,?\s*gauge: AWG [\d/]+,?")  # fmt: skip
    bare = [re.sub(r"[\s,]+", "", unsized.sub("", "\n".join(lines))) for lines in (gone, new)]
    assert bare[0] == bare[1]  # without ratings and gauges nothing differs


def test_an_entry_like_another_gets_its_own(tmp_path: Path) -> None:
    text = PLUG.replace(
        "  starter: {bus",
        "  second: {like: radio, feeds: lamp2}\n"
        "  third:\n    like: fourth\n    feeds: lamp3\n"
        "  fourth: {bus: main, breaker: {rating: auto, class: thermal}, feeds: lamp4}\n"
        "  starter: {bus",
    )
    loads = "".join(f"  lamp{k}: {{place: panel, draw: {k} A, ground: block}}\n" for k in (2, 3, 4))
    file = tmp_path / "like.yaml"
    file.write_text(text.replace("circuits:\n", f"{loads}circuits:\n"))
    system = read(file).system
    assert system is not None
    edits = Edits.of(file)
    put_sizes(Study(system), edits)
    edits.write()
    new = file.read_text()
    assert re.search(r"second: \{like: radio, feeds: lamp2, breaker: [\d.]+ A, gauge", new)
    assert re.search(r"    feeds: lamp3\n    breaker: \{rating: [\d.]+ A, class: thermal\}\n", new)
    assert re.search(r"fourth: \{bus: main, breaker: \{rating: [\d.]+ A, class: thermal\}, g", new)
    again = read(file).system
    assert again is not None
    assert put_sizes(Study(again), Edits.of(file)) == (0, 0)


# -- ways out --------------------------------------------------------------------------------------


def test_a_gauge_that_is_too_thin() -> None:
    # 2.3 A through 8 ft of AWG 20 and back lose more than the 0.5 V of AC 43.13-1B table 11-6
    text = PLUG.replace("draw: 0.5 A, ground: block}", "draw: 2.3 A, ground: block}")
    text = text.replace("  lamp: {bus: main, b", "  lamp: {bus: main, gauge: AWG 20, b")
    text = text.replace("length: 4 ft", "length: 8 ft")
    found = in_the_way(small(text), "lamp")
    assert {f.check for f in found.findings} == {"wire-drop"}
    assert found.ways[0].effort == 1
    assert "AWG 20" in found.ways[0].text
    assert found.ways[0].added_kg > 0
    assert [w.effort for w in found.ways] == sorted(w.effort for w in found.ways)


def test_a_contact_that_is_too_small() -> None:
    text = PLUG.replace("circular-38999-16", "circular-38999-22D")
    assert in_the_way(small(text), "lamp").ways == ()  # for 0.5 A contacts of AWG 28 to 22 do
    found = in_the_way(small(text.replace("draw: 0.5 A", "draw: 3.6 A")), "lamp")
    assert found.findings
    assert any("contacts of size 16 in place of size 22D" in way.text for way in found.ways)
    # one of size 16 alone would carry 13 A; both contacts of the plug loaded, 30 % of it, 3.9 A
    found = in_the_way(small(text.replace("draw: 0.5 A", "draw: 4.2 A")), "lamp")
    assert "connector-current" in {f.check for f in found.findings}
    texts = [way.text for way in found.ways]
    assert not any("contacts of size 16 " in text for text in texts)
    assert any("contacts of size 12 in place of size 22D" in text for text in texts)


def test_a_circuit_of_two_loads_is_split() -> None:
    text = PLUG.replace("breaker: auto, feeds: radio}", "breaker: 5 A, feeds: [radio, second]}")
    text = text.replace(
        "  starter: {place", "  second: {place: panel, draw: 3 A, ground: block}\n  starter: {place"
    )
    found = in_the_way(small(text), "radio")
    assert {f.check for f in found.findings} == {"device-holds-load"}
    assert "Leave the rating out in place of 5 A, so that it is chosen." in found.ways[0].text
    assert found.ways[-1].text == "Give second a circuit of its own."
    assert found.ways[-1].effort == 5


def test_a_run_that_is_too_long_is_shortened() -> None:
    text = PLUG.replace("feeds: radio}", "feeds: radio, gauge: AWG 22, length: 12 ft}")
    found = in_the_way(small(text), "radio")
    assert any(way.text.startswith("Shorten the run to") for way in found.ways)


def test_another_circuit_of_a_like_name_hides_no_way_out() -> None:
    """`radio-2` may be a circuit that was there before, and fail for its own reasons."""
    long = "  radio: {bus: essential, breaker: auto, feeds: radio, gauge: AWG 22, length: 12 ft}\n"
    text = PLUG.replace("  radio: {bus: essential, breaker: auto, feeds: radio}\n", long)
    ways = in_the_way(small(text), "radio").ways
    assert ways
    radio = "  radio: {place: panel, draw: 3 A, ground: block}\n"
    text = text.replace(radio, radio + radio.replace("radio", "radio-2"))
    text = text.replace(long, long + long.replace("radio", "radio-2"))
    study = small(text)
    assert "radio-2" in stuck.failing(study)
    assert in_the_way(study, "radio").ways[0].text == ways[0].text


def test_systems_that_were_tried_are_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    """Commands run without a collector: 36 trials of a large system once took 4 GB."""
    tried: list[Study] = []

    class Watched(Study):
        def __init__(self, system: System) -> None:
            super().__init__(system)
            tried.append(self)

    monkeypatch.setattr(stuck, "Study", Watched)
    text = PLUG.replace("feeds: radio}", "feeds: radio, gauge: AWG 22, length: 12 ft}")
    assert in_the_way(small(text), "radio").ways
    assert tried
    assert not any(one._results for one in tried)


def test_where_nothing_fails_there_is_nothing_in_the_way() -> None:
    assert in_the_way(small(PLUG), "radio").findings == ()


# -- the command -----------------------------------------------------------------------------------


def test_the_answer_comes_first_and_nothing_is_written(run: Run) -> None:
    text = Path("tern.yaml").read_bytes()
    status, out, err = run("tern.yaml")
    assert (status, err) == (0, "")
    words = [
        "were chosen here: the smallest with which every check of device and wire passes.",
        "What was chosen", "Nothing was written. --write puts what was chosen into your files.",
    ]  # fmt: skip
    places = [out.index(word) for word in words]
    assert places == sorted(places)
    assert Path("tern.yaml").read_bytes() == text


def test_one_circuit_by_its_name_or_by_what_it_feeds(run: Run) -> None:
    status, out, _ = run("tern.yaml", "beacon")
    assert status == 0
    assert "Device: " in out
    assert "Wire: AWG " in out
    assert run("tern.yaml", "radio")[0] == 0


def test_write_shows_the_lines_and_a_second_time_has_nothing_to_do(run: Run) -> None:
    status, out, _ = run("tern.yaml", "--write")
    assert status == 0
    assert "--- tern.yaml" in out
    assert "Written into tern.yaml." in out
    assert "breaker: auto" not in Path("tern.yaml").read_text()
    text = Path("tern.yaml").read_bytes()
    status, out, _ = run("tern.yaml", "--write")
    assert (status, Path("tern.yaml").read_bytes()) == (0, text)
    assert "Written" not in out


def test_only_the_named_circuit_is_written(run: Run) -> None:
    before = Path("tern.yaml").read_text().splitlines()
    assert run("tern.yaml", "beacon", "--write")[0] == 0
    after = Path("tern.yaml").read_text().splitlines()
    assert len([1 for old, new in zip(before, after, strict=True) if old != new]) == 1


def test_from_nothing_writes_nothing(run: Run) -> None:
    text = Path("tern.yaml").read_bytes()
    status, out, _ = run("tern.yaml", "--from-nothing")
    assert status == 0
    assert "If nothing were given, " in out
    assert "Nothing was written; what is given is never changed." in out
    assert Path("tern.yaml").read_bytes() == text


def test_a_fail_ends_with_status_1_and_ways_out(run: Run) -> None:
    file = Path("tern.yaml")
    text = file.read_text()
    text = re.sub(r"(\n  beacon: *\{bus: main, )", r"\1gauge: AWG 26, ", text)
    assert "AWG 26" in text
    file.write_text(text)
    status, out, _ = run("tern.yaml", "beacon")
    assert status == 1
    assert "Something stands in the way of: beacon." in out
    assert "Ways out for beacon" in out


def test_in_a_large_system_ways_out_wait_for_a_name(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = Path("tern.yaml")
    text = re.sub(r"(\n  beacon: *\{bus: main, )", r"\1gauge: AWG 26, ", file.read_text())
    file.write_text(text)
    assert "Ways out for beacon" in run("tern.yaml")[1]
    monkeypatch.setattr(page, "MOST_WIRES", 3)
    status, out, _ = run("tern.yaml")
    assert status == 1
    assert "wire-strength" in out  # what is wrong stands there all the same
    assert "Ways out for" not in out
    said = " ".join(out.split())
    assert "Ways out are searched here only for what is named, since each is a run in" in said
    assert "Name it: beacon." in said
    assert "Ways out for beacon" in run("tern.yaml", "beacon")[1]


@pytest.mark.parametrize("name", NAMES)
def test_the_systems_are_not_too_large_for_ways_out_unasked(name: str) -> None:
    assert 0 < len(list(chains(whole(name)).conductors())) < page.MOST_WIRES


def test_mistakes_end_with_status_2(run: Run) -> None:
    status, _, err = run("tern.yaml", "baecon")
    assert status == 2
    assert 'did you mean "beacon"?' in err
    assert run("tern.yaml", "--write", "--from-nothing")[0] == 2
    assert run("nowhere.yaml")[0] == 2


def test_for_programs(run: Run) -> None:
    status, out, _ = run("tern.yaml", "--format", "json")
    assert status == 0
    assert json.loads(out)
