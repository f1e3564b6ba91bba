"""Rules of one line that systems seldom reach: each asked at its bounds, most without a system."""

from itertools import product
from statistics import NormalDist

import pytest

from elec.model.load import Draw, Equipment, Mode
from elec.model.names import LETTERS
from elec.physics.heat import bundle_loading
from elec.standards import AWGS, breaker_resistance_ohm, default, fuse_resistance_ohm
from elec.study import Study
from elec.wiring.basis import MOST, QUANTILE, draw_spread
from elec.wiring.circuit_model import contactor_hold_v, device_ohm, usual_minimum_v
from elec.wiring.contact_class import ContactRange, _known, _narrowest
from elec.wiring.demand import (
    ModeShare,
    _displaced,
    cells_factor,
    demand,
    draws,
    five_minute_shares,
    pulse,
    pulses,
    stand_ins,
)
from elec.wiring.joined.pieces import cores_of, gauge_of, segment
from elec.wiring.limits import limit, published
from elec.wiring.sources import (
    accepts_a,
    cells_in_series,
    charge_efficiency,
    charge_hours,
    cutoff_v,
    five_minute_a,
)
from elec.wiring.surroundings import loading
from tests.answers.helper import small

TEXT = """\
system: {name: Rules, nominal: 28 V, conditions: [day]}
phases:
  start: {lasts: 5 s, engine: cranking}
  cruise: {lasts: 1 h, engine: 2400 rpm}
sources:
  alternator: {kind: alternator, place: panel, setpoint: 28.4 V, rating: 40 A}
  lithium: {kind: lithium-iron-phosphate, place: panel, capacity: 10 Ah}
  agm: {kind: lead-acid, place: panel, capacity: 20 Ah, accepts: 7 A}
  wet: {kind: lead-acid, place: panel, capacity: 20 Ah, construction: flooded}
  gel: {kind: lead-acid, place: panel, capacity: 20 Ah, construction: gel, peukert: 1.2, rate: 20 h}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders:
  - {from: lithium, to: main, limiter: auto}
  - {from: agm, to: main, limiter: auto}
  - {from: wet, to: main, limiter: auto}
  - {from: gel, to: main, limiter: auto}
  - {from: alternator, to: main, limiter: auto}
equipment:
  radio: {place: panel, draw: 1 A, backup: spare, tolerance: 100 %, basis: typical}
  spare: {place: panel, draw: 1 A}
  third: {place: panel, draw: 1 A, backup: spare, basis: data sheet}
circuits:
  radio: {bus: main, breaker: auto, feeds: radio}
  spare: {bus: main, breaker: auto, feeds: spare}
  third: {bus: main, breaker: auto, feeds: third}
places: {panel: }
"""


@pytest.fixture(scope="module")
def study() -> Study:
    return small(TEXT)


# -- names ----------------------------------------------------------------------------------------


def test_segments_are_letters_in_order_then_pairs_of_letters_in_order() -> None:
    pairs = ["".join(pair) for pair in product(LETTERS, repeat=2)]
    assert [segment(i) for i in range(24 + len(pairs))] == [*LETTERS, *pairs]


def test_cores_and_gauge_are_read_off_a_cable_s_type() -> None:
    assert [cores_of(t) for t in ("3-core AWG 22 shielded", "12-core", "AWG 22", "RG-400")] == [
        3, 12, 1, 1,
    ]  # fmt: skip
    assert [gauge_of(t) for t in ("3-core AWG 22 shielded", "2-core, awg 20", "RG-400", "AWG")] == [
        "22", "20", None, None,
    ]  # fmt: skip


# -- what is drawn --------------------------------------------------------------------------------


def test_a_peak_in_another_unit_counts_at_the_nominal_voltage() -> None:
    watts, amps = Draw(law="power", value=14.0), Draw(law="current", value=3.0)
    heat, peak = pulse(watts, amps, None, 28.0)
    assert peak == Draw(law="power", value=84.0)
    assert heat is not None
    assert heat.value == pytest.approx((14 * 84) ** 0.5)
    _, peak = pulse(
        Draw(law="current", value=0.5), watts.model_copy(update={"value": 56.0}), None, 28.0
    )
    assert peak == Draw(law="current", value=2.0)


