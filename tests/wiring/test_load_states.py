"""Which load is on in which case, what a part resists, what a source gives: each branch of it."""

import numpy as np
import pytest
from msgspec.structs import replace

from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study
from elec.wiring.backup import engine_loads, pairs
from elec.wiring.backup import stand_ins as backups
from elec.wiring.cases import (
    NORMAL,
    RECHARGING,
    Case,
    Scenario,
    cases,
    closed,
    exclusive_groups,
    primary_batteries,
    recharging_cases,
    scenarios,
    unshed,
)
from elec.wiring.chains import Part, chains
from elec.wiring.circuit_model import (
    Model,
    build,
    has_field,
    minimum_v,
    mode_amounts,
    part_ohm,
    sheds,
    usual_resistance,
)
from elec.wiring.coils import (
    coil_chain,
    coil_loads,
    contact_rows,
    contacts,
    held,
    limit_switches,
    moved_by,
)
from elec.wiring.demand import circuit_amps, demand, greatest_modes, kind_of_pulse, turning_s, turns
from elec.wiring.duty import coil_amps, duties
from elec.wiring.standby import standing_amps, twins
from elec.wiring.taps import taps
from tests.answers.helper import small

TEXT = """\
system: {name: States, nominal: 14 V, conditions: [day, night], electrically-dependent: yes}
phases:
  start: {lasts: 10 s, engine: cranking}
  taxi: {lasts: 10 min, engine: 1200 rpm}
  cruise: {lasts: 1 h, engine: 2400 rpm}
  glide: {lasts: 10 min, engine: stopped}
sources:
  left: {kind: alternator, place: nose, setpoint: 14.2 V, rating: 40 A, field-circuit: field,
    output: {1000 rpm: 20 A, 2400 rpm: 40 A}}
  right: {kind: alternator, place: nose, setpoint: 13.9 V, rating: 20 A, field: 2 A,
    output: {1000 rpm: 10 A, 2400 rpm: 20 A}, droop: 5 mΩ}
  battery: {kind: lead-acid, place: nose, capacity: 18 Ah, resistance: 9 mΩ}
  cart: {kind: external-power, place: nose, voltage: 14 V, in: start, resistance: 30 mΩ}
buses: {main: {place: panel}, spare: {place: panel}}
feeders:
  - {name: cable, from: battery, to: main, contactor: master, limiter: 60 A, gauge: AWG 4}
  - {name: left, from: main, to: left, limiter: 60 A, gauge: AWG 8}
  - {name: right, from: main, to: right, limiter: 60 A, gauge: AWG 8}
  - {name: cart, from: cart, to: main, limiter: 80 A, gauge: AWG 4}
  - {name: tie, from: main, to: spare, breaker: 20 A, gauge: AWG 10, switch: tie, used: normal}
  - {name: rescue, from: battery, to: spare, breaker: 20 A, gauge: AWG 10, switch: rescue,
     used: emergency}
switches:
  master: {kind: contactor, rating: 80 A, coil: {draw: 0.8 A, switch: battery-on}}
  battery-on: {rating: 5 A}
  lamp-relay: {kind: relay, rating: 10 A, coil: 0.2 A}
  tie: {rating: 20 A, resistance: 4 mΩ}
  rescue: {rating: 20 A}
grounds: {block: {place: panel, kind: block}}
equipment:
  regulator: {place: nose, draw: 3 A}
  radio: {place: panel, draw: 2 A, shed: at once, minimum: 9 V}
  pump: {place: panel, draw: 4 A, essential: yes, role: engine, backup: spare-pump}
  spare-pump: {place: panel, draw: 4 A, role: engine, on: {taxi: 1 min}}
  lamp: {place: panel, draw: 28 W, when: night, shed: 5 min}
  heat: {place: panel, draw: 2 ohm, exclusive: heat, shed: never}
  fan: {place: panel, draw: 5 A, exclusive: heat, on: cruise}
  blower: {place: panel, exclusive: heat, modes: {low: {draw: 1 A, on: {cruise: 60 s}},
    high: {peak: 8 A, duty: 25 %, on: {cruise: 240 s}}}}
  beacon: {place: panel, draw: 0.5 A, character: lamp}
  horn: {place: panel, draw: 0.1 A}
circuits:
  field: {bus: main, breaker: 5 A, feeds: regulator}
  radio: {bus: main, breaker: 5 A, feeds: radio}
  pump: {bus: main, breaker: 5 A, feeds: pump}
  pump-too: {bus: spare, breaker: 5 A, feeds: pump}
  spare-pump: {bus: spare, breaker: 5 A, feeds: spare-pump}
  lamp: {bus: main, breaker: 5 A, feeds: lamp, contactor: lamp-relay}
  heat: {bus: main, breaker: 10 A, feeds: [heat, fan, blower]}
  beacon: {bus: main, breaker: {rating: 5 A, resistance: 30 mΩ}, feeds: [beacon, horn]}
places: {panel: {ambient: 25 °C}, nose: {ambient: 25 °C}}
ways: [{between: [panel, nose], length: 3 ft}]
"""


