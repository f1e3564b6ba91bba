"""The interconnect: a box for each connector, plugs in their lines, sheets at every row."""

import re
from functools import cache
from pathlib import Path

import pytest

from elec.answers.base.marks import marks
from elec.drawings.from_study import drawings
from elec.drawings.ink import Box
from elec.drawings.inputs import BoxLink, InterconnectBox, InterconnectDrawing
from elec.drawings.records.interconnect import carried, interconnect_record, interconnects
from elec.drawings.records.thin import taps
from elec.drawings.sheet import Item, Sheet, TitleBlock
from elec.drawings.sheets import link_rows, paper, table
from elec.drawings.sheets.interconnect import interconnect, short
from elec.drawings.sheets.link_rows import PLACE
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains
from tests.drawings.inspect import crossings
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"


@cache
def study_of(name: str) -> Study:
    system = read(SYSTEMS / name).system
    assert system is not None
    return Study(system)


@cache
def record(name: str) -> InterconnectDrawing:
    (one,) = interconnects(study_of(name))
    return interconnect_record(study_of(name), one)


@cache
def bare(name: str) -> tuple[Sheet, ...]:
    return tuple(interconnect(record(name)))


def links(name: str) -> dict[str, BoxLink]:
    return {link.id: link for link in (*record(name).links, *record(name).beside)}


def ends(sheet: Sheet, line: Item) -> list[tuple[str, str]]:
    """The boxes that a line ends at, each with what stands in its connector."""
    bands = [i for i in sheet.items if i.role == "connector"]
    found = []
    for x, y in (line.segments[0][0], line.segments[-1][1]):
        (band,) = [
            b for b in bands
            if b.box[1] < y < b.box[3] and min(abs(b.box[0] - x), abs(b.box[2] - x)) < 0.01
        ]  # fmt: skip
        within = [
            t.text for t in sheet.items
            if t.text and t.ref == band.ref and t.role != "also"
            and band.box[0] < t.box[0] and t.box[2] < band.box[2]
            and band.box[1] < (t.box[1] + t.box[3]) / 2 < band.box[3]
        ]  # fmt: skip
        found.append((band.ref, " ".join(within)))
    return found


def drawn_lines(name: str) -> list[tuple[Sheet, Item]]:
    return [(s, i) for s in bare(name) for i in s.items if i.role == "link"]


@pytest.mark.parametrize("name", NAMES)
def test_every_link_is_drawn_once_from_connector_to_connector(name: str) -> None:
    """Sensors, senders, jacks and antennas too: none stands in the table alone."""
    known = links(name)
    assert sorted(line.ref for _, line in drawn_lines(name)) == sorted(known)
    label = {u.id: u.label for u in (*record(name).units, *record(name).beside_units)}
    for sheet, line in drawn_lines(name):
        link = known[line.ref]
        for box, said in ends(sheet, line):
            at = link.a_at if box == link.a else link.b_at
            assert box in (link.a, link.b)
            wanted = (at, f"{label[box]} {at}", f"{label[box]}, {at}")
            assert said in (*wanted, *((label[box],) if at == "1" else ())), (link.id, said)


@pytest.mark.parametrize("name", NAMES)
def test_a_connector_among_the_others_is_drawn_once(name: str) -> None:
    """In the rows under them it stands again, and a note says so."""
    core = {link.id for link in record(name).links}
    places: dict[tuple[str, str], set[tuple[float, ...]]] = {}
    for sheet, line in drawn_lines(name):
        if line.ref in core:
            for end, (x, y) in zip(ends(sheet, line), (line.segments[0][0], line.segments[-1][1]),
                                   strict=True):  # fmt: skip
                (box,) = {
                    b.box for b in sheet.items
                    if b.role == "connector" and b.box[1] < y < b.box[3]
                    and min(abs(b.box[0] - x), abs(b.box[2] - x)) < 0.01
                }  # fmt: skip
                places.setdefault(end, set()).add(box)
    assert all(len(boxes) == 1 for boxes in places.values())
    said = " ".join(i.text for s in bare(name) for i in s.items)
    assert bool(record(name).beside) == ("In rows: sensors" in said)


