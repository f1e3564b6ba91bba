"""The whole set of each system: its sheets, how full they are, their letters, what leads where."""

import re
from collections import Counter
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec import units
from elec.answers.base.marks import marks
from elec.answers.connect.panel import engraving, panels
from elec.answers.connect.pins import pins
from elec.answers.drop.drops import feeder_drops
from elec.answers.grounds.terminals import terminal_of
from elec.answers.heat.heat import heat
from elec.answers.loads.carried import carried_a
from elec.drawings.choose import choose
from elec.drawings.frame import blank, filled
from elec.drawings.from_study import Drawings, draw, drawings, plan
from elec.drawings.ink import Circle, InkPath, Lettering
from elec.drawings.layout.channel import crossings
from elec.drawings.records.bench import bench_pages
from elec.drawings.records.circuits import circuit_record
from elec.drawings.records.distribution import one_line_record
from elec.drawings.records.panel import panel_record
from elec.drawings.sheet import Sheet
from elec.drawings.sheets.parts import used_symbols
from elec.drawings.svg import to_svg
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains, ground_node
from elec.wiring.duty import duties
from tests.drawings.reader import read_sheet
from tests.drawings.references import SPOT, plugs_met, spots
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"
MOST = {"larkspur": 70, "foxglove": 38, "thistledown": 17, "yarrow": 24}
"""Sheets of a set: what a builder leafs through; two more than today, but for larkspur's goal."""
HALF = 0.5
"""A sheet that another of its drawing follows reaches at least so far down: a circuit or connector
that is not parted is never higher than half a sheet in these systems."""
CROSSINGS = {"larkspur": 2, "foxglove": 0, "thistledown": 1, "yarrow": 0}
"""Of lines on the sheets of the interconnect: as many as there are today."""
NEAR_MM = 12.0
"""Least room between two circuits of a sheet: a reference is closer to its own box or plug."""
LEAST = 0.05
"""Of the area of a sheet, what the boxes of its items cover at least: one short list does."""


@cache
def study(name: str) -> Study:
    system = read(SYSTEMS / name).system
    assert system is not None
    return Study(system)


def drawn(name: str) -> Drawings:
    return drawings(study(name))


@pytest.mark.parametrize("name", NAMES)
def test_a_set_is_no_thicker_than_it_has_to_be(name: str) -> None:
    assert len(drawn(name).sheets) <= MOST[name]


@pytest.mark.parametrize("name", NAMES)
def test_no_letter_is_lower_than_2_5_mm(name: str) -> None:
    """Measured in the SVG by the outlines of the font, frame and title block too."""
    heights = {
        round(text.capital_mm, 2)
        for sheet in drawn(name).sheets
        for text in read_sheet(to_svg(sheet)).texts
        if text.words.strip()
    }
    assert min(heights) >= 2.49  # sizes are written to 0.01 mm
    furniture = [item for s in drawn(name).sheets for item in (*blank(s.size), *filled(s))]
    assert min(item.capital_mm for item in furniture if item.text) >= 2.5


