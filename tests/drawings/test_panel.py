"""Panels: every position on the sheet, what is engraved in one piece, no fault on any paper."""

import random
from collections import Counter
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.connect.panel import Positioned, engraving, panels
from elec.answers.connect.reversing import reversing
from elec.answers.connect.throw import Throw, throw
from elec.drawings.ink import GREY, Circle, InkPath, Lettering
from elec.drawings.inputs import ONE_POLE, PanelFace, PanelPosition
from elec.drawings.records import panel as words
from elec.drawings.records.behind import by_pole, joins
from elec.drawings.records.panel import panel_record
from elec.drawings.sheet import Sheet, Size, TitleBlock
from elec.drawings.sheets.panel import CUT, LIST, _under, panel
from elec.drawings.sheets.plates.rear import OURS, STEP_MM, Rear, draw_rear, free_at
from elec.read import read
from elec.read.starter import starter
from elec.study import Study
from elec.wiring.coils import limit_switches
from tests.drawings.inspect import inspect
from tests.drawings.test_set import drawn, study
from tests.systems import NAMES

WORDS = (
    "FUEL PUMP",
    "TRANSPONDER",
    "LANDING LIGHT LEFT",
    "ANNUNCIATOR",
    "ALT",
    "PITOT HEAT",
    "ECU A",
)
KINDS = ("breaker", "breaker", "fuse", "switch", "button", "changeover", "")


def face(seed: int, size: Size = "A4") -> PanelFace:
    rnd = random.Random(seed)  # noqa: S311  # not for secrets
    columns = rnd.randint(1, 12)
    rows = []
    for r in range(rnd.randint(1, 9)):
        cut = rnd.randint(0, columns)
        row = []
        for c in range(columns):
            kind = rnd.choice(KINDS)
            row.append(
                PanelPosition(
                    name=f"{chr(65 + r)}{c + 1}",
                    column=c + 1,
                    text=rnd.choice(WORDS) if kind else "",
                    rating=rnd.choice(("5", "7.5", "0.5", "?"))
                    if kind in ("breaker", "fuse")
                    else "",
                    kind=kind,
                    bus="main bus" if c < cut else "standby essential bus",
                    ref=f"c{r}-{c}",
                )
            )
        rows.append(tuple(row))
    table = tuple((s.name, s.text, s.rating) for row in rows for s in row if s.kind)
    return PanelFace(
        title=TitleBlock(title="Breakers"), id="p", columns=columns, rows=tuple(rows),
        heads=("position", "engraved", "rating"), table=table, notes=("A note.",), size=size,
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(24))
def test_random_panels_have_no_fault(seed: int) -> None:
    sizes: tuple[Size, ...] = ("A4", "A3", "Letter", "Tabloid")
    record = face(seed, sizes[seed % 4])
    sheets = panel([record])
    assert [str(f) for s in sheets for f in inspect(s) if f.kind != "cut text"] == []
    found = Counter(item.text for s in sheets for item in s.items)
    for row in record.rows:
        for spot in row:
            assert found[spot.name] == (2 if spot.kind else 1), spot


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_every_note_has_room_also_where_there_are_all(size: Size) -> None:
    """Under each other six notes do not fit the strip: it ended in dots."""
    every = (words.SEEN, words.FREE, words.HEAVY, words.NOT_TO_SCALE, ONE_POLE, words.A_POLE)
    (sheet,) = panel([replace(face(1, size), rows=face(1, size).rows[:1], table=(), notes=every)])
    said = " ".join(item.text for item in sheet.items if item.ref == "note")
    assert "…" not in said
    assert all(note in said for note in every)


def test_a_sheet_of_two_panels_does_not_say_two_things_of_its_scale(tmp_path: Path) -> None:
    """One laid out with its mm, the fuses that nobody laid out beside it."""
    text = starter("Tern") + (
        "\npanels:\n  toggles:\n    {place: panel, holds: switches, pitch: 30 mm, edge: 20 mm,"
        " hole: 12 mm, rows: [[beacon]]}\n"
    )
    (tmp_path / "tern.yaml").write_text(text, encoding="utf-8")
    system = read(tmp_path / "tern.yaml").system
    assert system is not None
    made = Study(system)
    notes = [note for name in panels(made).by_name for note in panel_record(made, name, {}).notes]
    assert words.NOT_TO_SCALE in notes
    assert words.MAKERS not in notes


BUTTON = (
    "\npanels:\n  toggles:\n"
    "    {{place: panel, holds: switches, pitch: 30 mm, edge: 20 mm, {holes}rows: [[beacon]]}}\n"
)


@pytest.mark.parametrize(
    ("holes", "said"),
    [
        (
            "hole: 12 mm, button-hole: 16 mm, ",
            "holes 12 (0.472), buttons 16 (0.630); key slots, fixing screws, corners: not given",
        ),
        ("hole: 12 mm, ", "holes 12 (0.472), buttons ?; key slots"),
        ("", "holes, key slots, fixing screws, corners: not given."),
    ],
)
def test_buttons_have_holes_of_their_own(tmp_path: Path, holes: str, said: str) -> None:
    """One diameter for levers and buttons drilled the one too large or the other too small."""
    text = starter("Tern").replace("beacon: {rating:", "beacon: {kind: button, rating:")
    (tmp_path / "tern.yaml").write_text(text + BUTTON.format(holes=holes), encoding="utf-8")
    system = read(tmp_path / "tern.yaml").system
    assert system is not None
    assert said in panel_record(Study(system), "toggles", {}).measures


def test_a_hole_of_a_button_leaves_some_of_the_plate(tmp_path: Path) -> None:
    text = starter("Tern") + BUTTON.format(holes="button-hole: 31 mm, ")
    (tmp_path / "tern.yaml").write_text(text, encoding="utf-8")
    found = [str(one) for one in read(tmp_path / "tern.yaml").mistakes]
    assert any("a hole of 31 mm does not fit" in one for one in found), found


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_a_list_of_what_is_on_no_panel_speaks_of_no_plate(name: str) -> None:
    """Its notes told to drill by mm that are not there; it says poles as the panels do."""
    (sheet,) = (s for d in drawn(name).of("panel") for s in d.sheets
                if "On no panel" in {i.text for i in s.items})  # fmt: skip
    said = " ".join(item.text for item in sheet.items if item.ref == "note")
    assert ONE_POLE in said
    assert "drill" not in said
    assert "Seen from" not in said
    texts = " ".join(item.text for item in sheet.items)
    assert "2-pole, 2-throw" in texts
    assert texts.count("closed at rest") == len(limit_switches(study(name)))


@pytest.mark.parametrize("name", NAMES)
def test_names_of_several_words_do_not_run_into_their_neighbours(name: str) -> None:
    """WATER RUDDER and WATER RUDDER CONTROL beside it read as one on Foxglove's B2."""
    made = drawn(name)
    for drawing in made.of("panel"):
        for sheet in drawing.sheets:
            words_ = [i for i in sheet.items if isinstance(i.ink, Lettering) and i.ink.bold
                      and i.ref and i.box[3] - i.box[1] < 4.0]  # fmt: skip
            for a in words_:
                for b in words_:
                    level = abs(a.box[3] - b.box[3]) < 0.1 and a.box[2] <= b.box[0]
                    if level and " " in a.text and " " in b.text and a.ref != b.ref:
                        assert b.box[0] - a.box[2] > 2.9, (a.text, b.text)


