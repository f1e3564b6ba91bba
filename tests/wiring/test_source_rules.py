"""What is known of a source: where it starts, its field, its rated current, what it carries."""

from pathlib import Path

import pytest

from elec.answers.doubt.uncertainty import uncertainty
from elec.answers.drop.drops import feeder_drops
from elec.answers.failures.failures import decisive
from elec.answers.loads.margins import margins_by_condition
from elec.check import ask, run
from elec.finding import Finding, Verdict
from elec.model.source import LeadAcid
from elec.pages.loads.load import source_margin
from elec.pages.table import Cell
from elec.study import Study
from elec.wiring.sources import five_minute_a
from tests.answers.helper import small
from tests.checks.cases import cases, study_of


def text(
    alternator: str,
    *,
    system: str = "",
    more: str = "",
    feeder: str = "",
    load: str = "10 A",
    role: str = "",
    regulator: str = "draw: 2 A, ",
) -> str:
    """A bus, a battery, an alternator, an essential load and a regulator."""
    return (
        f"system: {{name: Rules, nominal: 14 V, conditions: [day]{system}}}\n"
        "phases:\n  taxi: {lasts: 10 min, engine: 1100 rpm}\n"
        "  cruise: {lasts: 3 h, engine: 2400 rpm}\n"
        "sources:\n"
        "  battery: {kind: lead-acid, place: p, capacity: 20 Ah, rate: 1 h, resistance: 8 mΩ}\n"
        f"  alternator: {{kind: alternator, place: p, setpoint: 14.2 V, {alternator}}}\n{more}"
        "buses:\n  main: {place: p}\n"
        "grounds:\n  block: {place: p}\n"
        "feeders:\n"
        "  - {name: cable, from: battery, to: main, limiter: 150 A, gauge: AWG 2, length: 4 ft}\n"
        "  - {name: lead, from: main, to: alternator, limiter: 80 A, gauge: AWG 6, length: 6 ft}\n"
        f"{feeder}"
        "equipment:\n"
        f"  computer: {{place: p, draw: {load}, on: always, essential: yes{role}}}\n"
        f"  regulator: {{place: p, {regulator}on: always, essential: yes}}\n"
        "circuits:\n"
        "  computer: {bus: main, breaker: auto, feeds: computer}\n"
        "  field: {bus: main, breaker: 5 A, feeds: regulator}\n"
        "places: {p: }\n"
    )


CURVE = "output: {1000 rpm: 20 A, 2400 rpm: 40 A}, rating: 45 A"


def finding(study: Study, check: str, about: str) -> Finding:
    (found,) = [f for f in run(study, deep=False) if (f.check, f.about) == (check, about)]
    return found


def test_below_the_speed_at_which_it_starts_it_gives_nothing() -> None:
    study = small(text(f"{CURVE}, starts-at: 1400 rpm"))
    every = margins_by_condition(study)
    taxi, cruise = every["taxi", "day", "taxi"], every["cruise", "day", "cruise"]
    assert taxi.can_a == 0
    assert taxi.share.drawn_a == pytest.approx(12.0, abs=1e-3)
    assert cruise.can_a == 40
    found = finding(study, "alternator-idle", "taxi")
    assert found.verdict.value == "advise"
    assert "gives nothing at that speed; 12.0 A come out of the battery" in found.sentence
    # without it, and with the same curve, there are 20 A and more at 1100 rpm
    assert finding(small(text(CURVE)), "alternator-idle", "taxi").verdict.value == "pass"


def test_rating_alone_is_counted_from_the_starting_speed_on() -> None:
    every = margins_by_condition(small(text("rating: 40 A, starts-at: 1400 rpm")))
    assert every["taxi", "day", "taxi"].can_a == 0
    assert every["cruise", "day", "cruise"].can_a == pytest.approx(0.85 * 40)