def test_a_peak_below_the_average_and_a_duty_of_all_the_time_are_no_pulses() -> None:
    draw = Draw(law="current", value=2.0)
    assert pulse(draw, Draw(law="current", value=1.0), None, 14.0) == (draw, draw)
    assert pulse(draw, None, 1.0, 14.0) == (draw, draw)
    assert pulse(draw, None, None, 14.0) == (draw, draw)
    assert pulse(None, draw, None, 14.0) == (None, None)
    _, peak = pulse(draw, None, 0.25, 14.0)
    assert peak == Draw(law="current", value=8.0)
    one, nothing = Draw(law="current", value=1.0), Draw(law="current", value=0.0)
    assert pulse(one, draw, None, 14.0)[1] == draw
    assert pulse(nothing, draw, None, 14.0) == (nothing, nothing)


def _mode(name: str, share: float, time_s: float) -> ModeShare:
    draw = Draw(law="current", value=1.0)
    return ModeShare(mode=name, draw=draw, heating=draw, peak=draw, share=share, time_s=time_s,
                     counted=share)  # fmt: skip


def test_what_draws_and_what_pulses_by_its_kind(study: Study) -> None:
    radio = study.document.equipment["radio"]
    assert radio.draw is not None

    def made(**keys: object) -> Equipment:
        return radio.model_copy(update=keys)

    bare: dict[str, object] = {"draw": None, "on": "never"}
    asked: tuple[dict[str, object], ...] = (
        {}, {"on": "never"}, {"draw": None}, bare, {"passive": True},
    )  # fmt: skip
    assert [draws(made(**keys)) for keys in asked] == [True, True, True, False, False]
    low, high = Mode(draw=radio.draw), Mode(draw=radio.draw, on="cruise")
    assert draws(made(**bare, modes={"low": low}))
    assert not pulses("radio", radio)
    assert pulses("beacon", made(character="pulsed"))
    assert pulses("beacon", made(character="pulsed", modes={"low": low}))
    assert not pulses("beacon", made(character="pulsed", modes={"low": low, "high": high}))


def test_modes_that_fill_the_phase_leave_the_base_nothing_and_no_less() -> None:
    base, *_ = _displaced(
        [_mode("a", 1, 60), _mode("b", 0.7, 42), _mode("c", 0.6, 36)], turning=False
    )
    assert (base.share, base.counted) == (0, 0)
    base, *_ = _displaced([_mode("a", 0.5, 30), _mode("b", 0.2, 12)], turning=False)
    assert (base.share, base.counted) == (0.5, 0.5)
    base, other = _displaced([_mode("a", 1, 60), _mode("b", 0.25, 15)], turning=False)
    assert (base.share, base.counted, other.counted) == (0.75, 0.75, 0.25)


def test_while_the_starter_turns_what_is_on_for_a_part_of_it_is_not_counted_as_lasting() -> None:
    base, other = _displaced([_mode("a", 1, 5), _mode("b", 0.4, 2)], turning=True)
    assert (base.share, base.counted) == (0.6, 1.0)
    assert (other.share, other.counted) == (0.4, 0.0)
    (alone,) = _displaced([_mode("a", 0.4, 2)], turning=True)
    assert (alone.share, alone.counted) == (0.4, 0.0)


def test_the_worst_five_minutes_hold_each_short_mode_and_the_base_has_the_rest() -> None:
    parts = {m.mode: p for m, p in five_minute_shares((_mode("a", 1, 3600), _mode("b", 0.1, 75)))}
    assert parts == {"a": 0.75, "b": 0.25}
    parts = {m.mode: p for m, p in five_minute_shares((_mode("a", 0.5, 60), _mode("b", 0.3, 900)))}
    assert parts == {"a": 0.0, "b": 1.0}
    assert [p for _, p in five_minute_shares((_mode("a", 0.5, 60),))] == [0.2]
    assert [p for _, p in five_minute_shares((_mode("a", 1.0, 60),))] == [1.0]
    assert five_minute_shares(()) == ()


def test_who_stands_by_for_whom_is_told_from_both_sides(study: Study) -> None:
    assert stand_ins(study) == {
        "radio": ("spare",), "spare": ("radio", "third"), "third": ("spare",),
    }  # fmt: skip


# -- twice the voltage ----------------------------------------------------------------------------


