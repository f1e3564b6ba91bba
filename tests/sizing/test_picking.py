"""What decides a rating and a gauge: makers, stock, floors, pulses, stand-bys, what is solved."""

import math

import pytest

from elec.answers.connect.switching import switching
from elec.check import checks
from elec.finding import Finding
from elec.physics.heat import bundle_factor
from elec.physics.load import pulsing_a
from elec.sizing.choices import choices
from elec.sizing.sizing import sizing
from elec.standards import AWGS, default
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.demand import circuit_amps, demand
from elec.wiring.duty import duties
from tests.answers.helper import NAMES, small, whole

BASE = """\
system: {{name: Shelf, nominal: 14 V, conditions: [day]}}
phases:
  taxi: {{lasts: 10 min, engine: 1200 rpm}}
  cruise: {{lasts: 1 h, engine: 2400 rpm}}
sources:
  alternator: {{kind: alternator, place: panel, setpoint: 14.2 V, rating: 60 A,
               output: {{1000 rpm: 60 A}}}}
  battery: {{kind: lead-acid, place: panel, capacity: 18 Ah, resistance: 9 mΩ}}
buses: {{main: {{place: panel}}}}
grounds:
  block: {{place: panel, kind: block}}
  other: {{place: panel, kind: block, gauge: AWG 10}}
feeders:
  - {{from: battery, to: main, limiter: auto}}
  - {{from: alternator, to: main, limiter: auto}}
{more}
equipment:
{equipment}
circuits:
{circuits}
places: {{panel: {{ambient: 55 °C}}, tail: }}
ways: [{{between: [panel, tail], length: 10 ft}}]
"""


def system(
    equipment: dict[str, str], *, more: str = "", ohm: str = "9 mΩ", **circuits: str
) -> Study:
    """One bus; each load with a circuit of its own unless one is given."""
    fed = {name: circuits.get(name, f"breaker: auto, feeds: {name}") for name in equipment}
    return small(
        BASE.format(
            more=more,
            equipment="\n".join(f"  {n}: {{place: tail, {text}}}" for n, text in equipment.items()),
            circuits="\n".join(f"  {n}: {{bus: main, {text}}}" for n, text in fed.items() if text),
        ).replace("9 mΩ", ohm)
    )


def rating(study: Study, name: str) -> float | None:
    return sizing(study).devices[name].rating_a


def why(study: Study, name: str) -> str:
    return choices(study)[name].device_why


def said(study: Study, check: str, about: str) -> Finding:
    one = next(c for c in checks() if c.id == check)
    return next(f for f in one.function(study) if f.about == about)


# -- order of choice ------------------------------------------------------------------------------


def test_a_small_load_gets_the_floor_a_motor_a_greater_one() -> None:
    study = system(
        {
            "lamp": "draw: 0.1 A, basis: measured",
            "fan": "draw: 0.1 A, basis: measured, character: motor, "
            "inrush: {factor: 3, lasts: 50 ms}",
            "computer": "draw: 0.1 A, basis: measured, role: engine",
            "flasher": "peak: 0.5 A, duty: 20 %, basis: measured",
        }
    )
    assert [rating(study, name) for name in ("lamp", "fan", "computer", "flasher")] == [2, 5, 5, 5]
    assert why(study, "lamp") == "the floor of 2 A (default device-floor (our judgement))"
    assert "device-floor-hard" in why(study, "fan")


def test_a_maker_comes_before_floor_and_load() -> None:
    text = "draw: 0.1 A, basis: measured, maker-asks: {breaker: 1 A, gauge: AWG 18}"
    study = system({"box": text})
    assert rating(study, "box") == 1
    assert why(study, "box").startswith("what its maker asks for")
    assert {g.awg for n, g in sizing(study).gauges.items() if n.startswith("box/")} == {"18"}
    assert "maker" in choices(study)["box"].gauge_why


