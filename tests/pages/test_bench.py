"""Papers for the bench: they add up with the schedule, and say what the documents ask."""

import re
from collections import Counter

import pytest

from elec.answers.base.marks import marks
from elec.answers.connect.panel import panels
from elec.answers.connect.readings import readings
from elec.answers.connect.reversing import reversing
from elec.answers.failures.at_hand import enough, spare_fuses
from elec.answers.time.cranking import cranks
from elec.answers.time.power_up import GROUPS, power_up
from elec.cautions import CARE
from elec.drawings.records.panel import panel_record
from elec.pages.bench import apart, power, proving, shopping, terminations
from elec.pages.bench import table as bench
from elec.pages.bench.fastenings import fastenings_to_buy
from elec.pages.bench.page import BAR, NOT_YET, PAPERS, bench_section, paper
from elec.pages.bench.power_tables import HOW_READ, crank, starter_a
from elec.pages.circuits.panel import labels as panel_labels
from elec.pages.circuits.protection import protection
from elec.pages.circuits.wire import conductors
from elec.pages.closing.page import look, zones_section
from elec.pages.closing.table import spare_list
from elec.pages.document import Block, Items, Paragraph, Section, TableBlock
from elec.pages.table import Cell, Table, Value
from elec.sizing.sizing import sizing
from elec.wiring.chains import chains
from elec.wiring.coils import coil_loads
from elec.wiring.demand import demand
from elec.wiring.runs import runs, twisted_pairs
from tests.answers.helper import NAMES, small, whole

INCH = 0.0254


def column(table: Table, key: str) -> list[Value]:
    at = [c.key for c in table.columns].index(key)
    return [row[at] for row in table.rows]


def bare(value: Value) -> object:
    return value.value if isinstance(value, Cell) else value


def test_what_is_twisted_is_said_where_it_is_cut_and_listed() -> None:
    """A check passes a compass because of it: without a word in these lists nobody would do it."""
    study = whole("yarrow")
    wires = {marks(study)[c.id]: c for c in chains(study).by_name["landing"].conductors()}
    pairs = twisted_pairs(study)
    out, back = (next(m for m, c in wires.items() if c.id in pairs and c.role == role)
                 for role in ("feed", "return"))  # fmt: skip
    jumper = next(m for m, c in wires.items() if not runs(study)[c.id].legs)
    cut = bench.cut_list(study)
    then = dict(zip(map(bare, column(cut, "mark")), map(bare, column(cut, "then")), strict=True))
    assert (then[out], then[back]) == ("twist with its return", "twist with its feed")
    assert "twist" not in str(then[jumper])
    listed = conductors(study)
    carries = dict(zip(column(listed, "mark"), column(listed, "signal"), strict=True))
    assert (carries[out], carries[back]) == ("feed, twisted", "return, twisted")
    assert carries[jumper] == "feed"


@pytest.mark.parametrize("name", NAMES)
def test_the_cut_list_has_every_single_wire_once_and_to_the_last_inch(name: str) -> None:
    study = whole(name)
    table = bench.cut_list(study)
    marks = [bare(value) for value in column(table, "mark")]
    wires = bench.single_wires(study)
    assert len(marks) == len(set(marks)) == len(wires)
    reels: dict[str, float] = {}
    reel = ""
    for row in table.rows:
        reel = str(bare(row[0])) or reel
        reels[reel] = float(str(bare(row[6])))
    by_hand: dict[str, float] = {}
    for c in wires:
        length = runs(study)[c.id].length_m
        key = f"AWG {sizing(study).gauges[c.id].awg} "
        # half an inch more at each end for the first strip-back, then the next inch or centimetre
        cut = 0.0 if length is None else bench.rounded_m(length + INCH, study.system.about.units)
        by_hand[key] = by_hand.get(key, 0.0) + cut
    for key, total in by_hand.items():
        mine = sum(v for r, v in reels.items() if r.startswith(key))
        assert mine == pytest.approx(total, abs=1e-6), key  # nothing but rounding of sums


@pytest.mark.parametrize("name", NAMES)
def test_the_shopping_list_has_the_wires_of_the_schedule(name: str) -> None:
    """Needed wire by gauge: the sum of the runs, not rounded."""
    study = whole(name)
    table = shopping.wire_to_buy(study)
    bought = sum(float(str(bare(v))) for v in column(table, "needed_m"))
    runs_m = sum(
        runs(study)[c.id].length_m or 0.0
        for chain in chains(study).by_name.values()
        if chain.kind != "cable"
        for c in chain.conductors()
    )
    assert bought == pytest.approx(runs_m, rel=1e-9)


TEXT = """\
system: {name: Bench, nominal: 14 V}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: panel, capacity: 18 Ah}}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders: [{from: battery, to: main, limiter: auto, length: 1 ft}]
equipment: {lamp: {place: tail, draw: 2 A, ground: block}, odd: {place: panel}}
circuits:
  lamp: {bus: main, breaker: 5 A, feeds: lamp, gauge: AWG 22, length: LENGTH, function: L,
         number: 7}
  odd: {bus: main, breaker: 5 A, feeds: odd, length: 2 in}
places: {panel: , tail: }
ways: [{between: [panel, tail], length: 9 ft}]
"""


@pytest.mark.parametrize(
    ("length", "count"), [("2 in", 0), ("5 in", 1), ("12 in", 2), ("22 in", 3), ("120 in", 9)]
)
def test_labels(length: str, count: int) -> None:
    """AC 43.13-1B 11-208: none below 3 in, one to 7 in, then both ends and every 15 in."""
    table = bench.labels(small(TEXT.replace("LENGTH", length)))
    found = {str(row[0]): bare(row[1]) for row in table.rows}
    assert found["L7A22"] == count


def test_ring_out_by_hand() -> None:
    """10 ft of AWG 22: 16.2 Ω/1000 ft make 0.162 Ω, at 1 A 162 mV; a fifth and 20 mΩ more pass."""
    table = proving.ring_out(small(TEXT.replace("LENGTH", "10 ft")))
    row = next(row for row in table.rows if row[0] == "L7A22")
    expected, along, most = (float(str(bare(row[k]))) for k in (3, 4, 5))
    assert expected == pytest.approx(0.162, rel=0.02)  # tables of this gauge differ by 2 %
    assert along == pytest.approx(1000 * expected)
    assert most == pytest.approx(1.2 * along + 20)


