"""Pages for the bench: legible, complete, true to the face, silent about nothing."""

import re
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec.answers.connect.pins import pins
from elec.answers.connect.readings import EndReading, readings
from elec.answers.connect.vapour import left_out
from elec.drawings.from_study import plan
from elec.drawings.ink import Circle, Lettering
from elec.drawings.inputs import BenchPage, BenchRow, DrawnPin
from elec.drawings.records.bench import NO_LIMIT, NO_RETURN, NOT_MEASURED, bench_pages
from elec.drawings.records.grounds import ground_record
from elec.drawings.sheet import Sheet, Trial
from elec.drawings.sheets import bench as connectors
from elec.drawings.sheets.bench import NO_PICTURE, Step, _filled, bench, pictured
from elec.pages.bench.proving import ring_out
from elec.pages.table import Cell
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains
from tests.drawings.inspect import inspect
from tests.drawings.test_connector import centres, record
from tests.drawings.test_set import drawn
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"


@cache
def study(name: str) -> Study:
    system = read(SYSTEMS / name).system
    assert system is not None
    return Study(system)


def of(name: str, connector: str) -> list[tuple[BenchPage, list[Sheet]]]:
    return [(page, bench(page)) for page in bench_pages(study(name), connector)]


def words(sheets: list[Sheet]) -> str:
    return " ".join(item.text for sheet in sheets for item in sheet.items)


@pytest.mark.parametrize("name", NAMES)
def test_every_page_is_legible_and_names_every_wire(name: str) -> None:
    for one in pins(study(name)).by_id.values():
        for page, sheets in of(name, one.id):
            assert [str(f) for s in sheets for f in inspect(s)] == []
            found = words(sheets)
            for row in page.rows:
                assert row.wire in found
            sizes = [
                item.capital_mm
                for sheet in sheets
                for item in sheet.items
                if item.text and item.ref in {f"{one.id}.{row.contact}" for row in page.rows}
            ]
            assert min(sizes, default=2.5) == 2.5


def test_a_trial_ends_where_the_drawing_does(monkeypatch: pytest.MonkeyPatch) -> None:
    laid = connectors._laid
    kinds: set[type[Sheet]] = set()

    def both(
        work: connectors._Work, steps: Sequence[Step], high: Mapping[Step, float] | None = None
    ) -> connectors._Work:
        kinds.add(work.kind)
        other = Trial if work.kind is Sheet else Sheet
        again = laid(
            connectors._Work(
                title=work.title, size=work.size, shared=work.shared, kind=other,
                listed=work.listed, again=work.again,
            ), steps, high,
        )  # fmt: skip
        found = laid(work, steps, high)
        ends = [(one.y, one.parted, len(one.sheets)) for one in (found, again)]
        assert ends[0] == ends[1]
        assert not any(sheet.items for one in (found, again) for sheet in one.sheets
                       if not sheet.kept)  # fmt: skip
        return found

    monkeypatch.setattr(connectors, "_laid", both)
    for one in plan(study("larkspur")):
        if one.kind == "connector":
            one.make(one.code)
    assert kinds == {Sheet, Trial}


def test_the_radio_of_foxglove_by_hand() -> None:
    """AWG 22, 2 ft: 16.2 Ω per 1000 ft (AC 43.13-1B table 11-9) gives 32 mΩ, and 0.4 the crimps.

    The 5 A breaker has 45 mΩ (0.225 V at 5 A by its table).
    """
    ((page, sheets),) = of("foxglove", "radio.J1")
    rows = {row.contact: row for row in page.rows}
    assert rows["1"].reads == "77.8 to essential bus, breaker closed"
    assert rows["9"].reads == "32.8"
    assert rows["9"].goes_to == "avionics ground block, terminal 1"
    assert rows["3"].reads == "32.8"
    assert (rows["9"].most, rows["1"].most) == ("59.4", "113.4")  # 20 % and 20 mΩ more
    facts = dict(page.facts)
    assert facts["spare"].startswith("6 of 15 contacts: 2, 6, 8, 10, 13, 15.")
    assert "AWG 22: 15 lbf (67 N)" in facts["crimp test"]
    assert len(sheets) == 1
    assert "WIRING SIDE: as you see it from where the wires go in" in words(sheets)