@pytest.fixture(scope="module")
def study() -> Study:
    return small(TEXT)


def scenario(study: Study, name: str) -> Scenario:
    return next(one for one in scenarios(study) if one.name == name)


# -- cases ----------------------------------------------------------------------------------------


def test_which_sources_are_lost_together(study: Study) -> None:
    found = {s.name: (sorted(s.lost), s.emergency) for s in scenarios(study)}
    assert found == {
        "normal": ([], False), "left-failed": (["left"], False), "right-failed": (["right"], False),
        "all-failed": (["left", "right"], False), "emergency": (["left", "right"], True),
    }  # fmt: skip
    assert [s.title for s in scenarios(study)] == [
        "all well", "left failed", "right failed", "all alternators failed, nothing shed",
        "on the battery, loads shed",
    ]  # fmt: skip
    assert unshed(study).name == "all-failed"
    assert (RECHARGING.low, NORMAL.low, RECHARGING.emergency) == (True, False, False)


def test_without_alternators_the_first_battery_is_lost_where_another_stands_by() -> None:
    glider = """\
system: {name: Glider, nominal: 12 V}
phases: {cruise: {lasts: 1 h}}
sources:
  first: {kind: lead-acid, place: panel, capacity: 7 Ah}
  second: {kind: lead-acid, place: panel, capacity: 7 Ah}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders:
  - {name: one, from: first, to: main, fuse: 10 A, switch: one, used: FIRST}
  - {name: two, from: second, to: main, fuse: 10 A, switch: two, used: SECOND}
equipment: {radio: {place: panel, draw: 1 A}}
circuits: {radio: {bus: main, breaker: 3 A, feeds: radio}}
places: {panel: }
"""

    def names(first: str, second: str) -> tuple[tuple[str, ...], list[str]]:
        found = small(glider.replace("FIRST", first).replace("SECOND", second))
        told = [f"{s.title} {' '.join(sorted(s.lost))}".strip() for s in scenarios(found)]
        return primary_batteries(found), told

    assert names("normal", "emergency") == (
        ("first",), ["all well", "on the second battery first"],
    )  # fmt: skip
    assert names("always", "emergency") == ((), ["all well", "changed over, loads shed"])
    assert names("always", "always") == names("normal", "normal") == ((), ["all well"])
    assert unshed(small(glider.replace("FIRST", "always").replace("SECOND", "always"))).name == (
        "nothing-failed"
    )


def test_when_a_feeder_is_closed(study: Study) -> None:
    emergency = scenario(study, "emergency")
    found = {f.name: (closed(f, NORMAL), closed(f, emergency)) for f in study.document.feeders}
    assert (found["tie"], found["rescue"]) == ((True, False), (False, True))
    assert found["cable"] == (True, True)


