"""How alternators share the load: own systems, with hand sums beside them.

The rule of 80 % of the rated output, and that outputs are added of generators in parallel: AC
43.13-1B 11-35, 11-36. The rest is Kirchhoff's current law, done by hand.
"""

import numpy as np
import pytest

from elec.answers.base.points import points
from elec.answers.loads.loads import loads
from elec.answers.loads.margins import Margin, alone, margins, margins_by_condition
from elec.answers.loads.sharing import shares, shares_all_well
from elec.check import run
from elec.finding import Finding
from elec.pages.loads.leads import loads_lead
from elec.pages.loads.load import load_lines, source_alone, source_margin
from elec.study import Study
from tests.answers.helper import NAMES, small, whole


def twins(
    *,
    second_v: str = "28.0 V",
    between: str = "limiter: 80 A",
    left: str = "20 A",
    right: str = "5 A",
    second: str = "output: {1000 rpm: 15 A}, rating: 15 A",
    essential: str = "",
) -> Study:
    """Two buses, each with an alternator and loads of constant current; a battery on the left."""
    return small(
        "system: {name: Twins, nominal: 28 V, conditions: [day]}\n"
        "phases:\n  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
        "sources:\n"
        "  big: {kind: alternator, place: p, setpoint: 28.0 V, rating: 50 A,\n"
        "        output: {1000 rpm: 40 A}}\n"
        f"  little: {{kind: alternator, place: p, setpoint: {second_v}, {second}}}\n"
        "  battery: {kind: lead-acid, place: p, capacity: 20 Ah, resistance: 12 mΩ}\n"
        "buses:\n  left: {place: p}\n  right: {place: p}\n"
        "grounds:\n  block: {place: p}\n"
        "feeders:\n"
        "  - {from: battery, to: left, limiter: 100 A, gauge: AWG 4}\n"
        "  - {from: left, to: big, limiter: 80 A, gauge: AWG 4}\n"
        "  - {from: right, to: little, limiter: 80 A, gauge: AWG 4}\n"
        f"  - {{from: left, to: right, gauge: AWG 4, {between}}}\n"
        "switches:\n  tie: {kind: contactor, rating: 100 A}\n"
        "equipment:\n"
        f"  heater: {{place: p, draw: {left}, on: always, shed: at once}}\n"
        f"  radio: {{place: p, draw: {right}, on: always, essential: yes{essential}}}\n"
        "circuits:\n"
        "  heater: {bus: left, breaker: auto, feeds: heater}\n"
        "  radio: {bus: right, breaker: auto, feeds: radio}\n"
        "places: {p: }\n"
    )


def by_source(study: Study) -> dict[tuple[str, ...], Margin]:
    return {margin.sources: margin for margin in margins(study)}


def finding(study: Study, check: str) -> list[Finding]:
    return [found for found in run(study, deep=False) if found.check == check]


def test_outputs_on_one_bus_are_added_and_the_table_says_so() -> None:
    study = twins()
    (found,) = margins(study)
    assert found.sources == ("big", "little")
    # 20 A + 5 A of 40 A + 15 A, rated 50 A + 15 A; what the battery takes is not a load
    assert found.share.carried_a == pytest.approx(25.0, abs=1e-3)
    assert found.can_a == pytest.approx(55.0)
    assert found.spare_a == pytest.approx(30.0, abs=1e-3)
    assert found.used_part == pytest.approx(25 / 65, abs=1e-4)
    assert "Added, for they carry one bus together: big + little." in source_margin(study).note


def test_a_set_point_parts_them_and_the_lower_one_stands_by() -> None:
    study = twins(second_v="27.0 V")
    (found,) = margins(study)
    assert found.sources == ("big",)
    assert found.spare_a == pytest.approx(40 - 25, abs=1e-3)
    assert found.used_part == pytest.approx(25 / 50, abs=1e-4)
    assert any(said.startswith("The little stands by") for said in loads_lead(study))


def test_an_open_contact_parts_them() -> None:
    found = by_source(twins(between="contactor: tie, used: emergency, limiter: 80 A"))
    assert set(found) == {("big",), ("little",)}
    assert found["big",].spare_a == pytest.approx(40 - 20, abs=1e-3)
    assert found["little",].spare_a == pytest.approx(15 - 5, abs=1e-3)


def test_a_diode_parts_them() -> None:
    # Left is higher than right: the diode blocks nothing of its 28 V less 0.4 V, so that little
    # (27.8 V) carries the right side alone. 44 A are too much for the 40 A of big.
    study = twins(between="diode: schottky, limiter: 80 A", second_v="27.8 V", left="44 A")
    found = by_source(study)
    assert set(found) == {("big",), ("little",)}
    big, little = found["big",], found["little",]
    assert big.share.limited
    assert little.share.carried_a == pytest.approx(5.0, abs=1e-3)
    assert big.spare_a == pytest.approx(-4.0, abs=0.05)
    assert big.used_part == pytest.approx(44 / 50, abs=1e-3)
    verdicts = {f.about: f.verdict.value for f in finding(study, "alternator-margin")}
    assert verdicts == {"cruise big": "fail", "cruise little": "pass"}