@pytest.mark.parametrize("name", NAMES)
def test_no_digit_that_a_hand_held_meter_cannot_read(name: str) -> None:
    """0.1 Ω in the 200 Ω range; 0.1 mV below 200 mV, 1 mV above (usual meters, from memory)."""
    for row in proving.ring_out(whole(name)).rows:
        ohm, *millivolts = (cell.text or "" for cell in row[3:6] if isinstance(cell, Cell))
        assert re.fullmatch(r"under 0\.1 Ω|\d+\.\d Ω|\?", ohm), ohm
        for text in millivolts:
            assert re.fullmatch(r"1?\d{1,2}\.\d|[2-9]\d\d|\d{4,}|under 0\.1|\?", text), text


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_sent_into_a_tank(name: str) -> None:
    study = whole(name)
    tested = {str(row[0]) for row in proving.ring_out(study).rows}
    tested |= {str(row[0]) for row in proving.insulation_test(study).rows}
    named = {str(row[0]) for row in apart.not_tested(study, "ring-out").rows}
    entries, places = study.document.equipment, study.document.places
    for c in chains(study).conductors():
        ends = [part for part in (c.a, c.b) if part.kind == "equipment"]
        tank = any("fuel" in part.name and entries[part.name].passive for part in ends)
        if tank or any(places[part.place].fuel_vapour for part in (c.a, c.b)):
            mark = marks(study)[c.id]
            assert mark in named
            assert mark not in tested
    assert bool(named) == (name != "thistledown")  # which has no tank


def blocks_of(section: Section) -> list[Block]:
    return [*section.blocks, *(b for inner in section.sections for b in blocks_of(inner))]


def tables_of(section: Section) -> dict[str, Table]:
    return {b.table.id: b.table for b in blocks_of(section) if isinstance(b, TableBlock)}


@pytest.mark.parametrize("name", NAMES)
def test_insulation_rows_wait_until_all_is_said_to_be_unplugged(name: str) -> None:
    study = whole(name)
    waiting = paper(study, "insulation-test")
    assert "insulation-test" not in tables_of(waiting)
    assert any(isinstance(b, Paragraph) and b.text == NOT_YET for b in waiting.blocks)
    bound = paper(study, "insulation-test", unplugged=True)
    kinds = [b.text if isinstance(b, Paragraph) else b.table.id for b in bound.blocks
             if isinstance(b, Paragraph | TableBlock)]  # fmt: skip
    assert kinds.index("unplugged") < kinds.index(BAR) < kinds.index("insulation-test")
    assert kinds[-1] == "insulation-test-signed"
    assert "insulation-test" in tables_of(bench_section(study))
    rows = tables_of(paper(study, "insulation-test", unplugged=True))
    assert next(iter(rows)) == "unplugged"
    assert rows["insulation-test"].rows
    off = {str(row[0]) for row in rows["unplugged"].rows}
    for source in study.document.sources:
        assert study.system.title("sources", source) in off
    for load, entry in study.document.equipment.items():
        if not entry.passive:
            assert study.system.title("equipment", load) in off
    diodes = sum(f.diode is not None for f in study.document.feeders)
    assert sum("diode of" in text for text in off) == diodes


def test_the_reel_says_what_is_left() -> None:
    """10 ft of AWG 22 and an inch for two strip-backs are off a reel of 100 ft: 89 ft 11 in."""
    stock = "stock: {reels: {AWG 22 white: 100 ft, AWG 22 black: 1 ft}}\n"
    table = bench.cut_list(small(TEXT.replace("LENGTH", "10 ft") + stock))
    rows = {str(row[1]): row for row in table.rows}
    white = [row for row in table.rows if bare(row[6]) and bare(row[7]) != ""]
    assert float(str(bare(rows["L7A22"][5]))) == pytest.approx(121 * INCH)
    for row in white:
        assert isinstance(row[7], Cell)
        left = float(str(row[7].value))
        assert row[7].verdict == ("fail" if left < 0 else None)
        used = float(str(bare(row[6])))
        assert left + used == pytest.approx(100 * 12 * INCH if left > 0 else 12 * INCH)


def test_a_torque_is_asked_for_or_printed() -> None:
    known = TEXT.replace("main: {place: panel}", "main: {place: panel, torque: 35 in lbf}")
    for text, said, where in (
        (TEXT, None, "sheet of the maker of main"),
        (known, "3.95 N m", ""),  # 35 × 0.1129848 N m
    ):
        table = terminations.nuts(small(text.replace("LENGTH", "10 ft")))
        row = next(row for row in table.rows if row[0] == "main")
        assert isinstance(row[3], Cell)
        assert (row[3].text, row[4]) == (said, where)


def test_pull_test_asks_what_the_specification_asks() -> None:
    """AS7928 class: AWG 22 15 lbf, AWG 8 225 lbf (from memory there)."""
    table = proving.pull_test(whole("foxglove"))
    asked = {str(bare(row[0])): row[1] for row in table.rows}
    assert asked["22"] == 15
    assert asked["16"] == 50


def test_how_a_test_is_done_stands_before_its_first_row() -> None:
    """Voltage, what passes and what must be off were read on the last of fourteen pages."""
    study = whole("larkspur")
    for name, word in (("ring-out", "all switches off"), ("insulation-test", "250 V for a"),
                       ("cut-list", "strip-back"), ("labels", "both ends")):  # fmt: skip
        blocks = blocks_of(paper(study, name, unplugged=True))
        told = next(k for k, b in enumerate(blocks) if isinstance(b, Paragraph) and word in b.text
                    and b.kind != "caution")  # fmt: skip
        rows = next(k for k, b in enumerate(blocks) if isinstance(b, TableBlock)
                    and b.table.id == name)  # fmt: skip
        assert told < rows
        notes = [b.table.note for b in blocks if isinstance(b, TableBlock) and b.table.id == name]
        assert notes == [""]  # nothing is printed twice
    state = next(k for k, b in enumerate(blocks_of(paper(study, "ring-out")))
                 if isinstance(b, Items) and b.boxes)  # fmt: skip
    assert state < next(k for k, b in enumerate(blocks_of(paper(study, "ring-out")))
                        if isinstance(b, TableBlock))  # fmt: skip


def test_samples_are_pulled_before_the_first_crimp() -> None:
    names = list(PAPERS)
    assert names.index("pull-test") < names.index("terminations")


def test_a_signature_is_one_line_that_no_page_takes_apart() -> None:
    """Six rows each went over the page: one signature alone on an empty one."""
    for name in ("ring-out", "insulation-test", "first-power"):
        made = tables_of(paper(whole("larkspur"), name, unplugged=True))[f"{name}-signed"]
        assert [row[0] for row in made.rows] == ["Done by", "Looked at by"]
        assert made.title.startswith("Signed: ")  # alone on a page it says what is signed
        assert made.to_write


def test_what_is_unplugged_has_a_reason_that_is_true() -> None:
    """A regulator, a coil with its diode: not its resistance alone, 250 V breaks what is in it."""
    why = {str(row[0]): str(row[3]) for row in apart.apart(whole("larkspur")).rows}
    how = {str(row[0]): str(row[2]) for row in apart.apart(whole("larkspur")).rows}
    assert "break" in why["primary regulator"]
    assert how["audio panel"] == "plugs J1 and J2 out"
    assert how["primary display"] == "plug J1 out"
    left = apart.not_tested(whole("larkspur"), "ring-out")
    reasons = dict(zip(column(left, "mark"), column(left, "why"), strict=True))
    assert reasons["Q1B22"] == "fuel vapour, under the floor"
    assert reasons["U79A22"] == "sender in fuel"


