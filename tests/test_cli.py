"""The command line: exit statuses, words, formats, and how little it loads."""

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from msgspec.structs import replace

import elec.check
from elec import __version__, cli
from elec.finding import Finding, Verdict
from elec.read.starter import starter
from tests.write.sample import FINDINGS, book

ROOT = Path(__file__).parents[1]
SLOW = {"pandas", "pint", "matplotlib", "schemdraw", "networkx", "numpy", "pydantic"}

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> Run:
    """Run a command in an empty folder; gives exit status, standard output and standard error."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ELEC_DEBUG", raising=False)

    def command(*arguments: str) -> tuple[int, str, str]:
        status = cli.main(list(arguments))
        out, err = capfd.readouterr()
        return status, out, err

    return command


@pytest.fixture
def sound(monkeypatch: pytest.MonkeyPatch) -> Callable[[Iterable[Finding]], None]:
    """Let the checks find what a test wants; what they find is tested elsewhere."""

    def finds(findings: Iterable[Finding]) -> None:
        kept = tuple(findings)
        monkeypatch.setattr(elec.check, "run", lambda _study, **_how: kept)
        monkeypatch.setattr(
            elec.check, "ask", lambda _study, name: tuple(f for f in kept if f.check == name)
        )

    return finds


@pytest.fixture
def bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the book be the sample book; what is in a book is tested elsewhere."""
    room = ModuleType("elec.pages.book")

    def made(study: Any, **_: Any) -> Any:
        return replace(book(), paper=study.document.system.paper)

    room.book = made  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "elec.pages.book", room)


def write(name: str = "plane.yaml", text: str | None = None) -> Path:
    path = Path(name)
    path.parent.mkdir(exist_ok=True, parents=True)
    path.write_text(starter("Foxglove") if text is None else text, encoding="utf-8")
    return path


# without a command, and help


def test_alone_it_prints_three_commands_to_begin_with(run: Run) -> None:
    status, out, err = run()
    assert (status, err) == (0, "")
    assert [line.split()[1] for line in out.splitlines() if line.startswith("  elec")] == [
        "new",
        "check",
        "book",
    ]


@pytest.mark.parametrize("option", ["--help", "-h"])
def test_help_names_every_command_with_a_whole_sentence(run: Run, option: str) -> None:
    status, out, _ = run(option)
    assert status == 0
    for name in cli.COMMANDS:
        assert f"\n  {name} " in out
    assert "..." not in out.partition("Commands:")[2]


@pytest.mark.parametrize("name", sorted(cli.COMMANDS))
def test_every_command_has_help(run: Run, name: str) -> None:
    status, out, _ = run(name, "--help")
    assert status == 0
    assert out.startswith(f"Usage: elec {name}")


def test_version(run: Run) -> None:
    assert run("--version") == (0, f"elec {__version__}\n", "")


# wrong use


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("chek",), "Did you mean"),
        (("check", "--al"), "No such option"),
        (("check", "--format", "stone"), "is not one of"),
        (("why",), "Missing argument"),
        (("why", "plane.yaml", "a", "b", "c"), "Say what about"),
        (("new",), "Missing argument"),
    ],
)
def test_wrong_use_is_status_2(run: Run, arguments: tuple[str, ...], said: str) -> None:
    status, out, err = run(*arguments)
    assert (status, out) == (2, "")
    assert said in err
    assert "Traceback" not in err


def test_no_system_says_how_to_begin(run: Run) -> None:
    status, out, err = run("check")
    assert (status, out) == (2, "")
    assert "There is no system in this folder" in err
    assert "elec new" in err


def test_two_systems_are_named(run: Run) -> None:
    write("a.yaml")
    write("b.yaml")
    status, _, err = run("check")
    assert status == 2
    assert "a.yaml, b.yaml" in err


def test_the_one_system_in_the_folder_is_taken(run: Run, sound: Any) -> None:
    sound(FINDINGS)
    write("plane.yaml")
    assert run("check")[1].startswith("Foxglove, 14 V: 4 circuits, 4 pieces of equipment\n")