def test_a_field_of_its_own_breaks_nothing_and_counts_when_the_alternator_is_dead() -> None:
    study = small(text(f"{CURVE}, field: 3 A", regulator="passive: yes, "))
    assert run(study, deep=False)
    assert decisive(study)
    assert uncertainty(study).bands
    from elec.answers.base.points import points

    found = points(study)
    at = found.select(phase="cruise", count="steady", scenario="alternator-failed")
    # 10 A of the load and the 3 A of the field that is still switched on
    assert -float(found.solution.battery_a[:, at].sum()) == pytest.approx(13.0, abs=1e-3)
    well = found.select(phase="cruise", count="steady", scenario="normal")
    taken = float(found.solution.battery_a[:, well].sum())
    given = float(found.solution.alternator_a[:, well].sum())
    assert given - taken == pytest.approx(10.0, abs=1e-3)


def test_a_main_feeder_is_judged_at_the_rated_current_of_its_source() -> None:
    # FAA-H-8083, voltage drop: rated generator current, the battery's five-minute rate
    study = small(text(CURVE))
    drops = feeder_drops(study)
    assert drops["lead"].current_a == 45
    battery = study.document.sources["battery"]
    assert isinstance(battery, LeadAcid)
    # Peukert with k = 1.12 from the one-hour rate: 20 A x 12^(1/1.12)
    rate = 20 * 12 ** (1 / 1.12)
    assert five_minute_a(battery) == pytest.approx(rate)
    assert drops["cable"].current_a == pytest.approx(150)  # the limiter opens before 184 A
    assert rate > 150
    found = finding(study, "feeder-drop", "lead")
    assert "45.0 A, the rated current of alternator" in found.sentence
    # AWG 6 has 0.4 mΩ a foot: 6 ft cold, or with slack, hot and with its joints; 10 A lose a fourth
    assert 0.107 < (drops["lead"].lost_v or 0.0) < 0.198


SECOND = (
    "  second: {kind: alternator, place: p, setpoint: 13.9 V, rating: %s,\n"
    "           output: {1000 rpm: %s, 2400 rpm: %s}}\n"
)
SECOND_FEED = (
    "  - {name: spare, from: main, to: second, limiter: 80 A, gauge: AWG 6, length: 6 ft}\n"
)


@pytest.mark.parametrize(("gives", "verdict"), [("20 A", "pass"), ("4 A", "advise")])
def test_an_engine_that_needs_electricity_is_carried_by_each_alternator_or_not(
    gives: str, verdict: str
) -> None:
    # 12 A stay on: a second one of 20 A carries them, one of 4 A does not, and the battery lasts
    # an hour or so of a flight of 190 min.
    study = small(
        text(
            CURVE,
            system=", electrically-dependent: yes",
            role=", role: engine",
            more=SECOND % (gives, gives, gives),
            feeder=SECOND_FEED,
        )
    )
    found = finding(study, "engine-electricity", "engine")
    assert found.verdict.value == verdict, found.sentence
    if verdict == "pass":
        assert "the second has 8.0 A left" in found.sentence
    else:
        assert "The second alone, loads shed, gives 4.0 A of 12.0 A; 8.0 A" in found.sentence


EXCEPTED = ("pass by exception", "the day is not hidden by the night")
"""Cases in which pitot heat and landing light are on together and 95 % is allowed."""


@pytest.mark.parametrize("name", ["pass", "fail", *EXCEPTED])
def test_table_and_check_judge_the_use_of_a_rating_alike(name: str, tmp_path: Path) -> None:
    """The wider limit for pitot heat with landing light holds on the page, too."""
    case = next(c for c in cases() if c.check == "alternator-margin" and c.name == name)
    study = study_of(case.change, tmp_path)
    failed = {f.about for f in ask(study, "alternator-margin") if f.verdict is Verdict.FAIL}
    table = source_margin(study)
    used = [row[-1] for row in table.rows]
    assert all(isinstance(cell, Cell) for cell in used)
    marked = {str(row[0]) for row in table.rows if row[-1].verdict == "fail"}  # type: ignore[union-attr]
    assert {phase.casefold() for phase in marked} == failed
    assert ("95 %" in table.note) == (name in EXCEPTED)
