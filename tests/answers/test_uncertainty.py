"""Bands against closed forms, against each other, and against what a builder expects of them.

Outside: scipy.stats for the distributions; JCGM 100:2008 (from memory) for the root of the sum of
squares (5.1.2), the deviations of uniform and triangular inputs (4.3.7, 4.3.9) and the ten
resistors of 5.2.2.
"""

import math

import numpy as np
import pytest
from scipy import stats

from elec.answers.doubt.samples import deviations
from elec.answers.doubt.subjects import setting
from elec.answers.doubt.tolerances import Input, inputs
from elec.answers.doubt.uncertainty import Band, Uncertainty, sampled, uncertainty
from elec.answers.drop.voltages import flight_voltages
from elec.answers.loads.margins import margins
from elec.answers.time.endurance import endurance
from elec.answers.time.lasting import lasting
from elec.physics.battery import endurance_min
from elec.physics.spread import (
    combined_deviation,
    normal_share,
    triangular_deviation_share,
    uniform_deviation_share,
)
from elec.standards import default
from elec.study import Study
from tests.answers.helper import NAMES, small, whole

SAMPLES = 10_000
NOTHING = "0.001 %"
"""A tolerance that moves nothing: 1e-5 of 60 A is 0.6 mA."""


def system(
    loads: dict[str, str],
    *,
    alternator: str = f"tolerance: {NOTHING}",
    battery: str = "capacity: 18 Ah, basis: data sheet",
) -> Study:
    """A bus whose loads are given with everything after `place:`, under an alternator of 60 A."""
    equipment = "".join(f"  {name}: {{place: panel, {rest}}}\n" for name, rest in loads.items())
    circuits = "".join(f"  {name}: {{bus: main, breaker: auto, feeds: {name}}}\n" for name in loads)
    return small(
        "system: {name: Sums, nominal: 14 V, conditions: [day]}\n"
        "phases:\n  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
        "sources:\n"
        "  alternator: {kind: alternator, place: panel, setpoint: 14.2 V, rating: 60 A,\n"
        f"               output: {{1000 rpm: 60 A}}, {alternator}}}\n"
        f"  battery: {{kind: lead-acid, place: panel, {battery}}}\n"
        "buses:\n  main: {place: panel}\n"
        "grounds:\n  block: {place: panel}\n"
        "feeders:\n"
        "  - {from: battery, to: main, limiter: auto}\n"
        "  - {from: alternator, to: main, limiter: auto}\n"
        f"equipment:\n{equipment}circuits:\n{circuits}places: {{panel: }}\n"
    )


def margin(study: Study, *, samples: int = 0) -> Band:
    found = sampled(study, samples, solved=False) if samples else uncertainty(study)
    return found.band("margin", "cruise")


# -- the law and the distributions -----------------------------------------------------------------


def test_deviations_are_those_of_scipy() -> None:
    assert uniform_deviation_share(tolerance_share=0.3) == pytest.approx(
        stats.uniform(loc=-0.3, scale=0.6).std()
    )
    assert triangular_deviation_share(tolerance_share=0.3) == pytest.approx(
        stats.triang(c=0.5, loc=-0.3, scale=0.6).std()
    )
    for distance in (-2.0, 0.0, 0.5, 1.645):
        assert normal_share(distance_ratio=distance) == pytest.approx(stats.norm.cdf(distance))


def test_ten_resistors_in_series() -> None:
    # JCGM 100 5.2.2: ten of 0.1 ohm each make 0.32 ohm where independent, 1 ohm where not.
    assert combined_deviation(parts=[0.1] * 10) == pytest.approx(0.32, abs=0.005)


def test_ten_lamps_of_one_type_are_off_together() -> None:
    # The same example: what is off in one is off in all, and the parts add up.
    draw = "draw: 1 A, basis: data sheet, tolerance: 10 %"
    one_type = system({f"lamp-{k}": draw for k in range(10)})
    many = system({f"{'abcdefghij'[k]}-lamp": draw for k in range(10)})
    each = 0.1 / math.sqrt(3)
    # The alternator's 0.6 mA are far below.
    assert margin(one_type).linear.deviation == pytest.approx(10 * each, rel=1e-5)
    assert margin(many).linear.deviation == pytest.approx(math.sqrt(10) * each, rel=1e-5)