@pytest.mark.parametrize("name", NAMES)
def test_the_name_of_every_box_stands_in_it(name: str) -> None:
    """Some within and some over their box were read as two kinds of thing."""
    label = {u.id: u.label for u in record(name).units}
    met = set()
    for sheet in bare(name):
        frames = [i for i in sheet.items if i.ref in label and i.role != "connector" and not i.text]
        for text in sheet.items:
            if text.ref in label and text.text == label[text.ref]:
                x0, y0, x1, y1 = text.box
                assert any(f.ref == text.ref and f.box[0] < x0 and f.box[1] < y0
                           and x1 < f.box[2] and y1 < f.box[3] for f in frames)  # fmt: skip
                met.add(text.ref)
    assert met == set(label)


@pytest.mark.parametrize("name", NAMES)
def test_a_long_line_has_its_marks_at_both_ends(name: str) -> None:
    met = 0
    for sheet, line in drawn_lines(name):
        points = [point for piece in line.segments for point in piece]
        far = max(y for _, y in points) - min(y for _, y in points)
        marks = [
            i for i in sheet.items
            if i.ref == line.ref and i.text.split(": ")[0] == short(links(name)[line.ref])
            and min(abs(i.box[3] - y) for _, y in points) < 4.0
        ]  # fmt: skip
        if far > 5.5:
            met += 1
            assert len(marks) == 2, line.ref
            for x, y in (points[0], points[-1]):
                gap = min(max(i.box[0] - x, x - i.box[2], 0.0) + abs(i.box[3] - y) for i in marks)
                assert gap < 16.0, line.ref
    assert met or name in ("yarrow", "foxglove")  # their lines are short


@pytest.mark.parametrize("name", NAMES)
def test_no_line_has_a_step_of_a_hair(name: str) -> None:
    """What is meant to be straight is: a step of less than a line of text is a slip of the pen."""
    for _, line in drawn_lines(name):
        for a, b in line.segments:
            assert a[1] == b[1] or abs(a[1] - b[1]) > 3.35 or a[0] != b[0], line.ref


@pytest.mark.parametrize("name", NAMES)
def test_a_drawing_on_one_sheet_is_spread_over_it(name: str) -> None:
    """Thistledown's left the lower half of an A3 empty."""
    if len(bare(name)) == 1:
        (sheet,) = bare(name)
        low = max(i.box[3] for i in sheet.items if i.ref and i.ref != "note")
        assert low > sheet.frame[1] + 0.7 * (sheet.block[1] - sheet.frame[1])


@pytest.mark.parametrize("name", NAMES)
def test_the_table_is_not_parted(name: str) -> None:
    """Eight rows under the drawing and the rest behind it were read as all."""
    first = [s.title.label for s in bare(name) for i in s.items if i.text == "between"]
    assert len(set(first)) == 1


@pytest.mark.parametrize("name", NAMES)
def test_upright_pieces_over_one_another_are_clear_of_each_other(name: str) -> None:
    """Two links on one track with a gap that the eye bridges are taken for one line."""
    for sheet in bare(name):
        pieces = [
            (a[0], min(a[1], b[1]), max(a[1], b[1]), line.ref)
            for line in sheet.items
            if line.role == "link"
            for a, b in line.segments
            if abs(a[0] - b[0]) < 0.01
        ]
        for x, _, low, one in pieces:
            for other, top, _, two in pieces:
                if one != two and abs(x - other) < 0.5 and top > low:
                    assert top - low > 25.0, (one, two)