@pytest.mark.parametrize("name", NAMES)
def test_no_two_devices_under_one_heading_have_the_same_word(name: str) -> None:
    """Nor has one that feeds a bus the word of what it is fed from, as Yarrow's CB3-1B had."""
    own = study(name)
    seen = Counter(
        (panel_name, spot.bus, spot.text)
        for panel_name, layout in panels(own).by_name.items()
        if not layout.lone
        for row in panel_record(own, panel_name, {}).rows
        for spot in row
        if spot.kind in ("breaker", "fuse")
    )
    assert seen
    assert set(seen.values()) == {1}
    assert not {text for _, _, text in seen} & {
        own.system.title("sources", source).upper()
        for source, entry in own.document.sources.items()
        if entry.kind != "alternator"
    }


@pytest.mark.parametrize("name", NAMES)
def test_levers_are_drawn_off_as_circuits_have_them(name: str) -> None:
    met = 0
    for drawing, sheet in ((d, s) for d in drawn(name).of("panel") for s in d.sheets):
        for lever in sheet.items:
            if isinstance(lever.ink, InkPath) and lever.ink.width_mm == 0.35 and lever.ink.fill:
                (ring,) = (
                    i for i in sheet.items if i.ref == lever.ref and isinstance(i.ink, Circle)
                )
                assert lever.box[3] + lever.box[1] > ring.box[3] + ring.box[1], lever.ref
                met += 1
        if any(
            isinstance(i.ink, InkPath) and i.ink.width_mm == 0.35 and i.ink.fill
            for i in sheet.items
        ):
            said = " ".join(i.text for i in sheet.items if i.ref == "note")
            middle = any(i.role == "lever" for s in drawing.sheets for i in s.items)
            assert (words.OFF_BOTH if middle else words.OFF_DOWN) in said
            assert not middle or words.OFF_DOWN not in said
    assert met