def test_root_of_the_sum_of_squares() -> None:
    study = system(
        {
            "light": "draw: 8 A, basis: estimate, tolerance: 20 %",
            "pump": "draw: 5 A, basis: data sheet",
            "radio": "draw: 2 A, basis: measured",
            "fan": "draw: 3 A, basis: typical",
        },
        alternator="basis: typical",
    )
    by_hand = math.sqrt(
        (8 * 0.20) ** 2 / 6
        + (5 * default("tolerance-data-sheet").si) ** 2 / 3
        + (2 * default("tolerance-measured").si) ** 2 / 3
        + (3 * default("tolerance-typical").si) ** 2 / 6
        + (60 * default("tolerance-typical").si) ** 2 / 6
    )
    band = margin(study)
    assert band.nominal == pytest.approx(60 - 18)
    assert band.linear.deviation == pytest.approx(by_hand, rel=1e-6)
    assert band.linear.low == pytest.approx(42 - stats.norm.ppf(0.95) * by_hand, rel=1e-6)
    assert margin(study, samples=SAMPLES).best.deviation == pytest.approx(by_hand, rel=0.03)


def _error_of_quantile(law: object, part: float) -> float:
    """Standard error of a sampled quantile: √(p·(1-p)/n)/f; four of them are allowed."""
    density = law.pdf(law.ppf(part))  # type: ignore[attr-defined]
    return float(4 * math.sqrt(part * (1 - part) / SAMPLES) / density)


@pytest.mark.parametrize(
    ("loads", "law"),
    [
        (
            {"pump": "draw: 10 A, basis: data sheet, tolerance: 20 %"},
            stats.uniform(loc=48, scale=4),
        ),
        (
            {"pump": "draw: 10 A, basis: estimate, tolerance: 20 %"},
            stats.triang(c=0.5, loc=48, scale=4),
        ),
        (
            # The sum of two equal uniform ones is triangular.
            {
                "pump": "draw: 5 A, basis: measured, tolerance: 20 %",
                "light": "draw: 5 A, basis: measured, tolerance: 20 %",
            },
            stats.triang(c=0.5, loc=48, scale=4),
        ),
    ],
)
def test_quantiles_of_sums(loads: dict[str, str], law: object) -> None:
    best = margin(system(loads), samples=SAMPLES).best
    for part, value in ((0.05, best.low), (0.5, best.middle), (0.95, best.high)):
        expected = law.ppf(part)  # type: ignore[attr-defined]
        assert value == pytest.approx(expected, abs=_error_of_quantile(law, part))


def test_chance_that_the_limit_is_met() -> None:
    # 60 A less 58 A ± 20 % uniform: short where the load is above 60 A.
    study = system({"heater": "draw: 58 A, basis: measured, tolerance: 20 %"})
    law = stats.uniform(loc=58 * 0.8, scale=2 * 58 * 0.2)
    error = 4 * math.sqrt(0.25 / SAMPLES)
    assert margin(study, samples=SAMPLES).best.met == pytest.approx(law.cdf(60), abs=error)


def test_a_load_of_constant_power_draws_less_at_a_higher_set_point() -> None:
    # d(P/V) = -I·dV/V, and the heater the other way round: they cancel, but for the share δ that
    # breaker and wire take of the set-point. The box then moves by I/(V - 2·δ·V), 1 + 3·δ of what
    # it would without them, the heater by 1 - δ: 4·δ are left. The ohms are another input.
    usual = f"basis: measured, tolerance: {NOTHING}"
    power = system({"box": f"draw: 142 W, {usual}"})
    both = system({"box": f"draw: 142 W, {usual}", "heater": f"draw: 1.42 Ω, {usual}"})
    spread = 10 * default("tolerance-setpoint").si / math.sqrt(3)
    # A breaker of 20 A and its wire lower the voltage at the box by 2 %: 6 % more slope.
    assert margin(power).linear.deviation == pytest.approx(spread, rel=0.08)
    (alone,), (against,) = (
        [d for d in margin(study).drivers if d.kind == "set-point"] for study in (power, both)
    )
    share = (alone.slope / 10 - 1) / 3
    assert 0.01 < share < 0.025
    # the heater's own breaker, of 15 A, has more ohms than the 20 A of the box, by a quarter or so
    assert against.slope / 10 == pytest.approx(4 * share, rel=0.25)