def test_a_folder_of_parts_is_one_system(run: Run, sound: Any) -> None:
    sound(())
    head, part = starter("Foxglove").split("\nplaces:")
    write("system.yaml", head)
    write("places.yaml", "places:" + part)
    assert run("check")[0] == 0


# mistakes


def test_mistakes_are_all_printed_with_their_places_and_nothing_is_computed(run: Run) -> None:
    text = starter("Foxglove").replace("bus: main, breaker: auto", "bus: mian, breaker: 5", 1)
    write("plane.yaml", text)
    status, out, err = run("check", "plane.yaml")
    assert (status, out) == (2, "")
    lines = err.splitlines()
    assert lines[-1] == "2 mistakes in 1 file; nothing was computed."
    assert all(line.startswith("plane.yaml:") for line in lines[:-1])
    assert 'did you mean "main"?' in err


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\t",
        "system",
        "[1, 2]",
        "a: &x 1\nb: *x",
        "\x00",
        "system: {name: x",
        "? ",
        "!!python/x",
    ],
)
@pytest.mark.parametrize("command", ["check", "book", "loads"])
def test_bad_text_is_never_a_traceback(run: Run, command: str, text: str) -> None:
    write("plane.yaml", text)
    status, out, err = run(command, "plane.yaml")
    assert (status, out) == (2, "")
    assert "nothing was computed" in err
    assert "Traceback" not in err
    assert "fault" not in err


@pytest.mark.parametrize("path", ["none.yaml", "no/such/folder", "."])
def test_a_missing_system_is_a_mistake(run: Run, path: str) -> None:
    status, _, err = run("check", path)
    assert status == 2
    assert "nothing was computed" in err


def test_a_program_gets_the_mistakes_as_json(run: Run) -> None:
    write("plane.yaml", "system: {name: x}\n")
    status, out, _ = run("check", "plane.yaml", "--format", "json")
    found = json.loads(out)
    assert status == 2
    assert found["mistakes"][0]["place"]["file"] == "plane.yaml"


# check


@pytest.mark.parametrize(
    ("verdicts", "status"),
    [
        ({Verdict.FAIL, Verdict.PASS}, 1),
        ({Verdict.ADVISE, Verdict.CANNOT_TELL, Verdict.ACCEPTED, Verdict.PASS}, 0),
        (set[Verdict](), 0),
    ],
)
def test_only_a_fail_is_status_1(run: Run, sound: Any, verdicts: set[Verdict], status: int) -> None:
    sound(f for f in FINDINGS if f.verdict in verdicts)
    write()
    assert run("check", "plane.yaml")[0] == status


def test_check_prints_the_answer_first(run: Run, sound: Any) -> None:
    sound(FINDINGS)
    write()
    _, out, err = run("check", "plane.yaml")
    lines = out.splitlines()
    assert err == ""
    assert lines[1] == "1 fail   1 advise   1 cannot tell   12 pass   1 accepted"
    assert lines[3].split()[0] == "fail"
    assert "elec why plane.yaml wire-drop landing-light" in out
    assert "circuit-3" not in out


def test_all_lists_what_passes(run: Run, sound: Any) -> None:
    sound(FINDINGS)
    write()
    assert "circuit-3" in run("check", "plane.yaml", "--all")[1]


def test_why_prints_the_hand_calculation(run: Run, sound: Any) -> None:
    sound(FINDINGS)
    write()
    status, out, _ = run("why", "plane.yaml", "wire-drop", "landing-light")
    assert status == 0
    assert "= 2 × 0.0232 × 4.2672 × 3.2143" in out
    assert "nav-lights" not in out
    assert "elec why" not in out


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("wire-dorp", "landing-light"), 'did you mean "wire-drop"?'),
        (("wire-drop", "landing-lihgt"), 'did you mean "landing-light"?'),
        (("wire-drop", "zzz"), "There are: landing-light."),
    ],
)
def test_why_of_nothing_says_what_there_is(
    run: Run, sound: Any, asked: tuple[str, str], said: str
) -> None:
    sound(FINDINGS)
    write()
    status, _, err = run("why", "plane.yaml", *asked)
    assert status == 2
    assert said in err


