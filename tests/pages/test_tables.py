"""Tables say what the analyses say, name everything once, and never print 0 for the unknown."""

import math
from collections import Counter
from collections.abc import Callable

import pytest

from elec.answers.connect.pins import pins
from elec.answers.drop.drops import load_drops
from elec.answers.failures.failures import worst_effects
from elec.answers.loads.loads import loads
from elec.answers.time.endurance import endurance as endurance_of
from elec.answers.time.loss import losses
from elec.check import run
from elec.pages import reference
from elec.pages.bench import shopping
from elec.pages.circuits import bundle, cable, equipment, feeder, ground, pin, protection, wire
from elec.pages.failures.page import failures_lead
from elec.pages.flight.page import flight_lead
from elec.pages.loads import case, endurance, load, voltage
from elec.pages.loads.leads import endurance_lead
from elec.pages.table import Cell, Table, Value
from elec.pages.why import thing
from elec.standards import default
from elec.study import Study
from elec.units import SUFFIXES
from elec.wiring.chains import chains
from elec.wiring.runs import runs
from elec.wiring.surroundings import surroundings
from elec.working import unrounded
from tests.answers.helper import NAMES, loads_of, small, whole

MAKERS: tuple[Callable[[Study], Table], ...] = (
    load.loads_by_phase, load.loads_by_bus, load.source_margin, endurance.endurance_summary,
    endurance.endurance_over_time, endurance.sheds, wire.circuits, wire.conductors, feeder.feeders,
    ground.grounds, protection.protection, protection.unprotected, pin.connectors,
    equipment.equipment, cable.cables, bundle.bundles, voltage.voltages, case.cases,
    shopping.wire_to_buy, shopping.cable_to_buy, shopping.devices_to_buy,
    shopping.connectors_to_buy, shopping.terminals_to_buy, reference.assumed, reference.sources,
)  # fmt: skip


def bare(value: Value) -> object:
    return value.value if isinstance(value, Cell) else value


def column(table: Table, key: str) -> list[object]:
    index = [c.key for c in table.columns].index(key)
    return [bare(row[index]) for row in table.rows]


def every(study: Study) -> list[Table]:
    return [make(study) for make in MAKERS] + list(pin.pin_tables(study))


@pytest.mark.parametrize("name", NAMES)
def test_rows_fit_their_columns(name: str) -> None:
    for table in every(whole(name)):
        keys = [c.key for c in table.columns]
        assert len(set(keys)) == len(keys), table.id
        assert all(len(row) == len(keys) for row in table.rows), table.id
        assert any(c.importance == 1 for c in table.columns), table.id
        for c in table.columns:
            assert c.unit == "" or c.unit in SUFFIXES, (table.id, c.key)
            # The name for programs ends in the unit of its numbers.
            assert c.unit == "" or c.key.endswith(f"_{c.unit}"), (table.id, c.key)


@pytest.mark.parametrize("name", NAMES)
def test_no_cell_is_nan(name: str) -> None:
    for table in every(whole(name)):
        for row in table.rows:
            for value in row:
                plain = bare(value)
                assert not (isinstance(plain, float) and math.isnan(plain)), (table.id, row)


@pytest.mark.parametrize("name", NAMES)
def test_ids_of_tables_differ(name: str) -> None:
    found = Counter(table.id for table in every(whole(name)))
    assert set(found.values()) == {1}


# -- loads ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_load_lines_add_up_to_the_phases(name: str) -> None:
    study = whole(name)
    for condition in study.system.about.conditions:
        table = load.load_lines(study, condition)
        for phase in study.document.phases:
            cells = column(table, f"{phase.replace('-', '_')}_a")
            *lines, total = cells
            known = [value for value in lines if isinstance(value, float)]
            assert total == pytest.approx(math.fsum(known))
            assert total == pytest.approx(loads(study).total(phase, condition).continuous_a)