def test_crossings_are_no_more_than_they_were() -> None:
    """Larkspur's two are left of what no order of boxes avoids; Thistledown's one lets it be A4."""
    found = {name: sum(crossings(sheet) for sheet in bare(name)) for name in NAMES}
    assert found["larkspur"] <= 2
    assert found["thistledown"] <= 1
    assert found["foxglove"] == found["yarrow"] == 0


def test_plugs_between_harnesses_stand_in_their_lines_and_in_the_table() -> None:
    """Foxglove's engine sensors pass a plug at the firewall."""
    plugged = {link.id for link in links("foxglove").values() if link.plugs}
    assert len(plugged) == 6
    drawn = [i.ref for s in bare("foxglove") for i in s.items if i.role == "plug"]
    assert sorted(drawn) == sorted([*plugged, *plugged])  # two halves each
    rows = " ".join(i.text for s in bare("foxglove") for i in s.items)
    assert "engine sensor plug" in rows
    assert any("Two halves in a line" in i.text for s in bare("foxglove") for i in s.items)
    assert not any("Two halves" in i.text for s in bare("thistledown") for i in s.items)


def test_one_wire_in_two_pieces_reads_unlike_two_wires() -> None:
    """U26 goes on as U27 behind its plug; U56 and U57 lie side by side."""
    found = {link.marks for link in links("foxglove").values()}
    assert {"U26/27", "U30/31–U32/33", "U56–57", "R10/11"} <= found
    assert any("U1/2: one wire" in i.text for s in bare("foxglove") for i in s.items)


@pytest.mark.parametrize("name", NAMES)
def test_a_table_on_another_sheet_is_pointed_to(name: str) -> None:
    there = {s.title.label for s in bare(name) for i in s.items if i.text == "between"}
    for sheet in bare(name):
        said = " ".join(i.text for i in sheet.items if i.ref == "note")
        away = sheet.title.label not in there
        assert any(f"Table (sheet {label}):" in said for label in there) == away
        assert "sheets C and G" in said  # the last note has room, too


@pytest.mark.parametrize("name", NAMES)
def test_the_table_names_all_that_is_carried(name: str) -> None:
    said = " ".join(i.text for s in bare(name) for i in s.items)
    assert "and more" not in said
    for link in links(name).values():
        for what in link.carries.split(", "):
            assert set(what.split()) <= set(said.replace(",", " ").replace(";", " ").split())


@pytest.mark.parametrize("name", NAMES)
def test_every_end_with_a_connector_names_its_sheet_in_the_table(name: str) -> None:
    study = study_of(name)
    found = drawings(study).of("interconnect")[0]
    for link in links(name).values():
        with_one = sum(
            bool(study.document.equipment[box].connectors.get(at))
            for box, at in ((link.a, link.a_at), (link.b, link.b_at))
            if box in study.document.equipment
        )
        refs = [
            i.text for s in found.sheets for i in s.items
            if i.ref in (link.id, link.a, link.b) and "/" in i.text and i.text[0] == "K"
        ]  # fmt: skip
        assert len(refs) >= with_one, link.id


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_with_a_fuse_of_its_own_leads_to_what_the_fuse_sits_on(name: str) -> None:
    study = study_of(name)
    for chain in chains(study).of("wire"):
        if chain.device is None:
            continue
        mark = marks(study)[chain.conductors()[-1].id].removesuffix("A22")
        (link,) = [one for one in links(name).values() if mark in one.marks.split(", ")]
        (tapped,) = {link.a, link.b} - set(study.document.equipment)
        assert tapped in (chain.device.inlet, taps(study)[chain.name][1].name
                          if chain.name in taps(study) else "")  # fmt: skip
        assert re.search(r"through fuse \d, [\d.]+ A$", link.carries), link.carries


