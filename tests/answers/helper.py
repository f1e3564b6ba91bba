"""Studies of the systems that come with elec, and of small systems written where they are used."""

import tempfile
from functools import cache
from pathlib import Path

from elec.read import read
from elec.study import Study
from tests.systems import NAMES, SYSTEMS


@cache
def whole(name: str) -> Study:
    """One of the systems that come with elec; its analyses are shared by all tests."""
    return _study(SYSTEMS / name)


def small(text: str) -> Study:
    """A study of a system given as text."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "small.yaml"
        file.write_text(text, encoding="utf-8")
        return _study(file)


def _study(path: Path) -> Study:
    found = read(path)
    assert not found.mistakes, "\n".join(map(str, found.mistakes))
    assert found.system is not None
    return Study(found.system)


def loads_of(draws: dict[str, str], *, on: str = "always", nominal: str = "14 V") -> str:
    """A system with one bus whose loads draw what is given; an empty text: nobody knows."""
    equipment = "".join(
        f"  {name}: {{place: panel, on: {on}{', draw: ' + draw if draw else ''}}}\n"
        for name, draw in draws.items()
    )
    circuits = "".join(f"  {name}: {{bus: main, breaker: auto, feeds: {name}}}\n" for name in draws)
    return (
        f"system: {{name: Sums, nominal: {nominal}}}\n"
        "phases:\n  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
        "sources:\n"
        "  alternator: {kind: alternator, place: panel, setpoint: 14.2 V, rating: 60 A,\n"
        "               output: {1000 rpm: 60 A}}\n"
        "  battery: {kind: lead-acid, place: panel, capacity: 18 Ah}\n"
        "buses:\n  main: {place: panel}\n"
        "grounds:\n  block: {place: panel}\n"
        "feeders:\n"
        "  - {from: battery, to: main, limiter: auto}\n"
        "  - {from: alternator, to: main, limiter: auto}\n"
        f"equipment:\n{equipment}circuits:\n{circuits}places: {{panel: }}\n"
    )


__all__ = ["NAMES", "SYSTEMS", "loads_of", "small", "whole"]