@pytest.mark.parametrize("name", NAMES)
def test_whatever_a_tested_wire_reaches_is_unplugged_first(name: str) -> None:
    """A magnetometer, a sensor or a locator draws nothing from a bus; 250 V kills it all the same.

    They were left out as passive, and the rows below sent the test voltage into them.
    """
    study = whole(name)
    rows = {str(row[0]): row for row in apart.apart(study).rows}
    for c in apart.tested(study):
        for part in (c.a, c.b):
            if part.kind == "equipment":
                assert study.system.title("equipment", part.name) in rows, part.name
            elif part.kind == "source":
                assert study.system.title("sources", part.name) in rows, part.name
    if name == "foxglove":
        assert rows["magnetometer"][2:4] == ("plug J1 out", "250 V may break what is in it")
        assert rows["stall vane"][2] == "wires off"  # its J1 is of the type terminals
        assert "radio antenna" not in rows  # behind a coaxial line, which is not tested


def test_a_wire_of_a_light_reads_to_its_fuse() -> None:
    """It read open on the connector's page and 59.5 mV in the ring-out: one wire, two figures."""
    study = whole("larkspur")
    (reading,) = readings(study)["annunciator.J1", "equipment", "9"]
    assert reading.end.startswith("fuse of load side of starter contactor")
    chain = next(c for c in chains(study).of("wire") if c.parts()[-1].id == "annunciator.J1.9")
    (wire,) = chain.conductors()
    row = next(r for r in proving.ring_out(study).rows if r[0] == marks(study)[wire.id])
    assert bare(row[3]) == pytest.approx(reading.ohm)


def test_the_end_that_is_terminated_after_pulling_is_named_by_its_column() -> None:
    """Controller B's plug does not go through the hole: the end at it waits, by its title."""
    table = bench.cut_list(whole("larkspur"))
    keys = ("mark", "from", "to", "then")
    rows = {str(bare(m)): (a, b, t) for m, a, b, t in zip(*(column(table, k) for k in keys),
                                                        strict=True)}  # fmt: skip
    assert rows["J11B22"] == (
        "CONTROLLER B switch", "engine controller B, J1 contact 1", "pull, then terminate To"
    )  # fmt: skip
    assert rows["U50A22"][2] == "pull, then terminate From and To"  # both plugs are too wide
    assert "ecu-b" not in str(table.rows)


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_is_cut_with_its_ends_known(name: str) -> None:
    """From and to as the ring-out says them; without stock there is no empty column for reels."""
    study = whole(name)
    cut = bench.cut_list(study)
    ring = {str(row[0]): row[1:3] for row in proving.ring_out(study).rows}
    heads = [one.key for one in cut.columns]
    assert ("left_m" in heads) == bool(study.document.stock.reels)
    for mark, *ends in zip(
        column(cut, "mark"), column(cut, "from"), column(cut, "to"), strict=True
    ):
        assert all(ends)
        assert tuple(ends) == ring.get(str(mark), tuple(ends))


def test_a_wire_to_a_contactor_names_the_post() -> None:
    """The battery's cable on the load post leaves that live, master off: said in each list."""
    study = whole("foxglove")
    tables = (
        bench.cut_list(study), bench.labels(study), proving.ring_out(study),
        proving.insulation_test(study), conductors(study),
    )  # fmt: skip
    for table in tables:
        rows = zip(*(column(table, key) for key in ("mark", "from", "to")), strict=True)
        ends = {
            str(bare(mark)): [one.text if isinstance(one, Cell) else one for one in (start, end)]
            for mark, start, end in rows
        }
        assert ends["P1A4"] == ["battery, positive", "master contactor, line post"], table.id
        assert ends["P1B4"] == ["master contactor, load post", "power stud"], table.id
        assert ends["K2B4"][0] == "starter contactor, load post", table.id
        assert ends["C1A12"][1] == "rudder up relay, terminal (14)", table.id
        assert ends["P4A14"][1] == "BUS TIE switch", table.id  # no stud a side


def test_limits_stand_in_the_units_of_the_system() -> None:
    """A metric system read 3 in and 1 ft 3 in beside centimetres. By hand: 15 in are 381 mm."""
    metric, feet = whole("thistledown"), whole("foxglove")
    assert "within 76.2 mm of both ends and at most every 381 mm" in bench.labels(metric).note
    assert "76.2 mm to 178 mm long one in the middle" in bench.labels(metric).note
    assert "within 3 in of both ends and at most every 1 ft 3 in; 3 in to 7 in" in (
        bench.labels(feet).note
    )
    said = [*look(metric), fastenings_to_buy(metric).note]
    assert not [text for text in said if re.search(r"\d (ft|in)\b", text)]
    assert "610 mm apart" in look(metric)[0]
    assert "2 ft apart" in look(feet)[0]


@pytest.mark.parametrize("name", NAMES)
def test_papers_to_sign_are_called_as_their_titles(name: str) -> None:
    """`Signed: under floor` stood under "under the baggage floor"."""
    study = whole(name)
    titles = {paper(study, one, unplugged=True).title.lower() for one in PAPERS}
    titles |= {study.system.title("zones", zone) for zone in study.document.zones}
    every = [bench_section(study), *zones_section(study, ()).sections]
    signed = [t.title for s in every for t in tables_of(s).values() if t.to_write]
    assert signed
    assert {title.removeprefix("Signed: ") for title in signed} <= titles


@pytest.mark.parametrize("name", NAMES)
def test_no_check_is_named_where_somebody_works(name: str) -> None:
    """`Bound by wire-drop` is our own name for a check."""
    for row in spare_list(whole(name)).rows:
        assert not re.search(r"wire-drop|wire-heat|connector-current", str(row[-1])), row


def test_a_crank_test_says_the_current_of_its_voltages() -> None:
    """Foxglove's starter asks for 480 A and gets 371 A at 6.2 V: the rows are of the latter.

    By hand: 371 A and 7.6 A of the rest through 9 mΩ, 0.8 mΩ, 0.8 mΩ, 0.5 mΩ, 1.2 mΩ of battery,
    cables, contactor and ground are 4.7 V: 12.9 V less that, 8.2 V at the power stud.
    """
    study = whole("foxglove")
    (one,) = cranks(study)
    assert starter_a(study, one) == pytest.approx(371, abs=1)
    table = crank(study, one)
    assert "480 A (371 A at the voltage that is left then) in the first" in table.note
    assert bare(table.rows[0][2]) == pytest.approx(12.9 - 378.6 * 0.0123, abs=0.15)
    (other,) = cranks(whole("larkspur"))
    assert "270 A in the first" in crank(whole("larkspur"), other).note