def test_every_case_stands_once(study: Study) -> None:
    """Phases × conditions × scenarios: steady one each, momentary one for each of a group."""
    found = cases(study)
    steady = [c for c in found if c.count == "steady"]
    assert len(steady) == 4 * 2 * 5
    cruise = {c.instead for c in found if (c.phase, c.count) == ("cruise", "momentary")}
    # 14.2 V over 2 Ω are 7.1 A, the blower's 8 A more, the fan's 5 A less
    assert cruise == {(), ("heat",), ("fan",)}
    groups = {p: exclusive_groups(study, p, "day")["heat"] for p in ("taxi", "cruise")}
    assert groups == {"taxi": ("heat",), "cruise": ("blower", "heat", "fan")}
    low = recharging_cases(study)
    assert [(c.phase, c.condition) for c in low] == [
        ("taxi", "day"), ("taxi", "night"), ("cruise", "day"), ("cruise", "night"),
    ]  # fmt: skip
    assert {(c.scenario.name, c.count) for c in low} == {("recharging", "lasting")}
    one = next(c for c in found if c.instead == ("fan",) and c.scenario == NORMAL)
    assert one.title == "cruise, day, all well, fan on"


# -- what is shed ---------------------------------------------------------------------------------


def test_what_the_pilot_has_switched_off(study: Study) -> None:
    late = scenario(study, "emergency")

    def off(seconds: float) -> set[str]:
        emergency = replace(late, after_s=seconds)
        return {name for name in study.document.equipment if sheds(study, name, emergency)}

    assert off(float("inf")) == off(300.0) == {"radio", "lamp", "regulator"}
    assert off(299.0) == {"radio", "regulator"}
    assert not sheds(study, "regulator", scenario(study, "right-failed"))


def test_an_alternator_without_its_field_gives_nothing(study: Study) -> None:
    def fed(name: str, scene: str, phase: str = "cruise") -> bool:
        case = Case(phase=phase, condition="day", scenario=scenario(study, scene), count="steady")
        return has_field(study, name, case)

    assert [fed("left", s) for s in ("normal", "left-failed", "right-failed")] == [
        True, False, True,
    ]  # fmt: skip
    assert fed("right", "normal")
    text = TEXT.replace("regulator: {place: nose, draw: 3 A}",
                        "regulator: {place: nose, draw: 3 A, on: taxi, shed: at once}")  # fmt: skip
    other = small(text)
    alone = replace(scenario(other, "emergency"), lost=frozenset())
    for phase, scene, gives in (
        ("taxi", NORMAL, True), ("cruise", NORMAL, False), ("taxi", alone, False),
    ):  # fmt: skip
        case = Case(phase=phase, condition="day", scenario=scene, count="steady")
        assert has_field(other, "left", case) is gives
    never = small(TEXT.replace("regulator: {place: nose, draw: 3 A}",
                               "regulator: {place: nose, draw: 3 A, on: {taxi: 0 %}}"))  # fmt: skip
    assert not has_field(never, "left", replace(case, scenario=NORMAL))


# -- amounts --------------------------------------------------------------------------------------


def test_what_a_mode_is_counted_with(study: Study) -> None:
    """high: 8 A for a quarter is 2 A on the average, 4 A root mean square, on for 240 of 3600 s.

    In the worst five minutes it is on for 240 s of 300 s, low for the rest: 60 s.
    """
    high = mode_amounts(study)["blower", "high"]
    counts = ("alone", "momentary", "alone warming", "warming", "steady", "lasting")
    found = [high["cruise", "day", count] for count in counts]  # type: ignore[index]
    assert found == pytest.approx([8.0, 8.0, 4.0, 4.0, 2 * 240 / 3600, 0.0])
    assert {v for (phase, _, _), v in high.items() if phase != "cruise"} == {0.0}
    low = mode_amounts(study)["blower", "low"]
    assert [low["cruise", "day", c] for c in ("alone", "momentary")] == [0.0, 0.0]
    assert low["cruise", "day", "steady"] == pytest.approx(60 / 3600)
    fan = mode_amounts(study)["fan", ""]
    assert [fan["cruise", "day", c] for c in counts] == [5.0, 0.0, 5.0, 0.0, 5.0, 0.0]  # type: ignore[index]
    heat = mode_amounts(study)["heat", ""]
    off = heat["start", "day", "momentary"]
    assert heat["taxi", "day", "lasting"] == heat["cruise", "day", "lasting"] == 2.0
    assert off == 2.0  # always on, and alone of its group while the engine is cranked
    lamp = mode_amounts(study)["lamp", ""]
    assert {lamp["taxi", when, c] for when in ("day", "night") for c in counts} == {0.0, 28.0}  # type: ignore[index]