@pytest.mark.parametrize("name", NAMES)
def test_what_a_reads_to_b_b_reads_to_a(name: str) -> None:
    """Copper reads the same from both ends; every wire of a box is found from both of them."""
    found = readings(study(name))
    pairs = 0
    for (connector, side, contact), ends in found.items():
        for end in ends:
            back = found.get((end.key.rpartition(".")[0], "equipment", end.key.rpartition(".")[2]))
            if side == "equipment" and back is not None:
                pairs += 1
                assert (f"{connector}.{contact}", end.ohm) in [(b.key, b.ohm) for b in back]
    assert pairs > 10


def test_both_halves_of_a_plug_between_harnesses() -> None:
    """The bus side ends at the bus and the ground, the far side at the lamp: the plug is apart."""
    found = readings(study("foxglove"))
    (near,) = found[("left-root", "near", "A")]
    (far,) = found[("left-root", "far", "A")]
    assert (near.kind, near.through) == ("bus", ("NAV on", "breaker closed"))
    assert (far.end, far.through) == ("left position light, feed", ())
    assert far.ohm is not None
    assert near.ohm is not None


def test_an_unknown_length_reads_unknown_and_never_nothing() -> None:
    system = study("foxglove").system
    ways = tuple(way.model_copy(update={"length_m": None}) for way in system.document.ways)
    places = {
        key: spot.model_copy(update={"station_m": None})
        for key, spot in system.document.places.items()
    }
    document = system.document.model_copy(update={"ways": ways, "places": places})
    fresh = Study(replace(system, document=document))
    ends = [r for found in readings(fresh).values() for r in found]
    assert any(r.ohm is None for r in ends)
    rows = [row for page in bench_pages(fresh, "left-root") for row in page.rows]
    assert any((row.reads[:1], row.most) == ("?", NO_LIMIT) for row in rows)


def page_of(name: str, gender: str, count: int = 0) -> BenchPage:
    face = record(name, gender, pins=count)
    used = [pin for pin in face.pins if pin.state in ("used", "double")]
    rows = tuple(
        BenchRow(contact=pin.name, signal="serial out", wire=pin.mark, gauge="22", reads="0.03 Ω")
        for pin in used
    )
    return BenchPage(face=face, rows=rows, facts=(("meter", "x"), ("spare", "none")))


@pytest.mark.parametrize("name", ["dsub-9", "dsub-25", "dsub-50", "dsub-hd-15", "dsub-hd-62"])
@pytest.mark.parametrize("gender", ["pin", "socket"])
def test_the_wiring_side_is_the_mirror_of_the_mating_face(name: str, gender: str) -> None:
    (sheet, *_) = bench(page_of(name, gender))
    wiring, mating = centres(sheet, "wiring side"), centres(sheet, "mating face")
    assert set(wiring) == set(mating)
    middle = [(min(x for x, _ in v.values()) + max(x for x, _ in v.values())) / 2
              for v in (wiring, mating)]  # fmt: skip
    for pin, (x, _) in wiring.items():
        assert x - middle[0] == pytest.approx(middle[1] - mating[pin][0], abs=1e-6)


@pytest.mark.parametrize("name", ["dsub-9", "dsub-50", "dsub-hd-78", "circular", "rectangular"])
def test_big_and_odd_connectors_have_no_fault(name: str) -> None:
    count = 0 if name.startswith("dsub") else 31
    assert [str(f) for s in bench(page_of(name, "socket", count)) for f in inspect(s)] == []


