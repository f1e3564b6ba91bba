"""Wiring that is not one straight line: docs/shapes.yaml is read, laid out and checked."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from elec.answers.base.marks import marks
from elec.answers.base.points import points
from elec.answers.connect.pins import colour_of
from elec.answers.connect.reversing import reversing
from elec.answers.failures.failures import effects
from elec.answers.heat.hot import hot_wires
from elec.answers.short.crowbar import crowbars
from elec.answers.short.fault import faults
from elec.check import run
from elec.drawings.records.circuits import circuit_record
from elec.drawings.records.distribution import one_line_record
from elec.drawings.records.grounds import ground_record
from elec.drawings.sheets.circuit import circuit as draw_circuit
from elec.finding import Verdict
from elec.pages.bench.apart import before_ringing
from elec.pages.circuits.reversing import bridges, moves
from elec.pages.circuits.switch import poles
from elec.pages.document import Paragraph
from elec.pages.failures.coils import coils_table
from elec.physics.protection import greatest_opening_time_s
from elec.read import read
from elec.sizing.devices import band_of
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.ends import end_id
from elec.wiring.runs import runs
from tests.answers.helper import whole
from tests.drawings.inspect import inspect
from tests.read.helper import good, reading

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
    assert [wires[f"wire-3-{k}"] for k in range(1, 4)] == [
        [(f"monitor.J1.{k + 6}", f"air-data.J1.{letter}")] for k, letter in enumerate("GHJ", 1)
    ]
    assert len(wires["wire-2"]) == 4
    assert [end for _, end in wires["wire-2"][1:]] == [
        "intercom.J1.5", "left-button.1", "right-button.1",
    ]  # fmt: skip


def test_no_check_fails() -> None:
    assert [(f.check, f.about) for f in run(_study()) if f.verdict is Verdict.FAIL] == []


def test_thermocouple_legs_are_no_copper() -> None:
    legs = [c for name in ("wire-4-1", "wire-4-2", "wire-5", "wire-6")
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
        ("essential relay", "(87)", "(30)", "main to essential", ""),
        ("essential relay", "(87a)", "(30)", "standby to essential", "rest"),
        ("flaps", "(2)", "(3), (1)", "flaps control", "up, down"),
        ("flaps up", "(21)", "(22)", "flaps control", "rest"),
        ("flaps down", "(21)", "(22)", "flaps control", "rest"),
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
    assert 9 * 5 < found.current_a < 200  # a 5 A breaker through 7 ft of AWG 20
    assert found.opens_s == greatest_opening_time_s(
        band=band_of("breaker", found.device.family, 5.0), multiple=found.current_a / 5.0
    )
    (said,) = [f for f in run(study) if f.check == "alternator-crowbar"]
    assert said.verdict is Verdict.PASS


def test_a_motor_runs_both_ways_by_a_switch_or_by_relays() -> None:
    study = _study()
    found = reversing(study)
    assert {name: [way.name for way in one.ways] for name, one in found.items()} == {
        "trim": ["nose up", "nose down"],
        "flaps": ["up", "down"],
    }
    assert [way.stops for way in found["flaps"].ways] == ["flap up limit", "flap down limit"]
    told = " ".join(moves(study))
    assert told.count("Does it move the right way?") == 2
    verdicts = {f.about: f.verdict for f in run(study) if f.check == "coil-fed"}
    assert verdicts["flaps-up"] is verdicts["flaps-down"] is Verdict.PASS


@pytest.mark.parametrize("circuit", ["trim", "flaps"])
def test_the_sheet_shows_the_bridge_with_each_wire(circuit: str) -> None:
    study = _study()
    sheets = draw_circuit(circuit_record(study, circuit))
    items = [item for sheet in sheets for item in sheet.items]
    one = reversing(study)[circuit]
    assert set(one.marks) <= {item.text for item in items if item.ref == f"{circuit}/bridge"}
    words = {word for item in items for word in item.text.split()}
    assert {marks(study)[wire.id] for wire in one.wires} <= words
    ends = {(item.ref, frozenset(item.ends)) for item in items if item.ends[0]}
    assert {(wire.id, frozenset((wire.a.id, wire.b.id))) for wire in one.wires} <= ends
    assert [str(fault) for sheet in sheets for fault in inspect(sheet)] == []


@cache
def _extended(name: str) -> Study:
    found = read(Path(__file__).parent / "shapes" / f"{name}.yaml")
    assert [str(mistake) for mistake in found.mistakes] == []
    assert found.system is not None
    return Study(found.system)


def test_a_taildragger_in_its_shapes() -> None:
    """45 signal wires in 14 lines, 16 of them thermocouple legs; two wires on the switch, not 3."""
    study = _extended("wagtail")
    assert sum(1 for _ in chains(study).of("wire")) == 45
    assert len(study.document.wires) == 14
    verdicts = {
        check: {f.about: f.verdict for f in run(study) if f.check == check}
        for check in ("wire-thermocouple", "sense-terminal", "alternator-crowbar")
    }
    assert list(verdicts["wire-thermocouple"].values()) == [Verdict.PASS] * 16
    assert verdicts["sense-terminal"]["nav nav"] is Verdict.PASS
    assert verdicts["alternator-crowbar"] == {"alternator": Verdict.PASS}


def test_what_the_splice_in_the_wings_saves() -> None:
    """The tail light runs straight aft: before, its wire went to the wing root and back."""
    study = _extended("wagtail")
    tail = [c for c in chains(study).by_name["nav"].conductors() if c.b.name == "nav-tail"]
    assert [c.a.kind for c in tail] == ["switch"]
    assert "wing-centre" not in runs(study)[tail[0].id].places


def test_an_engine_computer_with_two_feeds_and_no_single_breaker_takes_it() -> None:
    study = _extended("kestrel")
    dead = {
        effect.failure.title: effect.dead
        for effect in effects(study, "cruise")
        if effect.failure.kind == "device"
    }
    assert dead
    assert all("ecu" not in gone for gone in dead.values())
    both = [f for f in run(study) if (f.check, f.about) == ("short-essential", "ecu")]
    assert [f.verdict for f in both] == [
        Verdict.FAIL
    ]  # a short at the load itself takes both feeds


def test_a_second_device_at_each_far_end_of_a_ring() -> None:
    ends = {c.name: c.far_device for c in chains(_extended("kestrel")).of("feeder")}
    assert ends["ring end 1"] is not None
    assert ends["ring end 2"] is not None


def test_a_magneto_lead_is_ignition_wire_and_said_to_be_live_when_open() -> None:
    study = _study()
    assert chains(study).by_name["left-p-lead"].function == "J"
    (said,) = [f for f in run(study) if f.check == "engine-magneto"]
    assert said.verdict is Verdict.PASS
    assert "live whenever that is open" in said.sentence
    texts = [block.text for block in before_ringing(study) if isinstance(block, Paragraph)]
    assert any("A magneto is live while its wire" in text for text in texts)
    sheet = ground_record(study)
    assert sheet is not None
    assert any("A magneto is live while its wire" in text for text in sheet.cautions)


def test_the_overvoltage_loop_reaches_to_the_end_of_the_field_wire() -> None:
    study = _study()
    (wire,) = [c for c in chains(study).conductors() if end_id(c.b) == "alternator.F"]
    working = crowbars(study)["alternator"].working
    assert working is not None
    said = str([(term.meaning, term.value) for step in working.steps for term in step.terms])
    assert marks(study)[wire.id] in said


def test_a_relay_that_changes_over_has_one_wire_to_the_bus() -> None:
    ends = {name: _ends(chains(_study()).by_name[name])
            for name in ("essential from main", "essential from standby")}  # fmt: skip
    assert ends["essential from main"][-2:] == [
        ("essential from main", "essential-relay.(87)"), ("essential-relay.(30)", "essential"),
    ]  # fmt: skip
    assert ends["essential from standby"] == [("essential from standby", "essential-relay.(87a)")]


@pytest.mark.parametrize(
    ("failure", "alive"),
    [
        ("coil:essential-relay", True),  # at rest it is on standby
        ("switch:essential-normal", True),
        ("bus:main", True),
        ("device:essential-relay-coil", True),
        ("switch:essential-relay", False),
        ("bus:essential", False),
        ("feeder:essential from main", False),  # the coil stays energised
    ],
)
def test_a_relay_that_changes_over_does_it_at_once(failure: str, alive: bool) -> None:
    found = {effect.failure.id: effect.lost for effect in effects(_study(), "cruise")}
    assert ("attitude" not in found[failure]) is alive


def test_a_welded_changeover_cannot_go_over() -> None:
    (row,) = [row for row in coils_table(_study()).rows if row[0] == "essential relay"]
    assert "main to essential stays closed, and standby to essential cannot take over" in str(row)


def test_both_positions_of_a_changeover_are_solved() -> None:
    """All well it is on main, after a failure of the alternator on standby; never on both."""
    at = points(_study())
    row = {branch.name: k for k, branch in enumerate(at.model.netlist.resistors)}
    both = [row[f"essential from {end}/changeover:essential-relay"] for end in ("main", "standby")]
    closed = np.isfinite(at.model.values.resistance_ohm[both])
    assert (closed.sum(axis=0) == 1).all()
    assert closed.any(axis=1).all()


def test_with_every_switch_off_what_a_relay_rests_on_is_joined(tmp_path: Path) -> None:
    """The standby bus is dead then; from the hot bus the essential one would stay live."""
    old = "name: essential from standby, from: standby,"
    text = SHAPES.read_text(encoding="utf-8")
    assert text.count(old) == 1
    other = Study(
        good(reading(tmp_path, text.replace(old, "name: essential from standby, from: hot,")))
    )
    assert "attitude" in {one.chain for one in hot_wires(other)}
    assert "attitude" not in {one.chain for one in hot_wires(_study())}


def test_the_one_line_diagram_shows_a_relay_that_changes_over_once() -> None:
    record = one_line_record(_study(), {})
    assert [d.kind for f in record.feeders for d in f.devices if "essential relay" in d.label] == [
        "changeover-upper", "changeover",
    ]  # fmt: skip


def test_what_is_held_names_the_way() -> None:
    """One lever is held in two places: a name alone says not where."""
    study = whole("yarrow")
    held = [row[2] for row in bridges(study).rows]
    assert len(held) == len(set(held))
    assert "FLAPS at down" in held
