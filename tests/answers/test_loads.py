"""Load sums against worked numbers: MIL-E-7016F averages, a handbook table, lists with errors.

The currents of the first example are those of FAA-H-8083-3 figure 16-9; its averages follow the
method of MIL-E-7016F (from memory), computed by hand. The handbook's continuous entries and two
builders' lists were seen; their sums are computed, since neither list adds up as printed.
"""

import pytest

from elec.answers.loads.loads import Total, loads
from elec.pages.loads.leads import loads_lead
from elec.pages.loads.load import load_lines, loads_by_phase, unknown_loads
from elec.pages.table import Cell
from tests.answers.helper import NAMES, loads_of, small, whole

APPROACH = """\
system: {{name: Averages, nominal: 14 V, conditions: [day]}}
phases: {{approach: {{lasts: 5 min, engine: 2400 rpm}}}}
sources:
  alternator: {{kind: alternator, place: panel, setpoint: 14 V, output: {{1000 rpm: 60 A}}}}
  battery: {{kind: lead-acid, place: panel, capacity: 18 Ah}}
buses: {{main: {{place: panel}}}}
grounds: {{block: {{place: panel}}}}
feeders: [{{from: battery, to: main, limiter: auto}}, {{from: alternator, to: main, limiter: auto}}]
equipment:
  flap: {{place: panel, draw: 13 A, on: {{approach: 8 s}}{group}}}
  gear: {{place: panel, draw: 10 A, on: {{approach: 6 s}}{group}}}
  transmitter: {{place: panel, draw: 6 A, on: {{approach: 30 s}}}}
  landing-light: {{place: panel, draw: 17.8 A, on: approach}}
circuits:
  flap: {{bus: main, breaker: auto, feeds: flap}}
  gear: {{bus: main, breaker: auto, feeds: gear}}
  transmitter: {{bus: main, breaker: auto, feeds: transmitter}}
  landing-light: {{bus: main, breaker: auto, feeds: landing-light}}
places: {{panel: }}
"""


def total(text: str) -> Total:
    return loads(small(text)).totals[0]


def test_averages_of_an_approach() -> None:
    found = total(APPROACH.format(group=""))
    # 13·8/300 + 10·6/300 + 6·30/300 + 17.8
    assert found.five_minute_a == pytest.approx(18.94667, abs=5e-6)
    assert found.momentary_a == pytest.approx(46.8)


def test_loads_that_exclude_each_other_count_once() -> None:
    found = total(APPROACH.format(group=", exclusive: hydraulics"))
    assert found.momentary_a == pytest.approx(36.8)
    assert found.connected_a == pytest.approx(46.8)


HANDBOOK = (3.30, 3.00, 0.40, 0.60, 0.30, 0.20, 0.17, 0.17)
"""Continuous entries of the load table in FAA-H-8083-3 (figure 16-9)."""


def test_the_handbook_table_adds_up() -> None:
    draws = {f"item-{k}": f"{amps} A" for k, amps in enumerate(HANDBOOK)}
    assert total(loads_of(draws)).continuous_a == pytest.approx(8.14)


def test_a_list_with_question_marks_has_no_certain_total() -> None:
    # A builder's essential-bus list (seen): eight known entries, five question marks.
    known = (1.21, 1.21, 0.15, 0.01, 0.10, 2.50, 0.10, 0.10)
    draws = {f"known-{k}": f"{amps} A" for k, amps in enumerate(known)}
    draws |= {f"unknown-{k}": "" for k in range(5)}
    study = small(loads_of(draws))
    found = loads(study).totals[0]
    assert found.continuous_a == pytest.approx(5.38)
    assert len(found.unknown) == 5
    assert len(unknown_loads(study)) == 5
    row = loads_by_phase(study).rows[0]
    sums = [cell for cell in row if isinstance(cell, Cell)]
    assert [cell.value for cell in sums] == [None] * len(sums)
    assert sums[-1].text == "5.38 + ?"
    assert "not known" in loads_lead(study)[0]


def test_equipment_that_says_nothing_at_all_is_unknown_too() -> None:
    text = loads_of({"pump": ""}).replace(
        "pump: {place: panel, on: always}", "pump: {place: panel}"
    )
    assert total(text).unknown == ("pump",)


def test_a_printed_total_is_not_trusted() -> None:
    # A builders' mailing list printed 1.25 A under these entries.
    draws = {f"item-{k}": f"{amps} A" for k, amps in enumerate((0.1, 0.2, 0.3, 0.45, 0.1))}
    assert total(loads_of(draws)).continuous_a == pytest.approx(1.15)


@pytest.mark.parametrize(("amps", "fine"), [(48.0, True), (49.0, False)])
def test_eighty_percent_of_the_rating(amps: float, fine: bool) -> None:
    # AC 43.13-1B 11-35: 80 % of 60 A is 48.0 A; not above is fine.
    said = " ".join(loads_lead(small(loads_of({"all": f"{amps} A"}))))
    assert ("No more than 80 %" in said) is fine
    assert ("More than 80 %" in said) is not fine
    assert f"{amps:.1f} A of the alternator, rated 60 A" in said


def test_the_coil_of_a_contactor_is_a_load() -> None:
    text = loads_of({"radio": "1 A"}).replace(
        "limiter: auto}", "limiter: auto, contactor: master}", 1
    )
    text += "switches: {master: {kind: contactor, coil: 0.8 A}}\n"
    study = small(text)
    found = loads(study).totals[0]
    assert found.continuous_a == pytest.approx(1.8)
    titles = [row[0] for row in load_lines(study, "day").rows]
    assert "master coil" in titles


def test_an_unused_feeder_holds_no_coil() -> None:
    text = loads_of({"radio": "1 A"}).replace(
        "limiter: auto}", "limiter: auto, contactor: master, used: emergency}", 1
    )
    text += "switches: {master: {kind: contactor, coil: 0.8 A}}\n"
    assert total(text).continuous_a == pytest.approx(1.0)


@pytest.mark.parametrize("name", NAMES)
def test_buses_and_coils_add_up_to_the_aircraft(name: str) -> None:
    found = loads(whole(name))
    for whole_total in found.totals:
        when = (whole_total.phase, whole_total.condition)
        buses = sum(t.continuous_a for t in found.buses if (t.phase, t.condition) == when)
        coils = sum(
            line.continuous_a or 0.0
            for line in found.lines
            if line.bus == "" and (line.phase, line.condition) == when
        )
        assert buses + coils == pytest.approx(whole_total.continuous_a)