def test_a_core_that_ends_on_a_ground_is_said() -> None:
    assert [one.shields for one in links("thistledown").values() if one.marks == "R7"] == [
        "2-core AWG 22, one core to ground"
    ]
    every = [one.shields for name in NAMES for one in links(name).values()]
    assert sum("ground" in one for one in every) == 1  # all cores of the others lead to a box


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_a_terminal_without_connector_is_looked_up_where_it_stands(name: str) -> None:
    """The text of its wire stands in the zone beside it."""
    found = drawings(study_of(name))
    lamps = [one for one in links(name).values() for at in (one.a_at, one.b_at) if at == "lamp"]
    assert lamps
    for link in lamps:
        box = link.a if link.a_at == "lamp" else link.b
        terminals = [
            (sheet, i.box) for drawing in found.of("circuit") for sheet in drawing.sheets
            for i in sheet.items if i.ref == f"{box}.lamp"
        ]  # fmt: skip
        spots = {
            f"{sheet.title.label}/{sheet.zone((x0 + x1) / 2, (y0 + y1) / 2)}"
            for sheet, (x0, y0, x1, y1) in terminals[:1]
        }
        said = {
            i.text for d in found.of("interconnect") for s in d.sheets for i in s.items
            if i.ref in (box, link.id)
        }  # fmt: skip
        assert said & spots, (link.id, spots)


def places(name: str) -> dict[str, list[tuple[str, str, Box]]]:
    """Box → sheet, zone and frame of each place in which it stands."""
    found: dict[str, list[tuple[str, str, Box]]] = {}
    for sheet in bare(name):
        for item in sheet.items:
            if item.group == PLACE:
                x0, y0, x1, y1 = item.box
                zone = sheet.zone((x0 + x1) / 2, (y0 + y1) / 2)
                found.setdefault(item.ref, []).append((sheet.title.label, zone, item.box))
    return found


def within(inner: Box, outer: Box) -> bool:
    return (outer[0] <= inner[0] and outer[1] <= inner[1] and inner[2] <= outer[2]
            and inner[3] <= outer[3])  # fmt: skip


def test_every_pointer_has_a_zone() -> None:
    """*also N2* and *also here* were no reference."""
    texts = [i.text for s in bare("larkspur") for i in s.items if i.role == "also"]
    assert len(texts) > 20
    for text in texts:
        for said in text.removeprefix("also ").removesuffix(" +").split(", "):
            assert re.fullmatch(r"(\d/)?[A-F]\d(/[A-F]\d)*", said), text


def test_each_wire_of_a_sensor_is_named() -> None:
    """*manifold a supply, manifold a* were two names for three wires."""
    assert carried(["manifold supply", "manifold signal", "manifold low"]) == [
        "manifold supply", "signal", "low"]  # fmt: skip
    assert carried(["throttle a supply", "throttle a low", "throttle a"]) == [
        "throttle a supply", "low", "signal"]  # fmt: skip
    assert carried(["compass 1 supply", "compass 1 ground", "compass 1 high", "compass 1 low"]) == [
        "compass 1 supply", "ground", "high", "low"]  # fmt: skip
    assert carried(["roll command", "roll command low", "roll engage"]) == [
        "roll command", "roll engage"]  # fmt: skip
    texts = [link.carries for link in links("larkspur").values()]
    assert "flow supply, low, signal" in texts
    assert "manifold a supply, low, signal" in texts


def test_words_stand_under_a_line_that_has_no_room_over_it() -> None:
    """Yarrow's sheet was half empty, and half its lines had marks alone."""
    (sheet,) = bare("yarrow")
    alone = {i.text for i in sheet.items if i.text}
    assert {"position serial", "pilot microphone", "fuel right", "through fuse 2, 1 A"} <= alone