def test_a_maker_who_asks_for_less_than_the_load_is_told_and_not_followed() -> None:
    study = system({"box": "draw: 4 A, basis: measured, maker-asks: {breaker: 3 A}"})
    assert (rating(study, "box") or 0) >= 4 / 0.8
    found = said(study, "device-as-asked", "box")
    assert found.verdict == "fail"
    assert "draw as given" in found.remedy


def test_the_stock_comes_first_and_is_left_only_where_it_does_not_do() -> None:
    loads = {"a": "draw: 0.1 A, basis: measured", "b": "draw: 11 A, basis: measured"}
    plain = system(loads)
    shelf = system(loads, more="stock: {breakers: [3 A, 10 A], gauges: [AWG 20, AWG 10]}")
    assert (rating(plain, "a"), rating(shelf, "a")) == (2, 3)
    assert "stock" in why(shelf, "a")
    assert rating(shelf, "b") == rating(plain, "b") == 20
    assert "nothing in your stock" in why(shelf, "b")
    gauges = {n.partition("/")[0]: g.awg for n, g in sizing(shelf).gauges.items()}
    assert (gauges["a"], gauges["b"]) == ("20", "10")
    assert sizing(plain).gauges["a/1"].awg == "22"
    assert said(shelf, "device-standard-rating", "b").verdict == "advise"
    assert said(shelf, "device-standard-rating", "a").verdict == "pass"


def test_a_figure_that_may_be_off_gets_the_room_for_it() -> None:
    # intermittent: the whole of 5 A holds 4 A at 55 °C (4.55 A), but not 4.8 A, the 95 % of ±30 %
    motor = "draw: 4 A, intermittent: yes, basis: {}"
    study = system({"known": motor.format("measured"), "guess": motor.format("estimate")})
    assert (rating(study, "known"), rating(study, "guess")) == (5, 7.5)
    assert "may be" in why(study, "guess")


# -- pulses ---------------------------------------------------------------------------------------


def test_the_root_mean_square_is_that_of_the_waveform() -> None:
    # against the definition, summed over a thousand instants of one second: 3 A for 0.15 s, 0.4 A
    # between
    instants = [3.0 if i < 150 else 0.4 for i in range(1000)]
    mean = sum(instants) / 1000
    rms = math.sqrt(sum(i * i for i in instants) / 1000)
    assert pulsing_a(average_a=mean, peak_a=3, duty=0.15) == pytest.approx(rms, rel=1e-12)
    # no waveform between nothing and the peak with that mean warms more than the one of two levels
    assert pulsing_a(average_a=mean, peak_a=3, duty=None) > rms


@pytest.mark.parametrize(
    "text",
    [
        "draw: 0.4 A, peak: 2 A",
        "draw: 0.4 A, duty: 20 %",
        "peak: 2 A, duty: 20 %",
        "draw: 5.6 W, peak: 2 A",  # 0.4 A at the nominal 14 V
    ],
)
def test_two_of_average_peak_and_duty_say_the_third(text: str) -> None:
    study = system({"flasher": f"{text}, basis: measured"})
    (mode,) = demand(study).loads["flasher"].phases["cruise"]
    amps = [None if d is None else d.current_a(14) for d in (mode.draw, mode.heating, mode.peak)]
    assert amps == [pytest.approx(0.4), pytest.approx(2 * math.sqrt(0.2)), pytest.approx(2)]


def test_what_pulses_warms_by_its_root_mean_square_and_drops_by_its_peak() -> None:
    study = system({"flasher": "peak: 4 A, duty: 25 %, basis: measured"})
    assert circuit_amps(study, ("flasher",), "cruise", "day") == pytest.approx(2)
    device = sizing(study).devices["flasher"]
    assert [device.load_a, device.peak_a] == [pytest.approx(2), pytest.approx(4)]
    assert device.needed_a == pytest.approx(4 / 0.91)  # more than 2 / 0.8 / 0.91
    assert sizing(study).peaks_a["flasher/1"] == pytest.approx(4)
    assert max(sizing(study).currents_a["flasher/1"].values()) == pytest.approx(2)


