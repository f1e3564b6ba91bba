"""How warm a wire counts for its voltage drop."""

import math
from pathlib import Path

import pytest

from elec.answers.drop.drops import FeederDrop, LoadDrop, feeder_drops, load_drops
from elec.answers.heat.heat import heat
from elec.physics.drop import warm_factor
from elec.physics.heat import careful_temperature_degc
from elec.read import read
from elec.sizing.sizing import sizing
from elec.standards import copper
from elec.study import Study
from elec.wiring.wires import bare_ohm
from tests.answers.helper import NAMES, whole

FOOT_M = 0.3048
SYSTEMS = Path(__file__).parents[2] / "systems"


@pytest.fixture(scope="module")
def study() -> Study:
    system = read(SYSTEMS / "larkspur").system
    assert system is not None
    return Study(system)


def test_the_circulars_example() -> None:
    """AC 43.13-1B 11-67 example 2, page 11-27 (from memory): 20 A of 26 A, 200 °C, in 50 °C.

    Prints 182 °C, and 9.5 ft for the 15.5 ft that the cold wire of AWG 14 may have at 1 V.
    """
    warm = careful_temperature_degc(
        current_a=20, allowed_current_a=26, ambient_degc=50, rated_degc=200
    )
    assert warm == pytest.approx(182, abs=0.5)  # whole degrees
    wire = copper("14")
    run = 15.5 / warm_factor(conductor_degc=warm, zero_degc=wire.zero_degc)
    assert run == pytest.approx(9.5, abs=0.05)  # half of the last digit
    lost = bare_ohm(wire, run * FOOT_M, warm) * 20
    cold = bare_ohm(wire, 15.5 * FOOT_M) * 20
    assert lost == pytest.approx(cold, rel=1e-9)  # the same drop by the document's own formula


@pytest.mark.parametrize("name", NAMES)
def test_what_is_judged_is_what_the_hand_calculation_ends_with(name: str) -> None:
    drops: list[LoadDrop | FeederDrop] = list(load_drops(whole(name)).values())
    drops += feeder_drops(whole(name)).values()
    asked = 0
    for drop in drops:
        if drop.lost_v is not None and drop.working.value is not None:
            # The same sum in another order: rounding only.
            assert drop.working.value == pytest.approx(drop.lost_v, rel=1e-12, abs=1e-15)
            asked += 1
    assert asked > 0


def test_every_wire_counts_as_warm_as_that(study: Study) -> None:
    asked = 0
    for name, found in heat(study).items():
        spots = (found.tight, found.warm)
        if any(spot.amps > spot.allowed_a for spot in spots) or found.current_a <= 0:
            continue
        printed = max(
            spot.bundle.ambient.value
            + (found.rated_degc - spot.bundle.ambient.value) * math.sqrt(spot.amps / spot.allowed_a)
            for spot in spots
        )
        asked += 1
        # a third spot of the run may be warmer still, none may be left out
        assert sizing(study).careful_degc[name] >= printed - 1e-6
        assert sizing(study).careful_degc[name] >= (found.warmest_degc or 0.0) - 1e-6
    assert asked > 50


def test_the_drop_of_a_load_is_that_of_its_careful_wires(study: Study) -> None:
    for found in load_drops(study).values():
        if found.lost_v is None:
            continue
        assert found.working.value == pytest.approx(found.lost_v, rel=1e-9)
