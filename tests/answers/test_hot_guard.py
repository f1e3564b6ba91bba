"""A wire that stays live is guarded by what lies between it and the battery, wherever it hangs."""

from pathlib import Path

import pytest

from elec.check import run
from elec.finding import Finding, Verdict
from elec.study import Study
from tests.read.helper import good, reading

CHANGED_OVER = """\
system: {{name: Tern, nominal: 14 V, return: wired}}
phases: {{cruise: {{lasts: 1 h, engine: 2300 rpm}}}}
sources:
  battery: {{kind: lead-acid, place: firewall, capacity: 30 Ah, resistance: 9 mΩ}}
  alternator: {{kind: alternator, place: firewall, setpoint: 14.2 V, output: {{1000 rpm: 40 A}}}}
buses:
  main: {{place: panel}}
  standby: {{place: {standby}}}
  essential: {{place: panel}}
feeders:
  - {{from: battery, to: main, contactor: master, unprotected: starter cable}}
  - {{from: alternator, to: main, limiter: 60 A}}
  - {{name: standby feed, from: battery, to: standby, fuse: {fuse}}}
  - {{name: from main, from: main, to: essential, breaker: 10 A, changeover: over, used: normal}}
  - {{name: from standby, from: standby, to: essential, breaker: 10 A,
     changeover: over, used: emergency}}
{more}
switches:
  master: {{kind: contactor, place: firewall, rating: 80 A}}
  over: {{kind: relay, place: panel, rating: 20 A, rests: from standby,
         coil: {{draw: 0.15 A, bus: main, switch: normal, suppressor: diode}}}}
  normal: {{place: panel, rating: 5 A}}
grounds: {{block: {{place: firewall, kind: block}}}}
equipment: {{radio: {{place: panel, draw: 1 A, basis: measured}}}}
circuits: {{radio: {{bus: essential, breaker: 5 A, feeds: radio}}}}
places: {{firewall: , panel: }}
ways: [{{between: [firewall, panel], length: 4 ft}}]
"""


def _found(
    folder: Path,
    *,
    fuse: str = "{rating: 5 A, stub: 4 in}",
    standby: str = "panel",
    more: str = "",
) -> dict[str, Finding]:
    text = CHANGED_OVER.format(fuse=fuse, standby=standby, more=more)
    findings = run(Study(good(reading(folder, text))))
    return {f.about: f for f in findings if f.check == "feeder-hot"}


@pytest.mark.parametrize("about", ["standby feed", "from main", "from standby", "radio"])
def test_behind_a_changeover_the_fuse_beside_the_battery_guards(tmp_path: Path, about: str) -> None:
    found = _found(tmp_path)[about]
    assert found.verdict is Verdict.PASS
    assert "5 A fuse" in found.sentence
    assert (found.value, found.limit) == (5, 5)


def test_what_is_beside_the_battery_has_to_be_small(tmp_path: Path) -> None:
    found = _found(tmp_path, fuse="{rating: 10 A, stub: 4 in}")
    assert {n: found[n].verdict for n in ("from main", "from standby", "radio")} == {
        "from main": Verdict.ADVISE, "from standby": Verdict.ADVISE, "radio": Verdict.FAIL,
    }  # fmt: skip
    assert "10 A fuse" in found["radio"].sentence


def test_a_fuse_that_is_not_beside_the_battery_guards_nothing(tmp_path: Path) -> None:
    found = _found(tmp_path, fuse="{rating: 5 A, place: panel, stub: 4 ft}")
    assert found["radio"].verdict is Verdict.FAIL
    assert "is not beside battery" in found["radio"].sentence
    assert found["from main"].verdict is Verdict.FAIL
    assert "no device beside battery" in found["from main"].sentence


def test_a_second_way_past_the_fuse_takes_its_guard_away(tmp_path: Path) -> None:
    """Two fuses of 5 A into one bus give 10 A together; a bare second way is no guard at all."""
    second = "  - {name: second, from: battery, to: standby, %s}"
    both = _found(tmp_path, more=second % "fuse: {rating: 5 A, stub: 3 in}")["radio"]
    assert (both.verdict, both.value) == (Verdict.FAIL, 10)
    bare = _found(tmp_path, more=second % "unprotected: short")["radio"]
    assert bare.verdict is Verdict.FAIL
    assert "is not beside battery" in bare.sentence


def test_an_unknown_rating_beside_the_battery_cannot_be_told(tmp_path: Path) -> None:
    link = "{gauge: AWG 24, place: firewall, stub: 2 in}"
    text = CHANGED_OVER.format(fuse="X", standby="panel", more="").replace(
        "fuse: X", f"link: {link}"
    )
    findings = run(Study(good(reading(tmp_path, text))))
    found = next(f for f in findings if (f.check, f.about) == ("feeder-hot", "radio"))
    assert found.verdict is Verdict.CANNOT_TELL
