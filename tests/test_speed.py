"""A check loads nothing that it does not use: each of these costs more than reading a system."""

import os
import subprocess
import sys
from pathlib import Path

from elec.read.reading import read_texts
from tests import plain
from tests.growth import grown

ROOT = Path(__file__).parents[1]
UNUSED = {
    "numpy.ma",
    "numpy.fft",
    "numpy.random",
    "elec.drawings",
    "elec.pages.book",
    "jinja2",
    "networkx",
}


def _loaded(*arguments: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "elec", *arguments],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    return {line.rpartition("|")[2].strip() for line in done.stderr.splitlines()}


def test_a_check_loads_nothing_that_it_does_not_use() -> None:
    loaded = _loaded("check", "systems/larkspur")
    assert "numpy" in loaded
    assert not loaded & UNUSED


def test_help_loads_the_command_line_alone() -> None:
    loaded = _loaded("--help")
    assert "elec.cli.common" in loaded
    assert not loaded & {"msgspec", "numpy", "pydantic", "elec.study"}


def test_the_grown_system_of_the_benchmark_is_one() -> None:
    """A refused one takes no time at all, and its growth would be told as none."""
    text = plain.written(grown(2)).encode()
    found = read_texts({Path("twice.yaml"): text})
    assert [str(mistake) for mistake in found.mistakes] == []
    assert found.system is not None
    once = read_texts({
        path: path.read_bytes()
        for path in sorted((ROOT / "systems" / "larkspur").glob("*.yaml"))
        if path.name != "build.yaml"
    }).system  # fmt: skip
    assert once is not None
    twice = found.system.document
    assert len(twice.circuits) == 2 * len(once.document.circuits)
    assert len(twice.switches) == 2 * len(once.document.switches)