def test_the_load_table_is_the_analysis() -> None:
    study = whole("foxglove")
    table = load.loads_by_phase(study)
    assert column(table, "continuous_a") == [t.continuous_a for t in loads(study).totals]
    assert column(table, "momentary_a") == [t.momentary_a for t in loads(study).totals]


def test_spare_is_what_the_source_gives_less_the_load() -> None:
    table = load.source_margin(whole("foxglove"))
    for given, drawn, spare in zip(
        column(table, "available_a"), column(table, "load_a"), column(table, "spare_a"), strict=True
    ):
        assert isinstance(given, float)
        assert isinstance(drawn, float)
        assert spare == pytest.approx(given - drawn)
    # At night the taxi asks for more than 12 A; by day for less.
    assert min(s for s in column(table, "spare_a") if isinstance(s, float)) < 0


def test_an_unknown_load_leaves_sums_and_margins_unknown() -> None:
    study = small(loads_of({"radio": "1 A", "pump": ""}))
    margin = load.source_margin(study)
    for key in ("load_a", "spare_a", "used_fraction", "battery_a"):
        assert set(column(margin, key)) == {None}, key
    lines = load.load_lines(study, "day")
    assert column(lines, "cruise_a") == [1.0, None, None]


# -- wires ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_every_wire_stands_once_in_the_schedule(name: str) -> None:
    study = whole(name)
    table = wire.conductors(study)
    marks = column(table, "mark")
    assert len(marks) == len(set(marks)) == sum(1 for _ in chains(study).conductors())
    ends = Counter(zip(column(table, "from"), column(table, "to"), strict=True))
    fuses = {chain.path[1]: chain.name for chain in chains(study).of("wire") if chain.device}
    for number, written in enumerate(study.document.wires):
        start = fuses.get(number, _end(study, written.from_))  # one with a fuse begins behind it
        for stop in written.to:
            assert ends[start, _end(study, stop)] == 1, written
    for name_, entry in study.document.cables.items():
        for core in entry.cores.values():
            assert ends[_end(study, core.from_), _end(study, core.to)] == 1, name_


def _end(study: Study, text: str) -> str:
    """Equipment without connectors has one terminal, which is called 1."""
    alone = text in study.document.equipment and "." not in text
    return f"{text}.1" if alone else text


@pytest.mark.parametrize("name", NAMES)
def test_lengths_to_cut_are_those_of_the_runs(name: str) -> None:
    study = whole(name)
    lengths = column(wire.conductors(study), "length_m")
    assert lengths == [runs(study)[c.id].length_m for c in chains(study).conductors()]


def test_cut_is_rounded_up_and_never_down() -> None:
    study = whole("foxglove")
    table = wire.conductors(study)
    index = [c.key for c in table.columns].index("length_m")
    for row in table.rows:
        cell = row[index]
        assert isinstance(cell, Cell)
        assert cell.text is not None
        feet, _, inches = cell.text.partition(" ft")
        if not inches:  # below a foot, or whole feet
            continue
        total = int(feet) * 12 + int(inches.replace("in", "") or 0)
        assert isinstance(cell.value, float)
        assert -1e-6 <= total - cell.value / 0.0254 < 1  # rounding of 1 in = 0.0254 m


@pytest.mark.parametrize("name", NAMES)
def test_every_circuit_and_load_has_its_row(name: str) -> None:
    study = whole(name)
    table = wire.circuits(study)
    assert len(table.rows) == len(load_drops(study))
    assert column(table, "drop_v") == [drop.lost_v for drop in load_drops(study).values()]
    index = [c.key for c in table.columns].index("drop_v")
    assert all(isinstance(row[index], Cell) and row[index].working for row in table.rows)  # type: ignore[union-attr]


