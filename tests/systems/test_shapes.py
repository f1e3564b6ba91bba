"""Wiring that is not one straight line: docs/shapes.yaml is read, laid out and checked."""

from functools import cache
from pathlib import Path

import pytest

from elec.answers.connect.pins import colour_of
from elec.answers.failures.failures import effects
from elec.answers.short.crowbar import crowbars
from elec.answers.short.fault import faults
from elec.check import run
from elec.finding import Verdict
from elec.pages.circuits.switch import poles
from elec.physics.protection import greatest_opening_time_s
from elec.read import read
from elec.sizing.devices import band_of
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.ends import end_id

SHAPES = Path(__file__).parents[2] / "docs" / "shapes.yaml"


@cache
def _study() -> Study:
    found = read(SHAPES)
    assert [str(mistake) for mistake in found.mistakes] == []
    assert found.system is not None
    return Study(found.system)


def _ends(chain: Chain) -> list[tuple[str, str]]:
    return [(end_id(wire.a), end_id(wire.b)) for wire in chain.conductors()]


def test_a_run_of_contacts_and_a_splice_of_a_signal() -> None:
    wires = {c.name: _ends(c) for c in chains(_study()).of("wire")}
    assert [wires[f"wire-1-{k}"] for k in range(1, 5)] == [
        [(f"radio.J1.{k + 2}", f"intercom.J1.{k}")] for k in range(1, 5)
    ]
    assert len(wires["wire-2"]) == 4
    assert [end for _, end in wires["wire-2"][1:]] == [
        "intercom.J1.5", "left-button.1", "right-button.1",
    ]  # fmt: skip


def test_thermocouple_legs_are_no_copper() -> None:
    legs = [c for name in ("wire-3-1", "wire-3-2", "wire-4", "wire-5")
            for c in chains(_study()).by_name[name].conductors()]  # fmt: skip
    assert [(leg.wire, colour_of(leg)) for leg in legs] == [
        ("thermocouple-k-positive", "by maker"),
        ("thermocouple-k-negative", "by maker"),
    ] * 2
    found = [f for f in run(_study()) if f.check == "wire-thermocouple"]
    assert [f.verdict for f in found] == [Verdict.PASS] * 4


def test_splices_one_behind_the_other_and_a_daisy_chain() -> None:
    tips = _ends(chains(_study()).by_name["tips"])
    assert ("tips", "tips/splice:wing-root") in tips  # from its switch, which bears its name
    assert ("tips/splice:wing-root", "tips/splice:left-tip") in tips
    assert [a for a, b in tips if b == "tips/return-splice:left-tip"] == [
        "nav-left.-", "strobe-left.-",
    ]  # fmt: skip
    assert ("post-2.+", "post-3.+") in _ends(chains(_study()).by_name["posts"])


def test_a_wire_between_splices_carries_the_loads_behind_it() -> None:
    """By hand at 14 V: 8 W and 1.5 A in the left tip, as much in the right one."""
    chain = chains(_study()).by_name["tips"]
    amps = {
        end_id(w.b): max(sizing(_study()).currents_a[w.id].values()) for w in chain.conductors()
    }
    tip = 8 / 14 + 1.5
    assert amps["tips/splice:left-tip"] == pytest.approx(tip, rel=0.2)  # 12 to 14 V
    assert amps["tips/splice:wing-root"] == pytest.approx(2 * tip, rel=0.2)
    # both tips alike, but for the voltage at the left one, which is a little lower
    twice = 2 * amps["tips/splice:left-tip"]
    assert amps["tips/splice:wing-root"] == pytest.approx(twice, rel=0.01)


@pytest.mark.parametrize("check", ["connector-double", "connector-unwired", "sense-terminal"])
def test_nothing_is_left_over(check: str) -> None:
    found = [f for f in run(_study()) if f.check == check]
    assert {f.verdict for f in found} <= {Verdict.PASS}


def test_a_load_with_two_feeds_lives_on_each_of_them() -> None:
    found = {
        effect.failure.title: effect.dead
        for effect in effects(_study(), "cruise")
        if effect.failure.kind == "device" and "ignition" in effect.failure.title
    }
    assert len(found) == 2
    assert all("ignition" not in dead for dead in found.values())


def test_what_a_dimmer_keeps_is_lost() -> None:
    """By hand: 0.6 Ω before 12 Ω keep 0.6/12.6 of what arrives, at least 13.8 V."""
    found = [f for f in run(_study()) if (f.check, f.about) == ("wire-drop", "panel-lamps")]
    assert found[0].value is not None
    assert found[0].value > 0.6 / 12.6 * 13.8
    assert found[0].verdict is Verdict.PASS


def test_poles_stand_in_the_table_of_switches() -> None:
    assert [row[:5] for row in poles(_study()).rows] == [
        ("lights", "2", "3", "taxi", "taxi light, both"),
        ("lights", "5", "6", "landing", "both"),
    ]


def test_the_overvoltage_loop_by_hand() -> None:
    """Ohm's law around the loop from the wires' own resistances, and the band read by itself."""
    study = _study()
    found = crowbars(study)["alternator"]
    assert found.current_a is not None
    assert found.device is not None
    short = faults(study)["field"].least_a
    assert short is not None
    low = default("fault-voltage-14").value
    assert found.current_a == pytest.approx(short * (low - 1.2) / low)  # 1.2 V is left across it
    assert 10 * 5 < found.current_a < 200  # a 5 A breaker through 5 ft of AWG 20
    assert found.opens_s == greatest_opening_time_s(
        band=band_of("breaker", found.device.family, 5.0), multiple=found.current_a / 5.0
    )
    (said,) = [f for f in run(study) if f.check == "alternator-crowbar"]
    assert said.verdict is Verdict.PASS