def test_where_two_wires_claim_a_contact_words_stand_in_place_of_the_picture() -> None:
    page = replace(page_of("dsub-9", "pin"), claims=("Contact 4 is claimed by 2 wires: A; B.",))
    (sheet, *_) = bench(page)
    assert not [i for i in sheet.items if isinstance(i.ink, Circle)]
    assert "No picture: settle this in the file" in words([sheet])
    assert "Contact 4 is claimed by 2 wires" in words([sheet])
    assert [str(f) for f in inspect(sheet)] == []


def test_what_a_contact_carries_is_said_without_colour() -> None:
    """Power, ground and shield each have strokes of their own beside the fill."""
    face = record("dsub-9", "pin")
    kinds = ("power", "ground", "signal", "shield")
    looks = {}
    for kind in kinds:
        pins_ = tuple(DrawnPin(name=p.name, state="used", carries=kind) for p in face.pins)  # type: ignore[arg-type]
        (sheet, *_) = bench(replace(page_of("dsub-9", "pin"), face=replace(face, pins=pins_)))
        mine = [i for i in sheet.items if i.group == "radio.J1 mating face" and i.kind == "rule"]
        looks[kind] = (len(mine), len([i for i in mine if i.segments]))
    assert len(set(looks.values())) == len(kinds)


def test_a_reading_names_what_has_to_be_closed() -> None:
    closed = {
        word for found in readings(study("larkspur")).values() for r in found for word in r.through
    }
    assert any(word.endswith(" on") for word in closed)
    assert "breaker closed" in closed
    assert all(re.search(r" (on|closed)$", word) for word in closed)


def test_nothing_is_read_through_a_diode() -> None:
    for found in readings(study("larkspur")).values():
        for reading in found:
            assert isinstance(reading, EndReading)
            assert "diode" not in reading.end


@pytest.mark.parametrize("name", NAMES)
def test_no_reading_is_asked_for_where_no_tester_may_go(name: str) -> None:
    """A wire to a tank's sender or into fuel vapour has no millivolts; all others are read."""
    one = study(name)
    barred = {c.id for c in chains(one).conductors() if left_out(one, c)}
    seen = set()
    for connector in pins(one).by_id:
        for page in bench_pages(one, connector):
            for row in page.rows:
                if row.conductor in barred:
                    assert not re.search(r"\d", row.reads + row.most), row
                    seen.add(row.reads)
    assert (NOT_MEASURED in seen) == (name != "thistledown")  # which has no tank


def test_a_breaker_on_the_way_counts() -> None:
    """By hand: 32.8 mΩ of the wire and 45 mΩ of a 5 A breaker: 78 mV at 1 A."""
    found = next(r for r in readings(study("foxglove"))["radio.J1", "equipment", "1"])
    assert found.through == ("breaker closed",)
    assert found.ohm == pytest.approx(0.0328 + 0.045, abs=0.0005)


@pytest.mark.parametrize("name", NAMES)
def test_a_connector_that_goes_on_says_where_its_picture_is(name: str) -> None:
    """They stand where the connector begins, on the sheet that is named."""
    met = 0
    for drawing in drawn(name).of("connector"):
        by_label = {sheet.title.label: sheet for sheet in drawing.sheets}
        for sheet in drawing.sheets:
            for item in sheet.items:
                found = re.search(r", continued; (?:its faces|mating face): sheet (\S+)", item.text)
                if found:
                    met += 1
                    before = by_label[found[1]].items
                    start = item.text.partition(", continued")[0]
                    assert any(
                        i.ref == item.ref
                        and i.text.startswith(start)
                        and ", continued" not in i.text
                        for i in before
                    ), item.text
                    assert "wiring side" in {i.ref for i in before}
                    own = "wiring side" in {i.ref for i in sheet.items}
                    assert own == ("mating face" in item.text)
                    label = sheet.title.label
                    assert any(i.text == f"continues on {label}" for i in before)
    assert bool(met) == (name == "larkspur")