@pytest.mark.parametrize(
    ("name", "begins"),
    [
        ("a.csv", b"\xef\xbb\xbfverdict,"),
        ("a.json", b'{\n "elec"'),
        ("a.md", b"# Foxglove"),
        ("a.html", b"<!doctype html>"),
        ("a.txt", b"Foxglove, 14 V"),
        ("a.xlsx", b"PK"),
    ],
)
def test_the_ending_says_the_format(run: Run, sound: Any, name: str, begins: bytes) -> None:
    sound(FINDINGS)
    write()
    status, out, err = run("check", "plane.yaml", "-o", name)
    assert (status, out, err) == (1, "", f"Wrote {name}.\n")
    assert Path(name).read_bytes().startswith(begins)
    assert run("check", "plane.yaml", "-o", name)[0] == 1  # its own file is replaced


@pytest.mark.parametrize("name", ["a.csv", "a.json", "a.md", "a.html", "a.txt", "a.xlsx"])
def test_an_answer_replaces_an_older_answer(run: Run, sound: Any, name: str) -> None:
    sound(FINDINGS)
    write()
    assert run("check", "plane.yaml", "-o", name)[0] == 1
    write(text=starter("Larkspur"))
    sound(FINDINGS[1:])
    status, _, err = run("check", "plane.yaml", "-o", name)
    assert (status, err) == (0, f"Wrote {name}.\n")


def test_an_ending_that_names_no_format_is_refused(run: Run, sound: Any) -> None:
    sound(())
    write()
    status, _, err = run("check", "plane.yaml", "-o", "a.stone")
    assert status == 2
    assert ".csv" in err


def test_anothers_file_is_kept_without_force(run: Run, sound: Any) -> None:
    sound(())
    write()
    Path("notes.csv").write_text("mine", encoding="utf-8")
    status, _, err = run("check", "plane.yaml", "-o", "notes.csv")
    assert status == 2
    assert "--force" in err
    assert Path("notes.csv").read_text(encoding="utf-8") == "mine"
    assert run("check", "plane.yaml", "-o", "notes.csv", "--force")[0] == 0


def test_colour_only_where_it_is_wanted(
    run: Run, sound: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    sound(FINDINGS)
    write()
    assert "\x1b" not in run("check", "plane.yaml")[1]
    assert "\x1b[31m" in run("check", "plane.yaml", "--color", "always")[1]
    monkeypatch.setenv("NO_COLOR", "1")
    assert "\x1b[31m" in run("check", "plane.yaml", "--color", "always")[1]


# tables


@pytest.mark.parametrize(
    ("command", "words"),
    [
        (
            "loads",
            ("Loads by phase", "Alternator against its loads", "Every load by night", "beacon"),
        ),
        ("wires", ("Circuits and their wires", "Wire schedule", "beacon")),
        ("pins", ("Connectors",)),
    ],
)
def test_tables_of_a_new_system(run: Run, command: str, words: tuple[str, ...]) -> None:
    write()
    status, out, err = run(command, "plane.yaml")
    assert (status, err) == (0, "")
    assert out.startswith("Foxglove, 14 V: 4 circuits, 4 pieces of equipment\n")
    assert all(word in out for word in words)
    found = json.loads(run(command, "plane.yaml", "--format", "json")[1])
    kinds = [block["kind"] for block in found["blocks"]]
    # The answer in sentences first, then the tables that it comes from.
    assert kinds == sorted(kinds, key=["text", "table"].index)
    assert set(kinds) == {"text", "table"}


WITH_CONNECTOR = """
  radio:
    place: panel
    draw: 1.5 A
    essential: yes
    basis: typical
    connectors:
      J1: {type: dsub-9, contacts: pin, pins: {1: power, 5: ground}}
"""


def test_pins_of_one_connector_also_without_naming_the_system(run: Run) -> None:
    lines = starter("Foxglove").splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith("  radio: {place"))
    lines[at] = WITH_CONNECTOR.strip("\n")
    write("plane.yaml", "\n".join(lines))
    for arguments in (("plane.yaml", "radio.J1"), ("plane.yaml", "radio"), ("radio.J1",)):
        status, out, err = run("pins", *arguments)
        assert (status, err) == (0, "")
        assert "radio, J1: dsub-9" in out
        assert "ground" in out
    status, _, err = run("pins", "plane.yaml", "raido")
    assert status == 2
    assert 'did you mean "radio"?' in err