def test_a_wire_of_unknown_length_prints_no_number() -> None:
    text = loads_of({"lamp": "1 A"}).replace("lamp: {place: panel", "lamp: {place: tail")
    text = text.replace("places: {panel: }", "places: {panel: , tail: }")
    study = small(text + "ways:\n  - {between: [panel, tail]}\n")
    (row,) = [
        dict(zip(_keys(wire.circuits(study)), r, strict=True)) for r in wire.circuits(study).rows
    ]
    assert bare(row["drop_v"]) is None
    lengths = column(wire.conductors(study), "length_m")
    assert None in lengths
    assert 0.0 not in lengths


def _keys(table: Table) -> list[str]:
    return [c.key for c in table.columns]


@pytest.mark.parametrize("name", NAMES)
def test_wire_to_buy_is_the_sum_of_the_schedule_and_a_tenth_more(name: str) -> None:
    study = whole(name)
    single = [c for c in chains(study).conductors() if c.cable is None]
    needed = math.fsum(runs(study)[c.id].length_m or 0.0 for c in single)
    table = shopping.wire_to_buy(study)
    assert math.fsum(v for v in column(table, "needed_m") if isinstance(v, float)) == pytest.approx(
        needed
    )
    unit_m = 0.3048 if study.system.about.units == "feet" else 1.0
    for want, order in zip(column(table, "needed_m"), column(table, "order_m"), strict=True):
        assert isinstance(want, float)
        assert isinstance(order, float)
        # 10 % more, and up to the next whole foot or metre.
        assert 1.1 * want - 1e-9 <= order < 1.1 * want + unit_m


# -- devices, feeders, grounds -------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_every_circuit_is_protected_or_says_why_not(name: str) -> None:
    study = whole(name)
    document = study.document
    rows = len(protection.protection(study).rows) + len(protection.unprotected(study).rows)
    # a feeder with a device at each end has a row for each
    far_ends = sum(one.far_end is not None for one in document.feeders)
    fuses = sum(one.fuse is not None for one in document.wires)
    assert rows == len(document.circuits) + len(document.feeders) + far_ends + fuses
    assert None not in column(protection.unprotected(study), "reason")


@pytest.mark.parametrize("name", NAMES)
def test_every_feeder_and_ground_is_listed(name: str) -> None:
    study = whole(name)
    assert len(feeder.feeders(study).rows) == len(study.document.feeders)
    rows = len(ground.grounds(study).rows)
    seconds = sum(one.second is not None for one in study.document.grounds.values())
    assert rows == len(study.document.grounds) + seconds + len(study.document.sources)


def test_no_cranking_current_is_nothing_and_not_a_rounding() -> None:
    found = column(feeder.feeders(whole("larkspur")), "cranking_a")
    assert all(value == "" or (isinstance(value, float) and value > 0.01) for value in found)


# -- pins ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_every_contact_stands_in_its_table(name: str) -> None:
    study = whole(name)
    for one in pins(study).by_id.values():
        table = pin.pin_table(study, one)
        contacts = column(table, "contact")
        assert list(dict.fromkeys(contacts)) == [p.contact for p in one.pins]
        assert len(contacts) == sum(max(1, len(p.landings)) for p in one.pins)


DOUBLE = """\
system: {name: Double, nominal: 14 V}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: panel, capacity: 18 Ah}}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders: [{from: battery, to: main, limiter: auto}]
equipment:
  radio:
    place: panel
    draw: 1 A
    connectors: {J1: {type: dsub-9, contacts: pin, pins: {1: power, 6: ground, 3: audio}}}
  mixer:
    place: panel
    passive: yes
    connectors: {J1: {type: dsub-9, contacts: pin, pins: {1: one, 2: two}}}
circuits: {radio: {bus: main, breaker: auto, feeds: radio}}
wires:
  - {from: radio.J1.3, to: mixer.J1.1}
  - {from: radio.J1.3, to: mixer.J1.2}
places: {panel: }
"""


