"""Run ngspice, a general circuit simulator, on a deck and compare what it says with our solution.

Source: ngspice (seen: version 39.3). It forms modified nodal equations and solves them by LU
factorisation and Newton's method with source and gmin stepping, which shares nothing with the
elimination, states and companions in `elec.network`. Voltages and currents are its own: it is
asked for the current of every element (`.save @r1[i]`), none is computed from its voltages here.
"""

import shutil
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import pytest
from msgspec import Struct
from msgspec.structs import replace

from elec.network.netlist import Array, Netlist, Solution, Values
from elec.network.spice import OPTIONS, spice_nodes, to_spice

needs_ngspice = pytest.mark.skipif(
    shutil.which("ngspice") is None,
    reason="ngspice is not on PATH: install it (Debian: apt install ngspice) to check the network "
    "solution against an outside simulator",
)

AGREE_V, AGREE_A = 1e-8, 1e-6
"""How close ngspice and our solution must be: a thousandth of what any instrument on board shows.

Measured: see docs/performance.md; most voltages agree to 1e-10 V and most currents to 1e-8 A.
"""
TIGHTER = "reltol=1e-12 abstol=1e-12 vntol=1e-12"


class NoOperatingPointError(Exception):
    """ngspice gave no operating point for a deck."""


class Point(Struct, frozen=True, kw_only=True):
    """What ngspice says; names in small letters, as in the deck."""

    voltage_v: dict[str, float]
    current_a: dict[str, float]
    """Of elements, in their own direction; empty unless asked for."""


def without_guess(text: str) -> str:
    """The deck without its first guess."""
    return "\n".join(x for x in text.splitlines() if not x.startswith(".nodeset")) + "\n"


def operating_point(text: str) -> Point:
    """Node voltages in V and whatever the deck saves; the reference `0` is 0 V.

    Where the deck's first guess (`.nodeset`) does not lead to an operating point, ngspice is asked
    again without it.

    Raises:
        NoOperatingPointError: ngspice did not find one; the message holds what it said.
    """
    try:
        return as_written(text)
    except NoOperatingPointError:
        if ".nodeset" not in text:
            raise
    return as_written(without_guess(text))


def as_written(text: str) -> Point:
    """The answer to a deck as it stands, its first guess included.

    Raises:
        NoOperatingPointError: ngspice did not find one; the message holds what it said.
    """
    with tempfile.TemporaryDirectory() as folder:
        deck, raw = Path(folder) / "deck.cir", Path(folder) / "out.raw"
        deck.write_text(text, encoding="utf-8")
        run = subprocess.run(
            ["ngspice", "-b", "-r", str(raw), str(deck)],
            capture_output=True,
            text=True,
            check=False,
            timeout=600,
        )
        said = run.stdout + run.stderr
        if run.returncode or not raw.exists():
            raise NoOperatingPointError(said)
        return read_raw(raw.read_bytes())


def read_raw(content: bytes) -> Point:
    """Read the last point of a raw file, binary or ASCII."""
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
    point = dict(zip(names, numbers[-count:].tolist(), strict=True))
    voltages = {n[2:-1]: x for n, x in point.items() if n.startswith("v(")}
    voltages |= {n: x for n, x in point.items() if "(" not in n and "#" not in n}
    currents = {n[3:-4]: x for n, x in point.items() if n.startswith("i(@") and n.endswith("[i])")}
    currents |= {n[2:-1]: x for n, x in point.items() if n.startswith("i(v")}
    return Point(voltage_v=voltages | {"0": 0.0}, current_a=currents)


def measured(deck: str) -> str:
    """The deck, asked for the current of every element."""
    elements = [x.split()[0].lower() for x in deck.splitlines() if x[:1] in "RB"]
    saves = [f".save @{name}[i]" for name in elements]
    return deck.replace(OPTIONS, "\n".join([".save all", *saves, OPTIONS]))


class Apart(Struct, frozen=True, kw_only=True):
    """How far ngspice and our solution of a case are from each other."""

    volts: float
    """At the worst node whose voltage is determined."""
    amps: float
    """At the worst element."""
    below: bool
    """Whether ngspice has less than our voltage at some load, and more at none."""
    nodes: int
    elements: int
    asked: int = 1
    """How often ngspice was asked until this answer; see `simulate`."""
    changed: bool = False
    """Whether it answered before, but otherwise."""

    def within(self, volts: float, amps: float) -> bool:
        """Whether neither is more."""
        return self.volts <= volts and self.amps <= amps


def compare(netlist: Netlist, solution: Solution, case: int, point: Point) -> Apart:
    """Compare all voltages and currents of a case."""
    names = spice_nodes(netlist)
    ours = dict(zip(solution.nodes, solution.voltage_v[:, case].tolist(), strict=True))
    apart = [
        ours[node] - point.voltage_v[name]
        for node, name in names.items()
        if name in point.voltage_v and np.isfinite(ours[node])
    ]
    groups: tuple[tuple[tuple[str, ...], Array], ...] = (
        (("rr",), solution.resistor_a),
        (("rb",), -solution.battery_a),
        (("ba",), solution.alternator_a),
        (("bd",), solution.diode_a),
        (("rl", "bl"), solution.load_a),
    )
    off = [
        float(current) - point.current_a[f"{letter}{k}"]
        for letters, currents in groups
        for letter in letters
        for k, current in enumerate(currents[:, case])
        if f"{letter}{k}" in point.current_a
    ]
    across = [
        point.voltage_v.get(names[x.a], np.nan) - point.voltage_v.get(names[x.b], np.nan)
        for x in netlist.loads
    ]
    more = np.asarray(across) - solution.load_v[:, case]
    return Apart(
        volts=float(np.abs(apart).max(initial=0.0)),
        amps=float(np.abs(off).max(initial=0.0)),
        below=bool((more <= AGREE_V).all() and (more < -AGREE_V).any()),
        nodes=len(apart),
        elements=len(off),
    )


def simulate(
    netlist: Netlist, values: Values, solution: Solution, case: int, *, tries: int = 4
) -> Apart:
    """Let ngspice solve a case, from a first guess of its own or the deck's, and compare.

    Without a guess it may end on a lower operating point than the highest, or on none; with one,
    version 39.3 keeps some of it at nodes that next to no current enters. What it gives at the
    deck's tolerances may be off by a few 1e-9 of a voltage; a third time they are a thousandth.

    Returns:
        The first answer within 1e-8 V and 1e-6 A of ours, else the closest.

    Raises:
        NoOperatingPointError: ngspice found none.
    """
    deck = measured(to_spice(netlist, values, case))
    tight = deck.replace("reltol=1e-9 abstol=1e-9 vntol=1e-9", TIGHTER)
    found: list[Apart] = []
    texts = (without_guess(deck), deck, without_guess(tight), tight)
    for asked, text in enumerate(texts[:tries], 1):
        try:
            apart = compare(netlist, solution, case, as_written(text))
            found.append(replace(apart, asked=asked, changed=bool(found)))
        except NoOperatingPointError:
            continue
        if found[-1].within(AGREE_V, AGREE_A):
            return found[-1]
    if not found:
        raise NoOperatingPointError
    return min(found, key=lambda apart: (apart.volts, apart.amps))


def simulate_from_ours(netlist: Netlist, values: Values, solution: Solution, case: int) -> Apart:
    """Likewise, but from our own voltages as the first guess, for decks where it finds no start.

    A guess does not bind it: its Newton steps end only where its own equations hold.
    """
    deck = measured(to_spice(netlist, values, case, guess=solution))
    return compare(netlist, solution, case, as_written(deck))
