"""The rows of the load sheet, its placards and its statement of difference, with hand sums.

The form: the load and endurance form of a retrofit installation manual, page 3-38 (seen), with its
columns of operating time, A and A·min as in the charts of MIL-E-7016F (from memory). Placards: AC
43.13-1B 11-35.
"""

import pytest

from elec.answers.build.load_difference import load_difference
from elec.answers.build.load_sheet import load_sheet
from elec.answers.loads.margins import margins_by_condition
from elec.answers.loads.placards import placards
from elec.answers.time.endurance import endurance
from elec.study import Study
from tests.answers.helper import NAMES, small, whole


def form(*, heater: str = "9.5 A", shed: str = "at once", rated: str = "60 A") -> Study:
    """The aircraft of the form: 34.0 A that stay on, 9.5 A that are shed, 14.1 A in the landing."""
    return small(
        "system: {name: Form, nominal: 14 V, conditions: [day]}\n"
        "phases:\n"
        "  start: {lasts: 10 s, engine: cranking}\n"
        "  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
        "  landing: {lasts: 10 min, engine: 1700 rpm}\n"
        "sources:\n"
        f"  alternator: {{kind: alternator, place: p, setpoint: 14.2 V, rating: {rated},\n"
        "               output: {1000 rpm: 70 A}}\n"
        "  battery: {kind: lead-acid, place: p, capacity: 35 Ah, rate: 1 h, usable: 75 %,\n"
        "            coldest: 25 °C}\n"
        "buses:\n  main: {place: p}\n"
        "grounds:\n  block: {place: p}\n"
        "feeders:\n"
        "  - {from: battery, to: main, limiter: 100 A, gauge: AWG 4, length: 1 ft}\n"
        "  - {from: alternator, to: main, limiter: 80 A, gauge: AWG 4, length: 1 ft}\n"
        "equipment:\n"
        "  avionics: {place: p, draw: 34.0 A, on: cruise..landing, essential: yes}\n"
        f"  heater: {{place: p, draw: {heater}, on: cruise..landing, shed: {shed}}}\n"
        "  light: {place: p, draw: 14.1 A, on: landing, essential: yes}\n"
        "circuits:\n"
        "  avionics: {bus: main, breaker: auto, feeds: avionics}\n"
        "  heater: {bus: main, breaker: auto, feeds: heater}\n"
        "  light: {bus: main, breaker: auto, feeds: light}\n"
        "places: {p: }\n"
    )


def test_the_published_form() -> None:
    """43.5 A until shedding, 34.0 A after it, 48.1 A in the landing, 1575 A·min: 40.8 min."""
    study = form()
    found = load_sheet(study)
    assert [stage.words for stage in found.stages] == ["until shed", "shed", "landing"]
    assert [found.summed_a(k) for k in range(3)] == pytest.approx([43.5, 34.0, 48.1], abs=1e-6)
    rows = {row.equipment[0]: row for row in found.rows}
    assert [rows[name].after for name in ("avionics", "heater", "light")] == ["on", "shed", "on"]
    assert (found.minutes, found.voltage_v) == (70.0, 14.2)
    # A·min: 34.0 A and 9.5 A for 70 min, 14.1 A for 10 min
    assert [rows[name].ampere_minutes for name in rows] == pytest.approx([2380.0, 665.0, 141.0])
    assert found.ampere_minutes == pytest.approx(3186.0)
    lasts = endurance(study)
    assert lasts is not None
    assert lasts.hand_min == pytest.approx(40.8, abs=0.05)


def test_the_averages_of_the_phases_are_columns() -> None:
    """Cruise 34.0 + 9.5 A, landing 34.0 + 9.5 + 14.1 A."""
    found = load_sheet(form())
    assert [group.phases for group in found.groups] == [("cruise",), ("landing",)]
    assert [group.total.continuous_a for group in found.groups] == pytest.approx([43.5, 57.6])
    assert [row.normal_a for row in found.rows] == [(34.0, 34.0), (9.5, 9.5), (0.0, 14.1)]


def _lasts(study: Study) -> float:
    found = endurance(study)
    assert found is not None
    assert found.minutes is not None
    return found.minutes


def test_what_shedding_gains_is_what_the_endurance_loses_without_it() -> None:
    """The heater kept on: the whole endurance computed anew says the same within a tenth.

    The sums behind the sheet keep the charge that the simulation took; a voltage that sinks a
    little earlier is not in them.
    """
    gained = next(row for row in load_sheet(form()).rows if row.equipment == ("heater",)).gains_min
    afresh = _lasts(form()) - _lasts(form(shed="never"))
    assert gained == pytest.approx(afresh, rel=0.1)
    assert afresh > 1


def test_a_load_that_is_not_known_leaves_sums_and_minutes_open() -> None:
    unknown = small(
        "system: {name: U, nominal: 14 V, conditions: [day]}\n"
        "phases:\n  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
        "sources:\n"
        "  alternator: {kind: alternator, place: p, setpoint: 14.2 V, rating: 60 A}\n"
        "  battery: {kind: lead-acid, place: p, capacity: 35 Ah}\n"
        "buses:\n  main: {place: p}\n"
        "grounds:\n  block: {place: p}\n"
        "feeders:\n  - {from: battery, to: main, limiter: auto}\n"
        "  - {from: alternator, to: main, limiter: auto}\n"
        "equipment:\n  radio: {place: p, draw: 2 A, on: always}\n  box: {place: p, on: always}\n"
        "circuits:\n  radio: {bus: main, breaker: auto, feeds: radio}\n"
        "  box: {bus: main, breaker: auto, feeds: box}\n"
        "places: {p: }\n"
    )
    found = load_sheet(unknown)
    box = next(row for row in found.rows if row.equipment == ("box",))
    assert (box.amps_a, box.ampere_minutes, box.normal_a) == (None, None, (None,))
    assert found.unknown == ("box",)
    assert all(row.gains_min is None for row in found.rows)