@pytest.mark.parametrize("name", NAMES)
def test_a_box_in_several_places_leads_to_the_others(name: str) -> None:
    """Its lines over three places were gathered by reading the whole sheet."""
    met = 0
    for sheet in bare(name):
        here = sheet.title.label
        for item in (i for i in sheet.items if i.role == "also"):
            known = {(s, z) for s, z, _ in places(name)[item.ref]}
            for said in item.text.removeprefix("also ").split(", "):
                at, *more = said.removesuffix(" +").split("/")
                for zone in more or [at]:
                    assert (at if more else here, zone) in known, item.text
                    met += 1
    core = {box for link in record(name).links for box in (link.a, link.b)}
    for box in core:
        where = places(name)[box]
        sheet_, zone, frame = where[0]  # among the others, before any rows
        (there,) = [s for s in bare(name) if s.title.label == sheet_]
        also = [i.text for i in there.items if i.role == "also" and within(i.box, frame)]
        assert bool(also) == any((s, z) != (sheet_, zone) for s, z, _ in where), box
    assert met or not record(name).beside


def test_foxglove_leads_to_every_place() -> None:
    """Where there is room no box that stands elsewhere is without it."""
    for box, where in places("foxglove").items():
        for sheet_, zone, frame in where:
            (there,) = [s for s in bare("foxglove") if s.title.label == sheet_]
            texts = [i.text for i in there.items
                     if i.ref == box and i.role == "also" and within(i.box, frame)]  # fmt: skip
            others = {z for _, z, _ in where} - {zone}
            beside = "jacks" in box  # its two rows stand one under the other
            assert beside or set(", ".join(texts).replace("also ", "").split(", ")) - {""} == others


def test_a_terminal_without_connector_has_its_sheet_in_its_box() -> None:
    """Yarrow's warning unit had none: it has no connector to look for."""
    (sheet,) = drawings(study_of("yarrow")).of("interconnect")[0].sheets
    frames = {i.ref: i.box for i in sheet.items if i.group == PLACE}
    for unit in record("yarrow").units:
        targets = [t for link in record("yarrow").links
                   for box, at, t in ((link.a, link.a_at, link.targets[0]),
                                      (link.b, link.b_at, link.targets[1]))
                   if box == unit.id and at != "1"]  # fmt: skip
        own = [i for i in sheet.items if i.ref == unit.id and within(i.box, frames[unit.id])]
        said = [i.text for i in own if "/" in i.text]
        assert len(said) == len({t.split(" wire ")[0] for t in targets}), unit.id
    warned = [i.text for i in sheet.items if i.ref == "warning-unit" and "/" in i.text]
    assert warned
    assert warned[0].startswith("C")


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_a_sense_wire_at_a_bus_leads_to_its_row(name: str) -> None:
    """It led to the top of the bar: fuse and wire stand in a row."""
    found = drawings(study_of(name))
    study = study_of(name)
    fused = [c for c in chains(study).of("wire") if c.device is not None]
    (row,) = [c.name for c in fused if c.device and c.device.inlet in study.document.buses]
    (one_line,) = found.of("one-line")
    spots = {
        f"{s.title.label}/{s.zone((i.box[0] + i.box[2]) / 2, (i.box[1] + i.box[3]) / 2)}"
        for s in one_line.sheets for i in s.items if i.ref == row
    }  # fmt: skip
    bus = chains(study_of(name)).by_name[row].device
    assert bus is not None
    said = {i.text for s in found.of("interconnect")[0].sheets for i in s.items
            if i.ref == bus.inlet and "/" in i.text}  # fmt: skip
    assert said
    assert said <= spots


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_each_plug_on_the_way_has_its_sheet(name: str) -> None:
    plugged = [link for link in record(name).beside if link.plugs]
    assert plugged
    for sheet in drawings(study_of(name)).of("interconnect")[0].sheets:
        for link in plugged:
            texts = [i.text for i in sheet.items if i.ref == link.id]
            refs = [text for text in texts if text[:1] == "K" and "/" in text]
            assert len(refs) == (len(link.plugs) if texts else 0), link.id