# book


def test_a_book_goes_into_a_folder_with_the_systems_name(run: Run, sound: Any, bound: None) -> None:
    sound(FINDINGS)
    write()
    status, out, _ = run("book", "plane.yaml")
    assert status == 0
    assert "open plane-book" in out
    assert out.splitlines()[-1].startswith("1 fail   1 advise")
    assert (Path("plane-book") / "book.html").exists()


def test_a_book_on_other_paper(run: Run, sound: Any, bound: None) -> None:
    sound(())
    write()
    assert run("book", "plane.yaml", "-o", "b", "--paper", "Letter")[0] == 0
    assert "215.9mm 279.4mm" in Path("b/book.html").read_text(encoding="utf-8")


def test_a_book_as_one_file(run: Run, sound: Any, bound: None) -> None:
    sound(())
    write()
    assert run("book", "plane.yaml", "-o", "b.html")[0] == 0
    assert Path("b.html").read_bytes().startswith(b"<!doctype html>")


def test_a_folder_that_is_no_book_is_status_2(run: Run, sound: Any, bound: None) -> None:
    sound(())
    write()
    Path("photos").mkdir()
    Path("photos/wing.jpg").write_bytes(b"jpg")
    status, _, err = run("book", "plane.yaml", "-o", "photos")
    assert status == 2
    assert "elec did not write" in err
    assert [path.name for path in Path("photos").iterdir()] == ["wing.jpg"]


# new, checks, schema


def test_new_writes_a_system_that_can_be_read_and_says_what_next(run: Run) -> None:
    status, out, _ = run("new", "my-plane.yaml")
    assert status == 0
    assert "elec check my-plane.yaml" in out
    assert "elec book my-plane.yaml" in out
    from elec.read import read

    reading = read("my-plane.yaml")
    assert reading.mistakes == ()
    assert reading.system is not None
    assert reading.system.about.name == "my plane"


def test_new_never_writes_over_a_file(run: Run) -> None:
    write("plane.yaml", "mine")
    status, _, err = run("new", "plane.yaml")
    assert status == 2
    assert "--force" in err
    assert Path("plane.yaml").read_text(encoding="utf-8") == "mine"
    assert run("new", "plane.yaml", "--force")[0] == 0


def test_new_wants_a_yaml_file(run: Run) -> None:
    assert "plane.yaml" in run("new", "plane")[2]
    assert run("new", "no/such/plane.yaml")[0] == 2


def test_checks_lists_every_check_and_explains_one(run: Run) -> None:
    status, out, _ = run("checks")
    assert status == 0
    names = [one.id for one in elec.check.checks()]
    assert names
    assert all(name in out for name in names)
    status, out, _ = run("checks", names[0])
    assert status == 0
    assert elec.check.checks()[0].title in out
    assert run("checks", "stone")[0] == 2


def test_schema_is_json(run: Run) -> None:
    status, out, _ = run("schema")
    assert status == 0
    assert json.loads(out)["properties"]["system"]
    assert run("schema", "-o", "elec.schema.json")[0] == 0
    assert json.loads(Path("elec.schema.json").read_text(encoding="utf-8"))


# faults and interruptions