def cells(sheet: Sheet) -> tuple[set[tuple[int, int]], int]:
    """Squares of 5 mm that the boxes of items touch, and how many there are."""
    x0, y0, x1, _ = sheet.frame
    wide, high = int((x1 - x0) // 5), int((sheet.block[1] - y0) // 5)
    found = {
        (x, y)
        for item in sheet.items
        for x in range(int((item.box[0] - x0) // 5), int((item.box[2] - x0) // 5) + 1)
        for y in range(int((item.box[1] - y0) // 5), int((item.box[3] - y0) // 5) + 1)
        if 0 <= x < wide and 0 <= y < high
    }
    return found, wide * high


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_is_worth_its_paper(name: str) -> None:
    for drawing in drawn(name).drawings:
        for sheet in drawing.sheets:
            used, whole = cells(sheet)
            assert len(used) / whole >= LEAST, sheet.title.label
            lowest = max((y for _, y in used), default=0)
            high = (sheet.block[1] - sheet.frame[1]) // 5
            if sheet is not drawing.sheets[-1]:
                assert (lowest + 1) / high >= HALF, sheet.title.label


@pytest.mark.parametrize("name", NAMES)
def test_every_device_and_switch_is_found_from_the_panels(name: str) -> None:
    """On a panel or in the list of what is on none, which says where it sits."""
    own = study(name)
    sheets = [s for d in drawn(name).of("panel") for s in d.sheets]
    shown = {item.ref for s in sheets for item in s.items}
    subjects = {
        position.subject.name
        for layout in panels(own).by_name.values()
        for position in layout.positions
        if position.subject is not None and not layout.lone
    }
    assert subjects
    assert subjects <= shown
    flipped = {key for key, entry in own.document.switches.items() if entry.coil is None}
    used = {circuit.switch for circuit in own.document.circuits.values()}
    listed = {ref.rpartition(":")[2] for ref in shown} | {
        part.name for chain in chains(own).by_name.values() for part in chain.parts()
        if f"off {part.id}" in shown
    }  # fmt: skip
    assert flipped & used <= subjects | listed
    for chain in chains(own).by_name.values():
        for part in chain.parts():
            asked = part.kind in ("breaker", "fuse") and chain.kind != "wire"
            on_panel = asked and (part.rated or chain.name) in subjects
            if part.kind in ("breaker", "fuse", "limiter") and not on_panel:
                row = [i.text for s in sheets for i in s.items if i.ref == f"off {part.id}"]
                where = own.system.title("places", part.place)
                assert where in " ".join(row), part.id
            elif part.kind in ("switch", "contactor", "changeover"):
                rows = {ref for ref in shown if ref.startswith("off ")}
                assert part.name in subjects or any(part.name in ref for ref in rows), part.id


@pytest.mark.parametrize("name", NAMES)
def test_a_position_and_its_row_of_the_table_are_on_one_sheet(name: str) -> None:
    """Or the plate says where the rest of its table is."""
    for drawing in drawn(name).of("panel"):
        names = [panels(study(name)).by_name[n] for n in drawing.names if n != "off-panel"]
        notes = [i.text for s in drawing.sheets for i in s.items if i.ref == "note"]
        if any("Rest of the table: " in note for note in notes):
            assert (name, drawing.names) == ("larkspur", ("toggles",))
            continue
        for sheet in drawing.sheets:
            front = [item for item in sheet.items if not item.ref.startswith("rear ")]
            texts = Counter(item.text for item in front if item.text)
            if len(names) == 1:
                for position in names[0].positions:
                    if position.subject is not None:
                        assert texts[position.name] in (0, 2), (sheet.title.label, position.name)
            else:  # several panels have a position 1A: each row names its panel
                for layout in names:
                    if texts[layout.title]:
                        assert texts[layout.title] == 1 + len(layout.subjects)


@cache
def unlaid(name: str) -> Study:
    """The system as if nobody had laid out its panels."""
    system = study(name).system
    return Study(replace(system, document=system.document.model_copy(update={"panels": {}})))


@pytest.mark.parametrize("laid_out", [True, False])
@pytest.mark.parametrize("name", NAMES)
def test_what_nobody_laid_out_says_so_large_at_the_picture(name: str, laid_out: bool) -> None:
    own = study(name) if laid_out else unlaid(name)
    met = 0
    for planned in plan(own):
        if planned.kind != "panel":
            continue
        names = planned.names
        layouts = [panels(own).by_name[n] for n in names if n != "off-panel"]
        assert all(layout.given == laid_out for layout in layouts)
        for sheet in draw(own, planned).sheets:
            pictures = [i.box for i in sheet.items if i.ref == "panel" and i.kind == "rule"]
            said = [i for i in sheet.items if i.ref == "warning" and i.text]
            assert bool(said) == (not laid_out and bool(pictures)), sheet.title.label
            assert all(item.capital_mm >= LARGE_MM for item in said)
            assert all(item.box[3] < box[1] for item in said for box in pictures)
            met += len(pictures)
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_a_panel_says_where_each_of_its_holes_is(name: str) -> None:
    """In millimetres as the file has them, and in inches behind them for who measures in these."""
    own = study(name)
    for drawing in drawn(name).of("panel"):
        for panel in (one for one in drawing.names if one != "off-panel"):
            entry = own.document.panels[panel]
            assert entry.pitch_m is not None
            assert entry.edge_m is not None
            columns = panels(own).by_name[panel].columns
            last_m = entry.edge_m + entry.pitch_m * (columns - 1)
            inches = f" ({last_m / 0.0254:.2f})" if name != "thistledown" else ""
            for sheet in drawing.sheets:
                texts = [i.text for i in sheet.items if i.ref == "ordinate" and i.text]
                if texts and len(drawing.names) < 3:
                    wanted = f"{1000 * last_m:g}{inches}"
                    assert texts.count(wanted) == 1, (sheet.title.label, texts)
                    said = texts + [i.text for i in sheet.items if i.ref == "note"]
                    assert f"holes {1000 * (entry.hole_m or 0.0):g}" in " ".join(said)


@pytest.mark.parametrize("name", NAMES)
def test_every_lever_of_three_stands_on_its_hole(name: str) -> None:
    """No sign stands beside the hole that its dimension gives, whatever words it has."""
    met = 0
    for sheet in (s for d in drawn(name).of("panel") for s in d.sheets):
        levers = {i.ref for i in sheet.items if i.role == "lever"}
        ticks = [i.box for i in sheet.items if i.ref == "ordinate" and not i.text]
        across = [(b[0] + b[2]) / 2 for b in ticks if b[3] - b[1] > b[2] - b[0]]
        down = [(b[1] + b[3]) / 2 for b in ticks if b[3] - b[1] < b[2] - b[0]]
        for item in sheet.items:
            if isinstance(item.ink, Circle) and item.ref in levers:
                x, y = (item.box[0] + item.box[2]) / 2, (item.box[1] + item.box[3]) / 2
                assert min(abs(x - tick) for tick in across) < 0.01, item.ref
                assert min(abs(y - tick) for tick in down) < 0.01, item.ref
                met += 1
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_the_table_of_a_panel_says_what_is_engraved(name: str) -> None:
    """And the rating, on the largest panel too: one reads the table beside the plate."""
    own = study(name)
    for layout in panels(own).by_name.values():
        if layout.lone:
            continue
        record = panel_record(own, layout.name, {})
        assert record.heads[1].startswith("engraved")
        assert record.heads[2] == ("up" if layout.holds == "switches" else "amps")
        engraved = {spot.name: spot.text for row in record.rows for spot in row if spot.kind}
        for row in record.table:
            assert row[1].partition(" (")[0] == engraved[row[0]].partition(" (")[0]
        assert len(record.table) == len(engraved)


@pytest.mark.parametrize(("name", "at"), [("thistledown", "S-1A"), ("larkspur", "S-3A")])
def test_a_switch_carries_what_its_most_loaded_pole_does(name: str, at: str) -> None:
    """No sum beside the rating: of a changeover one pole is closed, of others each has its own."""
    own = study(name)
    (layout,) = (one for one in panels(own).by_name.values() if one.mark == "S")
    record = panel_record(own, layout.name, {})
    (row,) = (row for row in record.table if row[0] == at)
    (spot,) = (p for p in layout.positions if p.name == at)
    assert spot.subject is not None
    amps = [
        carried_a(own, pole) if pole in own.document.circuits else feeder_drops(own)[pole].current_a
        for pole in spot.subject.chains
    ]
    assert len(amps) > 1
    known = [a for a in amps if a is not None]
    assert row[record.heads.index("carries")] == units.show(max(known), "a", digits=1)
    assert sum(known) > 1.2 * max(known)
    assert any("most loaded pole" in note for note in record.notes)


@pytest.mark.parametrize(
    ("name", "circuit", "title", "ways"),
    [
        ("larkspur", "flaps-control", "FLAPS", ("(1) · down", "(3) · up")),
        ("foxglove", "water-rudder-control", "WATER RUDDER", ("(1) · down", "(3) · up")),
    ],
)
def test_a_control_switch_off_in_the_middle_is_one_contact(
    name: str, circuit: str, title: str, ways: tuple[str, str]
) -> None:
    """Two switches side by side would be built as two: one contact, its positions in words."""
    lever = study(name).document.circuits[circuit].switch
    found = [
        (sheet, item)
        for drawing in drawn(name).of("circuit")
        for sheet in drawing.sheets
        for item in sheet.items
        if item.ref == f"{circuit}/throw {lever}"
    ]
    assert len({sheet.title.label for sheet, _ in found}) == 1
    texts = {item.text: item.box for _, item in found if item.text}
    position = panels(study(name)).position(str(lever), switch=True)
    assert position is not None
    title = f"{position.name} · {title}"  # both panels are laid out
    assert set(texts) == {title, "(2)", "off", *ways}
    assert texts[title][3] < texts[ways[0]][1]
    assert texts[ways[0]][3] < texts["off"][1] < texts["off"][3] < texts[ways[1]][1]
    symbols = [i for _, i in found if i.kind == "symbol"]
    assert not symbols
    wires = circuit_record(study(name), circuit).rows
    ends = [row.nodes[0].kind for row in wires].count("throw")
    assert ends == 1  # the other begins at the bus
    row = next(row for row in wires if any(n.kind == "throw" for n in row.nodes[1:]))
    k = next(k for k, n in enumerate(row.nodes) if n.kind == "throw")
    assert row.nodes[k].contact.endswith("/(2)")
    assert row.nodes[k].contact_out.endswith("/(1)")


def test_contacts_of_one_lever_are_joined() -> None:
    """A broken line from blade to blade: two poles of one switch, never two switches."""
    joined = [
        (item.box, sheet)
        for drawing in drawn("thistledown").of("one-line")
        for sheet in drawing.sheets
        for item in sheet.items
        if item.ref == "lever battery-select"
    ]
    assert joined
    for box, sheet in joined:
        x = (box[0] + box[2]) / 2
        blades = [
            i.box for i in sheet.items
            if i.kind == "symbol" and abs((i.box[0] + i.box[2]) / 2 - x) < 0.1
        ]  # fmt: skip
        assert any(b[1] < box[1] for b in blades)
        assert any(b[3] > box[3] for b in blades)


def test_a_cut_feeder_names_the_zone_of_its_other_flag() -> None:
    """Not that where the feeder begins: somebody looks there for a flag in vain."""
    sheets = [s for d in drawn("larkspur").of("one-line") for s in d.sheets]
    flags: dict[str, list[tuple[Sheet, tuple[float, float, float, float], str]]] = {}
    for sheet in sheets:
        for item in sheet.items:
            if item.kind == "flag" and not item.ref.startswith("circuits "):
                text = next(
                    t.text for t in sheet.items
                    if t.text and t.ref == item.ref and item.box[0] <= t.box[0] <= item.box[2]
                    and item.box[1] <= t.box[1] <= item.box[3]
                )  # fmt: skip
                flags.setdefault(item.ref, []).append((sheet, item.box, text))
    assert flags
    for ref, ends in flags.items():
        assert len(ends) == 2, ref
        for (_, _, text), (sheet, box, _) in (ends, ends[::-1]):
            y = (box[1] + box[3]) / 2
            zones = {sheet.zone(x, y) for x in (box[0], box[2])}
            there = {f"· {sheet.title.label}/{zone}" for zone in zones}
            if len({s.title.label for s, _, _ in ends}) == 1:
                there = {f"· here {zone}" for zone in zones}
            assert text.endswith(tuple(there)), (text, there)


def test_a_sheet_of_circuits_is_titled_by_what_is_on_it() -> None:
    """Yarrow gives no function: the letter that all have by default says nothing of them."""
    mixed, coils = drawn("yarrow").of("circuit")
    assert coils.sheets[0].title.title == "Coils of contactors and relays"
    titles = [sheet.title.title for sheet in mixed.sheets]
    assert titles[0] == "Display, standby attitude, radio, transponder, intercom"
    assert titles[-1] == "Trim, USB socket, starter"
    assert not any("all kinds" in title or "continued" in title for title in titles)
    titles = [d.sheets[0].title.title for d in drawn("larkspur").of("circuit")]
    assert {"Lights", "Avionics", "Engine and power"} <= set(titles)


def test_a_plate_on_two_sheets_is_marked_where_it_is_cut() -> None:
    """At the foot of the first sheet and at the head of the second: one plate, not two."""
    (drawing,) = (d for d in drawn("larkspur").of("panel") if "main-breakers" in d.names)
    assert len(drawing.sheets) == 2
    for sheet, side in zip(drawing.sheets, (3, 1), strict=True):
        edges = [i.box for i in sheet.items if i.ref == "panel"]
        (cut,) = (i.box for i in sheet.items if i.ref == "panel cut")
        far = (max if side == 3 else min)(box[side] for box in edges)
        assert cut[side] == pytest.approx(far, abs=0.3)


@pytest.mark.parametrize("name", NAMES)
def test_no_two_positions_have_one_name(name: str) -> None:
    names = Counter(
        position.name
        for layout in panels(study(name)).by_name.values()
        for position in layout.positions
        if not layout.lone
    )
    assert max(names.values()) == 1


LARGE_MM = 3.5


@pytest.mark.parametrize("name", NAMES)
def test_engraving_has_one_weight_and_whole_words(name: str) -> None:
    for drawing in drawn(name).of("panel"):
        subjects = {
            s.name: engraving(study(name), s) for n in drawing.names if n != "off-panel"
            for s in panels(study(name)).by_name[n].subjects
        }  # fmt: skip
        for sheet in drawing.sheets:
            lines: dict[str, list[Lettering]] = {}
            for item in sheet.items:
                if isinstance(item.ink, Lettering) and item.ref in subjects:
                    if item.ink.align != "center" or item.role:
                        continue
                    lines.setdefault(item.ref, []).append(item.ink)
            for ref, inks in lines.items():
                assert " ".join(ink.text for ink in inks) == subjects[ref]
            assert len({(i.bold, i.narrow) for inks in lines.values() for i in inks}) <= (
                1 if len(drawing.names) == 1 else len(drawing.names)
            )
            assert all(ink.bold for inks in lines.values() for ink in inks)


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_to_ground_names_its_terminal_at_its_connector(name: str) -> None:
    own = study(name)
    met = 0
    for connector in pins(own).by_id:
        for page in bench_pages(own, connector):
            for row in page.rows:
                for (_, wire), number in terminal_of(own).items():
                    if wire == row.conductor and row.conductor:
                        assert row.goes_to.endswith(f", terminal {number}"), row
                        met += 1
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_a_coaxial_row_says_its_type_its_other_connector_and_its_length(name: str) -> None:
    own = study(name)
    met = 0
    for connector, one in pins(own).by_id.items():
        coaxial = {x.conductor: x.chain for p in one.pins for x in p.landings if x.role == "coax"}
        for page in bench_pages(own, connector):
            for row in page.rows:
                if row.conductor in coaxial:
                    kind = own.document.cables[coaxial[row.conductor]].type
                    assert row.shield.startswith(kind)
                    assert "other end" in row.shield
                    assert row.length
                    met += 1
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_a_reference_leads_to_a_sheet_that_leads_back(name: str) -> None:
    """Between connectors as often one way as the other: each wire says it at both its ends."""
    sheets = {sheet.title.label: sheet for sheet in drawn(name).sheets}
    pairs: Counter[tuple[str, str]] = Counter()
    for label, sheet in sheets.items():
        for item in sheet.items:
            if isinstance(item.ink, Lettering) and (found := SPOT.fullmatch(item.text)):
                assert item.ink.link == sheets[found[1]].id
                pairs[label, found[1]] += 1
    assert pairs
    for (a, b), count in pairs.items():
        if a[0] == b[0] == "K":
            assert pairs[b, a] == count, (a, b)


@pytest.mark.parametrize("name", NAMES)
def test_a_plug_in_a_circuit_and_its_contacts_name_each_other(name: str) -> None:
    met, wrong = plugs_met(study(name), drawn(name))
    assert wrong == []
    assert met or not study(name).document.plugs


@pytest.mark.parametrize("name", NAMES)
def test_a_reference_stands_at_what_it_is_of(name: str) -> None:
    """What a strip that went to the next sheet left behind would stand alone.

    In the list of a ground's terminals a reference is of the wire and stands beside its text.
    """
    for sheet in (s for s in drawn(name).sheets if s.title.label[0] != "G"):
        for item, there, zone in spots(sheet):
            near = [
                other
                for other in sheet.items
                if other.ref == item.ref
                and other is not item
                and gap_mm(item.box, other.box) < NEAR_MM
            ]
            assert near, (sheet.title.label, item.ref, there, zone)


def gap_mm(a: tuple[float, ...], b: tuple[float, ...]) -> float:
    """Distance of two boxes along the axes."""
    return max(a[0] - b[2], b[0] - a[2], 0.0) + max(a[1] - b[3], b[1] - a[3], 0.0)


@pytest.mark.parametrize("name", NAMES)
def test_a_ground_in_a_circuit_says_its_terminal(name: str) -> None:
    """The number that the sheet of grounds has for the same wire."""
    own = study(name)
    numbers = terminal_of(own)
    met = 0
    for circuit in own.document.circuits:
        record = circuit_record(own, circuit)
        for row in (*record.rows, *(row for one in record.also for row in one.rows)):
            for k, node in enumerate(row.nodes):
                wires = {w.ref for w in row.conductors[max(0, k - 1) : k + 1]}
                asked = {
                    number
                    for (ground, wire), number in numbers.items()
                    if node.ref == ground_node(ground) and wire in wires
                }
                if node.kind == "ground":
                    met += len(asked)
                    assert node.sublabel == f"terminal {', '.join(map(str, sorted(asked)))}"
    drawn_texts = [i.text for s in drawn(name).sheets for i in s.items if s.title.label[0] == "C"]
    assert sum(text.startswith("terminal ") for text in drawn_texts) == met > 0


@pytest.mark.parametrize("name", NAMES)
def test_lines_of_the_interconnect_cross_seldom(name: str) -> None:
    count = 0
    for drawing in drawn(name).of("interconnect"):
        for sheet in drawing.sheets:
            lines = {
                f"{n} {item.ref}": item.ink.points
                for n, item in enumerate(sheet.items)
                if item.role == "link" and isinstance(item.ink, InkPath)
            }
            count += crossings(lines)
    assert count <= CROSSINGS[name]


WORD = re.compile(r"[\w./-]+")


def lettered(sheets: Iterable[Sheet]) -> set[str]:
    """Every word that stands on some sheets."""
    items = (item for sheet in sheets for item in sheet.items)
    return {w for i in items if isinstance(i.ink, Lettering) for w in WORD.findall(i.text)}


@pytest.mark.parametrize("name", NAMES)
def test_every_wire_s_mark_stands_on_a_sheet(name: str) -> None:
    every = {marks(study(name))[c.id] for c in chains(study(name)).conductors()}
    assert every
    assert every - lettered(drawn(name).sheets) == set()


@pytest.mark.parametrize("name", NAMES)
def test_every_wire_to_ground_stands_on_a_sheet_of_grounds(name: str) -> None:
    on_ground = {
        marks(study(name))[c.id]
        for c in chains(study(name)).conductors()
        if "ground" in (c.a.kind, c.b.kind)
    }
    assert on_ground
    assert on_ground - lettered(s for d in drawn(name).of("grounds") for s in d.sheets) == set()


@pytest.mark.parametrize("name", NAMES)
def test_a_feeder_carries_what_the_card_of_its_wire_says(name: str) -> None:
    """Of each wire with a card: no more on the diagram than that, rounded to 0.1 A.

    One that only stands by says what it would carry alone in its place.
    """
    record = one_line_record(study(name), {})
    shown = {feeder.id: feeder.amps for feeder in record.feeders}
    alone = {f.id: f"alone {duties(study(name))[f.id].current_a:.1f} A"
             for f in record.feeders if f.sized.startswith("alone ")}  # fmt: skip
    for chain in chains(study(name)).of("feeder"):
        hot = [heat(study(name))[c.id] for c in chain.conductors() if c.id in heat(study(name))]
        if hot and not any(one.unknown for one in hot):
            most = max(one.current_a for one in hot)
            if chain.name in alone:
                sized = next(f.sized for f in record.feeders if f.id == chain.name)
                assert (shown[chain.name], sized) == ("", alone[chain.name])
                continue
            assert shown[chain.name] == units.show(most, "a", digits=1), chain.name
    assert shown


@pytest.mark.parametrize("name", NAMES)
def test_the_legend_has_the_symbols_of_the_other_sheets_and_no_more(name: str) -> None:
    shown = {s for d in drawn(name).drawings for sheet in d.sheets
             for s in used_symbols(sheet) if d.kind != "legend"}  # fmt: skip
    explained = {s for d in drawn(name).of("legend") for sheet in d.sheets
                 for s in used_symbols(sheet)}  # fmt: skip
    assert explained == shown


@pytest.mark.parametrize("name", NAMES)
def test_the_legend_lists_every_sheet_with_its_title(name: str) -> None:
    """By drawings: the first and last sheet of each."""
    items = [i for d in drawn(name).of("legend") for s in d.sheets for i in s.items]
    texts = Counter(item.text for item in items if item.ref == "contents")
    for drawing in drawn(name).drawings:
        first, last = drawing.sheets[0].title.label, drawing.sheets[-1].title.label
        assert texts[first if first == last else f"{first} to {last}"] == 1, first
        assert drawing.title in " ".join(texts)


SIGNS_OF = {"flag": "goes on", "shield": "shield, drain", "twist": "twisted", "coax": "coaxial"}


@pytest.mark.parametrize("name", NAMES)
def test_the_legend_has_the_signs_of_the_other_sheets_and_no_more(name: str) -> None:
    others = [i for d in drawn(name).drawings if d.kind != "legend" for s in d.sheets
              for i in s.items]  # fmt: skip
    said = {i.text for d in drawn(name).of("legend") for s in d.sheets for i in s.items}
    met = {item.role for item in others} | {item.kind for item in others}
    for role, sign in SIGNS_OF.items():
        assert (sign in said) == (role in met), sign
    assert any(text.startswith("on a panel") for text in said)


def test_a_circuit_by_itself_says_whose_part_it_is() -> None:
    """No sheet of the set is called C1-flaps1: its title block names the sheet that has it."""
    own = study("yarrow")
    (one,) = choose(own, ["flaps"])
    texts = {item.text for sheet in one.make(one.code) for item in filled(sheet)}
    whole = next(other for other in plan(own) if "flaps" in other.names)
    assert f"part of {whole.code}" in texts
    assert not [text for text in texts if text.startswith("sheet ")]
