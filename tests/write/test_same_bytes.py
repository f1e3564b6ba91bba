"""The same text gives the same bytes: whatever the hashing, folder, time zone, locale or user."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

from tests.systems import SYSTEMS

ROOT = Path(__file__).parents[2]
UNLIKE = (
    {"PYTHONHASHSEED": "1", "TZ": "UTC", "LC_ALL": "C.utf8", "COLUMNS": "80"},
    {"PYTHONHASHSEED": "2", "TZ": "Pacific/Apia", "LC_ALL": "C", "LANG": "tr_TR.UTF-8",
     "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "COLUMNS": "200", "USER": "other"},
)  # fmt: skip


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def written(folder: Path, python: str, unlike: dict[str, str]) -> dict[str, bytes]:
    """Every output of Thistledown, written by an interpreter under such circumstances."""
    folder.mkdir(parents=True)
    shutil.copytree(SYSTEMS / "thistledown", folder / "plane")
    subprocess.run(
        [python, "-m", "tests.write.outputs", "plane", "out"],
        cwd=folder,
        env={**os.environ, **unlike, "PYTHONPATH": str(ROOT)},
        check=True,
        capture_output=True,
    )
    return files(folder / "out") | files(folder / "plane")


OTHER = os.environ.get("ELEC_OTHER_PYTHON", "")
"""An interpreter of another release that has elec and its libraries; CI names one if it has one."""


def test_the_other_python_is_another() -> None:
    """Since 3.12 `sum` of floats carries on what is lost, and numpy is another one."""
    if OTHER:
        here, there = (
            subprocess.check_output([python, "--version"]) for python in (sys.executable, OTHER)
        )
        assert here != there


def test_the_same_text_gives_the_same_bytes(tmp_path: Path) -> None:
    """Under all that is unlike at once: where a byte differs, one of them did it."""
    one, other = (
        written(tmp_path / name, python, unlike)
        for name, python, unlike in zip(
            ("here", "another folder/é"), (sys.executable, OTHER or sys.executable), UNLIKE,
            strict=True,
        )
    )  # fmt: skip
    assert len(one) > 200
    assert one.keys() == other.keys()
    assert [name for name, content in one.items() if content != other[name]] == []
    book, again = ({name.partition("/")[2]: content for name, content in one.items()
                    if name.startswith(f"{which}/")} for which in ("book", "again"))  # fmt: skip
    since = {"book.html", "book.json", "tables.xlsx", "elec-book.json"}  # the issue is not with it
    differs = {name for name in again if again[name] != book[name]}
    assert differs <= since
