"""What is chosen is not advised against, and what is advised passes when it is done.

Random circuits on one bus: loads of every kind, given and chosen devices and gauges. Every advice
that names a rating or a gauge is done in the text, and the checks are asked again.
"""

import random
import re
from collections.abc import Iterator
from functools import cache

import pytest

from elec.check import ask
from elec.finding import Finding, Verdict
from elec.sizing.sizing import sizing
from elec.study import Study
from tests.answers.helper import small

BASE = """
system: {{name: Bench, nominal: 14 V, return: wired, structure: steel-tube}}
phases:
  start: {{lasts: 10 s, engine: cranking}}
  taxi: {{lasts: 10 min, engine: 1200 rpm}}
  cruise: {{lasts: 1 h, engine: 2400 rpm}}
sources:
  battery: {{kind: lead-acid, place: nose, capacity: 18 Ah, resistance: 12 mΩ, ground: stud}}
  alternator: {{kind: alternator, place: nose, setpoint: 14.2 V, rating: 60 A, ground: stud,
               output: {{1000 rpm: 40 A, 2400 rpm: 60 A}}}}
buses: {{main: {{place: panel}}}}
feeders:
  - {{name: cable, from: battery, to: main, limiter: {{rating: 80 A, stub: 0 in}}, gauge: AWG 4}}
  - {{name: output, from: main, to: alternator, limiter: 80 A, gauge: AWG 6}}
grounds:
  stud: {{place: nose, kind: block}}
  block: {{place: panel, kind: block, to: stud, gauge: AWG 6}}
places: {{nose: {{ambient: 50 °C}}, panel: {{}}, tail: {{}}}}
ways: [{{between: [nose, panel], length: 3 ft}}, {{between: [panel, tail], length: {tail} ft}}]
equipment:
{loads}
circuits:
{circuits}
"""
SEEDS = (2, 4, 8, 10, 13, 15, 19, 39)
DEVICE = (
    "device-as-asked", "device-clears-fault", "device-holds-inrush", "device-holds-load",
    "device-holds-start", "device-in-time", "device-interrupts", "device-opens-stall",
    "device-protects-wire", "device-standard-rating",
)  # fmt: skip
WIRE = ("wire-drop", "wire-heat", "connector-wire")
AGAINST = (Verdict.FAIL, Verdict.ADVISE)


def _text(seed: int) -> str:
    luck = random.Random(seed)  # noqa: S311
    loads, circuits = [], []
    for k in range(6):
        amps = luck.choice([0.1, 0.3, 0.5, 0.8, 1, 1.5, 2, 3, 4, 5, 7, 10, 14])
        kind = luck.choice(["motor", "lamp", "electronic", "heater", "motor"])
        place, more = luck.choice(["panel", "tail", "nose"]), ""
        if kind == "motor":
            times, lasts = luck.choice([3, 5, 7]), luck.choice([100, 200, 500])
            more = f", inrush: {{factor: {times}, lasts: {lasts} ms}}"
            more += f", stall: {amps * luck.choice([2, 2.5, 4, 6]):.2f} A"
        elif kind == "lamp":
            times, lasts = luck.choice([6, 8, 12]), luck.choice([20, 50])
            more = f", inrush: {{factor: {times}, lasts: {lasts} ms}}"
        used = luck.choice(["always", "[taxi, cruise]", "{cruise: 2 min}"])
        basis = luck.choice(["measured", "data sheet", "estimate"])
        ground = luck.choice(["block", "stud"])
        loads.append(
            f"  l{k}: {{place: {place}, draw: {amps} A, on: {used}, basis: {basis}, "
            f"character: {kind}, ground: {ground}{more}}}"
        )
        device = luck.choice(["breaker", "fuse", "breaker"])
        rating = luck.choice(["auto", "auto", "auto", "1 A", "3 A", "5 A", "6 A", "10 A", "20 A"])
        gauge = luck.choice(["", "", "", ", gauge: AWG 22", ", gauge: AWG 18"])
        circuits.append(f"  l{k}: {{bus: main, {device}: {rating}, feeds: l{k}{gauge}}}")
    tail = luck.choice([5, 15, 25])
    return BASE.format(tail=tail, loads="\n".join(loads), circuits="\n".join(circuits))


@cache
def _study(text: str) -> Study:
    return small(text)


def _against(study: Study, *checks: str) -> Iterator[tuple[str, Finding]]:
    """What speaks against the circuits, with the circuit."""
    for check in checks:
        for found in ask(study, check):
            if found.verdict in AGAINST and (name := re.match(r"l\d\b", found.about)):
                yield name[0], found


def _ratings(remedy: str) -> list[tuple[str, str]]:
    """Ratings that a remedy names, each with the gauge that it asks for."""
    return re.findall(r"(?:Take|or) ([\d.]+) A\b(?: with AWG (\d+))?", remedy)


def _done(text: str, name: str, rating: str = "", awg: str = "") -> Study:
    """The system with an advice done."""
    (line,) = re.findall(rf"^  {name}: \{{bus.*$", text, re.MULTILINE)
    new = re.sub(r"(breaker|fuse): [^,]+", rf"\1: {rating} A", line) if rating else line
    new = re.sub(r"(, gauge: AWG \d+)?\}$", f", gauge: AWG {awg}}}", new) if awg else new
    assert new != line
    return _study(text.replace(line, new))


def test_many_are_advised() -> None:
    """The systems ask for what the tests below hold."""
    said = [f for seed in SEEDS for _, f in _against(_study(_text(seed)), *DEVICE, *WIRE)]
    assert sum(bool(_ratings(found.remedy)) for found in said) >= 8
    assert sum("AWG" in found.remedy for found in said) >= 8


@pytest.mark.parametrize("seed", SEEDS)
def test_a_rating_that_is_advised_passes_every_check_of_a_device(seed: int) -> None:
    text = _text(seed)
    for name, found in _against(_study(text), *DEVICE):
        for rating, awg in _ratings(found.remedy):
            after = dict(_against(_done(text, name, rating, awg), *DEVICE))
            assert name not in after, (found.remedy, after[name])


@pytest.mark.parametrize("seed", SEEDS)
def test_a_gauge_that_is_advised_ends_the_finding_and_brings_no_other(seed: int) -> None:
    text = _text(seed)
    every = (*DEVICE, *WIRE)
    before = {(name, found.check) for name, found in _against(_study(text), *every)}
    for name, found in _against(_study(text), "device-protects-wire", "wire-drop"):
        for awg in re.findall(r"AWG (\d+) (?:would|may|passes|does)", found.remedy):
            after = {(n, f.check) for n, f in _against(_done(text, name, "", awg), *every)}
            assert (name, found.check) not in after, found.remedy
            assert {one for one in after - before if one[0] == name} == set(), found.remedy


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_chosen_is_advised_against_by_no_other_rating(seed: int) -> None:
    """Nothing that is made and is not below the floor would pass, else it is taken."""
    study = _study(_text(seed))
    for name, found in _against(study, *DEVICE):
        if sizing(study).devices[name].chosen:
            assert _ratings(found.remedy) == [], found.sentence