# -- samples -----------------------------------------------------------------------------------


def one_input(name: str, shape: str = "uniform") -> Input:
    return Input(
        name=name,
        title=name,
        kind="load",
        tolerance=0.2,
        shape="uniform" if shape == "uniform" else "triangular",
        basis="estimate",
        origin="",
        path=(),
        group=name,
    )


@pytest.mark.parametrize(
    ("shape", "law"),
    [
        ("uniform", stats.uniform(loc=-0.2, scale=0.4)),
        ("triangular", stats.triang(c=0.5, loc=-0.2, scale=0.4)),
    ],
)
def test_samples_follow_their_law(shape: str, law: object) -> None:
    found = deviations(one_input("landing light", shape), SAMPLES)
    # The samples are always the same ones, so this holds for good or never.
    assert stats.kstest(found, law.cdf).pvalue > 0.01  # type: ignore[attr-defined]


def test_samples_of_different_inputs_do_not_go_together() -> None:
    first = deviations(one_input("landing light"), SAMPLES)
    second = deviations(one_input("landing lights"), SAMPLES)
    # Four standard errors of the correlation of independent samples.
    assert abs(float(np.corrcoef(first, second)[0, 1])) < 4 / math.sqrt(SAMPLES)


def test_the_same_text_gives_the_same_answer() -> None:
    loads = {"light": "draw: 8 A, basis: estimate", "box": "draw: 40 W, basis: typical"}
    first, second = (sampled(system(loads), 500) for _ in range(2))
    assert [b.sampled for b in first.bands] == [b.sampled for b in second.bands]


def test_samples_stay_the_same_for_good() -> None:
    # Pinned: raw words of PCG64, whose stream its authors keep.
    found = deviations(one_input("landing light"), 3)
    assert found.tolist() == pytest.approx(PINNED, abs=1e-12)


PINNED = [-0.04026927365469102, -0.14163215670313045, 0.1945608392124649]


# -- the two ways agree ----------------------------------------------------------------------------


def _agree(found: Uncertainty) -> None:
    for band in found.bands:
        assert band.sampled is not None
        assert band.sampled.deviation == pytest.approx(band.linear.deviation, rel=0.05), band.title


@pytest.mark.parametrize("name", NAMES)
def test_slopes_and_samples_agree(name: str) -> None:
    """Five percent, the curvature of the sums and quotients within the usual tolerances."""
    _agree(sampled(whole(name), 4000, solved=False))


@pytest.mark.parametrize("name", ["foxglove", "thistledown"])
def test_slopes_and_solved_networks_agree(name: str) -> None:
    found = sampled(whole(name), 2000)
    assert found.networks
    assert not found.unmet
    _agree(found)


ENGINE_BUS_B = ("ecu-b", "ignition-b", "injectors-b", "fuel-pump-b")
ALIKE = math.sqrt(1 - 1 / math.pi)
"""Spread of the greater of two equal independent normal variables to that of one: 0.826 (computed).

The greater has the mean σ/√π and the mean square σ²."""


def test_where_diodes_change_hands_the_solved_network_spreads_otherwise() -> None:
    """An engine bus takes the better of two feeders: a kink that no slope knows.

    Where both are much alike, as on bus B, it spreads less, down to the greater of two equal ones;
    twice the 1/√(2·n) by which a sampled deviation is off. A kink on one side spreads more.
    """
    found = sampled(whole("larkspur"), 1000)
    for band in found.bands:
        assert band.sampled is not None
        usual = band.linear.deviation
        kinked = band.kind == "voltage" and band.about in ENGINE_BUS_B
        least = ALIKE * (1 - 2 / math.sqrt(2 * 1000)) if kinked else 0.9
        assert least * usual < band.sampled.deviation < 1.2 * usual, band.title