@pytest.mark.parametrize("name", ["foxglove", "yarrow"])
def test_a_jack_is_bought_itself(name: str) -> None:
    """Its wires end on its own lugs: `half for the harness, pin` would have been a plug."""
    rows = {str(row[0]): str(row[1]) for row in shopping.connectors_to_buy(whole(name)).rows}
    jacks = {what: gender for what, gender in rows.items() if "jack" in what}
    assert jacks == {"mic-jack": "socket", "phones-jack": "socket"}


def test_a_pull_is_in_newtons_in_a_metric_system() -> None:
    """By hand: 15 lbf of AWG 22 are 15 × 4.448 N = 66.7 N, and 70 lbf of AWG 14 311.4 N."""
    study = whole("thistledown")
    table = proving.pull_test(study)
    assert table.columns[1].head == "Aircraft wire, N"
    pulls = {str(bare(row[0])): row[1] for row in table.rows}
    assert (pulls["22"], pulls["14"]) == (67, 312)
    rings = {str(bare(row[1])): row[5] for row in terminations.crimps(study).rows
             if row[0] == "ring"}  # fmt: skip
    assert rings["22"] == 67
    assert proving.pull_test(whole("foxglove")).columns[1].head == "Aircraft wire, lbf"


def test_every_row_of_the_cut_list_names_its_reel() -> None:
    """Named once a reel, half of the pages did not say from which reel they were cut."""
    table = bench.cut_list(whole("larkspur"))
    assert all(re.match(r"AWG \S+ \w+, ", str(bare(value))) for value in column(table, "reel"))
    # short: wrapped, it made every row two lines high and the list twice as long
    texts = [str(v.text) for v in column(table, "reel") if isinstance(v, Cell)]
    assert len(texts) == len(table.rows)
    assert sum("," in text for text in texts) == len({bare(v) for v in column(table, "reel")})


def test_each_post_of_a_contactor_has_a_nut_of_its_own() -> None:
    wires = {str(row[0]): str(row[2]) for row in terminations.nuts(whole("larkspur")).rows}
    # the jumper of its coil on its line post; the number of a coil's circuit follows all others
    assert re.fullmatch(r"P1A2 and P\d+A22", wires["master contactor 1, line post"])
    assert wires["master contactor 1, load post"] == "P1B2"
    assert wires["starter contactor, line post"] == "K2A2"
    assert wires["starter contactor, load post"] == "K2B2"
    assert "master contactor 1" not in wires


def test_insulation_leaves_antenna_cables_out() -> None:
    study = whole("larkspur")
    marks = {str(row[0]) for row in proving.insulation_test(study).rows}
    coaxial = [c for c in chains(study).conductors() if c.role == "coax"]
    assert coaxial
    assert not any(mark.endswith("-") for mark in marks)


@pytest.mark.parametrize("name", NAMES)
def test_each_step_of_the_power_up_is_its_load_alone(name: str) -> None:
    """A load draws between what it draws at the empty and at the full battery."""
    study = whole(name)
    found = power_up(study)
    assert found is not None
    for step in found.steps:
        draws = [
            next(m.draw for modes in demand(study).loads[load].phases.values() for m in modes)
            for load in step.loads
            if load in demand(study).loads and demand(study).loads[load].phases
        ]
        known = [draw for draw in draws if draw is not None]
        if step.added_a is None or not known or len(known) != len(step.loads):
            continue
        if step.both_ways and set(step.loads) <= coil_loads(study).keys():
            known = known[:1]  # each way of a motor pulls the relay of that way alone
        volts = found.supplies_v[step.battery]
        low = sum(min(d.current_a(0.7 * volts), d.current_a(volts)) for d in known)
        high = sum(max(d.current_a(0.7 * volts), d.current_a(volts)) for d in known)
        # A coil that pulls in with the switch comes on top: at most 1.5 A here.
        assert low * 0.99 <= step.added_a <= high * 1.01 + 1.5, step


@pytest.mark.parametrize("name", NAMES)
def test_a_technicians_order(name: str) -> None:
    """What warns and lights first, electronics after them, the engine's, the field last of all."""
    study = whole(name)
    found = power_up(study)
    assert found is not None
    groups = [step.group for step in found.steps]
    assert groups == sorted(groups, key=GROUPS.index)
    fields = {getattr(s, "field_circuit", None) for s in study.document.sources.values()} - {None}
    assert {step.circuit for step in found.steps if step.group == "field"} == fields
    for step in found.steps:
        roles = {study.document.equipment[load].role for load in step.loads}
        if "engine" in roles and step.circuit not in fields:
            assert step.group == "engine"
        if roles & {"position light", "anticollision light", "landing light"}:
            assert step.group == "lights"


@pytest.mark.parametrize("name", NAMES)
def test_the_limit_lets_a_step_pass_and_no_more(name: str) -> None:
    """A quarter above the greatest current, in half amperes; filaments are not waited for."""
    study = whole(name)
    found = power_up(study)
    assert found is not None
    for step in found.steps:
        if step.limit_a is None or step.total_a is None:
            assert step.unknown
            continue
        lamps = all(study.document.equipment[load].character == "lamp" for load in step.loads)
        most = step.total_a if lamps else max(step.total_a, step.start_a or 0.0)
        # 0.1 A: a start that is no more than that above is not told
        assert 1.25 * most - 0.001 <= step.limit_a <= max(1.0, 1.25 * (most + 0.1) + 0.5)


def test_each_way_into_a_bus_by_itself() -> None:
    """By hand: a full battery has 12.90 V; behind the open tie nothing is alive.

    Behind the closed one 0.35 V are lost over the schottky at the bus.
    """
    found = power_up(whole("foxglove"))
    assert found is not None
    rows = {row.closed: row for row in found.paths}
    off, master, feed = rows[()], rows[("MASTER",)], rows[("ESSENTIAL FEED",)]
    assert off.dead == ("power", "main", "essential")
    assert off.total_a == pytest.approx(0.0, abs=1e-6)  # nothing is alive; 10 MΩ of a meter
    assert master.dead == ("essential",)
    assert master.bus_v["main"] == pytest.approx(12.90, abs=0.02)  # 0.8 A through some 10 mΩ
    tie = rows["MASTER", "BUS TIE"]
    assert tie.dead == ()
    assert tie.bus_v["essential"] == pytest.approx(12.90 - 0.35, abs=0.02)
    assert master.total_a == pytest.approx(0.8, abs=1e-3)  # the coil of MASTER alone
    assert feed.dead == ("power", "main")
    assert feed.bus_v["essential"] == pytest.approx(12.90, abs=0.01)
    assert feed.total_a == pytest.approx(0.15, abs=1e-3)  # the coil of ESSENTIAL FEED alone