def model(study: Study) -> Model:
    return build(study, cases(study), sizing(study).sizes())


def column(study: Study, *when: str, instead: tuple[str, ...] = ()) -> int:
    """Where a case stands; by day where nothing is said."""
    asked = (*when, "day")[:4]
    return next(
        i
        for i, c in enumerate(cases(study))
        if (c.phase, c.scenario.name, c.count, c.condition) == asked and c.instead == instead
    )


def test_loads_in_the_network(study: Study) -> None:
    made = model(study)
    row = {branch.name: i for i, branch in enumerate(made.netlist.loads)}

    def value(name: str, *case: str, instead: tuple[str, ...] = ()) -> float:
        return float(made.values.load_value[row[name], column(study, *case, instead=instead)])

    assert value("radio", "cruise", "normal", "momentary") == 2.0
    assert value("radio", "cruise", "all-failed", "momentary") == 2.0
    assert value("radio", "cruise", "emergency", "momentary") == 0.0
    assert value("pump", "cruise", "emergency", "momentary") == 4.0
    assert value("fan", "cruise", "normal", "momentary") == 0.0
    assert value("fan", "cruise", "normal", "momentary", instead=("fan",)) == 5.0
    assert value("blower:high", "cruise", "normal", "momentary", instead=("fan",)) == 0.0
    assert value("blower:high", "cruise", "normal", "momentary") == 8.0
    assert value("pump", "cruise", "normal", "momentary", instead=("fan",)) == 4.0
    # the field of a dead alternator is still on until it is shed, while its engine turns
    right = {
        s: value("field:right", "cruise", s, "steady")
        for s in ("normal", "left-failed", "right-failed", "all-failed", "emergency")
    }
    assert right == {
        "normal": 0, "left-failed": 0, "right-failed": 2.0, "all-failed": 2.0, "emergency": 0,
    }  # fmt: skip
    assert value("field:right", "glide", "right-failed", "steady") == 0.0
    assert "field:left" not in row  # its regulator is a load of its own
    relay = {c: value("coil:lamp-relay", "cruise", "normal", "steady", c) for c in ("day", "night")}
    assert relay == {"day": 0.0, "night": 0.2}
    warm = build(study, cases(study), sizing(study).sizes(), warming=True)
    at = column(study, "cruise", "normal", "momentary")
    assert warm.values.load_value[row["blower:high"], at] == pytest.approx(4.0)
    # alone of its group, too: 5 A for a quarter of the time is 2.5 A root mean square
    pulsing = small(TEXT.replace("fan: {place: panel, draw: 5 A", "fan: {place: panel, peak: 5 A, "
                                 "duty: 25 %"))  # fmt: skip
    at = column(pulsing, "cruise", "normal", "momentary", instead=("fan",))
    for warming, amps in ((False, 5.0), (True, 2.5)):
        made = build(pulsing, cases(pulsing), sizing(pulsing).sizes(), warming=warming)
        assert made.values.load_value[row["fan"], at] == pytest.approx(amps)