@pytest.mark.parametrize("name", NAMES)
def test_without_deviations_every_subject_is_what_was_computed(name: str) -> None:
    study = whole(name)
    asked = setting(study)
    x = np.zeros((len(asked.inputs.every), 1))
    kinds = set()
    for subject in asked.subjects:
        value = float(subject.value(x, asked.nominal[:, None])[0])
        assert value == pytest.approx(subject.nominal, rel=1e-9), subject.title
        kinds.add(subject.kind)
    assert {"endurance", "voltage"} <= kinds
    for one in margins(study):
        assert uncertainty(study).band("margin", one.about).nominal == one.spare_a
    for band in uncertainty(study).of("voltage"):
        assert band.nominal == flight_voltages(study)[band.about].lowest_v


@pytest.mark.parametrize("name", NAMES)
def test_time_on_the_battery_is_the_published_sum(name: str) -> None:
    study = whole(name)
    found = endurance(study)
    assert found is not None
    parts = lasting(study, found)
    assert parts is not None
    draw = np.random.default_rng(3)
    count = len(parts.charge_ampere_minutes)
    capacity = draw.uniform(0.05, 1.5, (count, 50))
    drawn = draw.uniform(1.0, 60.0, (3, 50))
    time = parts.hand_min(capacity, drawn)
    each = np.array(list(parts.charge_ampere_minutes.values()))
    for k in range(50):
        by_hand = endurance_min(
            budget_ampere_minutes=float(each @ capacity[:, k]),
            recognition_min=parts.recognition_min,
            recognition_current_a=drawn[0, k],
            landing_min=parts.landing_min,
            landing_current_a=drawn[1, k],
            shed_current_a=drawn[2, k],
        )
        assert time[k] == pytest.approx(by_hand)
    usual = parts.simulated_min(np.ones((count, 1)), np.ones((3, 1)))
    assert float(usual[0]) == pytest.approx(found.simulated_min)


def test_half_the_capacity_simulated_again() -> None:
    """The charge balance against a simulation of the other battery; its voltage is another."""
    loads = {"radio": "draw: 4 A, basis: measured, essential: yes"}
    usual = system(loads, battery="capacity: 18 Ah, resistance: 9 mΩ")
    big = endurance(usual)
    half = endurance(system(loads, battery="capacity: 9 Ah, resistance: 9 mΩ"))
    assert big is not None
    assert half is not None
    parts = lasting(usual, big)
    assert parts is not None
    scaled = float(parts.simulated_min(np.array([[0.5]]), np.ones((3, 1)))[0])
    # A step of half a minute in both simulations, and 1 % for the current at another voltage.
    assert scaled == pytest.approx(half.simulated_min, rel=0.01, abs=1.0)


def test_ratings_of_the_builder_give_the_exponent_near_the_current() -> None:
    # Between 1 h at 13 A and 5 h at 3.2 A: log 5 / log (13/3.2) = 1.1482.
    rates = "rates: {1 h: 13 Ah, 5 h: 16 Ah, 20 h: 18 Ah}"
    loads = {"radio": "draw: 6 A, basis: measured, essential: yes"}
    study = system(loads, battery=f"capacity: 18 Ah, rate: 20 h, {rates}")
    found = endurance(study)
    assert found is not None
    parts = lasting(study, found)
    assert parts is not None
    assert parts.exponent == pytest.approx(math.log(5) / math.log(13 / 3.2))


# -- what a builder expects ------------------------------------------------------------------------


def test_a_measured_load_shrinks_the_band() -> None:
    guessed = system({"light": "draw: 8 A, basis: estimate", "fan": "draw: 3 A, basis: typical"})
    measured = system({"light": "draw: 8 A, basis: measured", "fan": "draw: 3 A, basis: typical"})
    before, after = margin(guessed, samples=2000).best, margin(measured, samples=2000).best
    assert after.high - after.low < 0.7 * (before.high - before.low)
    assert after.low > before.low