@pytest.mark.parametrize("name", NAMES)
def test_what_is_drawn_on_the_battery_is_what_its_endurance_counts(name: str) -> None:
    """Sums of rows against the battery currents of the printed sum, both by Kirchhoff."""
    study = whole(name)
    found, lasts = load_sheet(study), endurance(study)
    assert lasts is not None
    terms = {t.symbol: t.value for step in lasts.hand.steps for t in step.terms}
    symbols = ("I1", "I3", "I2") if lasts.alternator else ("I",)
    for k, symbol in enumerate(symbols):
        assert found.summed_a(k) == pytest.approx(terms[symbol], abs=1e-5)  # wires leak nothing


# -- placards -------------------------------------------------------------------------------------


def _said(study: Study) -> list[tuple[tuple[str, ...], int]]:
    return [(one.loads, one.at_once) for one in placards(study)]


def test_no_placard_where_80_percent_is_kept() -> None:
    """57.6 A of 72 A is 80 %, which is not above it."""
    assert _said(form(rated="72 A")) == []


def _heated(**draws: str) -> Study:
    """A 50 A alternator (40 A allowed), 20 A that stay on, and what a pilot may leave off."""
    names = {name.replace("_", "-"): draw for name, draw in draws.items()}
    loads = "".join(f"  {n}: {{place: p, draw: {d}, on: always}}\n" for n, d in names.items())
    circuits = "".join(f"  {n}: {{bus: main, breaker: auto, feeds: {n}}}\n" for n in names)
    return small(
        "system: {name: H, nominal: 14 V, conditions: [day]}\n"
        "phases:\n  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
        "sources:\n"
        "  alternator: {kind: alternator, place: p, setpoint: 14.2 V, rating: 50 A,\n"
        "               output: {1000 rpm: 50 A}}\n"
        "  battery: {kind: lead-acid, place: p, capacity: 35 Ah}\n"
        "buses:\n  main: {place: p}\n"
        "grounds:\n  block: {place: p}\n"
        "feeders:\n  - {from: battery, to: main, limiter: auto}\n"
        "  - {from: alternator, to: main, limiter: auto}\n"
        "equipment:\n  avionics: {place: p, draw: 20 A, on: always, essential: yes}\n"
        f"{loads}circuits:\n  avionics: {{bus: main, breaker: auto, feeds: avionics}}\n{circuits}"
        "places: {p: }\n"
    )


@pytest.mark.parametrize(
    ("draws", "loads", "at_once"),
    [
        # 20 + 10 + 9 + 8 + 1 = 48 A of 40 A: any one of the three that take 8 A or more is enough
        ({"seat": "10 A", "pitot": "9 A", "lamp": "8 A", "fan": "1 A"}, "seat pitot lamp", 2),
        # 20 + 12 + 6 + 5 = 43 A: 3 A too much, any of the three
        ({"seat": "12 A", "pitot": "6 A", "lamp": "5 A"}, "seat pitot lamp", 2),
        # 20 + 12 + 12 + 12 = 56 A: 16 A too much, two of the three off
        ({"seat": "12 A", "pitot": "12 A", "lamp": "12 A"}, "seat pitot lamp", 1),
        # 20 + 21 + 2 = 43 A: the lamp alone is not enough, the seat is
        ({"seat": "21 A", "lamp": "2 A"}, "seat", 0),
    ],
)
def test_which_loads_not_together(draws: dict[str, str], loads: str, at_once: int) -> None:
    assert _said(_heated(**draws)) == [(tuple(loads.split()), at_once)]


def test_what_is_essential_is_never_left_off() -> None:
    """34.0 + 14.1 A stay on: of 50 A more than 80 % without the heater, and no placard helps."""
    found = placards(form(rated="50 A"))
    worst = {one.worst.phase: (one.loads, one.at_once) for one in found}
    assert worst == {"cruise": (("heater",), 0), "landing": ((), 0)}


def test_with_the_placard_kept_the_rule_is_kept() -> None:
    """The seat left off: the network solved anew asks 38 A of 40 A."""
    study = _heated(seat="10 A", pitot="9 A", lamp="8 A", fan="1 A")
    assert placards(study)
    kept = _heated(pitot="9 A", lamp="8 A", fan="1 A")
    assert placards(kept) == ()
    (margin,) = margins_by_condition(kept).values()
    assert margin.share.asked_a == pytest.approx(38.0, abs=1e-6)


def test_no_placard_without_an_alternator() -> None:
    assert placards(whole("thistledown")) == ()


# -- difference -----------------------------------------------------------------------------------


def test_no_net_increase() -> None:
    found = load_difference(form(), form(heater="9.0 A"))
    assert (found.grows, found.changed, found.added, found.gone) == (False, ("heater",), (), ())


def test_a_net_increase() -> None:
    found = load_difference(form(), form(heater="10.0 A"))
    assert found.grows is True
    assert max(pair.more_a("connected") for pair in found.pairs) == pytest.approx(0.5)


def test_another_load_that_draws_as_much_is_no_net_increase() -> None:
    found = load_difference(_heated(seat="10 A"), _heated(pitot="10 A"))
    assert (found.grows, found.added, found.gone) == (False, ("pitot",), ("seat",))


def test_other_phases_cannot_be_compared() -> None:
    found = load_difference(_heated(seat="10 A"), form(heater="1 A"))
    assert "landing" in found.other_phases
    assert found.grows is not False
