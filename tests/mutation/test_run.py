"""A whole run over one small module, with the tests of its bounds."""

import subprocess
import sys
from pathlib import Path

from tests.mutation.mutants import ROOT

RUN = """
import sys
from tests.mutation.__main__ import SETTINGS, main
SETTINGS["rooms"]["physics"]["tests"] = ["tests/physics/test_bounds.py"]
sys.argv = ["mutation", "physics", "--only", "physics/wire.py", "--folder", "{folder}"]
main()
"""


def test_what_no_test_asks_for_survives_and_the_rest_is_killed(tmp_path: Path) -> None:
    """The bounds ask at 3 and 7 in, not for the marks between the ends of a long wire."""
    done = subprocess.run(
        [sys.executable, "-c", RUN.format(folder=tmp_path)],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    killed, survived = "-    if length_in < 3:", "- 1e-9) - 1)"
    assert " 95 % interval " in done.stdout, done.stdout + done.stderr
    assert survived in done.stdout
    assert killed not in done.stdout
