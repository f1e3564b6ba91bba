"""A changeover relay whose contacts are welded, in the network: in either position, and bridged."""

from functools import cache
from pathlib import Path

import pytest

from elec.answers.failures.failure_double import doubles
from elec.answers.failures.failure_list import failures
from elec.answers.failures.failure_states import CHANGED
from elec.answers.failures.failure_sweep import Sweep
from elec.answers.failures.failures import decisive, effects
from elec.answers.failures.welds import welds
from elec.pages.failures.coils import coils_table
from elec.read import read
from elec.study import Study
from elec.wiring.cases import NORMAL
from tests.answers.helper import small
from tests.read.helper import good, reading

SHAPES = Path(__file__).parents[2] / "docs" / "shapes.yaml"
MAIN, STANDBY = "essential from main", "essential from standby"
ON_MAIN, AT_REST, BRIDGED = (
    f"weld:essential-relay:{word}" for word in ("pulled-in", "at-rest", "bridged")
)


@cache
def _study() -> Study:
    found = read(SHAPES)
    assert found.system is not None
    return Study(found.system)


def _other(folder: Path, **changes: tuple[str, str]) -> Study:
    text = SHAPES.read_text(encoding="utf-8")
    for old, new in changes.values():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return Study(good(reading(folder, text)))


def test_each_weld_is_solved() -> None:
    """Attitude draws 0.5 A; the wire behind the common terminal counts to the feeder from main."""
    found = {one.failure.id: one for one in decisive(_study())}
    for weld in (ON_MAIN, AT_REST, BRIDGED):
        assert found[weld].solved
        assert found[weld].lost == ()
    standby = {weld: found[weld].carried[STANDBY] for weld in (ON_MAIN, AT_REST, BRIDGED)}
    assert standby[ON_MAIN] == pytest.approx(0.0, abs=1e-9)
    assert standby[AT_REST] == pytest.approx(0.5, abs=1e-6)
    # two ways of some ten milliohms each: what flows from bus to bus comes on top
    assert standby[BRIDGED] not in (
        pytest.approx(0.0, abs=1e-3),
        pytest.approx(0.5, abs=1e-3),
    )


def test_with_its_bus_dead_a_weld_takes_what_the_relay_would_have_saved() -> None:
    pairs = {
        (a.id, b.id): one.taken for one in doubles(_study()) for a in one.first for b in one.second
    }
    pairs |= {(b, a): what for (a, b), what in pairs.items()}
    assert pairs[ON_MAIN, "bus:main"] == ("attitude",)
    assert pairs[AT_REST, "bus:standby"] == ("attitude",)
    assert (ON_MAIN, "bus:standby") not in pairs
    assert (AT_REST, "bus:main") not in pairs
    assert (ON_MAIN, AT_REST) not in pairs  # one contact does not stick in two places


def test_what_a_weld_keeps_and_joins() -> None:
    """Main and standby hang on one battery: bridged, the relay joins buses, no second source."""
    found = {one.failure.id: one for one in welds(_study())}
    assert list(found) == [ON_MAIN, AT_REST, BRIDGED]
    assert found[ON_MAIN].then_lost == {"main": ("attitude",)}
    assert found[AT_REST].then_lost == {"standby": ("attitude",)}
    assert found[BRIDGED].then_lost == {}
    assert found[ON_MAIN].joined == found[AT_REST].joined == ()
    assert found[BRIDGED].joined == ()
    assert {name: one.live for name, one in found.items()} == dict.fromkeys(found, ())


def test_two_batteries_are_joined_by_a_bridged_relay_alone(tmp_path: Path) -> None:
    study = _other(
        tmp_path,
        source=(
            "  alternator:\n    kind: alternator",
            (
                "  reserve: {kind: lead-acid, place: firewall, capacity: 7 Ah, resistance: 20 mΩ}\n"
                "  alternator:\n    kind: alternator"
            ),
        ),
        feed=("from: battery, to: standby, switch: standby,", "from: reserve, to: standby,"),
        tie=(
            "name: tie, from: main, to: standby,",
            "name: tie, from: main, to: standby, used: never,",
        ),
    )
    found = {one.failure.id: one for one in welds(study)}
    assert found[BRIDGED].joined == ("battery", "reserve", "alternator")
    assert found[ON_MAIN].joined == found[AT_REST].joined == ()
    # with every switch off the reserve has the essential bus anyway: it is at rest on it; bridged
    # it has main, too, and what hangs there cannot be turned off
    assert found[BRIDGED].live == ("main",)
    assert found[ON_MAIN].live == ()
    (row,) = [row for row in coils_table(study).rows if row[0] == "essential relay"]
    said = str(row)
    assert "joins battery, reserve and alternator" in said
    assert "main stays live with every switch off" in said


