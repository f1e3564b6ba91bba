"""A lithium battery's management system in a short: it opens, does not, or nobody can tell."""

import pytest

from elec.answers.short.shorts import shorts
from elec.check import run
from elec.finding import Finding, Verdict
from elec.pages.failures.shorts import shorts_table
from elec.study import Study
from tests.answers.helper import small

TEXT = """\
system: {{name: Cut, nominal: 14 V, ambient: 25 °C, conditions: [day], return: airframe}}
phases: {{cruise: {{lasts: 1 h{engine}}}}}
sources:
  pack: {{kind: lithium-iron-phosphate, place: panel, capacity: 18 Ah, resistance: 10 mΩ{pack}}}
{more}
buses: {{main: {{place: panel, essential: yes}}}}
grounds: {{block: {{place: panel}}}}
feeders:
  - {{name: feed, from: pack, to: main, limiter: 60 A, gauge: AWG 4}}
{feeders}
equipment:
  radio: {{place: panel, draw: 1 A, on: always, essential: yes}}
  fan: {{place: panel, draw: 1 A, on: always}}
circuits:
  radio: {{bus: main, breaker: {{rating: 5 A, resistance: 20 mΩ}}, feeds: radio, gauge: AWG 20}}
  fan: {{bus: main, breaker: {{rating: 5 A, resistance: 20 mΩ}}, feeds: fan, gauge: AWG 20}}
places: {{panel: {{ambient: 25 °C}}}}
"""
ALTERNATOR = (
    "  alternator: {kind: alternator, place: panel, setpoint: 14.2 V, rating: 40 A,\n"
    "               output: {1000 rpm: 40 A}}\n"
)
OUTPUT = "  - {name: output, from: main, to: alternator, limiter: 60 A, gauge: AWG 6}\n"


def _study(pack: str, *, alternator: bool = False) -> Study:
    return small(
        TEXT.format(
            pack=pack,
            engine=", engine: 2400 rpm" if alternator else "",
            more=ALTERNATOR if alternator else "",
            feeders=OUTPUT if alternator else "",
        )
    )


def _about(study: Study, check: str, about: str) -> Finding:
    return next(f for f in run(study) if f.check == check and f.about == about)


def test_below_its_limit_it_stays_closed() -> None:
    study = _study(", limit: 2000 A")
    assert all(short.cut is None for s in shorts(study).by_name.values() for short in s.shorts)
    assert _about(study, "short-essential", "fan").verdict is Verdict.PASS


def test_above_it_for_longer_than_it_waits_it_opens_and_takes_what_it_feeds() -> None:
    study = _study(", limit: 100 A, opens-after: 1 ms")
    short = shorts(study).by_name["fan"].shorts[0]
    assert short.cut is not None
    assert short.cut.batteries == ("pack",)
    # 13.4 V over 10 mΩ of the pack, 20 mΩ of the breaker, wire, limiter and the short: 300 to 400 A
    assert short.cut.amps == pytest.approx(short.normal.drives_a)
    assert 100 < short.cut.amps < 1340
    assert short.cut.sure
    assert short.cut.taken == ("radio",)
    found = _about(study, "short-essential", "fan")
    assert found.verdict is Verdict.FAIL
    assert "its management system opens" in found.sentence
    assert "Radio has no supply" in found.sentence


def test_devices_that_are_quicker_than_it_keep_the_battery() -> None:
    study = _study(", limit: 100 A, opens-after: 5 s")
    assert shorts(study).by_name["fan"].shorts[0].cut is None
    assert _about(study, "short-essential", "fan").verdict is Verdict.PASS


@pytest.mark.parametrize(
    ("pack", "asked"), [("", "give limit"), (", limit: 100 A", "give opens-after")]
)
def test_a_trip_that_is_not_given_cannot_be_followed(pack: str, asked: str) -> None:
    found = _about(_study(pack), "short-essential", "fan")
    assert found.verdict is Verdict.CANNOT_TELL
    assert asked in found.remedy


def test_the_alternator_alone_carries_on_where_it_may() -> None:
    study = _study(", limit: 100 A, opens-after: 1 ms", alternator=True)
    short = shorts(study).by_name["fan"].shorts[0]
    assert short.cut is not None
    assert short.cut.taken == ()
    # 1.5 times 40 A of the alternator alone
    assert short.cut.normal.drives_a == pytest.approx(60.0, rel=0.02)
    assert [one.device for one in short.cut.normal.opened] == ["fan"]
    found = _about(study, "short-essential", "fan")
    assert found.verdict is Verdict.PASS
    assert "management system" in found.sentence
    table = shorts_table(study)
    at = [column.key for column in table.columns].index("may")
    assert any("management of pack" in str(row[at]) for row in table.rows)
