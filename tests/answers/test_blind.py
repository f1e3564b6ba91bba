"""A regulator that no longer sees what it holds: its wire open, or the bus parted from it."""

import pytest

from elec.answers.failures.failure_list import sense_wires
from elec.answers.failures.failures import Effect, decisive, effects
from elec.check import ask
from elec.finding import Verdict
from elec.pages.failures.page import failures_lead
from elec.pages.failures.table import failure_tables
from elec.study import Study
from tests.answers.helper import small, whole

TEXT = """\
system: {name: Sense, nominal: 14 V, conditions: [day], return: wired}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources:
  battery: {kind: lead-acid, place: nose, capacity: 18 Ah, rate: 1 h, resistance: 10 mΩ}
  alternator: {kind: alternator, place: nose, setpoint: 14.2 V, rating: 40 A, field-circuit: field,
               field-wire: regulator, output: {1000 rpm: 20 A, 2400 rpm: 40 A},
               sense: {from: main, if-open: off}, overvoltage-protection: yes}
buses:
  power: {place: nose}
  main: {place: panel}
grounds: {post: {place: nose}}
feeders:
  - {name: battery feed, from: battery, to: power, limiter: 60 A, gauge: AWG 6}
  - {name: output, from: power, to: alternator, limiter: 60 A, gauge: AWG 6}
  - {name: main feed, from: power, to: main, limiter: 40 A, gauge: AWG 8}
equipment:
  regulator: {place: nose, draw: 2 A, ground: post}
  radio: {place: nose, draw: 2 A, essential: yes, minimum: 10 V}
  lamp: {place: panel, draw: 3 A}
circuits:
  field: {bus: power, breaker: 5 A, feeds: regulator, gauge: AWG 20}
  radio: {bus: power, breaker: 5 A, feeds: radio, gauge: AWG 20}
  lamp: {bus: main, breaker: 5 A, feeds: lamp, gauge: AWG 20}
places: {nose: {}, panel: {reach: yes}}
ways:
  - {name: back, between: [nose, panel], length: 1 m}
"""
SENSE = "sense: {from: main, if-open: off}, overvoltage-protection: yes"
SECOND = "  second: {kind: lead-acid, place: panel, capacity: 7 Ah, rate: 1 h, resistance: 20 mΩ}\n"
SPARE = "  - {name: spare, from: second, to: main, limiter: 40 A, gauge: AWG 8, diode: schottky}\n"


def _study(said: str = SENSE, *, second: bool = False) -> Study:
    assert TEXT.count(SENSE) == 1
    text = TEXT.replace(SENSE, said)
    if second:
        text = text.replace("buses:\n", f"{SECOND}buses:\n", 1)
        text = text.replace("equipment:\n", f"{SPARE}equipment:\n", 1)
    return small(text)


def _effect(study: Study, name: str) -> Effect:
    return next(one for one in effects(study, "cruise") if one.failure.id == name)


def _remark(study: Study, title: str) -> str:
    table = failure_tables(study)[0]
    at = [column.key for column in table.columns].index("remark")
    return next(str(r[at]) for r in table.rows if str(getattr(r[0], "value", r[0])) == title)


@pytest.mark.parametrize(
    ("said", "remark"),
    [
        (SENSE, "and gives nothing"),
        (
            SENSE.replace("off", "full"),
            "gives all it can until its overvoltage trip opens, then nothing",
        ),
        (
            SENSE.replace(", if-open: off", ""),
            "cannot tell whether it gives nothing at once, or all it can",
        ),
    ],
)
def test_its_wire_open_the_alternator_is_off(said: str, remark: str) -> None:
    """The same as a dead alternator, to the last minute."""
    study = _study(said)
    found, dead = _effect(study, "sense:alternator"), _effect(study, "source:alternator")
    assert found.sources == dead.sources == ("alternator",)
    assert found.holds_min == pytest.approx(dead.holds_min)
    assert found.least == dead.least
    assert found.solved
    assert found.astray == ("alternator",)
    assert dead.astray == ()
    assert remark in _remark(study, "sense wire of alternator open, or its fuse")


def test_one_that_holds_on_is_not_lost() -> None:
    found = _effect(_study(SENSE.replace("off", "holds")), "sense:alternator")
    assert (found.sources, found.astray, found.drained) == ((), (), ())
    assert found.solved


@pytest.mark.parametrize("name", ["bus:main", "feeder:main feed", "device:main feed"])
def test_the_bus_that_it_senses_lost_takes_it_off(name: str) -> None:
    """The field and all essential loads hang on the other bus, and lived on before."""
    found = _effect(_study(), name)
    assert found.sources == ("alternator",)
    assert found.astray == ("alternator",)
    assert found.drained == ("battery",)
    assert _effect(_study("sense: inside, overvoltage-protection: yes"), name).sources == ()


def test_what_passes_on_the_way_of_the_wire_takes_it_too() -> None:
    study = _study()
    assert set(sense_wires(study).values()) == {"alternator"}
    assert _effect(study, "way:0").astray == ("alternator",)


@pytest.mark.parametrize(
    "said",
    [
        "sense: {from: main, if-open: full}, overvoltage-protection: no",
        "sense: main, overvoltage-protection: no",
        "sense: main",
    ],
)
def test_with_nothing_to_take_it_off_voltages_cannot_be_told(said: str) -> None:
    study = _study(said)
    found = _effect(study, "sense:alternator")
    assert found.untold
    assert not found.solved
    remark = _remark(study, "sense wire of alternator open, or its fuse")
    assert "cannot tell how high its voltage goes" in remark
    assert "cannot be told after: sense wire of alternator open" in " ".join(failures_lead(study))
    said_of = {f.about: f for f in ask(study, "failure-single")}
    assert said_of["radio"].verdict is Verdict.CANNOT_TELL
    assert "may let an alternator run away" in said_of["radio"].sentence


def test_off_without_a_voltage_is_not_off_where_a_battery_shows_it_one() -> None:
    """Parted from the alternator, the bus hangs on the battery: it gives all to raise it."""
    said = "sense: {from: main, if-open: off}, overvoltage-protection: no"
    study = _study(said, second=True)
    assert not _effect(study, "sense:alternator").untold
    assert _effect(study, "feeder:main feed").untold
    assert not _effect(_study(second=True), "feeder:main feed").untold


def test_one_that_holds_on_is_misled_by_a_battery() -> None:
    study = _study(SENSE.replace("off", "holds"), second=True)
    assert _effect(study, "feeder:main feed").astray == ("alternator",)
    assert _effect(_study(SENSE.replace("off", "holds")), "feeder:main feed").astray == ()


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_the_systems_have_it(name: str) -> None:
    found = next(e for e in decisive(whole(name)) if e.failure.id == "sense:alternator")
    assert found.sources == ("alternator",)
    assert not found.taken