def test_a_diode_is_tried_with_the_contact_of_its_feeder_closed() -> None:
    """ESSENTIAL FEED alone says nothing of the diode behind the tie: the open tie holds it back.

    By hand: the essential bus on the battery, 12.90 V; main bus and power stud nothing, the coil of
    ESSENTIAL FEED draws 0.15 A. A diode that lets back would light a lamp at the main bus.
    """
    found = power_up(whole("foxglove"))
    assert found is not None
    row = next(row for row in found.paths if set(row.closed) == {"ESSENTIAL FEED", "BUS TIE"})
    assert row.dead == ("power", "main")
    assert row.bus_v["essential"] == pytest.approx(12.90, abs=0.01)
    assert row.total_a == pytest.approx(0.15, abs=1e-3)
    other = power_up(whole("yarrow"))  # its feeder has a diode and no contact: no row more
    assert other is not None
    assert [row.closed for row in other.paths] == [(), ("MASTER",), ("ESSENTIAL FEED",)]


def test_a_way_in_over_a_diode() -> None:
    """By hand: a full lithium battery rests at 13.40 V; 0.35 V over the schottky."""
    found = power_up(whole("yarrow"))
    assert found is not None
    rows = {row.closed: row for row in found.paths}
    assert rows["MASTER",].dead == ()
    assert rows["MASTER",].bus_v["essential"] == pytest.approx(13.40 - 0.35, abs=0.02)
    assert rows["ESSENTIAL FEED",].dead == ("power", "main")  # nothing goes back


def test_two_batteries_are_tried_one_after_the_other() -> None:
    """The standing current is that of clock and locator panel, once these are plugged in."""
    found = power_up(whole("larkspur"))
    assert found is not None
    rows = {(row.battery, row.closed): row for row in found.paths}
    first, second = rows["battery-1", ()], rows["battery-2", ()]
    assert set(first.bus_v) == {"hot-1"}
    assert set(second.bus_v) == {"hot-2"}
    entries = whole("larkspur").document.equipment
    clock = entries["clock"].draw
    assert clock is not None
    assert first.total_a == pytest.approx(0.0, abs=1e-4)  # every box is unplugged then
    assert found.standing["battery-1"].total_a == pytest.approx(clock.current_a(25.8), abs=1e-4)
    assert set(found.standing) == {"battery-1", "battery-2"}
    assert set(rows["battery-1", ("CROSS FEED",)].bus_v) == {
        "essential", "engine-a", "engine-b", "hot-1",
    }  # fmt: skip
    assert "main" in rows["battery-2", ("MASTER 2",)].dead
    # a relay whose coil hangs on the dead side cannot be tried from here
    assert ("battery-1", ("MASTER 1", "MASTER 2")) not in rows


def test_what_nothing_switches_off_and_nobody_knows_is_not_counted_as_none() -> None:
    hot = TEXT.replace("odd: {bus: main, breaker: 5 A", "odd: {bus: hot, breaker: 5 A")
    hot = hot.replace("buses: {", "buses: {hot: {place: panel}, ")
    hot = hot.replace("feeders: [", "feeders: [{from: battery, to: hot, fuse: 5 A, length: 1 ft}, ")
    hot = hot.replace("odd: {place: panel}", "odd: {place: panel, draw: 20 mA}")
    known, unknown = (
        power_up(small(text.replace("LENGTH", "10 ft")))
        for text in (hot, hot.replace(", draw: 20 mA", ""))
    )
    assert known is not None
    assert unknown is not None
    assert unknown.standing["battery"].total_a is None
    assert unknown.standing["battery"].unknown == ("odd",)
    # the lamp on the main bus has no switch either: 2 A
    assert known.standing["battery"].total_a == pytest.approx(2.02, abs=1e-4)
    # nothing is plugged in; two voltmeters of 10 MΩ take 1.3 µA each
    assert known.paths[0].total_a == pytest.approx(0.0, abs=5e-6)


def test_a_load_of_unknown_current_is_not_said_to_draw_nothing() -> None:
    study = small(TEXT.replace("LENGTH", "10 ft"))
    found = power_up(study)
    assert found is not None
    odd = next(step for step in found.steps if step.circuit == "odd")
    assert odd.added_a is odd.total_a is odd.limit_a is None
    assert odd.unknown == ("odd",)
    table = tables_of(paper(study, "first-power"))["first-power"]
    row = next(row for row in table.rows if str(row[1]).startswith("odd"))
    assert column(table, "total_a")[table.rows.index(row)] is None


def words(section: Section) -> str:
    found: list[str] = []
    for block in blocks_of(section):
        if isinstance(block, Paragraph):
            found.append(block.text)
        if isinstance(block, Items):
            found += block.items
        if isinstance(block, TableBlock):
            found += [block.table.title, block.table.note]
    return " ".join(found)


@pytest.mark.parametrize("name", NAMES)
def test_voltage_and_polarity_stand_before_the_first_switch(name: str) -> None:
    study = whole(name)
    found = power_up(study)
    assert found is not None
    blocks = blocks_of(paper(study, "first-power"))
    before: tuple[str, ...] = ()
    seen = []
    for block in blocks:
        if isinstance(block, TableBlock) and block.table.id.startswith("first-power-paths"):
            seen.append(before)
        if not isinstance(block, Paragraph):
            before = block.items if isinstance(block, Items) else ()
    assert len(seen) == len(found.supplies_v)
    for n, (items, volts) in enumerate(zip(seen, found.supplies_v.values(), strict=True)):
        supply = next(item for item in items if f"set it to {volts:.2f} V" in item)
        assert "red on the positive lead" in supply
        assert items[0].startswith("Supply off, off the leads of") == (n > 0)
    kinds = [type(b).__name__ for b in blocks]
    assert kinds.index("Items") < kinds.index("TableBlock")


def test_a_sailplane_is_told_of_no_engine() -> None:
    text = words(paper(whole("thistledown"), "first-power"))
    assert power.NO_ENGINE in text
    rest = text.replace(power.NO_ENGINE, "")
    assert not re.search(r"propeller|magneto|fuel|alternator|crank|starter|ignition", rest)
    for name in ("foxglove", "larkspur", "yarrow"):
        assert power.NO_ENGINE not in words(paper(whole(name), "first-power"))


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_the_crank_test_has_what_the_start_check_has(name: str) -> None:
    study = whole(name)
    made = tables_of(paper(study, "first-power"))
    for one in cranks(study):
        table = made[f"crank-test-{one.phase}"]
        shown = dict(zip(column(table, "bus"), column(table, "turning_v"), strict=True))
        for bus, volts in one.turning.bus_v.items():
            assert shown[study.system.title("buses", bus)] == volts
    assert CARE["crank"] in words(paper(study, "first-power"))


@pytest.mark.parametrize(
    ("protection", "said"),
    [
        ("overvoltage-protection: yes", "the trip opens at ? V"),
        ("overvoltage-protection: no", "has no overvoltage trip"),
        ("mass: 3 kg", "does not say whether it has an overvoltage trip"),
    ],
)
def test_the_overvoltage_trip_is_tried_on_the_bench(protection: str, said: str) -> None:
    entry = f"alternator: {{kind: alternator, place: panel, setpoint: 14.2 V, {protection}}}"
    text = TEXT.replace("LENGTH", "10 ft").replace("sources: {", f"sources: {{{entry}, ")
    assert said in words(paper(small(text), "first-power"))