def test_a_contact_that_two_wires_claim_says_so() -> None:
    study = small(DOUBLE)
    (table,) = pin.pin_tables(study, "radio.J1")
    states = [(row[0], bare(row[_keys(table).index("state")])) for row in table.rows]
    assert states.count(("3", "2 wires claim it")) == 2
    assert [s for s in states if s[0] == "1"] == [("1", "")]
    assert column(pin.connectors(study), "double_count") == [1, 0]


def test_end_to_end_is_the_wire_with_its_two_crimps() -> None:
    study = small(DOUBLE)
    (table,) = pin.pin_tables(study, "radio.J1")
    row = dict(zip(_keys(table), table.rows[0], strict=True))
    length_m = bare(row["length_m"])
    assert isinstance(length_m, float)
    # AWG 22, 16.2 Ω per 1000 ft at 20 °C (AC 43.13-1B table 11-9), and 0.2 mΩ for each crimp.
    wire_mohm = 16.2 / 304.8 * length_m * 1000
    assert bare(row["end_to_end_mohm"]) == pytest.approx(wire_mohm + 2 * 0.2, rel=1e-6)


def test_a_connector_or_a_box_or_all() -> None:
    study = small(DOUBLE)
    assert [t.id for t in pin.pin_tables(study, "mixer")] == ["contacts-mixer.J1"]
    assert len(pin.pin_tables(study)) == 2
    assert pin.pin_tables(study, "nothing") == ()


# -- the rest ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_all_equipment_is_listed(name: str) -> None:
    study = whole(name)
    table = equipment.equipment(study)
    assert len(table.rows) == len(study.document.equipment)
    assert len(cable.cables(study).rows) == len(study.document.cables)


def test_equipment_of_unknown_draw_is_a_question() -> None:
    study = small(loads_of({"pump": "", "radio": "1 A"}))
    assert column(equipment.equipment(study), "draw") == [None, "1 A"]


def test_a_sensor_draws_nothing_and_is_no_question() -> None:
    study = whole("foxglove")
    names = column(equipment.equipment(study), "equipment")
    draws = column(equipment.equipment(study), "draw")
    assert dict(zip(names, draws, strict=True))["stall vane"] == ""


@pytest.mark.parametrize("name", NAMES)
def test_every_load_has_a_least_voltage_and_a_case(name: str) -> None:
    for least in voltage.least_voltages(whole(name)):
        assert least.least_v is not None, least.name
        assert least.where
        assert least.margin_v == pytest.approx(least.least_v - least.minimum_v)


def test_the_least_voltage_is_the_least_of_all_cases() -> None:
    from elec.answers.base.points import points

    study = whole("foxglove")
    found = points(study)
    beacon = next(x for x in voltage.least_voltages(study) if x.equipment == "belly-beacon")
    row = found.loads["belly-beacon"]
    on = found.model.values.load_value[row] > 0
    powered = on & ~found.solution.unpowered[row] & (found.solution.state == 0)
    assert beacon.least_v == pytest.approx(float(found.solution.load_v[row][powered].min()))


@pytest.mark.parametrize("name", NAMES)
def test_one_table_has_every_endurance_and_one_is_planned_with(name: str) -> None:
    study = whole(name)
    found, worst, failed = endurance_of(study), losses(study), worst_effects(study)
    assert found is not None
    assert found.hand_min is not None
    assert found.simulated_min is not None
    table = endurance.endurance_summary(study)
    minutes, remarks = column(table, "time_min"), column(table, "remark")
    assert minutes[0] == found.hand_min
    assert minutes[2] == found.simulated_min
    asked = [found.hand_min, found.simulated_min]
    if worst is not None:
        assert minutes[3] == worst.worst.lasts_s / 60
        asked.append(worst.worst.lasts_s / 60)
    held = [e.holds_min for e in failed if e.holds_min is not None and not e.failure.branches]
    nearly = [unrounded(time) for time in minutes if isinstance(time, float)]
    assert (unrounded(min(held)) in nearly) if held else len(minutes) == 3 + (worst is not None)
    assert remarks.count("plan with this") == 1
    assert minutes[remarks.index("plan with this")] == min(asked)
    # What every page prints: whole minutes, never more than there are.
    sentence = f"Plan with {int(min(asked))} min: "
    assert table.note.startswith(sentence)
    for lead in (endurance_lead(study), flight_lead(study), failures_lead(study)):
        said = [text for text in lead if text.startswith("Plan with")]
        assert said in ([table.note], []) or not found.alternator
    assert table.note in endurance_lead(study)
    findings = run(study, only={"battery-endurance", "battery-worst-minute"})
    assert any(table.note in finding.sentence for finding in findings)