def test_a_fault_of_ours_asks_for_a_report(
    run: Run, sound: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fault(study: Any, **_how: Any) -> Any:
        raise ZeroDivisionError("of the program")

    monkeypatch.setattr(elec.check, "run", fault)
    write()
    status, out, err = run("check", "plane.yaml")
    assert (status, out) == (3, "")
    assert "Please report it" in err
    assert "ZeroDivisionError in test_cli.py:" in err
    assert "Traceback" not in err
    monkeypatch.setenv("ELEC_DEBUG", "1")
    assert "Traceback" in run("check", "plane.yaml")[2]


def test_an_interruption_is_status_130(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(study: Any, **_how: Any) -> Any:
        raise KeyboardInterrupt

    monkeypatch.setattr(elec.check, "run", stop)
    write()
    assert run("check", "plane.yaml")[0] == 130


def outside(*arguments: str, **options: Any) -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    environment.update(options.pop("env", {}))
    return subprocess.run(
        [sys.executable, "-m", "elec", *arguments],
        env=environment,
        capture_output=True,
        check=False,
        **options,
    )


def test_a_reader_that_goes_away_ends_it_quietly(tmp_path: Path) -> None:
    (tmp_path / "plane.yaml").write_text(starter("Foxglove"), encoding="utf-8")
    read_end, write_end = os.pipe()
    os.close(read_end)
    done = subprocess.run(
        [sys.executable, "-m", "elec", "schema"],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=write_end,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(write_end)
    assert (done.returncode, done.stderr) == (0, b"")


def test_signs_are_printed_whatever_the_system_prefers() -> None:
    done = outside("new", "--help", env={"PYTHONIOENCODING": "ascii", "LC_ALL": "C"})
    assert done.returncode == 0
    done = outside("checks", env={"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0, done.stderr.decode()


def loaded(*arguments: str) -> set[str]:
    """The modules that a command loads."""
    program = (
        "import sys\nfrom elec import cli\nstatus = cli.main(sys.argv[1:])\n"
        "print(*sorted({name.partition('.')[0] for name in sys.modules}), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=True,
        text=True,
    )
    return set(done.stderr.splitlines()[-1].split())


@pytest.mark.parametrize("arguments", [(), ("--help",), ("--version",), ("check", "--help")])
def test_help_loads_nothing_slow(arguments: tuple[str, ...]) -> None:
    assert not loaded(*arguments) & SLOW


def test_check_loads_no_library_of_pictures_or_frames(tmp_path: Path) -> None:
    path = tmp_path / "plane.yaml"
    path.write_text(starter("Foxglove"), encoding="utf-8")
    slow = {"pandas", "pint", "matplotlib", "schemdraw", "networkx"}
    assert not loaded("check", str(path)) & slow


def test_what_takes_long_is_left_out_and_named(run: Run) -> None:
    write()
    quick, whole = run("check", "plane.yaml", "--all")[1], run("check", "plane.yaml", "--deep")[1]
    slow = [one.id for one in elec.check.checks() if one.deep]
    assert slow
    assert f"Not asked here: {', '.join(slow)}." in quick
    assert "Not asked here" not in whole
    assert all(f"{name} " not in quick for name in slow)


# -- some of the wires ----------------------------------------------------------------------------


def test_wires_can_be_asked_for_by_bus_zone_and_state(run: Run) -> None:
    """In one step: what of the main bus in the wings is still to be done."""
    where = ("--bus", "main bus", "--zone", "wings", "--state", "open")
    status, out, _ = run("wires", str(ROOT / "systems/foxglove"), *where)
    assert status == 0
    assert re.search(r"\d+ of \d+ wires: on main bus, in wings, not rung out\.", out)
    assert "L10C20" in out
    assert "Every circuit" not in out


@pytest.mark.parametrize(
    ("option", "wrong", "meant"), [("--zone", "wing", "wings"), ("--bus", "mian", "main")]
)
def test_a_bus_or_zone_that_is_none_is_told(run: Run, option: str, wrong: str, meant: str) -> None:
    status, _, err = run("wires", str(ROOT / "systems/foxglove"), option, wrong)
    assert status == 2
    assert f'did you mean "{meant}"?' in err


def test_zones_that_there_are_are_listed_once(run: Run) -> None:
    """By the names of the file, not by their titles too."""
    _, _, err = run("wires", str(ROOT / "systems/foxglove"), "--zone", "x")
    assert err.count("wings") == 1
    assert "There are: " in err