@pytest.mark.parametrize("name", NAMES)
def test_a_connector_is_parted_only_where_a_sheet_is_too_small_for_it(name: str) -> None:
    """Larkspur's radio began at the foot of a sheet; its audio panel's J1 fits on none."""
    parted = {
        item.ref
        for drawing in drawn(name).of("connector")
        for sheet in drawing.sheets
        for item in sheet.items
        if ", continued" in item.text and item.ref in pins(study(name)).by_id
    }
    for connector in parted:
        for page in bench_pages(study(name), connector):
            assert len(bench(page, shared=True)) > 1, connector
    assert parted == ({"audio-panel.J1"} if name == "larkspur" else set())


@pytest.mark.parametrize("name", NAMES)
def test_where_a_connector_goes_on_its_face_stands_again(name: str) -> None:
    """Beside its name, with all its contacts: nobody turns back for the places of the rest."""
    met = 0
    for sheet in (s for d in drawn(name).of("connector") for s in d.sheets):
        for item in sheet.items:
            if ", continued; mating face" not in item.text:
                continue
            met += 1
            group = f"{item.ref} wiring side"
            rings = {i.ref for i in sheet.items if isinstance(i.ink, Circle) and i.group == group}
            (page,) = bench_pages(study(name), item.ref)
            assert rings == {contact.pin for contact in page.face.arrangement.contacts}
    assert bool(met) == (name == "larkspur")


def test_connectors_stand_on_the_first_sheet_with_room_for_all_of_each() -> None:
    """100, 90, 40, 50 mm on sheets of 140 mm: 100 + 40 and 90 + 50; halves keep their order."""
    page = page_of("dsub-9", "pin")
    steps: list[Step] = [
        (replace(page, face=replace(page.face, id=f"box-{n}.J1")),) for n in range(4)
    ]
    high = dict(zip(steps, (100.0, 90.0, 40.0, 50.0), strict=True))
    order = [step[0].face.id for step in _filled(steps, high, {}, 140.0)]
    assert order == ["box-0.J1", "box-2.J1", "box-1.J1", "box-3.J1"]
    halves: list[Step] = [
        (replace(step[0], face=replace(step[0].face, id="plug")),) for step in steps[1:3]
    ]
    halves[1] = (replace(halves[1][0], facts=()),)
    own = {steps[0]: 100.0, halves[0]: 90.0, halves[1]: 40.0}
    assert _filled([steps[0], *halves], own, {}, 140.0) == [steps[0], *halves]


@pytest.mark.parametrize("name", NAMES)
def test_numbers_stand_clear_of_their_rings(name: str) -> None:
    """Figures of two filled them: a 13 was read as an 18."""
    met = 0
    for sheet in (s for d in drawn(name).of("connector") for s in d.sheets):
        rings: dict[tuple[str, str], list[float]] = {}
        for item in sheet.items:
            if isinstance(item.ink, Circle):
                rings.setdefault((item.ref, item.group), []).append(item.box[0])
        for item in sheet.items:
            lefts = rings.get((item.ref, item.group), ()) if item.text else ()
            if lefts and isinstance(item.ink, Lettering):
                met += len(item.text) > 1
                own = max((left for left in lefts if left < item.box[0]), default=item.box[0])
                assert item.box[0] - own > 0.4, (sheet.title.label, item.text)
                assert item.ink.capital_mm >= 2.5
    assert met


def shield_ends(own: Study, connector: str) -> list[tuple[str, str]]:
    """What becomes of each shield at a connector, by the number of its cable."""
    return [
        (end.rpartition(cables.split(", ")[-1])[2].strip(), cable)
        for page in bench_pages(own, connector)
        for row in page.rows
        if row.contact == "shield"
        for end in row.across.split("; ")
        for cables in [re.match(r"(?:☐ \w+(?:, )?)+", end)[0].strip()]  # type: ignore[index]
        for cable in re.findall(r"☐ (\w+)", cables)
    ]


