"""A load law that is one record more in the table is there from the builder's file to the page."""

import re

import numpy as np
import pytest

from elec.answers.base.points import Points, points
from elec.answers.build.export import spice_deck
from elec.answers.doubt.measured import comparisons
from elec.answers.loads.loads import loads
from elec.answers.loads.why_draw import greatest_working
from elec.answers.why.why_names import find
from elec.attempt.spot import analysis_volts, probed, spot_of
from elec.check import run
from elec.model import laws
from elec.model.load import Draw
from elec.network.netlist import State
from elec.pages.circuits.equipment import equipment
from elec.pages.why.page import why_answer
from elec.study import Study
from elec.working import evaluate
from elec.write.register import Options
from elec.write.to_text import text_of
from tests.answers.helper import loads_of, small
from tests.model.new_laws import KNEE, LAMP, TALLY
from tests.network.spice import AGREE_V, needs_ngspice, operating_point
from tests.write.calculator import faults, sheets

DRAWS = {"bulb": "35 W lamp", "box": "2 A regulated", "warmer": "5 Ω thermistor", "radio": "20 W"}


def by_hand_a(name: str, volts: float) -> float:
    """Currents of the loads above, by formulas written down a second time."""
    if name == "bulb":
        return float(2.5 * (volts / 14) ** 0.55)
    if name == "box":
        return float(2 * volts / (volts * volts + 36) ** 0.5)
    if name == "warmer":
        return float((14 * volts) ** 0.5 / 5)
    return 20 / volts


@pytest.fixture
def study(monkeypatch: pytest.MonkeyPatch) -> Study:
    for law in (LAMP, KNEE, TALLY):
        monkeypatch.setitem(laws.LAWS, law.name, law)
    return small(loads_of(DRAWS))


def all_on(found: Points) -> int:
    return int(np.flatnonzero(found.select(scenario="normal", count="momentary"))[0])


def test_it_is_read(study: Study) -> None:
    assert study.document.equipment["bulb"].draw == Draw(law="lamp", value=35.0)
    assert study.document.equipment["warmer"].draw == Draw(law="tally", value=5.0)


def test_the_network_solves_it(study: Study) -> None:
    found = points(study)
    case = all_on(found)
    assert found.solution.state[case] == State.SOLVED
    for row, port in enumerate(found.model.ports):
        volts = float(found.solution.load_v[row, case])
        amps = float(found.solution.load_a[row, case])
        assert amps == pytest.approx(by_hand_a(port.equipment, volts), rel=1e-9)  # 1e-9 A of 1 A
    assert {port.equipment for port in found.model.ports} == DRAWS.keys()


@pytest.mark.outside
@needs_ngspice
def test_an_outside_simulator_agrees(study: Study) -> None:
    found = points(study)
    case = all_on(found)
    text = spice_deck(study, found.cases[case])
    theirs = operating_point(text).voltage_v
    nodes = dict(re.findall(r"^\* +(n\d+|0)  (.*)$", text, re.MULTILINE))
    assert len(nodes) > 5
    for node, title in nodes.items():
        if node in theirs:
            assert theirs[node] == pytest.approx(found.node_v(title)[case], abs=AGREE_V)
    assert re.search(r"I=.*35\.0/14\*\(V\(n\d+,n\d+\)/14\)\*\*0\.55", text)


def test_sums_and_pages_say_it(study: Study) -> None:
    line = next(one for one in loads(study).lines if one.equipment == "bulb")
    volts = analysis_volts(study)
    assert line.continuous_a == pytest.approx(by_hand_a("bulb", volts), rel=1e-9)
    working = greatest_working(study, "bulb")
    assert working is not None
    assert "Pn / 14 * (Vh / 14) ** 0.55" in working.steps[-1].formula
    values = {term.symbol: term.value for term in working.steps[-1].terms}
    assert evaluate(working.steps[-1].formula, values) == pytest.approx(working.value, rel=1e-9)
    said = text_of(why_answer(study, find(study, "bulb")), Options())
    assert "its filament has more resistance the hotter it burns" in said
    assert sheets(said)
    assert [fault for sheet in sheets(said) for fault in faults(sheet)] == []
    table = equipment(study)
    assert any("35 W lamp" in map(str, row) for row in table.rows)
    assert "lamp: its filament has more resistance" in table.note


def test_every_check_runs_and_none_takes_it_for_another_law(study: Study) -> None:
    said = {(f.check, f.about): f.sentence for f in run(study)}
    assert "35 W lamp" in said["load-known", "bulb"]
    assert "by a law that suits it" in said["sense-draw", "bulb"]


def test_it_is_measured_by_its_own_law(study: Study) -> None:
    text = loads_of(DRAWS) + "measured:\n  bulb: {amps: 2.6 A, volts: 13 V}\n"
    measured = small(text)
    draw = measured.document.equipment["bulb"].draw
    assert draw is not None
    assert draw.law == "lamp"
    assert draw.value == pytest.approx(2.6 * 14 / (13 / 14) ** 0.55)
    (one,) = comparisons(measured)
    assert one.expected == pytest.approx(by_hand_a("bulb", 13.0))


def test_more_of_it_can_be_tried(study: Study) -> None:
    volts = analysis_volts(study)
    for name in ("bulb", "warmer", "radio"):
        more = probed(study, spot_of(study, name, None), 1.0)
        draw = more.document.equipment[name].draw
        assert draw is not None
        assert draw.law == study.document.equipment[name].draw.law  # type: ignore[union-attr]
        assert draw.current_a(volts) == pytest.approx(by_hand_a(name, volts) + 1)