def test_sources_in_the_network(study: Study) -> None:
    made = model(study)
    alternators = [branch.name for branch in made.netlist.alternators]
    limits = {
        (name, scene, phase): float(made.values.alternator_limit_a[alternators.index(name),
                                    column(study, phase, scene, "steady")])
        for name in alternators for scene in ("normal", "left-failed")
        for phase in ("start", "taxi", "cruise", "glide")
    }  # fmt: skip
    assert [limits["left", "normal", p] for p in ("start", "glide")] == [0.0, 0.0]
    assert limits["left", "normal", "cruise"] == 40.0
    assert limits["left", "normal", "taxi"] == pytest.approx(20 + 20 * 200 / 1400)
    assert limits["left", "left-failed", "cruise"] == 0.0
    assert limits["right", "left-failed", "cruise"] == 20.0
    droop = made.values.alternator_droop_ohm[:, 0].tolist()
    assert droop == [default("regulator-droop").si, 0.005]
    batteries = [branch.name for branch in made.netlist.batteries]
    cart = made.values.battery_resistance_ohm[batteries.index("cart")]
    plugged = {
        (c.phase, c.scenario.name) for c, ohm in zip(cases(study), cart, strict=True)
        if np.isfinite(ohm)
    }  # fmt: skip
    assert plugged == {("start", "normal")}
    assert cart[column(study, "start", "normal", "steady")] == 0.03
    unsaid = model(small(TEXT.replace("in: start, resistance: 30 mΩ", "in: start")))
    usual = default("external-power-resistance").si
    assert usual in unsaid.values.battery_resistance_ohm[batteries.index("cart")]
    own = batteries.index("battery")
    emf = made.values.battery_emf_v[own]
    full, aged = (emf[column(study, "cruise", s, "steady")] for s in ("normal", "emergency"))
    assert emf[column(study, "cruise", "all-failed", "steady")] == full > aged
    assert set(made.values.battery_resistance_ohm[own]) == {0.009}
    low = build(study, recharging_cases(study), sizing(study).sizes())
    assert low.values.battery_emf_v[own][0] < aged
    charge = [b.name for b in made.netlist.diodes].index("battery#charge")
    slopes = made.values.diode_resistance_ohm[charge][0], low.values.diode_resistance_ohm[charge][0]
    over = demand(study).highest_v - full  # what it takes when it is nearly full: C/20 at the bus
    assert slopes[0] == pytest.approx(over / (18 / default("charge-acceptance-hours").value))
    assert slopes[1] == pytest.approx(1e-5)


@pytest.mark.parametrize(
    ("nominal", "rest", "least_v"), [("14 V", "13.8 V", 0.5), ("28 V", "27.6 V", 1.0)]
)
def test_a_battery_takes_little_where_it_is_nearly_full(
    nominal: str, rest: str, least_v: float
) -> None:
    """Over half a volt of 14 at least, however little the bus stands above it."""
    bare = small(
        f"system: {{name: Full, nominal: {nominal}, conditions: [day]}}\n"
        "phases: {cruise: {lasts: 1 h, engine: stopped}}\n"
        "sources: {battery: {kind: lead-acid, place: bay, capacity: 18 Ah,"
        f" rest: {{100 %: {rest}, 0 %: 11 V}}}}}}\n"
        "buses: {main: {place: bay}}\nfeeders: [{from: battery, to: main, limiter: 30 A}]\n"
        "grounds: {block: {place: bay}}\nequipment: {lamp: {place: bay, draw: 1 A}}\n"
        "circuits: {lamp: {bus: main, breaker: 5 A, feeds: lamp}}\nplaces: {bay: }\n"
    )
    made = model(bare)
    assert demand(bare).highest_v - made.values.battery_emf_v[0, 0] < least_v
    charge = [one.name for one in made.netlist.diodes].index("battery#charge")
    slope = made.values.diode_resistance_ohm[charge, 0]
    assert slope == pytest.approx(least_v / (18 / default("charge-acceptance-hours").value))


def test_contacts_of_feeders_open_and_close(study: Study) -> None:
    made = model(study)
    rows = {branch.name: i for i, branch in enumerate(made.netlist.resistors)}
    well, bad = (column(study, "cruise", s, "steady") for s in ("normal", "emergency"))
    ohm = made.values.resistance_ohm
    assert ohm[rows["tie/switch:tie"], [well, bad]].tolist() == [0.004, np.inf]
    assert np.isinf(ohm[rows["rescue/switch:rescue"], well])
    assert np.isfinite(ohm[rows["rescue/switch:rescue"], bad])
    # what is fed twice has a diode behind its contact
    inside = [b.name for b in made.netlist.diodes if b.name.endswith("/inside")]
    assert inside == ["pump.+/inside"]


# -- resistances, least voltages ------------------------------------------------------------------


