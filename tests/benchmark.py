"""Prints speed as ratios in one run; a script, not a test: `python tests/benchmark.py`.

CPU seconds of whole processes, imports included, against an empty interpreter in the same run.
"""

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
RUNS = 5


def cpu_s(arguments: list[str]) -> float:
    """The least CPU time of several runs of a command, children included."""
    best = float("inf")
    for _ in range(RUNS):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(arguments, cwd=ROOT, stdout=subprocess.DEVNULL, check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        best = min(best, used)
    return best


ADDED = ["--add", "lamp", "--draw", "17W", "--place", "belly", "--bus", "main"]


def main() -> None:
    """Measure and print."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    empty = cpu_s([sys.executable, "-c", "pass"])
    elec = [sys.executable, "-m", "elec"]
    print(f"{'command':34}{'CPU s':>8}{'× empty interpreter':>22}")
    print(f"{'python -c pass':34}{empty:8.3f}{1:22.1f}")
    with tempfile.TemporaryDirectory() as folder:
        rows = {
            "elec --help": ["--help"],
            "elec check systems/thistledown": ["check", "systems/thistledown"],
            "elec check systems/foxglove": ["check", "systems/foxglove"],
            "elec check systems/larkspur": ["check", "systems/larkspur"],
            "elec try systems/larkspur --add": ["try", "systems/larkspur", *ADDED],
            "elec book systems/larkspur": ["book", "systems/larkspur", "-o", f"{folder}/book"],
        }
        for title, arguments in rows.items():
            used = cpu_s([*elec, *arguments])
            print(f"{title:34}{used:8.3f}{used / empty:22.1f}")


if __name__ == "__main__":
    main()