@pytest.mark.parametrize("name", NAMES)
def test_every_end_of_a_shield_has_a_box_and_every_core_its_cable(name: str) -> None:
    """A shield was said in the rows of its cores, without its cable and nothing to tick."""
    own, met = study(name), 0
    for one in pins(own).by_id.values():
        boxed = [cable for _, cable in shield_ends(own, one.id)]
        for side in {landing.side for pin in one.pins for landing in pin.landings}:
            here = [x for pin in one.pins for x in pin.landings if x.side == side]
            landed = {x.cable for x in here if x.role == "shield"}
            for cable in {x.cable for x in here if x.shield and x.cable not in landed}:
                chain = chains(own).by_name[cable]
                assert f"{chain.function}{chain.number}" in boxed
                met += 1
        for page in bench_pages(own, one.id):
            for row in page.rows:
                core = next((c for c in chains(own).conductors() if c.id == row.conductor), None)
                entry = own.document.cables.get((core.cable if core else None) or "")
                if core is None or entry is None or core.role == "coax":
                    continue
                chain = chains(own).by_name[core.cable or ""]
                assert row.shield.startswith(f"{chain.function}{chain.number}, ")
                assert row.shield.partition(", ")[2].startswith(entry.type.partition(" ")[0])
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_a_shield_is_on_a_ground_as_often_at_connectors_as_at_grounds(name: str) -> None:
    """Of one that is grounded at both ends one lies there, the other on its box."""
    own = study(name)
    at_connectors: set[tuple[str, str, str]] = set()
    named = {cable: chains(own).by_name[cable] for cable in own.document.cables}
    numbers = {f"{chain.function}{chain.number}": cable for cable, chain in named.items()}
    for one in pins(own).by_id.values():
        for end, cable in shield_ends(own, one.id):
            ground = own.document.cables[numbers[cable]].drain or ""
            if ground in own.document.grounds and end.startswith("to "):
                if "drain at the other end" in end:
                    continue
                assert end.startswith(f"to {own.system.title('grounds', ground)}")
                at_connectors.add((ground, numbers[cable], one.equipment or one.id))
    record = ground_record(own)
    assert record is not None
    listed = [
        (box.id, wire.id.removesuffix("/drain"))
        for box in record.boxes
        for terminal in box.terminals
        for wire in terminal.wires
        if wire.id.endswith("/drain")
    ]
    assert sorted((ground, cable) for ground, cable, _ in at_connectors) == sorted(listed)


def test_a_shield_grounded_at_both_ends_has_its_drain_at_one() -> None:
    """Larkspur's attitude-1: its ground block at the sensor, the box at the display."""
    sensor, display = (
        {end.partition(", terminal ")[0] for end, cable in shield_ends(study("larkspur"), connector)
         if cable == "R26"}
        for connector in ("attitude-sensor-1.J1", "primary-display.J1")
    )  # fmt: skip
    assert sensor == {"to essential ground block"}
    assert display == {"to backshell here, drain at the other end"}


def test_a_sender_of_one_wire_says_through_what_it_returns() -> None:
    """Else the builder looks for its second wire."""
    (far,) = (page for page in bench_pages(study("foxglove"), "firewall-plug")
              if any(row.goes_to.startswith("oil pressure") for row in page.rows))  # fmt: skip
    said = {row.contact: row.goes_to for row in far.rows}
    assert said["A"] == "oil pressure sender, returns through the crankcase"
    assert "returns" not in said["C"]
    (page,) = bench_pages(study("yarrow"), "engine-monitor.J1")
    said = {row.contact: row.goes_to for row in page.rows}
    assert [said[k].partition(", ")[2] for k in "57"] == [
        "returns through the crankcase",
        "returns through the tank and its bond to the airframe",
    ]  # fmt: skip