def test_what_a_part_resists(study: Study) -> None:
    sizes = sizing(study).sizes()

    def ohm(name: str, kind: str) -> float:
        chain = chains(study).by_name[name]
        part = next(p for p in chain.parts() if p.kind == kind)
        return part_ohm(study, chain, part, sizes)

    assert ohm("tie", "switch") == 0.004
    assert ohm("rescue", "switch") == default("switch-resistance").si
    assert ohm("cable", "contactor") == default("contactor-resistance").si
    assert ohm("lamp", "contactor") == default("relay-resistance").si
    assert ohm("beacon", "breaker") == 0.03
    assert ohm("radio", "breaker") == pytest.approx(0.045)  # 0.225 V at 5 A
    plug = Part(id="p", kind="connector", name="tie", place="", inlet="a", outlet="b")
    assert part_ohm(study, chains(study).by_name["tie"], plug, sizes) == (
        default("connector-contact-resistance").si
    )
    shunt = replace(plug, kind="shunt")
    assert usual_resistance(study, shunt).si == default("contactor-resistance").si


def test_the_least_voltage_of_a_load(study: Study) -> None:
    entries = study.document.equipment
    coil = next(iter(coil_loads(study)))
    found = [minimum_v(study, entries[name]) for name in ("radio", "pump", coil)]
    assert found == [9.0, 10.5, default("contactor-hold-14").value]


# -- coils ----------------------------------------------------------------------------------------


def test_coils_and_contacts(study: Study) -> None:
    (coil,) = coil_loads(study)
    assert coil_loads(study)[coil] == "master"
    poles = {name: [chain.name for chain, _ in pair] for name, pair in contacts(study).items()}
    assert poles == {
        "master": ["cable"], "battery-on": ["master-coil"], "lamp-relay": ["lamp"],
        "tie": ["tie"], "rescue": ["rescue"],
    }  # fmt: skip
    assert limit_switches(study) == frozenset()
    chain = coil_chain(study, "master")
    assert chain is not None
    assert moved_by(study, "master") == "battery on"
    assert [coil_chain(study, name) for name in ("lamp-relay", "tie", "none")] == [None] * 3
    assert moved_by(study, "lamp-relay") == ""
    net = model(study).netlist
    rows = contact_rows(study, net)
    assert [net.resistors[i].name for i in rows[coil]] == ["cable/contactor:master"]
    assert contact_rows(study, net, resting=True)[coil] == []
    assert held(study, coil, NORMAL)
    assert held(study, "radio", NORMAL)
    once = small(TEXT.replace("contactor: master, limiter", "contactor: master, used: normal, "
                              "limiter"))  # fmt: skip
    (coil,) = coil_loads(once)
    assert held(once, coil, NORMAL)
    assert not held(once, coil, scenario(once, "emergency"))


@pytest.mark.parametrize(
    ("written", "length_m"), [("", default("contactor-jumper").si), (", jumper: 8 in", 0.2032)]
)
def test_the_wire_from_a_post_to_its_own_coil(written: str, length_m: float) -> None:
    chain = coil_chain(small(TEXT.replace("battery-on}", f"battery-on{written}}}")), "master")
    assert chain is not None
    assert [one.length_m for one in chain.conductors()] == [length_m, None, None]
    post = chain.rows[0].parts[0]
    assert (post.kind, post.name, post.label) == ("post", "master", "master, line post")
    assert (post.place, post.inlet) == ("nose", "cable/contactor:master.in")


def test_a_coil_that_is_fed_within_its_contactor_has_no_such_wire() -> None:
    chain = coil_chain(small(TEXT.replace("battery-on}", "battery-on, jumper: inside}")), "master")
    assert chain is not None
    assert [one.a.label for one in chain.conductors()] == ["master coil", "battery on"]


def test_the_starter_turns_where_the_engine_is_cranked(study: Study) -> None:
    assert [name for name, phase in study.document.phases.items() if turns(phase)] == ["start"]