def test_the_input_with_the_greatest_part_comes_first() -> None:
    study = system(
        {
            "light": "draw: 8 A, basis: estimate, tolerance: 20 %",
            "pump": "draw: 12 A, basis: measured, tolerance: 2 %",
            "fan": "draw: 2 A, basis: estimate, tolerance: 40 %",
        }
    )
    band = margin(study)
    assert [d.title for d in band.drivers[:3]] == ["light current", "fan current", "pump current"]
    light, fan, pump = 1.6**2 / 6, 0.8**2 / 6, 0.24**2 / 3
    whole_ = light + fan + pump
    shares = [d.share for d in band.drivers[:3]]
    assert shares == pytest.approx([light / whole_, fan / whole_, pump / whole_], rel=1e-5)
    assert band.drivers[0].tolerance == 0.20
    assert band.drivers[0].slope == pytest.approx(-8.0)


@pytest.mark.parametrize("name", NAMES)
def test_shares_are_parts_of_one(name: str) -> None:
    for band in uncertainty(whole(name)).bands:
        shares = [d.share for d in band.drivers]
        assert shares == sorted(shares, reverse=True)
        assert 0.9 < sum(shares) < 1 + 1e-9, band.title


def test_a_basis_that_is_not_said_has_a_default_that_is() -> None:
    band = margin(system({"light": "draw: 8 A"}))
    driver = band.drivers[0]
    assert driver.basis == "basis not said"
    assert driver.tolerance == default("tolerance-unstated").si
    origins = [term.origin for step in band.working.steps for term in step.terms]
    assert "default tolerance-unstated (our judgement)" in origins


def test_silence_is_never_better_than_an_answer() -> None:
    silent = default("tolerance-unstated").si
    for basis in ("measured", "data-sheet", "typical", "estimate"):
        assert default(f"tolerance-{basis}").si < silent


def test_a_mode_may_have_its_own_basis() -> None:
    modes = (
        "modes: {receive: {draw: 1 A, basis: measured}, "
        "transmit: {draw: 4 A, on: {cruise: 10 %}, tolerance: 30 %}}, basis: typical"
    )
    every = {one.name: one for one in inputs(system({"radio": modes})).every}
    assert every["load:radio:receive"].basis == "measured"
    assert every["load:radio:receive"].tolerance == default("tolerance-measured").si
    assert every["load:radio:transmit"].basis == "typical"
    assert every["load:radio:transmit"].tolerance == 0.30


def test_a_current_that_is_not_known_is_named() -> None:
    band = margin(system({"light": "draw: 8 A, basis: measured", "pump": "on: always"}))
    assert band.unknown == ("pump",)


def test_an_output_that_is_not_known_has_no_band() -> None:
    study = small(
        "system: {name: None, nominal: 14 V, conditions: [day]}\n"
        "phases:\n  cruise: {lasts: 1 h}\n"
        "sources:\n"
        "  alternator: {kind: alternator, place: panel, setpoint: 14.2 V,\n"
        "               output: {1000 rpm: 60 A}}\n"
        "buses:\n  main: {place: panel}\n"
        "grounds:\n  block: {place: panel}\n"
        "feeders:\n  - {from: alternator, to: main, limiter: auto}\n"
        "equipment:\n  fan: {place: panel, draw: 3 A}\n"
        "circuits:\n  fan: {bus: main, breaker: auto, feeds: fan}\nplaces: {panel: }\n"
    )
    found = uncertainty(study)
    assert not found.of("margin")
    assert [(one.kind, one.about) for one in found.untold] == [("margin", "cruise")]


def test_the_tolerance_of_a_source_is_its_own() -> None:
    wide = system({"fan": "draw: 3 A, basis: measured"}, alternator="tolerance: 50 %")
    band = margin(wide)
    assert band.drivers[0].title == "alternator output"
    assert band.linear.deviation == pytest.approx(60 * 0.5 / math.sqrt(3), rel=0.01)
