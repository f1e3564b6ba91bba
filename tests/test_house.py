"""The house keeps its shape: top level, rooms, words, and nothing slow at import."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.idle import House, house

ROOT = Path(__file__).parents[1]
FILES = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE"}
FOLDERS = {"elec", "tests", "systems", "docs"}


def _tracked() -> list[str]:
    done = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True)
    return done.stdout.splitlines()


def test_top_level_is_what_the_readme_says() -> None:
    top = {name.split("/")[0] for name in _tracked()}
    assert {name for name in top if not name.startswith(".")} == FILES | FOLDERS


def test_every_room_says_what_comes_in_and_out() -> None:
    for name in _tracked():
        if re.fullmatch(r"elec/\w+/__init__\.py", name):
            text = (ROOT / name).read_text(encoding="utf-8")
            assert text.lstrip().startswith('"""'), f"{name} has no docstring"


def test_nothing_is_called_approved() -> None:
    word = re.compile(r"\bairworthy\b|\bapproved\b", re.IGNORECASE)
    for name in _tracked():
        path = ROOT / name
        if path.suffix not in {".py", ".html", ".j2", ".yaml", ".css"} or "tests" in path.parts:
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            found = word.search(line)
            assert found is None, f"{name}:{number} prints {found}"


def test_no_drawing_is_read_back() -> None:
    """Every writer has the ink of a drawing; none takes apart what another wrote."""
    reads = re.compile(r"ElementTree|minidom|xml\.(dom|parsers)|lxml")
    for name in _tracked():
        if name.startswith("elec/") and name.endswith(".py"):
            assert not reads.search((ROOT / name).read_text(encoding="utf-8")), name


def _modules_after(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint('\\n'.join(sys.modules))"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return {line.split(".")[0] for line in done.stdout.splitlines()}


@pytest.mark.parametrize(
    ("code", "heavy"),
    [
        ("import elec.cli", {"numpy", "pydantic", "pandas", "pint", "matplotlib", "schemdraw"}),
        (
            "import elec.check; elec.check.checks()",
            {"pandas", "pint", "matplotlib", "schemdraw", "scipy"},
        ),
    ],
)
def test_nothing_slow_is_imported_before_it_is_needed(code: str, heavy: set[str]) -> None:
    assert not _modules_after(code) & heavy


@pytest.mark.parametrize(
    "room", ["elec.drawings", "elec.tables", "elec.report", "elec.write", "elec.cli"]
)
def test_every_name_serves_the_program_and_not_its_tests_alone(room: str) -> None:
    assert house().idle(room) == []


@pytest.mark.parametrize(
    ("text", "idle"),
    [
        ("def used(): ...\ndef run(): used()", ""),
        ("def unused(): ...\ndef run(): ...", "unused"),
        ("def one(): two()\ndef two(): one()\ndef run(): ...", "one two"),
        ("SIZE = 3\nSPARE = 4\ndef run(): return SIZE", "SPARE"),
        ("@cache\ndef kept(): ...\n@check('x')\ndef told(): ...\ndef run(): ...", "kept"),
        ("class Record: ...\ndef run(found: 'Record'): ...", ""),
    ],
)
def test_what_nobody_reaches_is_found(text: str, idle: str) -> None:
    found = House({"elec.__main__": ast.parse(text)}).idle("elec")
    assert found == [f"elec.__main__.{name}" for name in idle.split()]


def test_equal_names_of_two_modules_are_told_apart() -> None:
    trees = {
        "elec.__main__": (
            "from elec import other\nfrom elec.more import same as theirs\n"
            "def run(): other.same(); theirs()"
        ),
        "elec.other": "def same(): ...\ndef spare(): ...",
        "elec.more": "from elec.deep import same",
        "elec.deep": "def same(): ...\ndef spare(): ...",
    }
    found = House({name: ast.parse(text) for name, text in trees.items()}).idle("elec")
    assert found == ["elec.deep.spare", "elec.other.spare"]