def test_a_horn_hidden_behind_an_average_is_asked_for() -> None:
    hidden = system({"stall-warner": "draw: 80 mA, basis: measured"})
    assert said(hidden, "device-holds-load", "stall-warner").verdict == "cannot-tell"
    modes = "modes: {quiet: {draw: 80 mA}, horn: {draw: 1.5 A, on: {cruise: 5 s}}}, essential: yes"
    told = system({"stall-warner": f"{modes}, basis: measured"})
    assert said(told, "device-holds-load", "stall-warner").verdict == "pass"
    assert (rating(told, "stall-warner") or 0) >= 1.5 / 0.8


# -- stand-bys ------------------------------------------------------------------------------------

PUMPS = {
    "pump-a": "draw: 2.5 A, basis: measured, exclusive: pumps, backup: pump-b",
    "pump-b": "draw: 2.5 A, basis: measured, exclusive: pumps, on: {taxi: 60 s}",
}


def test_a_stand_by_gets_device_and_wire_of_what_it_stands_in_for() -> None:
    study = system(PUMPS)
    assert not demand(study).loads["pump-b"].intermittent
    assert rating(study, "pump-a") == rating(study, "pump-b") == 4
    assert sizing(study).gauges["pump-a/1"].awg == sizing(study).gauges["pump-b/1"].awg
    # it counts in the phase in which the other runs, so that its bundle is loaded then
    assert sizing(study).currents_a["pump-b/1"]["cruise", "day"] == pytest.approx(2.5)


def test_a_stand_by_follows_a_given_rating_and_gauge() -> None:
    given = "breaker: 7.5 A, gauge: AWG 16, feeds: pump-a"
    study = system(PUMPS, **{"pump-a": given})
    assert rating(study, "pump-b") == 7.5
    assert sizing(study).gauges["pump-b/1"].awg == "16"
    assert why(study, "pump-b") == "its twin, pump A"


def test_an_essential_load_on_for_seconds_is_lasting_unless_the_builder_says_otherwise() -> None:
    text = "draw: 3 A, basis: measured, on: {cruise: 10 s}"
    study = system(
        {
            "plain": text,
            "needed": f"{text}, essential: yes",
            "short": f"{text}, essential: yes, intermittent: yes",
        }
    )
    short = [demand(study).loads[name].intermittent for name in ("plain", "needed", "short")]
    assert short == [True, False, True]


# -- what the network says -------------------------------------------------------------------------


def test_a_coil_counts_in_its_breaker_and_in_the_feeder_that_may_stand_alone() -> None:
    more = "switches: {relay: {kind: relay, coil: 1 A, rating: 10 A}}"
    study = system(
        {"box": "draw: 0.5 A, basis: measured"}, more=more,
        box="breaker: 1 A, contactor: relay, feeds: box",
    )  # fmt: skip
    device = sizing(study).devices["box"]
    assert device.load_a == pytest.approx(1.5, rel=1e-4)
    assert said(study, "device-holds-load", "box").verdict == "fail"
    assert next(iter(duties(study).values())).current_a == pytest.approx(1.5)


def test_constant_power_counts_at_the_voltage_that_its_bus_sinks_to() -> None:
    # behind 0.15 Ω the bus is far below the 12 V that devices are sized at, once the alternator is
    # gone: 60 W take more than the 5 A that are counted
    study = system(
        {"box": "draw: 60 W, basis: measured", "heater": "draw: 8 A, basis: measured"},
        ohm="150 mΩ",
    )
    load = sizing(study).devices["box"].load_a
    assert load is not None
    assert load > 5.3
    assert max(sizing(study).currents_a["box/1"].values()) == pytest.approx(load, rel=2e-3)


