"""A check loads nothing that it does not use: each of these costs more than reading a system."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
UNUSED = {
    "numpy.ma",
    "numpy.fft",
    "numpy.random",
    "elec.drawings",
    "elec.pages.book",
    "jinja2",
}


def test_a_check_loads_nothing_that_it_does_not_use() -> None:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "elec", "check", "systems/foxglove"],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    loaded = {line.rpartition("|")[2].strip() for line in done.stderr.splitlines()}
    assert "numpy" in loaded
    assert not loaded & UNUSED