def test_a_sender_of_one_wire_without_a_note_says_that_its_return_is_not_said() -> None:
    system = study("yarrow").system
    boxes = dict(system.document.equipment)
    boxes["fuel-left"] = boxes["fuel-left"].model_copy(update={"note": "at the wing root"})
    document = system.document.model_copy(update={"equipment": boxes})
    (page,) = bench_pages(Study(replace(system, document=document)), "engine-monitor.J1")
    said = {row.contact: row.goes_to for row in page.rows}
    assert said["7"] == f"left fuel sender, {NO_RETURN}"
    assert NO_RETURN not in said["8"]


@pytest.mark.parametrize("name", NAMES)
def test_the_most_that_passes_is_that_of_the_ring_out(name: str) -> None:
    """Of one wire the same number stands on both; behind others, never less than is expected."""
    table = ring_out(study(name))
    at = [column.key for column in table.columns].index("most_mv")
    printed = {row[0]: cell.text for row in table.rows if isinstance(cell := row[at], Cell)}
    met = 0
    for one in pins(study(name)).by_id:
        for page in bench_pages(study(name), one):
            for row in page.rows:
                if re.fullmatch(r"[\d.]+", row.reads):
                    assert float(row.most) > float(row.reads), row
                    met += printed.get(row.wire) == row.most
                elif row.most:
                    assert row.most.count("; ") in (0, row.reads.count("; ")), row
    assert met > 5


def test_copper_to_a_probe_says_at_its_rows_what_it_is_not_for() -> None:
    (page,) = bench_pages(study("foxglove"), "engine-monitor.J2")
    k = next(k for k, row in enumerate(page.rows) if row.contact == "⚠")
    assert not any(row.wire for row in page.rows[k:])  # between contacts it looked like their end
    assert page.rows[k].across.startswith("10–13, 28–31: copper is for probes of resistance")
    (radio,) = bench_pages(study("foxglove"), "radio.J1")
    assert not any(row.across for row in radio.rows)


def carries(name: str, connector: str) -> dict[str, str]:
    return {pin.name: pin.carries for pin in bench_pages(study(name), connector)[0].face.pins}


def test_power_and_ground_are_told_from_signals_in_a_cable_too() -> None:
    """A box feeds the magnetometer; the buttons of the grip end on a ground."""
    magnetometer = carries("foxglove", "magnetometer.J1")
    assert (magnetometer["1"], magnetometer["6"]) == ("power", "ground")
    grip = carries("foxglove", "pilot-stick.J1")
    assert (grip["6"], grip["8"]) == ("ground", "ground")
    assert grip["1"] == "signal"
    root = carries("larkspur", "right-plug")
    assert [root[k] for k in "GHJL"] == ["power", "ground", "signal", "ground"]


@pytest.mark.parametrize("name", NAMES)
def test_boxes_to_tick_are_large_and_under_their_word(name: str) -> None:
    """A pencil needs 3.5 mm: the sign has 0.62 of the height of its letter to its em."""
    for drawing in drawn(name).of("connector"):
        for sheet in drawing.sheets:
            for item in sheet.items:
                if "☐" in item.text or "☑" in item.text:
                    assert item.text in "☐☑", item.text
                    assert item.capital_mm > 4.0
            assert "crimped" in {i.text for i in sheet.items if i.ref == "head"}


def test_an_unshielded_cable_is_said_at_its_contacts() -> None:
    """Thistledown's lead of the transmit button is a cable of two cores there, too."""
    said = {
        row.shield
        for page in bench_pages(study("thistledown"), "talk-button.J1")
        for row in page.rows
    }
    assert len(said) == 1
    assert said.pop().endswith(", 2-core")