@pytest.mark.parametrize("name", NAMES)
def test_every_paper_is_there(name: str) -> None:
    study = whole(name)
    section = bench_section(study)
    assert [one.id for one in section.sections] == [f"bench-{one}" for one in PAPERS]
    for one in section.sections:
        assert tables_of(one)
        assert all(table.rows for table in tables_of(one).values())
        assert not re.search(r"approved|airworthy", words(one))


@pytest.mark.parametrize("name", NAMES)
def test_lengths_on_the_drawings_are_those_of_the_cut_list(name: str) -> None:
    """To the last inch: the same text stands at each wire on its sheet and in the list."""
    from elec.drawings.from_study import drawings

    study = whole(name)
    table = bench.cut_list(study)
    lengths = dict(zip(column(table, "mark"), column(table, "length_m"), strict=True))
    drawn = {item.text for sheet in drawings(study).sheets for item in sheet.items}
    rows: dict[str, list[str]] = {}
    for drawing in drawings(study).of("connector"):
        for item in (item for sheet in drawing.sheets for item in sheet.items if item.text):
            rows.setdefault(item.ref, []).append(item.text)
    listed = {(mark, text) for texts in rows.values() for mark in texts for text in texts}
    seen = 0
    for mark, cell in lengths.items():
        shown = cell.text if isinstance(cell, Cell) else None
        if shown and (f"{mark} · {shown}" in drawn or (mark, shown) in listed):
            seen += 1
        elif shown:
            others = [text for text in drawn if text.startswith(f"{mark} · ")]
            feeder = (" · wires for ", " · start ", " · alone ")
            others = [text for text in others if not any(word in text for word in feeder)]
            assert not others, f"{mark}: {shown} in the list, {others} on a sheet"
    feeders = {marks(study)[c.id] for f in chains(study).of("feeder") for c in f.conductors()}
    assert seen >= 0.9 * len(lengths.keys() - feeders)  # theirs stand on the one-line sheets


def said(name: str) -> list[str]:
    """The first power-up in order: texts of its steps, ids of its tables."""
    found: list[str] = []
    for block in blocks_of(paper(whole(name), "first-power")):
        if isinstance(block, Paragraph):
            found.append(block.text)
        if isinstance(block, Items):
            found += block.items
        if isinstance(block, TableBlock):
            found.append(block.table.id)
    return found


def where(texts: list[str], start: str) -> int:
    return next(k for k, text in enumerate(texts) if text.startswith(start))


@pytest.mark.parametrize("name", NAMES)
def test_every_fuse_that_is_taken_out_goes_in_again(name: str) -> None:
    study = whole(name)
    texts = said(name)
    first = next(k for k, text in enumerate(texts) if text.startswith("first-power-paths"))
    for device in power.feeder_devices(study):
        assert any(device in text for text in texts[:first])
    tables = tables_of(paper(study, "first-power")).values()
    closed = [str(row[k]) for t in tables for k, c in enumerate(t.columns) if c.key == "close"
              for row in t.rows]  # fmt: skip
    for chain in chains(study).by_name.values():
        for _ in (part for part in chain.parts() if part.kind == "fuse"):
            if chain.kind == "circuit":
                assert any(text.startswith(f"{chain.title}: ") for text in closed)
            if chain.kind == "wire":
                mark = marks(study)[chain.conductors()[-1].id]
                assert any(text.startswith("In goes") and mark in text for text in texts)


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_start_is_pressed_with_the_starters_cable_off(name: str) -> None:
    """Behind the propeller caution; before that no step presses it."""
    texts = said(name)
    start = texts.index("first-power-start")
    assert texts.index(CARE["propeller"]) < start
    assert texts.index(CARE["starter"]) < where(texts, "Starter cable off: ") < start
    assert start < where(texts, "Starter cable back") < where(texts, "crank-test")
    table = tables_of(paper(whole(name), "first-power"))["first-power-start"]
    assert all("START" in str(row[1]) for row in table.rows)
    assert "but not START" in texts[where(texts, "Each switch in both positions")]


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_the_trip_is_tried_before_the_field_has_power(name: str) -> None:
    texts = said(name)
    order = [where(texts, CARE["overvoltage"]), texts.index(power.BACK_IN),
             texts.index(CARE["field"]), texts.index("first-power-field")]  # fmt: skip
    assert order == sorted(order)


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_a_motor_is_tapped_before_it_runs(name: str) -> None:
    """In the table its row stood pages before the tap that tells whether it moves the right way."""
    texts = said(name)
    turned = [k for k, text in enumerate(texts) if "Does it move the right way?" in text]
    assert len(turned) == len(reversing(whole(name)))
    assert turned[0] < texts.index("first-power-motors")
    made = tables_of(paper(whole(name), "first-power"))
    bridges = {chains(whole(name)).by_name[one].title for one in reversing(whole(name))}
    rows = [(key, str(row[0]).partition(":")[0], row) for key, table in made.items()
            for row in table.rows if any(c.key == "close" for c in table.columns)]  # fmt: skip
    assert {title for key, title, _ in rows if key.endswith("-motors")} >= bridges
    for key, table in made.items():
        if "close" in {c.key for c in table.columns} and not key.endswith("-motors"):
            shut = {str(value).partition(":")[0] for value in column(table, "close")}
            assert not shut & bridges


def test_a_motor_on_relays_has_its_relays_power() -> None:
    """By hand: 4 A of the motor, 0.1 A of one relay's coil, 0.4 A of the master's; never both."""
    study = whole("larkspur")
    table = tables_of(paper(study, "first-power"))["first-power-motors"]
    shut = [str(value) for value in column(table, "close")]
    at = next(k for k, text in enumerate(shut) if text.startswith("flaps:"))
    assert shut[at].endswith("and that of flaps control")
    assert shut.index("flaps control: 2 A breaker") < at  # relays and limits first
    assert column(table, "switch")[at] == "FLAPS: down, then up"
    assert bare(column(table, "total_a")[at]) == pytest.approx(4.5, abs=0.02)
    coils = shut.index("flaps control: 2 A breaker")
    assert bare(column(table, "total_a")[coils]) == pytest.approx(0.5, abs=0.02)
    relays = next(text for text in said("larkspur") if "its own breaker still open" in text)
    assert "its limit switch pressed by hand lets it go" in relays


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_switched_that_moves_by_itself(name: str) -> None:
    """Limit switches and relays stood among what to switch on; an empty cell told nothing."""
    for table in tables_of(paper(whole(name), "first-power")).values():
        if "switch" in {c.key for c in table.columns}:
            for value in column(table, "switch"):
                assert value
                assert not re.search(r"limit|relay", str(value))


