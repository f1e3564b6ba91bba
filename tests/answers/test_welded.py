"""A changeover relay whose contacts are welded, in the network: in either position, and bridged."""

from functools import cache
from pathlib import Path

import pytest

from elec.answers.failures.failure_double import doubles
from elec.answers.failures.failures import decisive, effects
from elec.answers.failures.welds import welds
from elec.pages.failures.coils import coils_table
from elec.read import read
from elec.study import Study
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