def test_a_system_of_28_v_has_twice_the_cells_and_voltages(study: Study) -> None:
    assert [cells_factor(v) for v in (12, 14, 18, 24, 28)] == [1, 1, 1, 2, 2]
    sources = study.document.sources
    assert [cells_in_series(study, sources[n]) for n in ("lithium", "agm")] == [8, 12]  # type: ignore[arg-type]
    assert cutoff_v(study, sources["lithium"]) == 8 * 2.5  # type: ignore[arg-type]
    assert contactor_hold_v(study) == 2 * default("contactor-hold-14").value
    assert usual_minimum_v(study) == default("equipment-minimum-28").value
    assert demand(study).design_v == 2 * default("design-low-voltage").value
    assert (limit(study, "drop-continuous").value, limit(study, "drop-intermittent").value) == (
        1,
        2,
    )


def test_what_a_battery_accepts_is_given_or_by_its_kind(study: Study) -> None:
    sources = study.document.sources
    found = {n: accepts_a(s) for n, s in sources.items() if s.kind != "alternator"}  # type: ignore[arg-type]
    assert found == {"lithium": 10.0, "agm": 7.0, "wet": 5.0, "gel": 8.0}
    assert charge_hours(sources["gel"]) == default("charge-hours").value  # type: ignore[arg-type]
    assert charge_efficiency(sources["lithium"]) > charge_efficiency(sources["gel"])  # type: ignore[arg-type]


def test_the_five_minute_current_by_peukert(study: Study) -> None:
    """t = H (C/(I H))^k solved for I: 20 Ah in 20 h, k 1.2, empty in 5 min."""
    by_hand = 20 / 20 * (20 * 60 / 5) ** (1 / 1.2)
    assert five_minute_a(study.document.sources["gel"]) == pytest.approx(by_hand)  # type: ignore[arg-type]


# -- resistances, contacts, bundles ---------------------------------------------------------------


def test_a_device_has_the_published_resistance_else_that_of_a_joint() -> None:
    joint = default("joint-resistance").si
    assert device_ohm("breaker", 5.0, None) == breaker_resistance_ohm(5.0)[0] != joint
    blade = fuse_resistance_ohm("blade-c", 5.0)[0]
    assert device_ohm("fuse", 5.0, "blade-c") == blade + default("blade-holder").si
    for kind, rating_a, family in (
        ("breaker", None, None), ("fuse", 5.0, None), ("limiter", 60.0, "sf51"),
        ("fuse", 4711.0, "blade-c"),
    ):  # fmt: skip
        assert device_ohm(kind, rating_a, family) == joint


def test_of_several_contacts_the_narrowest_counts_and_who_keeps_the_gauge_thin_is_named() -> None:
    wide = ContactRange(thinnest="24", thickest="12", title="wide")
    thin = ContactRange(thinnest="22", thickest="20", title="thin")
    both = _narrowest([wide, thin])
    assert (both.thinnest, both.thickest, both.title) == ("22", "20", "thin")
    assert _narrowest([thin, wide]).title == "thin"
    assert _narrowest([wide]) == wide


def test_a_gauge_that_is_not_known_here_counts_as_the_thinnest() -> None:
    assert [_known(awg) for awg in ("28", "22", AWGS[-1])] == ["26", "22", AWGS[-1]]


def test_a_limit_that_is_a_share_is_the_number_of_its_table() -> None:
    assert [published(key).value for key in ("bundle-tight", "breaker-share")] == [0.8, 0.8]


def test_a_bundle_that_can_carry_nothing_is_full() -> None:
    assert loading(0.0, 0.0, 3) == loading(5.0, 0.0, 3) == 1.0
    assert loading(5.0, 0.5, 3) == bundle_loading(use_ratio=10.0, wires=3)


# -- how far a figure may be off ------------------------------------------------------------------


def test_how_far_a_draw_may_be_off(study: Study) -> None:
    found = [draw_spread(study, name, "") for name in ("radio", "spare", "third")]
    assert [(one.tolerance, one.shape, one.basis) for one in found] == [
        (MOST, "triangular", "typical"),
        (0.4, "uniform", "basis not said"),
        (0.1, "uniform", "data sheet"),
    ]
    assert pytest.approx(NormalDist().inv_cdf(0.95), rel=1e-12) == QUANTILE
    assert MOST < 1
    assert "tolerance-unstated" in found[1].origin
    assert found[0].origin.startswith("small.yaml:")