def test_endurance_with_an_unknown_load_is_an_upper_bound_only() -> None:
    table = endurance.endurance_summary(small(loads_of({"radio": "1 A", "pump": ""})))
    assert set(column(table, "time_min")) == {None}
    index = [c.key for c in table.columns].index("time_min")
    cells = [cell for row in table.rows if isinstance(cell := row[index], Cell)]
    assert len(cells) == len(table.rows)
    assert all(str(cell.text).startswith("under ") for cell in cells)
    assert table.note.startswith("Plan with less than ")


@pytest.mark.parametrize("name", NAMES)
def test_bundles_hold_every_wire_of_their_way(name: str) -> None:
    study = whole(name)
    on = [(leg.index, run.conductor) for run in runs(study).values() for leg in run.legs]
    listed = [b for b in surroundings(study).listed() if b.leg is not None]
    assert {b.leg for b in listed} == {way for way, _ in on}
    for found in listed:
        wanted = {conductor for way, conductor in on if way == found.leg}
        assert {c.id for c in bundle.members(study, found)} == wanted
    # a way that holds coaxial lines alone has its row, too
    assert {b.title for b in listed} <= set(column(bundle.bundles(study), "way"))


COAX_ALONE = """\
system: {name: Kite, nominal: 14 V}
phases: {cruise: {lasts: 1 h}}
sources: {battery: {kind: lead-acid, place: panel, capacity: 18 Ah, resistance: 9 mΩ}}
buses: {main: {place: panel}}
grounds: {block: {place: panel, kind: block}}
feeders: [{from: battery, to: main, limiter: auto}]
equipment:
  radio: {place: panel, draw: 1 A, basis: measured}
  antenna: {place: roof, passive: yes}
circuits: {radio: {bus: main, breaker: auto, feeds: radio}}
coax: {line: {type: RG-400, from: radio, to: antenna}}
places: {panel: , roof: }
ways: [{between: [panel, roof], length: 5 ft}]
"""


def test_a_way_of_coaxial_lines_alone_has_its_row() -> None:
    study = small(COAX_ALONE)
    table = bundle.bundles(study)
    row = dict(zip((c.key for c in table.columns), table.rows[0], strict=True))
    found = [bare(row[key]) for key in ("way", "wires_count", "loading_fraction", "tightest")]
    assert found == ["panel to roof", 1, "", ""]
    # 0.195 in across, and the share by which ties and hands make a bundle looser
    thick = 0.195 * 25.4 * (1 + default("bundle-looseness").si)
    assert bare(row["diameter_mm"]) == pytest.approx(thick)
    assert "Coaxial cable alone" in thing.way(study, "0")[0][0]


def test_defaults_in_use_are_those_that_workings_name() -> None:
    keys = {found.key for found in reference.defaults_in_use(whole("foxglove"))}
    assert {"wire-slack-per-end", "wire-route-factor", "battery-state-of-charge"} <= keys
    # The floatplane gives its battery's resistance and has no lithium battery.
    assert "battery-resistance-lifepo4-cell" not in keys
    assert "silicon-forward-voltage" not in keys


def test_documents_are_those_that_are_cited() -> None:
    shorts = column(reference.sources(whole("foxglove")), "short")
    assert "AC 43.13-1B" in shorts