def test_what_a_feeder_would_carry_alone(study: Study) -> None:
    """On spare both pumps; what is shed at once does not count behind an emergency's feeder."""
    found = {name: duty.current_a for name, duty in duties(study).items()}
    assert set(found) == {"cable", "cart", "tie", "rescue"}
    assert found["tie"] == found["rescue"] == 8.0
    lamp = chains(study).by_name["lamp"]
    assert [coil_amps(study, lamp, "cruise", when) for when in ("day", "night")] == [0.0, 0.2]
    text = TEXT.replace("radio: {bus: main", "radio: {bus: spare")
    shed = {name: duty.current_a for name, duty in duties(small(text)).items()}
    assert (shed["tie"], shed["rescue"]) == (10.0, 8.0)
    assert duties(study)["tie"].phase == "taxi"
    assert duties(study)["tie"].loads == ("pump", "spare-pump")
    # taxi by night: of what excludes one another 14.2 V over 2 Ω, of the lamp 28 W at 12 V
    everything = 3 + 2 + 4 + 4 + 28 / 12 + 0.2 + 7.1 + 0.5 + 0.1
    assert found["cable"] == pytest.approx(everything)


# -- demand ---------------------------------------------------------------------------------------


def test_the_most_of_each_load_and_its_mode(study: Study) -> None:
    found = greatest_modes(study)
    assert found["blower"] == (8.0, "high")
    assert [found[n][0] for n in ("heat", "lamp")] == pytest.approx([7.1, 28 / 12])
    loads = demand(study).loads
    assert [loads[n].peak_unknown for n in ("beacon", "horn", "radio", "blower")] == [
        True, True, False, False,
    ]  # fmt: skip
    beacon = kind_of_pulse("beacon", study.document.equipment["beacon"])
    assert beacon[0] == "by its name it flashes"
    assert kind_of_pulse("radio", study.document.equipment["radio"]) == (
        "by its kind it pulses",
        "",
    )


def test_how_long_the_starter_turns(study: Study) -> None:
    assert turning_s(study, "start") == 10.0
    assert turning_s(study, "taxi") == 60.0  # of the pump that is on for a minute of it
    assert turning_s(study, "cruise") == 240.0


def test_sums_of_loads(study: Study) -> None:
    assert circuit_amps(study, ("heat", "fan", "blower"), "cruise", "day") == pytest.approx(7.1)
    peak = circuit_amps(study, ("heat", "fan", "blower", "radio"), "cruise", "day", "peak")
    assert peak == pytest.approx(10.0)
    assert circuit_amps(study, ("nothing",), "cruise", "day") == 0.0
    assert standing_amps(study, ("spare-pump",), "cruise", "day") == 4.0
    assert standing_amps(study, ("spare-pump",), "taxi", "day") == 4.0
    assert standing_amps(study, ("radio",), "cruise", "day") == 2.0
    other = small(TEXT.replace("essential: yes, role: engine", "role: engine, on: cruise"))
    found = [standing_amps(other, ("spare-pump",), p, "day") for p in ("start", "taxi", "cruise")]
    assert found == [0.0, 4.0, 4.0]  # it stands in only while the other would run


@pytest.mark.parametrize(
    ("old", "new", "alike"),
    [
        ("", "", True),
        ("draw: 4 A, role: engine, on: {", "draw: 5 A, role: engine, on: {", False),
        ("draw: 4 A, role: engine, on: {", "draw: 4 A, character: motor, role: engine, on: {",
         False),
        ("draw: 4 A, essential", "essential", False),  # nobody says what it draws
    ],
)  # fmt: skip
def test_circuits_of_one_kind_that_stand_in_for_each_other(
    old: str, new: str, *, alike: bool
) -> None:
    once = TEXT.replace("  pump-too: {bus: spare, breaker: 5 A, feeds: pump}\n", "")
    found = twins(small(once.replace(old, new)))
    assert found == ({"pump": ("spare-pump",), "spare-pump": ("pump",)} if alike else {})
    assert twins(small(TEXT)) == {}  # one that two circuits feed has none


def test_who_backs_up_whom(study: Study) -> None:
    found = {pair.about: (pair.title, pair.circuits) for pair in pairs(study)}
    assert found == {
        "pump, spare-pump": ("pump and spare pump", (("pump", "pump-too"), ("spare-pump",))),
        "pump": ("The two feeds of pump", (("pump",), ("pump-too",))),
    }
    assert backups(study) == {"pump": ("spare-pump",), "spare-pump": ("pump",)}
    assert engine_loads(study) == {"pump", "spare-pump"}
    assert taps(study) == {}
