"""The house keeps its shape: top level, rooms, words, and nothing slow at import."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

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