def test_the_table_says_what_a_weld_takes_later() -> None:
    (row,) = [row for row in coils_table(_study()).rows if row[0] == "essential relay"]
    said = str(row)
    assert "main to essential stays closed, and standby to essential cannot take over" in said
    assert "with main lost, attitude is lost" in said
    assert "with standby lost, attitude is lost" in said


def test_coil_and_device_of_the_coil_are_cases() -> None:
    found = {effect.failure.id for effect in effects(_study(), "cruise")}
    assert {
        "coil:essential-relay",
        "device:essential-relay-coil",
        "switch:essential-normal",
    } <= found


CLOSED = """\
system: {name: Closed, nominal: 14 V, conditions: [day], return: wired}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources:
  battery: {kind: lead-acid, place: nose, capacity: 18 Ah, rate: 1 h, resistance: 10 mΩ}
  reserve: {kind: lead-acid, place: nose, capacity: 7 Ah, rate: 1 h, resistance: 20 mΩ}
buses: {main: {place: nose}, essential: {place: nose, essential: yes}}
grounds: {post: {place: nose}}
feeders:
  - {name: usual, from: battery, to: main, contactor: master, used: normal, gauge: AWG 6,
     unprotected: test}
  - {name: onward, from: main, to: essential, breaker: 15 A, diode: schottky, gauge: AWG 12}
  - {name: spare, from: reserve, to: essential, breaker: 15 A, switch: spare, used: emergency,
     gauge: AWG 12}
switches:
  master: {kind: contactor, place: nose, coil: {draw: 0.8 A, switch: master-switch}}
  spare: {kind: relay, place: nose, coil: {draw: 0.1 A, switch: spare-switch}}
  master-switch: {place: nose}
  spare-switch: {place: nose}
  by-hand: {place: nose}
equipment:
  lamp: {place: nose, draw: 2 A}
  radio: {place: nose, draw: 5 A, essential: yes, minimum: 10 V}
circuits:
  lamp: {bus: main, breaker: 5 A, switch: by-hand, feeds: lamp, gauge: AWG 18}
  radio: {bus: essential, breaker: 10 A, feeds: radio, gauge: AWG 16}
places: {nose: {}}
"""


def test_a_contactor_of_a_feeder_is_tried_welded_closed() -> None:
    """The hand's own switch is not: only what has a coil welds."""
    study = small(CLOSED)
    found = [one for one in failures(study) if one.closes]
    assert [one.id for one in found] == ["weld:master:closed", "weld:spare:closed"]
    assert not welds(study)  # no relay changes over
    assert all(one.solved for one in decisive(study) if one.failure.closes)


def test_welded_the_spare_feeder_carries_in_normal_flight() -> None:
    """The diode costs the usual feed 0.4 V, so the reserve takes most of the 5 A of the radio."""
    found = {one.failure.id: one for one in decisive(small(CLOSED))}
    assert found["weld:spare:closed"].carried["spare"] > 3.0
    assert found["weld:master:closed"].carried["spare"] == pytest.approx(0.0, abs=1e-9)


def test_welded_a_master_feeds_on_after_changing_over() -> None:
    study = small(CLOSED)
    which = tuple(one for one in failures(study) if one.id == "weld:master:closed")
    sweep = Sweep(study, ("cruise",), (NORMAL, CHANGED), ("momentary",), "day", which=which)
    assert "lamp" in sweep.dead("cruise", CHANGED, sweep.healthy)
    assert "lamp" not in sweep.dead("cruise", CHANGED, 0)