@pytest.mark.parametrize("name", NAMES)
def test_the_standing_current_is_read_with_all_plugged_in(name: str) -> None:
    """The fuse of a battery held with every breaker open: that proved nothing."""
    texts = said(name)
    for battery in power_up(whole(name)).standing:  # type: ignore[union-attr]
        title = whole(name).system.title("sources", battery)
        joined = where(texts, f"{title} in, negative cable last")
        assert "with all switches off" in texts[joined + 1]
        assert joined + 2 == where(texts, f"{title}: negative off again")
    closing = [text for text in texts if "every breaker closed" in text]
    assert len(closing) == 1


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_the_engine_is_put_together_after_the_crank_test(name: str) -> None:
    texts = said(name)
    crank = where(texts, "crank-test")
    order = [where(texts, power.ENGINE_OFF), texts.index(power.GROUND_TEST),
             texts.index(CARE["crank"]), texts.index(power.START_CLOSED), crank,
             texts.index(power.BACK_TOGETHER), where(texts, "Engine running")]  # fmt: skip
    assert order == sorted(order)


def test_the_supply_stands_where_the_next_rows_want_it() -> None:
    """It was moved four times in one table; now once."""
    texts = said("larkspur")
    assert texts.index("first-power-paths-battery-2") < texts.index("first-power-at-battery-2")
    assert texts.index("first-power-at-battery-2") < texts.index("first-power-at-battery-1")
    over = [text for text in texts if text.startswith("The supply over to")]
    assert over == ["The supply over to the leads of battery 1, as above."]
    made = tables_of(paper(whole("larkspur"), "first-power"))
    assert made["first-power-at-battery-1"].title.endswith(": supply at battery 1")
    assert not any("supply" in str(v) for v in column(made["first-power-at-battery-1"], "alive"))
    assert len([text for text in texts if text == HOW_READ]) == 1


def test_the_light_of_the_starter_has_power_when_it_is_tried() -> None:
    texts = said("larkspur")
    lit = where(texts, "annunciator: its breaker closed, for the light")
    assert texts.index(CARE["starter"]) < lit < texts.index("first-power-start")


def test_the_fuse_of_a_battery_is_the_least_above_its_standing_current() -> None:
    """2.02 A stand by (a lamp without a switch, 20 mA): 3 A; nobody knows: no size."""
    hot = TEXT.replace("odd: {place: panel}", "odd: {place: panel, draw: 20 mA}")
    for text, size in ((hot, "3 A, the least"), (TEXT, "the least standard one above the")):
        found = power_up(small(text.replace("LENGTH", "10 ft")))
        assert found is not None
        assert power.joining_fuse(found, "battery").startswith(size)
    texts = said("larkspur")
    for title in ("battery 1", "battery 2"):
        fuse, out = (where(texts, f"{title}{word}") for word in (" in, ", ": negative off"))
        assert fuse < out < where(texts, "crank-test")


def test_a_thick_wire_passes_by_what_it_may_lose_at_the_start() -> None:
    """By hand: 1 V for short use over 168 A from the battery makes 6.0 mΩ, not 20 mΩ and more."""
    table = proving.ring_out(whole("foxglove"))
    most = dict(zip(column(table, "mark"), column(table, "most_mv"), strict=True))
    assert float(str(bare(most["P1A4"]))) == pytest.approx(1000 * 1.0 / 168.0, rel=0.01)
    for row in proving.ring_out(whole("larkspur")).rows:
        along, limit = bare(row[4]), bare(row[5])
        if isinstance(along, float) and isinstance(limit, float):
            assert 1.2 * along - 1e-9 <= limit <= 1.2 * along + 20 + 1e-9


@pytest.mark.parametrize("name", NAMES)
def test_a_switch_is_bought_as_its_circuits_ask(name: str) -> None:
    """Poles, throws and positions; the same words as beside it on its panel."""
    wanted = {
        "larkspur": {
            "POSITION": "3-pole", "PITCH TRIM": TURNS, "ROLL TRIM": TURNS, "COWL FLAP": TURNS,
            "FLAPS": "1-pole, 2-throw, 3-position",
        },
        "foxglove": {"NAV": "3-pole", "WATER RUDDER": "1-pole, 2-throw, 3-position"},
        "yarrow": {"POSITION": "2-pole", "FLAPS": TURNS},
        "thistledown": {"BATTERY": "2-pole, 2-throw, 3-position"},
    }[name]  # fmt: skip
    rows = [[str(bare(cell)) for cell in row] for row in shopping.devices_to_buy(whole(name)).rows]
    bought = {switch: row[2] for row in rows for switch in row[-1].split(", ")}
    assert {switch: bought[switch] for switch in wanted} == {
        switch: made if "throw" in made else f"{made}, 1-throw, 2-position"
        for switch, made in wanted.items()
    }
    plain = {"BEACON": "1-pole, 1-throw, 2-position", "START": "1-pole, 1-throw, springs back"}
    for switch in plain.keys() & bought.keys():
        assert bought[switch] == plain[switch]
    assert len([row for row in rows if row[-1]]) < len(bought)  # alike ones share a row
    faces = [panel_record(whole(name), one, {}) for one in panels(whole(name)).by_name]
    said = [row[1] for face in faces if face.heads[0] == "at" for row in face.table]
    kind = "changeover, " if name == "thistledown" else ""
    assert {f"{switch} ({kind}{made})" for switch, made in wanted.items()} <= set(said)


TURNS = "2-pole, 2-throw, 3-position"
"""Of a switch that crosses the leads of a motor, off in the middle."""


@pytest.mark.parametrize("name", NAMES)
def test_every_fuse_is_bought_with_a_holder_and_with_its_spares(name: str) -> None:
    study = whole(name)
    rows = [[bare(cell) for cell in row] for row in shopping.devices_to_buy(study).rows]
    fuses: Counter[object] = Counter()
    for kind, _, _, family, number, _ in rows:
        if kind == "fuse":
            fuses[family] += int(str(number))
    holders = {row[3]: row[4] for row in rows if str(row[0]).startswith("fuse holder")}
    assert holders == fuses
    spares = {(family, rating): n for kind, rating, _, family, n, _ in rows if kind == "spare fuse"}
    night = "night" in study.system.about.conditions
    asked = enough(spare_fuses(study) or (), night=night)
    for one, least in zip(spare_fuses(study) or (), asked, strict=True):
        assert spares[one.family, f"{one.rating_a:g} A"] == max(least, one.carried)