def test_a_switch_is_judged_where_factor_times_amperes_is_greatest() -> None:
    loads = {
        "lamp": "draw: 4 A, on: taxi, character: lamp, basis: measured, "
        "inrush: {factor: 8, lasts: 20 ms}",
        "heater": "draw: 10 A, on: cruise, character: heater, basis: measured",
    }
    study = system(loads, lamp="breaker: 15 A, switch: both, feeds: [lamp, heater]", heater="")
    # table 11-4 at 12 V: 5 × 4 A of lamp against 1 × 10 A of heater
    assert switching(study)["both"].needed_a == pytest.approx(20)


def test_many_wires_carry_less_than_forty() -> None:
    factors = [bundle_factor(wires=wires, loading=0.5) for wires in (20.0, 40.0, 70.0, 100.0)]
    assert factors == sorted(factors, reverse=True)
    assert bundle_factor(wires=70.0, loading=0.9) == pytest.approx(
        1 / math.sqrt(1 + 0.42 * 69 * 0.9)
    )


@pytest.mark.parametrize("name", NAMES)
def test_no_bundle_is_pointed_out_for_a_wire_that_was_chosen(name: str) -> None:
    study = whole(name)
    done = sizing(study)
    for finding in next(c for c in checks() if c.id == "bundle-heat").function(study):
        if finding.verdict == "advise":
            given = {g.conductor.rpartition("/")[0] for g in done.gauges.values() if not g.chosen}
            assert any(title in finding.sentence for title in given), finding.sentence


@pytest.mark.parametrize("name", NAMES)
def test_no_chosen_rating_is_below_its_floor_or_its_doubt(name: str) -> None:
    study = whole(name)
    doubtful = {
        f.about
        for f in next(c for c in checks() if c.id == "load-spread").function(study)
        if f.verdict == "advise"
    }
    for device in sizing(study).devices.values():
        if device.chosen and device.kind in ("breaker", "fuse"):
            wire = chains(study).named(device.chain).kind == "wire"  # for sensing or for a lamp
            least = default("tap-fuse" if wire else "device-floor")
            assert (device.rating_a or 0) >= least.si, device
            assert (device.rating_a or 0) >= (device.needed_a or 0), device
            assert device.chain not in doubtful


def test_twins_of_the_systems_are_alike() -> None:
    done = sizing(whole("larkspur"))
    for name in ("fuel-pump", "injectors", "ignition", "ecu"):
        assert done.devices[f"{name}-a"].rating_a == done.devices[f"{name}-b"].rating_a
        sides = [
            max(
                (g.awg for n, g in done.gauges.items() if n.startswith(f"{name}-{side}/")),
                key=AWGS.index,
            )
            for side in "ab"
        ]
        assert sides[0] == sides[1]


def test_returns_that_share_a_contact_carry_what_the_network_says() -> None:
    # both returns leave contact B, for two ground points: 3.2 A part by resistance, not by load
    more = (
        "plugs: {plug: {type: circular-38999-16, place: tail, pins: {A: big, B: low, C: small}}}\n"
    )
    study = system(
        {"big": "draw: 3 A, basis: measured", "small": "draw: 0.2 A, basis: measured"},
        more=more,
        big="breaker: auto, gauge: AWG 20, feeds: big, ground-point: block, "
        "through: {plug: {feed: A, return: B}}",
        small="breaker: auto, gauge: AWG 20, feeds: small, ground-point: other, "
        "through: {plug: {feed: C, return: B}}",
    )
    done = sizing(study)
    assert max(done.currents_a["small/3"].values()) == pytest.approx(0.2)
    onward = max(done.currents_a["small/4"].values())
    assert 1.2 < onward < 1.7  # half of 3.2 A, less the way from one ground point to the other
    assert max(done.currents_a["other-ground/1"].values()) == pytest.approx(onward, rel=1e-3)