def test_a_lever_whose_middle_is_not_known_is_not_said_to_be_off(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    one = study("thistledown")
    name = next(n for n, p in panels(one).by_name.items() if p.holds == "switches")
    assert words.OFF_BOTH in panel_record(one, name, {}).notes

    def unknown(study: Study, subject: Positioned) -> Throw:
        known = throw(study, subject)
        return replace(known, middle="", lever=("", "", "")) if known.lever else known

    monkeypatch.setattr(words, "throw", unknown)
    notes = panel_record(one, name, {}).notes
    assert words.MIDDLE in notes
    assert words.OFF_DOWN in notes
    assert words.OFF_BOTH not in notes


@pytest.mark.parametrize("name", NAMES)
def test_a_sheet_with_the_list_alone_is_called_that(name: str) -> None:
    for sheet in (s for d in drawn(name).of("panel") for s in d.sheets):
        plate = any(i.ref.startswith("position ") for i in sheet.items)
        listed = any(i.ref.startswith("off ") for i in sheet.items)
        assert (sheet.title.document_type == LIST) == (listed and not plate)


def test_the_table_has_the_wires_behind_each_device() -> None:
    rows = {
        row[0]: dict(zip(record.heads, row, strict=True))
        for record in (
            panel_record(study("yarrow"), n, {}) for n in panels(study("yarrow")).by_name
        )
        for row in record.table
    }
    assert rows["CB1-1A"]["wire"] == "M1A22"  # on its bus at the line side
    assert rows["CB3-1B"]["wire"] == "P5A12→P5B12"  # by wires at both
    assert rows["S-2A"]["wires"] == rows["S-2E"]["wires"] == words.BEHIND
    spots = {s.name: s for r in panel_record(study("yarrow"), "toggles", {}).rows for s in r}
    assert spots["S-2A"].terminals == (
        (("1", ("M12A22",)), ("2", ("M12B22",))), (("3", ("M13A22",)), ("4", ("M13B22",))),
    )  # fmt: skip
    assert spots["S-2E"].terminals == (
        (("1", ("M15G14",)), ("2", ("M15F14",)), ("3", ("M15A14", "M15B14"))),
        (("4", ("M15B14",)), ("5", ("M15C14",)), ("6", ("M15G14", "M15H14N"))),
    )


@pytest.mark.parametrize("name", NAMES)
def test_wires_of_terminals_are_those_that_the_circuit_draws_there(name: str) -> None:
    """By the ends of the drawn wires, for every switch that turns a motor."""
    met = 0
    for circuit, bridge in reversing(study(name)).items():
        if bridge.by != "switch":
            continue
        found = dict.fromkeys(bridge.marks, "")
        ends = {wire.id: (wire.a.contact, wire.b.contact) for wire in bridge.wires}
        every = [s for one in panels(study(name)).by_name.values() for s in one.subjects]
        subject = next(s for s in every if circuit in s.chains and s.name == bridge.control)
        said = dict(one.split(": ") for one in by_pole(study(name), subject).split(", "))
        assert said.keys() == found.keys()
        for wire, at in ends.items():
            for terminal in set(at) & set(said):
                assert marks(study(name))[wire] in said[terminal], (circuit, wire)
                met += 1
    assert bool(met) == (name != "thistledown")


@pytest.mark.parametrize("name", NAMES)
def test_every_table_of_switches_has_their_wires(name: str) -> None:
    """Those of Foxglove's and Larkspur's large panels had none; a sheet more takes none of them."""
    for sheet in (s for d in drawn(name).of("panel") for s in d.sheets):
        heads = [i.text for i in sheet.items if i.ref == "head"]
        assert ("carries" in heads) <= ("wires" in heads), sheet.title.label


def test_a_toggle_is_off_under_down_beside_levers_of_three_positions() -> None:
    heads, body, _ = _under(record := panel_record(study("foxglove"), "toggles", {}), record.rows)
    down = {row[0]: row[heads.index("down")] for row in body}
    assert down["S-1A"] == "off"
    assert down["S-1G"] == "–"  # a button has no such position
    middle = {row[0]: row[heads.index("middle")] for row in body}
    assert (middle["S-1A"], middle["S-1H"]) == ("–", "off")


def test_what_keeps_an_essential_bus_fed_is_essential() -> None:
    """*ESSENTIAL BUS, ENGINE* of Larkspur stood under a thin bracket, all others of it thick."""
    heavy = {spot.bus: spot.heavy
             for row in panel_record(study("larkspur"), "essential-breakers", {}).rows
             for spot in row}  # fmt: skip
    assert set(heavy.values()) == {True}


def test_a_contactor_is_said_to_be_pulled_by_its_switch_not_to_switch_its_coil() -> None:
    rows = {row[0]: row for row in panel_record(study("foxglove"), words.OFF, {}).table}
    assert rows["master contactor"][3] == "battery to power stud; pulled by MASTER"
    assert rows["rudder up relay"][3] == "water rudder; pulled by WATER RUDDER"


def test_the_edge_of_a_plate_that_goes_on_is_no_hole() -> None:
    sheets = [s for d in drawn("larkspur").of("panel") for s in d.sheets]
    for sheet in sheets:
        said = " ".join(i.text for i in sheet.items if i.ref == "note")
        cut = any(i.ref == "panel cut" for i in sheet.items)
        assert (CUT in said) == cut
    assert any(i.ref == "panel cut" for s in sheets for i in s.items)


def test_no_word_is_torn() -> None:
    row = tuple(
        PanelPosition(
            name=f"A{i + 1}", column=i + 1, text="TRANSPONDER", kind="breaker", rating="1"
        )
        for i in range(12)
    )
    record = PanelFace(title=TitleBlock(title="B"), id="p", columns=12, rows=(row,))
    (sheet,) = panel([record])
    assert sum(i.text == "TRANSPONDER" for i in sheet.items) == 12


def test_free_positions_differ_without_colour() -> None:
    row = (
        PanelPosition(name="A1", column=1, text="ALT", kind="breaker", rating="5"),
        PanelPosition(name="A2", column=2),
    )
    record = PanelFace(title=TitleBlock(title="B"), id="p", columns=2, rows=(row,))
    (sheet,) = panel([record])
    dashed = [i for i in sheet.items if isinstance(i.ink, Circle) and i.ink.dash]
    assert [i.ref for i in dashed] == ["position A2"]
    assert any(i.text == "free" for i in sheet.items)


def test_every_sign_stands_on_its_hole() -> None:
    """Who drills by the picture drills where the figures say: no words push a sign aside."""
    words = ("nose down", "off", "up")
    kinds = ("switch", "breaker", "button", "", "switch")
    levers = (words, (), (), (), ("", "", ""))
    rows = tuple(
        tuple(
            PanelPosition(
                name=f"{n}{k}", column=k + 1, kind=kind, text="X", lever=lever if n else (),
                ref=f"{n}{k}",
            )
            for k, (kind, lever) in enumerate(zip(kinds, levers, strict=True))
        )
        for n in range(3)
    )  # fmt: skip
    record = PanelFace(
        title=TitleBlock(title="B"), id="p", columns=5, rows=rows,
        across=("10", "20", "30", "40", "50"), down=("11", "31", "51"), measures="mm.",
    )  # fmt: skip
    (sheet,) = panel([record])
    ticks = [i.box for i in sheet.items if i.ref == "ordinate" and not i.text]
    across = [(b[0] + b[2]) / 2 for b in ticks if b[2] - b[0] < b[3] - b[1]]
    down = [(b[1] + b[3]) / 2 for b in ticks if b[2] - b[0] > b[3] - b[1]]
    for n in range(3):
        for k in range(5):
            found = [
                i.box for i in sheet.items
                if i.ref in (f"{n}{k}", f"position {n}{k}") and isinstance(i.ink, Circle)
            ]  # fmt: skip
            assert found, (n, k)
            for left, top, right, bottom in found:
                assert (left + right) / 2 == pytest.approx(across[k])
                assert (top + bottom) / 2 == pytest.approx(down[n])
    assert inspect(sheet) == ()


def test_several_small_panels_share_a_sheet_each_under_its_title() -> None:
    one, two = (
        PanelFace(
            title=TitleBlock(title=title),
            id=title,
            columns=1,
            rows=((PanelPosition(name="A1", column=1, text="X", kind="fuse", rating="1"),),),
            heads=("position",),
            table=(("A1",),),
        )
        for title in ("Fuses, tail", "Fuses, firewall")
    )
    (sheet,) = panel([one, two])
    texts = [i.text for i in sheet.items]
    assert "Fuses, tail" in texts
    assert "Fuses, firewall" in texts
    assert inspect(sheet) == ()


def test_a_lever_of_three_positions_has_three_words_and_two_throws() -> None:
    spot = PanelPosition(
        name="S-1A", column=1, text="PITCH TRIM", kind="switch", lever=("nose down", "off", "up")
    )
    other = PanelPosition(name="S-1B", column=2, text="FAN", kind="switch")
    record = PanelFace(title=TitleBlock(title="B"), id="p", columns=10, rows=((spot, other),))
    (sheet,) = panel([record])
    words = [i for i in sheet.items if i.role == "lever"]
    assert [i.text for i in words] == ["NOSE DOWN", "OFF", "UP"]
    assert [i.box[1] for i in words] == sorted(i.box[1] for i in words)
    (name,) = (i for i in sheet.items if i.text == "PITCH TRIM")
    assert name.box[1] - words[2].box[3] > 1.0
    """Clear of the name under it: DOWN FLAPS is no name."""
    assert inspect(sheet) == ()


def test_holes_are_given_from_the_edge_beside_their_columns_and_rows() -> None:
    rows = tuple((PanelPosition(name=f"{n}A", column=1, text="X", kind="breaker"),) for n in (1, 2))
    record = PanelFace(
        title=TitleBlock(title="B"), id="p", columns=1, rows=rows, across=("16",),
        down=("18", "54"), measures="mm to the centres of holes.",
    )  # fmt: skip
    (sheet,) = panel([record])
    (edge,) = (i.box for i in sheet.items if i.ref == "panel")
    found = {i.text: i.box for i in sheet.items if i.ref == "ordinate" and i.text}
    assert set(found) == {"16", "18", "54", "mm to the centres of holes; rings not to scale."}
    assert found["16"][3] < edge[1]
    assert found["18"][2] < edge[0]
    assert found["18"][3] < found["54"][1]
    assert inspect(sheet) == ()


def test_a_panel_says_where_it_sits() -> None:
    row = (PanelPosition(name="A1", column=1, text="X", kind="fuse", rating="1"),)
    one, two = (
        PanelFace(title=TitleBlock(title=name), id=name, columns=1, rows=(row,), sits=place)
        for name, place in (("Fuses", "firewall"), ("More fuses", "tail cone"))
    )
    assert panel([one])[0].title.document_type == "panel, in firewall"
    (both,) = panel([one, two])
    assert both.title.document_type == "panel"
    assert {"Fuses, in firewall", "More fuses, in tail cone"} <= {i.text for i in both.items}


def test_a_heading_is_thick_alike_over_fuses_and_over_switches() -> None:
    """Thistledown's SOARING has things that are not essential, on an essential bus."""
    own = study("thistledown")
    for name, layout in panels(own).by_name.items():
        heavy = {
            spot.bus.rpartition(" · ")[2]: spot.heavy
            for row in panel_record(own, name, {}).rows
            for spot in row
        }
        if not layout.lone:
            assert heavy["SOARING"] is False
            assert heavy.get("RADIO", True)


@pytest.mark.parametrize(
    ("name", "ends"),
    [
        ("yarrow", {"D1": "essential bus"}),  # 4 in of wire leads on to the bus, 3 ft 1 in before
        ("larkspur", {"D1": "essential bus", "D2": "essential bus", "D4": "engine bus A"}),
        ("foxglove", {"D1": "essential bus"}),
    ],
)
def test_a_diode_sits_at_the_end_to_which_less_wire_leads(name: str, ends: dict[str, str]) -> None:
    record = panel_record(study(name), words.OFF, {})
    where = {row[0]: row[2] for row in record.table}
    assert {one: where[one].partition(",")[0] for one in ends} == {
        one: f"at {bus}" for one, bus in ends.items()
    }


def test_the_switch_of_a_relay_that_feeds_an_essential_bus_is_essential() -> None:
    """Larkspur's ENGINE A was thin over its switches and thick over its breakers."""
    heavy = {
        spot.bus: spot.heavy
        for row in panel_record(study("larkspur"), "toggles", {}).rows
        for spot in row
    }
    assert heavy["ENGINE A"]
    assert heavy["ENGINE B"]
    assert not heavy["POWER"]
    switches = {s.text: s.essential for s in panels(study("foxglove")).by_name["toggles"].subjects}
    assert switches["ESSENTIAL FEED"]
    assert not switches["MASTER"]


@pytest.mark.parametrize("name", NAMES)
def test_what_is_thick_is_essential_and_nothing_else_is(name: str) -> None:
    """One rule for headings with words of the builder and without, over fuses and switches."""
    own = study(name)
    for panel_name, layout in panels(own).by_name.items():
        spots = [spot for row in panel_record(own, panel_name, {}).rows for spot in row]
        for bus in {spot.bus for spot in spots if spot.bus}:
            here = [(s, p.subject) for s, p in zip(spots, layout.positions, strict=True)
                    if s.bus == bus]  # fmt: skip
            stands = [subject.essential for _, subject in here if subject is not None]
            assert {s.heavy for s, _ in here} == {bool(stands) and all(stands)}, (panel_name, bus)


def test_a_last_word_of_one_letter_stays_in_its_line() -> None:
    """*CONTROLLER* over a lone *A* reads as two engravings."""
    texts = {i.text for d in drawn("larkspur").of("panel") for s in d.sheets for i in s.items}
    assert {"CONTROLLER A", "CONTROLLER B"} <= texts
    assert "CONTROLLER" not in texts


def test_a_contactor_on_no_panel_names_the_sheet_of_its_coil() -> None:
    """And a diode says that nobody gave its amperes, and how many it needs."""
    where = dict.fromkeys(study("larkspur").document.circuits, ("C1.9", ""))
    rows = {row[0]: row for row in panel_record(study("larkspur"), words.OFF, where).table}
    assert rows["master contactor 1"][-1].startswith("P1, ")
    assert rows["master contactor 1"][-1].endswith("coil C1.9")
    assert "coil" in rows["starter contactor"][-1]
    assert "coil" not in rows["door switch"][-1]
    assert rows["D1"][1].startswith("Schottky diode, at least ")
    assert words.DIODES in panel_record(study("larkspur"), words.OFF, where).notes


def test_a_fuse_stands_in_a_round_hole() -> None:
    """Its hole is drilled round: where one is free a ring says so, too."""
    sheet = drawn("thistledown").of("panel")[0].sheets[0]
    record = panel_record(
        study("thistledown"), next(iter(panels(study("thistledown")).by_name)), {}
    )
    fuses = sum(spot.kind == "fuse" for row in record.rows for spot in row)
    free = sum(not spot.kind for row in record.rows for spot in row)
    assert fuses
    front = [item for item in sheet.items if not item.ref.startswith("rear")]
    assert sum(isinstance(item.ink, Circle) for item in front) == fuses + free


# --- from behind, and as large as it is ---------------------------------------------------------


def rears(sheet: Sheet) -> dict[str, float]:
    """Position → where its name stands across the view from behind."""
    return {
        item.text: (item.box[0] + item.box[2]) / 2
        for item in sheet.items
        if item.ref == f"rear {item.text}"
    }


@pytest.mark.parametrize("name", NAMES)
def test_every_panel_that_is_laid_out_is_seen_from_behind_whole(name: str) -> None:
    """Foxglove's B2 and three of Larkspur's had no view: where bars part was drawn nowhere."""
    sheets = [s for d in drawn(name).of("panel") for s in d.sheets]
    found = Counter(spot for sheet in sheets for spot in rears(sheet))
    wanted = [p.name for one in panels(study(name)).by_name.values() if one.given
              for p in one.positions]  # fmt: skip
    assert found == Counter(wanted)
    assert not any(i.ref == "rear edge cut" for s in sheets for i in s.items)


@pytest.mark.parametrize("name", NAMES)
def test_a_sheet_says_where_its_panel_is_seen_from_behind(name: str) -> None:
    sheets = [s for d in drawn(name).of("panel") for s in d.sheets]
    at = {spot: sheet.title.label for sheet in sheets for spot in rears(sheet)}
    met = 0
    for sheet in sheets:
        fronts = {(i.text, i.ref) for i in sheet.items}
        said = " ".join(i.text for i in sheet.items if i.ref == "note")
        for one in panels(study(name)).by_name.values():
            shown = [p for p in one.positions if p.subject and (p.name, p.subject.name) in fronts]
            for there in {at[p.name] for p in shown if one.given} - {sheet.title.label}:
                assert f"from behind: {there}." in said
                met += 1
        assert "no room" not in said
    assert bool(met) == (name in ("foxglove", "larkspur"))


def test_rows_of_a_plate_from_behind_say_which_and_have_an_open_edge() -> None:
    """Two of five rows stood in a closed frame, as if they were the plate."""
    record = panel_record(study("larkspur"), "main-breakers", {})
    sheet = Sheet(size="A4", title=TitleBlock(title="B"), id="s")
    assert draw_rear(sheet, Rear(record=record, rows=record.rows[1:3]))
    assert any("Rows 2 to 3 of 5." in i.text for i in sheet.items)
    cut = [i.box for i in sheet.items if i.ref == "rear edge cut"]
    assert len(cut) == 2
    assert inspect(sheet) == ()


@pytest.mark.parametrize(
    ("name", "bus", "said"),
    [
        ("yarrow", "essential bus", "P4B14; fuse 1 (P5C12)"),
        ("foxglove", "essential bus", "P4C14; fuse 1 (P5C12)"),
        ("foxglove", "main bus", "P3A6; fuse 2 (P17A22)"),
        ("larkspur", "main bus", "P3A4; fuse 2 (P32A22)"),
        ("larkspur", "essential bus", "P5B12; P11C10; fuse 1 (P7C6)"),
        ("thistledown", "panel bus", "P1C14; P2C14"),
    ],
)
def test_all_that_ends_on_a_bar_is_named(name: str, bus: str, said: str) -> None:
    """The second feed was missing: who believes in one feed works on a live bar."""
    texts = [i.text for d in drawn(name).of("panel") for s in d.sheets for i in s.items]
    assert f"wires on the bar of {bus}: {said}" in texts


@pytest.mark.parametrize("name", NAMES)
def test_bars_of_one_bus_are_said_to_be_joined_by_what_is_not_in_the_file(name: str) -> None:
    for sheet in (s for d in drawn(name).of("panel") for s in d.sheets):
        texts = " ".join(i.text for i in sheet.items if i.ref == "rear said")
        levels = {round(i.box[1], 1) for i in sheet.items if i.ref == "rear bar"}
        alone = "elsewhere" in sheet.title.title
        assert (words.BARS_JOINED in texts) == (len(levels) > 1 and not alone)


def test_two_buses_of_one_row_have_two_bars_with_their_names() -> None:
    (sheet,) = (s for d in drawn("larkspur").of("panel") for s in d.sheets
                if s.title.title == "Panels from behind")  # fmt: skip
    names = [i.ref for i in sheet.items if i.ref.startswith("rear bus ")]
    assert names.count("rear bus engine-a") == names.count("rear bus engine-b") == 1
    assert names.count("rear bus main") == 3
    assert sum(i.ref == "rear bar" for i in sheet.items) == len(names) == 9


def test_a_device_that_is_alone_on_its_bus_says_so_in_both_views() -> None:
    """What joins Yarrow's CB3-1A to the power stud stood nowhere."""
    record = panel_record(study("yarrow"), "feed-breakers", {})
    link = words.ON_ITS_BUS.format(bus="power stud")
    assert "yours to add" in link
    assert record.table[0][3] == f"P4A14 ({link})"
    assert f"CB3-1A: {link}" in record.behind
    assert record.bars == ()


def test_the_wires_of_a_changeover_stand_at_their_terminals() -> None:
    """*(2)–(3): P1B14→P1C14* put the battery on the common terminal; it is on (3)."""
    record = panel_record(study("thistledown"), "toggles", {})
    row = dict(zip(record.heads, record.table[0], strict=True))
    assert row["wires"] == words.BEHIND
    assert record.rows[0][0].terminals == (
        (("1", ()), ("2", ("P1C14",)), ("3", ("P1B14",))),
        (("4", ("P2B14",)), ("5", ("P2C14",)), ("6", ())),
    )
    assert "S-1A: up joins (2)–(3); down (4)–(5)" in record.behind
    assert "S-1A: (1), (6) stay empty" in record.behind
    assert record.rows[0][0].behind == ("(2) P1C14", "(3) P1B14", "(4) P2B14", "(5) P2C14")


@pytest.mark.parametrize("name", NAMES)
def test_levers_of_three_positions_say_what_they_join_as_circuits_do(name: str) -> None:
    met = 0
    for circuit, bridge in reversing(study(name)).items():
        every = [s for one in panels(study(name)).by_name.values() if not one.lone
                 for s in one.subjects if s.holds == "switches"]  # fmt: skip
        subject = next((s for s in every if s.name == bridge.control and circuit in s.chains), None)
        if bridge.by != "switch" or subject is None:
            continue
        lever = study(name).document.switches[subject.name].lever
        up, down = joins(study(name), subject)
        for way in bridge.ways:
            pairs = {"–".join(sorted(p.split(" and "))) for p in way.joined}
            assert set((up if way.name == lever[0] else down).split(", ")) == pairs
            met += 1
    assert bool(met) == (name in ("larkspur", "yarrow"))


@pytest.mark.parametrize("name", NAMES)
def test_no_breaker_joins_terminals_of_the_switch_that_is_called_like_it(name: str) -> None:
    for panel_name, layout in panels(study(name)).by_name.items():
        said = " ".join(panel_record(study(name), panel_name, {}).behind)
        assert layout.holds == "switches" or "joins" not in said


def test_a_lever_before_a_button_arms_it() -> None:
    """START ARM and START both said *starter contactor coil*."""
    rows = {row[0]: row for row in panel_record(study("larkspur"), "toggles", {}).table}
    assert rows["S-1H"][2] == "arms START"
    assert rows["S-1J"][2] == "pressed: starter contactor coil, with START ARM up"


def test_a_diode_has_the_least_that_it_carries() -> None:
    """Across a flap limit it carries the motor's current, no coil's."""
    rows = {row[0]: row[1] for row in panel_record(study("yarrow"), words.OFF, {}).table}
    assert rows["flap up limit"].endswith("closed at rest; diode at least 7.0 A")
    assert rows["D1"] == "Schottky diode, at least 15.0 A"  # its breaker's
    own = panel_record(study("larkspur"), words.OFF, {}).table
    rows = {row[0]: row[1] for row in own}
    assert rows["D2"] == "Schottky diode, at least 30.0 A"
    assert "diode" not in rows["flap up limit"]  # in the line of a coil, which has its own


@pytest.mark.parametrize(("name", "times"), [("thistledown", 1.0), ("yarrow", 1.0)])
def test_a_plate_is_drawn_in_its_proportions_where_that_takes_no_sheet(
    name: str, times: float
) -> None:
    own, sheet = study(name), drawn(name).of("panel")[0].sheets[0]
    layout = next(iter(panels(own).by_name.values()))
    pitch, apart, edge = words._plate(own, layout)
    (box,) = (i.box for i in sheet.items if i.ref == "panel")
    wide, high = 2 * edge + pitch * (layout.columns - 1), 2 * edge + apart
    assert (box[2] - box[0], box[3] - box[1]) == pytest.approx((times * wide, times * high))


@pytest.mark.parametrize("name", NAMES)
def test_a_view_from_behind_is_mirrored(name: str) -> None:
    """With every position and the wires of each device; A is at the right."""
    for drawing in drawn(name).of("panel"):
        found = {k: x for sheet in drawing.sheets for k, x in rears(sheet).items()}
        for sheet in drawing.sheets:
            front = [i.text for i in sheet.items if i.text and i.ref in (i.text, "")]
            assert inspect(sheet) == (), front
        rows: dict[str, list[tuple[str, float]]] = {}
        for spot, x in found.items():
            rows.setdefault(spot[:-1], []).append((spot[-1], x))
        for row in rows.values():
            order = [letter for letter, _ in sorted(row, key=lambda one: -one[1])]
            assert order == sorted(order), row


def test_a_bar_joins_what_is_bolted_to_one_bus_and_nothing_else() -> None:
    """Yarrow's breaker beside its battery has wires on both sides: no bar."""
    bars = {
        drawing.sheets[0].title.label: sum(i.ref == "rear bar" for i in drawing.sheets[0].items)
        for drawing in drawn("yarrow").of("panel")
    }
    assert bars == {"B1": 2, "B2": 2, "B3": 0, "B4": 0}
    (last,) = (d.sheets[0] for d in drawn("yarrow").of("panel") if d.sheets[0].title.label == "B4")
    assert {"P5A12", "P5B12", "P4A14"} <= {i.text for i in last.items if i.ref.startswith("rear ")}
    first = drawn("yarrow").of("panel")[0].sheets[0]
    assert any(i.ref == "rear said" for i in first.items)
    assert {"POWER STUD", "BATTERY"} <= {i.ref for i in last.items}


def test_a_plate_with_its_measures_is_as_large_as_it_is() -> None:
    """Yarrow's essential breakers: 128 x 76 mm, holes 20 mm from the corner and 22 and 36 apart."""
    sheet = drawn("yarrow").of("panel")[0].sheets[0]
    (edge,) = (i.box for i in sheet.items if i.ref == "panel")
    assert (edge[2] - edge[0], edge[3] - edge[1]) == pytest.approx((128.0, 76.0))
    boxes = [i.box for i in sheet.items if isinstance(i.ink, Circle) and i.ref[:4] != "rear"]
    middles = {((b[0] + b[2]) / 2 - edge[0], (b[1] + b[3]) / 2 - edge[1]) for b in boxes}
    rings = sorted({(round(x, 3), round(y, 3)) for x, y in middles})
    assert rings == [(20.0 + 22.0 * k, y) for k in range(5) for y in (20.0, 56.0)]
    assert "1:1" in sheet.title.note


def test_a_plate_that_goes_on_names_the_sheet() -> None:
    (first, second) = next(
        d.sheets for d in drawn("larkspur").of("panel")
        if any(i.ref == "panel cut" for i in d.sheets[0].items)
    )  # fmt: skip
    for sheet, other in ((first, second), (second, first)):
        said = " ".join(i.text for i in sheet.items if i.ref == "note")
        assert f"no edge of it, joins {other.title.label}." in said
        assert "Dashed edge, 73 mm from the top:" in said
        assert [i.text for i in sheet.items if i.ref == "cut at" and i.text] == [
            "joint", "73", "(2.87)",
        ]  # fmt: skip
        under = " ".join(i.text for i in sheet.items if i.ref == "ordinate")
        assert (f"whole plate, on {first.title.label};" in under) == (sheet is second)


def test_a_cell_names_the_sheet_that_has_the_wires_of_terminals() -> None:
    """Where the table has no room for them; Larkspur's name that of the view from behind."""
    sheets = {s.title.label: {i.text for i in s.items}
              for name in ("foxglove", "larkspur") for d in drawn(name).of("panel")
              for s in d.sheets}  # fmt: skip
    foxglove = {i.text for d in drawn("foxglove").of("panel") for s in d.sheets for i in s.items}
    assert "see B4" in foxglove
    assert "see B5" in sheets["B3.2"]
    assert not any("on its sheet" in texts for texts in sheets.values())


HOLES = {"yarrow": (11.5, 12.0, 16.0), "foxglove": (11.5, 12.0, 16.0),
         "larkspur": (11.5, 12.0, 16.0), "thistledown": (6.5, 12.7)}  # fmt: skip


def test_a_fuse_has_its_amperes_engraved_and_a_breaker_on_its_button() -> None:
    """No cap of a fuse shows them: the pilot cannot see which one fits."""
    for name, key, wanted in (("thistledown", "radio", "RADIO 5 A"), ("yarrow", "radio", "RADIO")):
        own = study(name)
        (subject,) = (s for one in panels(own).by_name.values() for s in one.subjects
                      if s.name == key and s.holds != "switches")  # fmt: skip
        assert engraving(own, subject) == wanted
        told = replace(subject, text="RADIO 5A")
        assert engraving(own, told) == "RADIO 5A"  # the builder's own words have it
    sheet = drawn("thistledown").of("panel")[0].sheets[0]
    assert [
        i.text
        for i in sheet.items
        if i.ref == "radio" and isinstance(i.ink, Lettering) and i.ink.colour != GREY
    ] == ["RADIO 5 A"]


def test_a_plate_with_room_at_its_size_on_larger_paper_alone_stands_there_whole() -> None:
    """Switches are drilled by their sheet; it takes no sheet more, and says where its table is."""
    for name, label, size in (("foxglove", "B3", "Tabloid"), ("larkspur", "B3", "A3")):
        sheets = {s.title.label: s for d in drawn(name).of("panel") for s in d.sheets}
        assert sheets[label].size == size
        assert "1:1" in sheets[label].title.note
        assert not any(i.ref == "panel cut" for i in sheets[label].items)
        said = " ".join(i.text for i in sheets[label].items if i.ref == "note")
        assert ("Rest of the table: B3.2." in said) == (name == "larkspur")
    rest = {s.title.label: s for d in drawn("larkspur").of("panel") for s in d.sheets}["B3.2"]
    said = " ".join(i.text for i in rest.items if i.ref == "note")
    assert "Carries:" in said
    for of_plate in ("Dashed ring", "Mark out", "Engrave", "Levers"):
        assert of_plate not in said  # no plate stands there
    assert {s.size for d in drawn("yarrow").of("panel") for s in d.sheets} == {"A4"}


def test_a_plate_in_two_halves_has_the_corners_of_a_whole_one() -> None:
    first, second = next(
        d.sheets for d in drawn("larkspur").of("panel")
        if any(i.ref == "panel cut" for i in d.sheets[0].items)
    )  # fmt: skip
    for sheet, level in ((first, 1), (second, 3)):
        edges = [i for i in sheet.items if i.ref == "panel"]
        (end,) = (i for i in edges if len(i.segments) > 1)
        assert end.box[level] == (min if level == 1 else max)(i.box[level] for i in edges)
        assert end.box[3] - end.box[1] == pytest.approx(3.0)


def _crossed(sheet: Sheet) -> list[tuple[float, float, float]]:
    """Middle and radius of every ring with a cross in it: a hole as large as it is."""
    refs = {i.ref[6:] for i in sheet.items if i.ref.startswith("cross ")}
    rings = [i.box for i in sheet.items if isinstance(i.ink, Circle) and i.ref in refs]
    return [((b[0] + b[2]) / 2, (b[1] + b[3]) / 2, (b[2] - b[0]) / 2) for b in rings]


@pytest.mark.parametrize("name", NAMES)
def test_a_hole_of_a_plate_that_is_as_large_as_it_is_is_drilled_round_no_word(name: str) -> None:
    """UP and START lay inside the holes of Yarrow's B3: engraved there they are drilled away."""
    met = set()
    for sheet in (s for d in drawn(name).of("panel") for s in d.sheets):
        holes = _crossed(sheet)
        assert bool(holes) == ("1:1" in sheet.title.note)
        under = " ".join(i.text for i in sheet.items if i.ref in ("ordinate", "note"))
        plate = any(i.ref in ("panel", "panel cut") for i in sheet.items)
        assert ("rings not to scale" in under) == (plate and not holes)
        met |= {round(2 * radius, 3) for _, _, radius in holes}
        near = 9.0
        for x, y, radius in holes:
            for item in sheet.items:
                if not item.text or item.role == "letter" or item.ref.startswith("rear"):
                    continue
                dx = max(item.box[0] - x, x - item.box[2], 0.0)
                dy = max(item.box[1] - y, y - item.box[3], 0.0)
                apart = (dx * dx + dy * dy) ** 0.5 - radius
                assert apart > 0.0, (item.text, sheet.title.label)
                if isinstance(item.ink, Lettering) and (item.ink.bold or item.role == "lever"):
                    near = min(near, apart if item.box[1] > y or item.role == "lever" else near)
        assert near > 2.9 or "clear of the nuts" in under
    assert met == set(HOLES[name])


def test_taped_at_its_cut_a_plate_keeps_the_spacing_of_its_rows() -> None:
    """Rows 2 and 3 of Larkspur's B2 came 30 mm apart, not 36."""
    first, second = next(
        d.sheets for d in drawn("larkspur").of("panel")
        if any(i.ref == "panel cut" for i in d.sheets[0].items)
    )  # fmt: skip
    (low,), (high,) = ([i.box[1] for i in s.items if i.ref == "panel cut"]
                       for s in (first, second))  # fmt: skip
    above = low - max(y for _, y, _ in _crossed(first))
    below = min(y for _, y, _ in _crossed(second)) - high
    assert above + below == pytest.approx(36.0)


@pytest.mark.parametrize("name", NAMES)
def test_signs_are_explained_where_they_are_and_no_note_is_cut(name: str) -> None:
    for sheet in (s for d in drawn(name).of("panel") for s in d.sheets):
        said = " ".join(i.text for i in sheet.items if i.ref == "note")
        texts = [i.text for i in sheet.items if i.ref != "note"]
        counted = any(f"({k})" in t for t in texts for k in range(1, 7))
        ringed = any(i.ref.startswith("terminal ") for i in sheet.items)
        assert (OURS in said) == (counted or ringed)
        assert ("→: " in said) == any("→" in t for t in texts)
        assert "…" not in said
        assert not any("mA" in t.split() for t in texts)


def test_switches_are_seen_from_behind_where_the_large_panel_is() -> None:
    last = drawn("foxglove").of("panel")[-1].sheets[-1]
    assert {"S-1A", "CB2-1A"} <= rears(last).keys()
    assert "On no panel" not in drawn("foxglove").of("panel")[2].sheets[0].title.title


def test_a_bar_passes_over_the_rings_of_free_positions() -> None:
    for sheet in (s for d in drawn("larkspur").of("panel") for s in d.sheets):
        bars = [i.box for i in sheet.items if i.ref == "rear bar"]
        rings = [i.box for i in sheet.items if i.ref[:5] == "rear " and isinstance(i.ink, Circle)]
        for a in rings:
            assert not any(a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
                           for b in bars)  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_what_stands_within_a_hole_of_its_size_is_grey(name: str) -> None:
    """Black words are engraved; amperes and levers there would be drilled away."""
    within = 0
    for drawing in drawn(name).of("panel"):
        for sheet in drawing.sheets:
            true = {i.ref.removeprefix("cross ") for i in sheet.items if i.ref.startswith("cross ")}
            rings = [i for i in sheet.items if i.ref in true and isinstance(i.ink, Circle)]
            for item in sheet.items:
                inside = any(
                    item.ref == ring.ref and ring.box[0] < item.box[0] and item.box[2] < ring.box[2]
                    and ring.box[1] < item.box[1] and item.box[3] < ring.box[3]
                    for ring in rings
                )  # fmt: skip
                if inside:
                    assert getattr(item.ink, "colour", "") == GREY, (item.ref, item.text)
                    within += 1
    assert within or name not in ("foxglove", "yarrow")


# --- scale, checks of a print, terminals --------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_every_plate_that_is_laid_out_has_one_scale_both_ways_and_says_it(name: str) -> None:
    """Equal rows stood at unequal distances; a plate 5 % or 10 % too large was taken for 1:1."""
    met = set()
    for sheet in (s for d in drawn(name).of("panel") for s in d.sheets):
        for one in panels(study(name)).by_name.values():
            if not one.given:
                continue
            plate = words._plate(study(name), one)
            fronts = {i.ref: i.box for i in sheet.items if isinstance(i.ink, Circle)}
            at = {}
            for p in one.positions:
                box = fronts.get(p.subject.name if p.subject else f"position {p.name}")
                if box is not None and any(i.text == p.name for i in sheet.items):
                    at[p.column, ord(p.spot[0])] = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
            for (column, row), (x, y) in at.items():
                for (other, below), (to_x, to_y) in at.items():
                    if other == column + 1 and below == row and plate:
                        met.add(round((to_x - x) / plate[0], 3))
                    if other == column and below == row + 1 and plate and plate[1]:
                        met.add(round((to_y - y) / plate[1], 3))
        note = sheet.title.note
        if any(i.ref == "panel" for i in sheet.items):
            assert "1:1" in note, sheet.title.label
    assert met == {1.0}


@pytest.mark.parametrize("name", NAMES)
def test_a_bar_checks_the_print_of_every_plate_at_its_size(name: str) -> None:
    inches = study(name).system.about.units == "feet"
    for sheet in (s for d in drawn(name).of("panel") for s in d.sheets):
        bars = [i.box for i in sheet.items if i.ref == "check bar" and not i.text]
        assert bool(bars) == ("1:1" in sheet.title.note)
        if bars:
            long = max(max(b[2] - b[0], b[3] - b[1]) for b in bars)
            assert long == pytest.approx(50.8 if inches else 50.0)
            said = " ".join(i.text for i in sheet.items if i.ref == "check bar" and i.text)
            assert ("2 in (50.8 mm)" if inches else "50 mm") in said


def test_links_of_a_switch_are_drawn_between_its_rings_and_told() -> None:
    """One mark at two terminals of a reversing switch is a link: nothing but C drew it."""
    (sheet,) = (d.sheets[0] for d in drawn("yarrow").of("panel")
                if d.sheets[0].title.label == "B3")  # fmt: skip
    lines = [i for i in sheet.items if i.ref.startswith("link S-2E")]
    assert {i.ref[10:] for i in lines} == {"M15G14", "M15B14"}
    rings = {t.text: t.box for t in sheet.items if t.ref == "terminal S-2E" and t.text.isdigit()}
    assert set(rings) == set("123456")
    assert rings["1"][0] > rings["4"][0]
    """The first pole at the right, as A is."""
    assert rings["1"][1] < rings["2"][1] < rings["3"][1]
    told = " ".join(i.text for i in sheet.items if i.ref == "rear said")
    assert "S-2E: links on the switch: (1)–(6) M15G14, (3)–(4) M15B14" in told
    for line in lines:
        left, top, right, bottom = line.box
        ends = set()
        for number, box in rings.items():
            level = (box[1] + box[3]) / 2
            near = min(abs(level - top), abs(level - bottom)) < 2.0
            if left - 2.5 < (box[0] + box[2]) / 2 < right + 2.5 and near:
                ends.add(number)
        assert ends == {"1", "6", "3", "4"}, line.ref  # each a diagonal of the same square
    assert inspect(sheet) == ()


@pytest.mark.parametrize("name", NAMES)
def test_every_switch_is_seen_from_behind_with_its_terminals(name: str) -> None:
    sheets = [s for d in drawn(name).of("panel") for s in d.sheets]
    shown = {i.ref.removeprefix("terminal ") for s in sheets for i in s.items
             if i.ref.startswith("terminal ")}  # fmt: skip
    given = [one for one in panels(study(name)).by_name.values() if one.given]
    wanted = {p.name for one in given if one.holds == "switches"
              for p in one.positions if p.subject}  # fmt: skip
    unfed = {"CB3-1A", "CB3-1B"} if name == "yarrow" else set()
    assert shown - unfed == wanted != set()
    assert unfed <= shown


def test_a_breaker_without_a_bar_has_a_terminal_for_each_of_its_wires() -> None:
    """P5A12 over P5B12 under one square read as both on one terminal, past the breaker."""
    (sheet,) = (d.sheets[0] for d in drawn("yarrow").of("panel")
                if d.sheets[0].title.label == "B4")  # fmt: skip
    for position, wires in (("CB3-1B", ("P5A12", "P5B12")), ("CB3-1A", ("link", "P4A14"))):
        own = [i for i in sheet.items if i.ref == f"terminal {position}"]
        rings = sorted(i.box[1] for i in own if isinstance(i.ink, Circle))
        first, second = ((i.box[1], i.text) for i in sheet.items
                         if i.ref == f"rear {position}" and i.text in wires)  # fmt: skip
        assert (first[1], second[1]) == wires
        assert rings[0] < first[0] < rings[1] < second[0]
    assert not any(i.ref == "rear stub" for i in sheet.items)
    said = " ".join(i.text for i in sheet.items if i.ref == "note")
    assert "not on the bus bar" not in said
    assert OURS in said


def test_a_heading_over_free_positions_alone_is_grey() -> None:
    sheet = drawn("thistledown").of("panel")[0].sheets[0]
    colours = {i.text: getattr(i.ink, "colour", "") for i in sheet.items
               if not i.ref.startswith("rear ")}  # fmt: skip
    assert colours["PANEL BUS"] == GREY
    assert colours["PANEL BUS · RADIO"] != GREY


def test_words_at_the_edge_of_a_plate_are_warned_of() -> None:
    """One millimetre from the edge no screw and no frame has room."""
    sheet = drawn("foxglove").of("panel")[1].sheets[0]
    said = " ".join(i.text for i in sheet.items if i.ref == "note")
    assert "Nearer than 3 mm to the edge" in said
    assert "WATER RUDDER CONTROL" in said
    assert "MAIN BUS" not in said  # its capitals stand farther in, if only a little
    assert "ESSENTIAL BUS" not in said
    (last,) = (d.sheets[0] for d in drawn("larkspur").of("panel")
               if d.sheets[0].title.label == "B4")  # fmt: skip
    assert "Nearer than" not in " ".join(i.text for i in last.items)


def test_each_small_panel_has_its_view_from_behind_beside_it() -> None:
    """That of one battery's breakers stood beside the plate of the other's."""
    (sheet,) = (d.sheets[0] for d in drawn("larkspur").of("panel")
                if d.sheets[0].title.label == "B4")  # fmt: skip
    plates = sorted(i.box for i in sheet.items if i.ref == "panel")
    views = sorted(i.box for i in sheet.items if i.ref == "rear edge")
    assert len(plates) == len(views) == 2
    plates.sort(key=lambda box: box[1])
    views.sort(key=lambda box: box[1])
    for plate, view in zip(plates, views, strict=True):
        assert view[0] > plate[2]
        assert plate[1] - 9.0 < view[1] < view[3] < plate[3]


@pytest.mark.parametrize("name", NAMES)
def test_names_of_positions_touch_no_ring_and_no_word_of_a_lever(name: str) -> None:
    """*S-1A BAT 1* read as one."""
    for sheet in (s for d in drawn(name).of("panel") for s in d.sheets):
        levers = [i for i in sheet.items if i.role == "lever"]
        for item in (i for i in sheet.items if getattr(i.ink, "colour", "") == GREY and i.text):
            for word in levers:
                level = item.box[1] < word.box[3] and word.box[1] < item.box[3]
                if level and item.box[0] < word.box[0] and item.ref == word.ref:
                    assert word.box[0] - item.box[2] > 0.9, (item.text, word.text)


@pytest.mark.parametrize("name", NAMES)
def test_notes_stand_in_one_block_under_a_heading(name: str) -> None:
    """*Mark out; drill when the screws are chosen* stood loose beside a view from behind."""
    for sheet in (s for d in drawn(name).of("panel") for s in d.sheets):
        heads = [i.box for i in sheet.items if i.text in ("Notes", "Plate")]
        notes = [i for i in sheet.items if i.ref == "note"]
        for note in notes:
            left, top, _, _ = note.box
            assert any(h[1] < top and h[0] - 0.5 < left < h[0] + 4.0 for h in heads), note.text


@pytest.mark.parametrize("name", NAMES)
def test_every_bar_is_named_in_a_view_from_behind(name: str) -> None:
    for drawing in drawn(name).of("panel"):
        for sheet in drawing.sheets:
            bars = sum(i.ref == "rear bar" for i in sheet.items)
            assert sum(i.ref.startswith("rear bus ") for i in sheet.items) == bars, sheet.title


@pytest.mark.parametrize(
    ("name", "what", "wires"),
    [
        ("foxglove", "limiter 1", "–→P2A6"), ("foxglove", "TRIM", "see C5"),
        ("larkspur", "D3", "P12B14→P12C14"), ("larkspur", "fuse 1", "P7C6→–"),
        ("larkspur", "flap up limit", "C4F22→C4G22"), ("yarrow", "master contactor", "P1A2→P1B2"),
        ("thistledown", "fuse 1", "P1A14→P1B14"),
    ],
)  # fmt: skip
def test_what_stands_on_no_panel_has_its_wires_in_and_out(name: str, what: str, wires: str) -> None:
    (sheet,) = (s for d in drawn(name).of("panel") for s in d.sheets
                if "On no panel" in {i.text for i in s.items})  # fmt: skip
    (at,) = (i.box[1] for i in sheet.items if i.text == what)
    assert wires in {i.text for i in sheet.items if abs(i.box[1] - at) < 0.5}
    dash = any("→" in i.text and "–" in i.text.split("→") for i in sheet.items)
    assert dash == any(i.text == words.BOLTED_SAID for i in sheet.items)


@pytest.mark.parametrize("seed", range(40))
def test_free_room_is_where_a_look_at_every_step_finds_it(seed: int) -> None:
    rnd = random.Random(seed)  # noqa: S311  # not for secrets
    sheet = Sheet(size="A4", title=TitleBlock())
    for _ in range(rnd.randint(0, 60)):
        x, y = rnd.uniform(15, 280), rnd.uniform(5, 190)
        sheet.rect((x, y, x + rnd.uniform(0, 60), y + rnd.uniform(0, 30)))
    within = (25.0, 13.0, 280.0, 176.0)
    wide, high, clear = rnd.uniform(5, 290), rnd.uniform(3, 80), rnd.choice((0.8, 2.5, 5.0))
    left, y = within[:2]
    looked = None
    while looked is None and y + high <= within[3]:
        x = left
        while x + wide <= within[2]:
            hits = [item.box[2] for item in sheet.items
                    if item.box[1] < y + high + clear and item.box[3] > y - clear
                    and item.box[0] < x + wide + clear and item.box[2] > x - clear]  # fmt: skip
            if not hits:
                looked = x, y
                break
            x = max(hits) + clear + 0.01
        y += STEP_MM
    assert free_at(sheet, wide, high, clear, within=within) == looked