def test_spares_are_bought_where_nobody_says_how_many_are_carried() -> None:
    study = small(
        """\
system: {name: Wren, nominal: 14 V, conditions: [night]}
places: {panel: {reach: yes}}
sources: {cell: {kind: lead-acid, place: panel, capacity: 9 Ah}}
buses: {bar: {place: panel}}
equipment: {a: {place: panel, draw: 2 A}, b: {place: panel, draw: 2 A}}
circuits: {a: {bus: bar, fuse: 5 A, feeds: a}, b: {bus: bar, fuse: 5 A, feeds: b}}
"""
    )
    rows = [[bare(cell) for cell in row] for row in shopping.devices_to_buy(study).rows]
    kinds = {str(kind): number for kind, _, _, _, number, _ in rows}
    assert kinds["fuse holder, or a way of a fuse block"] == kinds["fuse"] == 2
    assert kinds["spare fuse"] == 2  # one set; three of the kind would be more


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_what_is_engraved_stands_beside_the_device(name: str) -> None:
    words = {str(row[2]) for row in panel_labels(whole(name)).rows}
    said = {str(v) for v in column(protection(whole(name)), "label") if v}
    assert said
    assert said <= words


@pytest.mark.parametrize("name", NAMES)
def test_the_cut_list_has_every_cable_once(name: str) -> None:
    """A cable is an inch longer than its run, as a wire is; none is cut by the core."""
    study = whole(name)
    table = bench.cables_to_cut(study)
    cables = {f"{c.function}{c.number}" for c in chains(study).of("cable")}
    marks_of = [str(value) for value in column(table, "mark")]
    assert sorted(marks_of) == sorted(cables)
    for row in table.rows:
        run, cut_m = bare(row[4]), bare(row[5])
        if isinstance(run, float):
            assert isinstance(cut_m, float)
            assert run + INCH - 1e-9 <= cut_m <= run + 2 * INCH
    single = {str(bare(v)) for v in column(bench.cut_list(study), "mark")}
    assert not single & cables


def test_each_breaker_has_a_tick_of_its_own() -> None:
    """73 breakers with two screws each had one box to tick."""
    row = next(r for r in terminations.nuts(whole("larkspur")).rows if " of breaker" in str(r[0]))
    number = int(str(row[0]).partition(" ")[0])
    assert str(row[2]).count("☐") == number > 70
    assert row[5] == ""


def test_where_labels_go_is_one_line() -> None:
    """*ends, 13 in apart* took two lines of every other row, a third of the pages."""
    told = {str(value) for value in column(bench.labels(whole("larkspur")), "at")}
    assert max(map(len, told)) <= len("every 13 in")
    assert "every 13 in" in told
    metric = bench.labels(whole("thistledown"))
    assert "6 ft" not in metric.note


def test_everything_under_a_nut_is_listed() -> None:
    """Each post of a battery by itself; limiters on a stud, jumpers on posts, shields on blocks."""
    study = whole("foxglove")
    table = terminations.nuts(study)
    rows = {str(row[0]): str(row[2]) for row in table.rows}
    assert "P1A4" in rows["battery, positive"]
    assert "P7A4N" in rows["battery, negative"]
    assert "P7A4N" not in rows["battery, positive"]
    assert rows["power stud"].count("limiter of power stud") == 2
    posts = {
        marks(study)[c.id]: part
        for c in chains(study).conductors()
        for part in (c.a, c.b)
        if part.kind == "post"
    }
    for mark, part in posts.items():
        title = study.system.title("switches", part.name)
        if study.document.switches[part.name].kind in ("contactor", "relay"):
            title += f", {part.contact or 'line post'}"
        assert mark in rows[title]
    for name, cable in study.document.cables.items():
        ground = (cable.drain or "").partition(".")[0]
        if ground in study.document.grounds:
            chain = chains(study).by_name[name]
            said = f"shield of {chain.function}{chain.number}"
            assert said in rows[study.system.title("grounds", ground)]


@pytest.mark.parametrize("name", NAMES)
def test_every_further_mode_has_a_row_with_its_current(name: str) -> None:
    """What a mode draws is between what it draws at the empty and at the full battery."""
    study = whole(name)
    found = power_up(study)
    assert found is not None
    wanted = {
        (load, mode)
        for step in found.steps
        for load in step.loads
        for mode in list(study.document.equipment[load].modes)[1:]
    }
    rows = {(one.load, one.mode): (step, one) for step in found.steps for one in step.modes}
    assert set(rows) == wanted
    assert wanted
    for (load, mode), (step, one) in rows.items():
        assert step.total_a is not None
        assert step.added_a is not None
        assert one.total_a is not None
        assert one.limit_a is not None
        draw = study.document.equipment[load].modes[mode].draw
        assert draw is not None
        volts = found.supplies_v[step.battery]
        alone = one.total_a - (step.total_a - step.added_a)  # one load on each of these circuits
        assert len(step.loads) == 1
        low, high = sorted((draw.current_a(0.9 * volts), draw.current_a(volts)))
        # 2 %: coils and the wires before the bus take a little more where the bus is lower
        assert low * 0.98 <= alone <= high * 1.02, (load, mode)
        assert 1.25 * one.total_a - 0.001 <= one.limit_a <= 1.25 * (one.total_a + 0.4) + 0.5
    printed = [
        str(cell)
        for block in power.first_power(study)
        if isinstance(block, TableBlock) and block.table.id.endswith("modes")
        for row in block.table.rows
        for cell in row[:2]
    ]
    titles = [text for load, mode in rows for text in (study.system.title("equipment", load), mode)]
    assert sorted(printed) == sorted(titles)


def test_a_transmission_and_a_horn_have_their_cautions_right_before_their_rows() -> None:
    blocks = list(power.first_power(whole("foxglove")))
    place = next(i for i, b in enumerate(blocks) if isinstance(b, TableBlock)
                 and b.table.id == "first-power-modes")  # fmt: skip
    before = [b for b in blocks[place - 3 : place - 1] if isinstance(b, Paragraph)]
    said = [b.text for b in before if b.kind == "caution"]
    assert [text.partition(":")[0] for text in said] == ["warning unit", "radio"]
    assert said[0].endswith(CARE["sounds"])
    assert said[1].endswith(CARE["transmit"])
    items = blocks[place - 1]
    assert isinstance(items, Items)
    assert any(text.startswith("radio: its antenna back on") for text in items.items)
    assert not any("transponder" in text for text in items.items)


def test_a_mode_of_unknown_current_is_asked_for() -> None:
    text = SMALL_MODES.replace("draw: 2 A, on: never", "on: never")
    for system, told in ((SMALL_MODES, True), (text, False)):
        found = power_up(small(system))
        assert found is not None
        (one,) = [mode for step in found.steps for mode in step.modes]
        assert (one.total_a is not None, one.limit_a is not None) == (told, told)


SMALL_MODES = """
system: {name: Modes, nominal: 14 V}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: box, capacity: 18 Ah, resistance: 12 mΩ}}
buses: {main: {place: box}}
grounds: {stud: {place: box}}
feeders: [{name: cable, from: battery, to: main, switch: master, limiter: 60 A, gauge: AWG 4}]
equipment:
  radio: {place: box, modes: {receive: {draw: 0.5 A, on: always}, transmit: {draw: 2 A, on: never}}}
circuits: {radio: {bus: main, breaker: 5 A, feeds: radio}}
places: {box: {within: 3 ft}}
"""
