"""The starter and the examples of the documents are read as they stand; tables are current."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from elec.read.starter import starter
from tests.read.helper import good, reading

DOCS = Path(__file__).parents[2] / "docs"
TEXT = (DOCS / "file-format.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```yaml\n(.*?)```", TEXT, re.DOTALL)
# An example shows a section alone: names of other sections are unknown in it, and nothing else.
ELSEWHERE = re.compile(
    r"there is no (place|place, zone or way|phase|bus|ground|source or bus|equipment"
    r"|equipment, connector or ground"
    r'|circuit or feeder|circuit|plug between harnesses) "|the section "system" is missing'
)


@pytest.mark.parametrize("name", ["My aeroplane", "Bob's: #1", "007", "null", "{x}", "Möwe"])
def test_the_starter_is_good_under_any_name(tmp_path: Path, name: str) -> None:
    system = good(reading(tmp_path, starter(name)))
    assert system.about.name == name
    assert len(starter(name).splitlines()) < 60
    written = ["radio", "beacon", "regulator"], ["radio", "beacon", "field"]
    made = [*system.document.equipment], [*system.document.circuits]
    assert made == tuple([*names, "master-coil"] for names in written)


@pytest.mark.parametrize("text", EXAMPLES)
def test_examples_are_read(tmp_path: Path, text: str) -> None:
    for mistake in reading(tmp_path, text).mistakes:
        assert ELSEWHERE.match(mistake.message), str(mistake)


def test_there_are_examples() -> None:
    assert len(EXAMPLES) >= 8


def test_an_example_with_a_slip_would_be_seen(tmp_path: Path) -> None:
    slips = reading(tmp_path, EXAMPLES[1].replace("like:", "lkie:")).mistakes
    assert not all(ELSEWHERE.match(mistake.message) for mistake in slips)


def test_generated_parts_are_current() -> None:
    out = subprocess.run(
        [sys.executable, str(DOCS / "generate.py"), "--check"],
        capture_output=True,
        text=True,
        check=False,
        cwd=DOCS.parent,
        env={"PYTHONPATH": str(DOCS.parent), "PYTHONUTF8": "1"},
    )
    assert (out.stdout, out.returncode) == ("", 0), out.stdout + out.stderr


def test_reading_loads_no_heavy_library() -> None:
    code = (
        "import sys, elec.read; "
        "print([m for m in ('pandas', 'pint', 'networkx', 'matplotlib', 'schemdraw', 'numpy')"
        " if m in sys.modules])"
    )
    out = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=DOCS.parent
    )
    assert out.stdout.strip() == "[]"