def test_what_is_said_under_a_table_stands_on_the_sheet_of_its_connector() -> None:
    """Foxglove's left wing root ends a sheet before the right one: its note stood with that."""
    sheets = [s for d in drawn("foxglove").of("connector") for s in d.sheets]
    first, last = (
        s for s in sheets if any("root plug" in i.text and i.ref == "fact" for i in s.items)
    )
    for sheet, side in ((first, "left"), (last, "right")):
        said = [i.text for i in sheet.items if i.ref == "fact" and "root plug" in i.text]
        assert said == [f"{side} wing root plug"]
        assert NO_PICTURE in words([sheet])


@pytest.mark.parametrize("name", NAMES)
def test_shields_of_a_connector_stand_in_the_order_of_their_numbers(name: str) -> None:
    """*R7, R9, R8, R6* was in that of the contacts, and nobody found the one that is missing."""
    met = 0
    for one in pins(study(name)).by_id:
        for row in (row for page in bench_pages(study(name), one) for row in page.rows):
            if row.contact == "shield":
                groups = [
                    [(letter, int(count)) for letter, count in re.findall(r"☐ ([A-Z]+)(\d+)", one)]
                    for one in row.across.split("; ")
                ]
                assert all(group == sorted(group) for group in groups), row.across
                assert [one[0] for one in groups] == sorted(one[0] for one in groups), row.across
                met += sum(map(len, groups)) > 1
    assert met or name in ("yarrow", "thistledown")


@pytest.mark.parametrize("name", NAMES)
def test_heads_say_at_which_current_and_at_most(name: str) -> None:
    for sheet in (s for d in drawn(name).of("connector") for s in d.sheets):
        heads = " ".join(i.text for i in sheet.items if i.ref == "head")
        assert ("mV at 1 A" in heads) == ("mV" in heads)
        assert heads.count("most") == heads.count("at most")


def test_a_dsub_says_the_size_of_its_contacts_at_its_name() -> None:
    sheets = [s for d in drawn("foxglove").of("connector") for s in d.sheets]
    heads = {i.text for s in sheets for i in s.items if i.text.startswith("dsub-")}
    assert heads
    assert all("contact size 2" in head for head in heads)
    assert any(head.startswith("dsub-hd-") and "22D" in head for head in heads)


@pytest.mark.parametrize("name", NAMES)
def test_a_sheet_says_that_there_is_no_picture_where_one_is_missing_and_nowhere_else(
    name: str,
) -> None:
    """Something of several contacts without a face: its sheet says by what it is wired."""
    own, met = study(name), 0
    several = {p.face.id: pictured(p) for one in pins(own).by_id for p in bench_pages(own, one)
               if len(p.face.pins) > 1}  # fmt: skip
    for sheet in [s for d in drawn(name).of("connector") for s in d.sheets]:
        listed = [i.ref for i in sheet.items if i.ref in several and not several[i.ref]]
        assert (NO_PICTURE in words([sheet])) == bool(listed), (sheet.title.label, listed)
        met += bool(listed)
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_no_full_current_is_sent_over_a_device_of_no_more(name: str) -> None:
    """Larkspur's 1 A breaker of its locator panel: 1.08 Ω, 108 mV at a tenth of an ampere."""
    one, met = study(name), 0
    for connector in pins(one).by_id:
        for page in bench_pages(one, connector):
            for reads in (row.reads for row in page.rows):
                for said in reads.split("; "):
                    small = re.search(r", (0\.\d+|1) A (breaker|fuse|limiter)", said)
                    assert bool(small) == (" at 0.1 A" in said), said
                    met += bool(small)
    assert met or name != "larkspur"


@pytest.mark.parametrize("name", NAMES)
def test_connectors_are_measured_with_the_battery_disconnected(name: str) -> None:
    sheets = [sheet for d in drawn(name).of("connector") for sheet in d.sheets]
    for sheet in sheets:
        said = " ".join(i.text for i in sheet.items if i.ref == "note")
        assert "Disconnect battery, plugs" in said
        assert "…" not in said
        assert "Battery off" not in said
        assert not [i.text for i in sheet.items if re.search(r"38999-\d", i.text)]