@pytest.mark.parametrize(("name", "least"), [("foxglove", 5), ("larkspur", 7), ("thistledown", 8)])
def test_lines_say_what_they_carry_where_there_is_room(name: str, least: int) -> None:
    core = {link.id: link for link in record(name).links}
    said = [
        i.ref for s in bare(name) for i in s.items
        if i.ref in core and i.text == f"{short(core[i.ref])}: {core[i.ref].carries}"
    ]  # fmt: skip
    table = {ref for ref in said if said.count(ref) == 1}
    assert len(set(said) - table) >= least


def test_few_boxes_lie_on_the_smaller_paper() -> None:
    assert [s.size for s in bare("thistledown")] == ["A4"]


@pytest.mark.parametrize("name", NAMES)
def test_no_line_jogs_aside_between_two_upright_pieces(name: str) -> None:
    """Two of Larkspur's crossed in jogs 2 mm apart, which the eye takes one for the other."""
    for _, line in drawn_lines(name):
        for before, level, behind in zip(
            line.segments, line.segments[1:], line.segments[2:], strict=False
        ):
            upright = before[0][0] == before[1][0] and behind[0][0] == behind[1][0]
            assert not upright or abs(level[0][0] - level[1][0]) > 6.0, line.ref


def test_boxes_that_lie_further_apart_keep_within_the_frame() -> None:
    """Longer lines have their text at both ends, and what they carry: that took too much width."""
    names = [f"box {n}" for n in range(7)]
    units = tuple(InterconnectBox(id=one, label=one) for one in names)
    joined = [(0, 6), (1, 3), (2, 4), (3, 4), (3, 5)]
    lines = tuple(
        BoxLink(id=f"{a} {b}", a=names[a], b=names[b], wires=1, marks=f"U{k}", all_marks=f"U{k}",
                a_at=f"J{k}", b_at=f"J{k}", carries="position serial data")
        for k, (a, b) in enumerate(joined, 1)
    )  # fmt: skip
    made = InterconnectDrawing(
        title=TitleBlock(title="x", code="N"), id="interconnect", units=units, links=lines,
        smaller="A4",
    )  # fmt: skip
    for sheet in interconnect(made):
        x0, y0, x1, y1 = sheet.frame
        for item in (i for i in sheet.items if i.group == PLACE):
            assert x0 < item.box[0] < item.box[2] < x1
            assert y0 < item.box[1] < item.box[3] < y1


def test_what_is_laid_out_to_be_counted_is_not_drawn_and_ends_where_it_is_drawn() -> None:
    """Rows and table are laid out in many forms, of which one is drawn."""

    def fresh(count: int) -> Sheet:
        return paper.page("A4", TitleBlock(title="t"), f"{count}")

    names = {("hub", "1"): "hub", **{(f"box {n}", "1"): f"box {n} of many words" for n in range(9)}}
    links = [
        BoxLink(
            id=f"l{n}", a="hub", b=f"box {n}", wires=1, marks="m", a_at="1", b_at="1",
            targets=("x", "y"),
        )
        for n in range(9)
    ]  # fmt: skip
    texts = {link.id: "what it carries, " * (1 + int(link.id[1:])) for link in links}
    groups = link_rows.grouped(link_rows.rows_of(links, links, names, texts, {}))
    sheets = [fresh(0)]
    empty = len(sheets[0].items)
    rows, y = link_rows.laid(sheets, 10.0, groups, table.usual_area, fresh)
    parts, low = table.laid(
        sheets, y, ("a", "b"), [(text, text) for text in texts.values()], refs=[*texts],
        area=table.usual_area, fresh=fresh,
    )  # fmt: skip
    assert len(sheets) > 1
    assert [len(sheet.items) for sheet in sheets] == [empty] * len(sheets)
    for part in rows:
        part.draw()
    for under in parts:
        under.draw()
    rules = [item.box[3] for item in sheets[-1].items if item.kind == "rule"]
    assert max(rules) == pytest.approx(low)
    boxes = [item.box[3] for item in rows[-1].sheet.items if item.group == PLACE]
    assert max(boxes) == pytest.approx(y - 3.0)