def test_help_of_a_lower_set_point_is_a_shortage_of_the_higher_one() -> None:
    # 40 A + 8 A: big gives its 40 A, little what is missing; added they would carry it with ease.
    study = twins(second_v="27.0 V", left="40 A", right="8 A")
    found = by_source(study)
    big = found["big",]
    assert big.share.limited
    # The battery is charged a little meanwhile, and that is missing as well.
    charge = -big.share.drawn_a
    assert 0 < charge < 1.0
    assert big.share.help_a == pytest.approx(8.0 + charge, abs=1e-3)
    assert big.spare_a == pytest.approx(40 - 48, abs=0.01)
    assert big.used_part == pytest.approx(48 / 50, abs=1e-3)
    (margin,) = [f for f in finding(study, "alternator-margin") if f.about == "cruise big"]
    assert margin.verdict.value == "fail"
    (idle,) = [f for f in finding(study, "alternator-idle") if f.about == "cruise big"]
    assert idle.verdict.value == "advise"
    assert "all that it can, 40.0 A" in idle.sentence
    assert "other alternators help with" in idle.sentence


def test_each_is_shown_alone_before_and_after_shedding() -> None:
    study = twins(second_v="27.0 V")
    found = {(m.sources, m.share.situation): m for m in alone(study)}
    assert found[("big",), "alone"].spare_a == pytest.approx(15.0, abs=1e-3)
    assert found[("big",), "alone, shed"].spare_a == pytest.approx(35.0, abs=1e-3)
    # 25 A on 15 A: the battery gives the rest; without the heater 10 A are left
    little = found[("little",), "alone"]
    assert little.share.given_a == pytest.approx(15.0)
    assert little.spare_a == pytest.approx(-10.0, abs=1e-3)
    assert found[("little",), "alone, shed"].spare_a == pytest.approx(10.0, abs=1e-3)
    table = source_alone(study)
    assert table is not None
    assert [row[0] for row in table.rows] == ["big", "little"]


def test_a_single_alternator_is_not_shown_alone_twice() -> None:
    assert source_alone(whole("foxglove")) is None


@pytest.mark.parametrize("name", NAMES)
def test_currents_are_those_of_the_solved_cases(name: str) -> None:
    study = whole(name)
    solved = points(study)
    names = [branch.name for branch in solved.model.netlist.alternators]
    for share in shares(study):
        if share.situation != "all well":
            continue
        at = solved.select(phase=share.phase, condition=share.condition, scenario="normal",
                           count="steady")  # fmt: skip
        given = sum(solved.solution.alternator_a[names.index(n)][at][0] for n in share.sources)
        # both solved to a nanoampere or so
        assert share.given_a == pytest.approx(given, abs=1e-6)
    if not names:
        assert shares(study) == ()
        return
    well = [share for share in shares(study) if share.situation == "all well"]
    assert list(shares_all_well(Study(study.system))) == well, "solved without the others"
    for (phase, condition, _), margin in margins_by_condition(study).items():
        at = solved.select(phase=phase, condition=condition, scenario="normal", count="steady")
        every = [s for s in shares(study) if s.situation == "all well"]
        here = [s for s in every if (s.phase, s.condition) == (phase, condition)]
        drawn = -float(np.sum(solved.solution.battery_a[:, at]))
        assert sum(s.drawn_a for s in here) == pytest.approx(drawn, abs=1e-6), margin.about


def test_what_lasts_is_counted_in_full_and_short_uses_over_five_minutes() -> None:
    # 6 A for a quarter of the hour lasts; 10 A for a minute are 10 x 60 / 300 A in the worst five.
    study = small(
        "system: {name: Lasting, nominal: 14 V, conditions: [day]}\n"
        "phases:\n  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
        "sources:\n"
        "  alternator: {kind: alternator, place: p, setpoint: 14.2 V, output: {1000 rpm: 40 A}}\n"
        "  battery: {kind: lead-acid, place: p, capacity: 18 Ah}\n"
        "buses:\n  main: {place: p}\n"
        "grounds:\n  block: {place: p}\n"
        "feeders:\n  - {from: battery, to: main, limiter: auto}\n"
        "  - {from: alternator, to: main, limiter: auto}\n"
        "equipment:\n"
        "  seat: {place: p, draw: 6 A, on: {cruise: 25 %}}\n"
        "  pump: {place: p, draw: 10 A, on: {cruise: 1 min}}\n"
        "  low: {place: p, draw: 3 A, on: {cruise: 50 %}, exclusive: blower}\n"
        "  high: {place: p, draw: 8 A, on: {cruise: 50 %}, exclusive: blower}\n"
        "circuits:\n"
        + "".join(f"  {n}: {{bus: main, breaker: auto, feeds: {n}}}\n" for n in
                  ("seat", "pump", "low", "high"))
        + "places: {p: }\n"
    )  # fmt: skip
    (found,) = margins(study)
    assert found.share.asked_a == pytest.approx(6 + 2 + 8, abs=1e-3)
    assert found.share.carried_a == pytest.approx(1.5 + 10 / 60 + 1.5 + 4, abs=1e-3)
    assert loads(study).total("cruise", "day").five_minute_a == pytest.approx(6 + 2 + 8)


def test_a_starters_average_is_no_lasting_load() -> None:
    study = whole("foxglove")
    total = loads(study).total("start", "day")
    # 160 A for 5 of 15 s would be 53 A; what is on throughout is a few amperes of avionics.
    assert total.momentary_a > 160
    assert total.continuous_a < 6
    lines = load_lines(study, "day")
    column = [c.key for c in lines.columns].index("start_a")
    (starter,) = [row for row in lines.rows if row[0] == "starter"]
    assert starter[column] == ""
    solved = points(study)
    at = solved.select(phase="start", condition="day", scenario="normal", count="steady")
    assert -float(solved.solution.battery_a[:, at].sum()) < 6
    assert any("the batteries give 168 A: 0.23 Ah" in said for said in loads_lead(study))
