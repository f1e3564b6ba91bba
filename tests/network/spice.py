"""Run ngspice, a general circuit simulator, on a deck and read the node voltages back.

Source: ngspice (seen: version 39.3). It forms modified nodal equations and solves them by LU
factorisation and Newton's method with source and gmin stepping, which shares nothing with the
elimination, states and companions in `elec.network`.
"""

import shutil
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import pytest

needs_ngspice = pytest.mark.skipif(
    shutil.which("ngspice") is None,
    reason="ngspice is not on PATH: install it (Debian: apt install ngspice) to check the network "
    "solution against an outside simulator",
)


class NoOperatingPointError(Exception):
    """ngspice gave no operating point for a deck."""


def operating_point(text: str) -> dict[str, float]:
    """Node voltages in V by the deck's (lower-case) node names; the reference `0` is 0.

    Where the deck's first guess (`.nodeset`) does not lead to an operating point, ngspice is asked
    again without it.

    Raises:
        NoOperatingPointError: ngspice did not find one; the message holds what it said.
    """
    try:
        return _run(text)
    except NoOperatingPointError:
        if ".nodeset" not in text:
            raise
    return _run("\n".join(x for x in text.splitlines() if not x.startswith(".nodeset")) + "\n")


def _run(text: str) -> dict[str, float]:
    with tempfile.TemporaryDirectory() as folder:
        deck, raw = Path(folder) / "deck.cir", Path(folder) / "out.raw"
        deck.write_text(text)
        run = subprocess.run(
            ["ngspice", "-b", "-r", str(raw), str(deck)],
            capture_output=True,
            text=True,
            check=False,
            timeout=60,
        )
        said = run.stdout + run.stderr
        if run.returncode or not raw.exists():
            raise NoOperatingPointError(said)
        return read_raw(raw.read_bytes()) | {"0": 0.0}


def read_raw(content: bytes) -> dict[str, float]:
    """Read the last point of a raw file, binary or ASCII: node voltages by name."""
    binary = b"Binary:\n" in content
    head, body = content.split(b"Binary:\n" if binary else b"Values:\n", 1)
    lines = head.decode().splitlines()
    count = next(int(x.split(":")[1]) for x in lines if x.startswith("No. Variables"))
    start = lines.index("Variables:") + 1
    names = [line.split()[1].lower() for line in lines[start : start + count]]
    numbers = (
        np.frombuffer(body, np.float64)
        if binary
        else np.asarray([float(x.split()[-1]) for x in body.decode().splitlines() if x.strip()])
    )
    point = numbers[-count:].tolist()
    voltages = {}
    for name, value in zip(names, point, strict=True):
        if name.startswith("v(") and name.endswith(")"):
            voltages[name[2:-1]] = float(value)
        elif "#" not in name and not name.startswith(("i(", "@")):
            voltages[name] = float(value)
    return voltages
