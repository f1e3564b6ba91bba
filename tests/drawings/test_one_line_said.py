"""What the one-line diagrams of the systems say: each wire of a feeder, positions, the key."""

from itertools import pairwise
from pathlib import Path

import pytest

from elec.answers.base.marks import marks
from elec.answers.connect.panel import panels
from elec.answers.connect.reversing import reversing
from elec.answers.drop.drops import feeder_drops
from elec.drawings.ink import Circle, InkPath, Placed
from elec.drawings.records import words
from elec.drawings.records.distribution import NOTES, one_line_record
from elec.drawings.records.nodes import PROTECTIVE
from elec.drawings.records.panel import OFF, off_name, panel_groups
from elec.drawings.sheet import Sheet
from elec.drawings.sheets.branch_rows import BRANCH
from elec.drawings.sheets.one_line import one_line
from elec.drawings.sheets.parts import used_symbols
from elec.read import read
from elec.study import Study
from elec.wiring.chains import Chain, chains, is_live
from elec.wiring.coils import limit_switches
from elec.wiring.duty import duties
from elec.wiring.runs import runs
from tests.drawings.test_set import drawn, study
from tests.systems import NAMES


def one_line_sheets(name: str) -> list[Sheet]:
    return [sheet for d in drawn(name).of("one-line") for sheet in d.sheets]


def changed(chain: Chain) -> list[str]:
    """The changeovers of a feeder, behind which it is drawn once for all that share them."""
    return [f"changeover {part.label}" for part in chain.parts() if part.kind == "changeover"]


@pytest.mark.parametrize("name", NAMES)
def test_each_wire_of_a_feeder_has_its_own_length(name: str) -> None:
    """Mark and length of every wire, in the order in which they lie, also where they are listed."""
    own = study(name)
    for chain in chains(own).of("feeder"):
        texts = " ".join(i.text for s in one_line_sheets(name) for i in s.items
                         if i.text and i.ref in (chain.name, *changed(chain)))  # fmt: skip
        wanted = chain.conductors()
        for wire in wanted:
            assert marks(own)[wire.id] in texts
        lengths = [words.length(own, runs(own)[wire.id].length_m) for wire in wanted]
        either = (lengths, lengths[::-1])  # one that is protected from the bus side is turned
        listed = any(", ".join(order) in texts for order in either)
        apart = all(texts.count(one) >= lengths.count(one) for one in lengths)
        assert listed or apart, (chain.name, texts)


@pytest.mark.parametrize("name", NAMES)
def test_devices_stand_on_their_side_of_the_longest_wire(name: str) -> None:
    """A breaker beside its battery that is drawn at the far bus would be built there."""
    own, met = study(name), 0
    for chain in chains(own).of("feeder"):
        if changed(chain):
            continue
        wires = chain.rows[0].conductors
        far_m = [0.0 if w is None else runs(own)[w.id].length_m or 0.0 for w in wires]
        at = far_m.index(max(far_m))
        mark = marks(own)[wires[at].id]  # type: ignore[union-attr] # the longest is a wire
        for sheet in one_line_sheets(name):
            items = [i for i in sheet.items if i.ref.partition("/")[0] == chain.name]
            text = next((i for i in items if mark in i.text and i.kind == "text"), None)
            symbols = sorted(i.box[0] for i in items if i.kind == "symbol")
            if text is None or len(symbols) != len(wires) - 1:
                continue  # the flag at its other end
            left = sum(x < text.box[0] for x in symbols)
            sources = own.document.sources
            turned = chain.far_end in sources and chain.source_end not in sources
            assert left == (len(symbols) - at if turned else at), chain.name
            met += 1
    assert met > 1 or name == "thistledown"  # its feeders all lead to one changeover


@pytest.mark.parametrize("name", NAMES)
def test_each_wire_of_a_feeder_stands_between_its_devices(name: str) -> None:
    """Left to right a mark, a symbol, a mark: never two marks without what lies between them."""
    own, met = study(name), 0
    for chain in chains(own).of("feeder"):
        wires = [marks(own)[c.id] for c in chain.rows[0].conductors if c is not None]
        for sheet in one_line_sheets(name):
            items = [i for i in sheet.items if i.ref.partition("/")[0] == chain.name]
            at = {m: i.box[0] for i in items for m in wires if i.text.split(" ")[0] == m}
            if len(at) < len(wires) or len(wires) < 2:
                continue  # the flag at its other end
            met += 1
            symbols = [i.box[0] for i in items if i.kind == "symbol"]
            order = sorted(wires, key=lambda mark: at[mark])
            assert order in (wires, wires[::-1]), chain.name
            for left, right in pairwise(order):
                assert any(at[left] < x < at[right] for x in symbols), chain.name
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_the_position_of_a_breaker_stands_at_its_symbol(name: str) -> None:
    """With the mark of its panel; in its circuit, where it was laid out."""
    own = study(name)
    shown = [panel for names in panel_groups(own) for panel in names if panel != OFF]
    met = 0
    for layout in (panels(own).by_name[panel] for panel in shown):
        for position in layout.positions if layout.holds != "switches" else ():
            circuit = position.subject.name if position.subject is not None else ""
            if circuit not in own.document.circuits:
                continue
            met += 1
            row = [i.text for s in one_line_sheets(name) for i in s.items if i.ref == circuit]
            assert any(text.endswith(position.name) for text in row), circuit
            strip = [i.text for d in drawn(name).of("circuit") for s in d.sheets
                     for i in s.items if i.ref.partition("/")[0] == circuit]  # fmt: skip
            at = (position.name, f" · {position.name}")
            assert any(t == at[0] or t.endswith(at[1]) for t in strip) == layout.given
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_small_wires_with_the_full_voltage_of_a_source_are_drawn(name: str) -> None:
    """A sense wire from a bus and a light behind a contactor: with their fuse, or that none is."""
    own, sheets, met = study(name), one_line_sheets(name), 0
    for chain in chains(own).of("wire"):
        first = chain.rows[0].parts[0]
        if chain.device is None and not any(is_live(part) for part in chain.parts()):
            continue
        (sheet,) = [s for s in sheets if any(i.ref == chain.name for i in s.items)]
        texts = " ".join(i.text for i in sheet.items if i.ref == chain.name)
        assert all(marks(own)[wire.id] in texts for wire in chain.conductors())
        kinds = [i.ink.name for i in sheet.items
                 if i.ref == chain.name and isinstance(i.ink, Placed)]  # fmt: skip
        assert kinds == ["fuse", "terminal"]
        behind = first.inlet not in own.document.buses
        dots = [i for i in sheet.items if i.ref == chain.after and isinstance(i.ink, Circle)]
        assert behind == bool(dots), chain.name
        said = f"behind it {marks(own)[chain.conductors()[0].id]} ·"
        assert behind == (said in texts)  # its text stands before the fuse
        met += 1
    assert met or name == "thistledown"


@pytest.mark.parametrize("name", NAMES)
def test_what_nothing_protects_is_said(name: str) -> None:
    """A starter's row, and the jumper from a contactor's post to its own coil."""
    own = study(name)
    texts = " ".join(i.text for s in one_line_sheets(name) for i in s.items if i.text)
    for chain in chains(own).of("circuit"):
        wire = chain.rows[0].conductors[0]
        if chain.device is None and chain.rows[0].parts[0].kind == "post" and wire is not None:
            assert marks(own)[wire.id] in texts
            assert "Coils on a contactor's post, no device of their own" in texts
        elif chain.device is None and not chain.guards:
            rows = [i.text for s in one_line_sheets(name) for i in s.items if i.ref == chain.name]
            assert "no protection" in rows
    bare = [
        ", ".join(marks(own)[wire.id] for wire in feeder.conductors())
        for feeder in chains(own).of("feeder")
        if {feeder.source_end, feeder.far_end} & set(own.document.sources)
        and not any(part.kind in PROTECTIVE for part in feeder.parts())
    ]
    assert ("Battery cables, no protection: " in texts) == bool(bare)
    assert all(one in texts for one in bare)
    (note,) = [one for one in one_line_record(own, {}).of_feeders if one.startswith(BATTERY)]
    first = {"foxglove": "P5A12 4 in", "yarrow": "P5A12 4 in", "thistledown": "P1A14, P2A14 0.08 m",
             "larkspur": "P6A6, P7A6, P9A6 4 in"}  # fmt: skip
    assert note.endswith(f"first device: {first[name]}.")


BATTERY = "Battery cables, no protection"


SMALL = """
system: {name: Small wires, nominal: 14 V}
sources: {battery: {kind: lead-acid, capacity: 20 Ah, place: bay}}
buses: {main: {place: bay}}
feeders: [{from: battery, to: main, breaker: 30 A, gauge: AWG 8, length: 1 m}]
places: {bay: {}, panel: {}}
equipment:
  lamp: {place: panel, draw: 1 A}
  meter: {place: panel, passive: yes}
circuits: {lamp: {bus: main, feeds: lamp, fuse: {rating: 2 A, stub: 3 in}, length: 1 m}}
wires:
  - {from: main, to: meter.sense, function: P, gauge: AWG 22, length: 1 m,
     fuse: {rating: 1 A, stub: 2 in}}
grounds: {block: {place: bay}}
"""


def test_a_wire_before_a_device_is_said(tmp_path: Path) -> None:
    """Where the fuse sits some inches from its bus nothing protects these."""
    (tmp_path / "small.yaml").write_text(SMALL, encoding="utf-8")
    system = read(tmp_path / "small.yaml").system
    assert system is not None
    record = one_line_record(Study(system), {})
    (lamp,) = [row for row in record.branches if not row.wire]
    (sense,) = [row for row in record.branches if row.wire]
    assert (sense.bar, sense.load) == ("main", "meter, sense")
    (sheet,) = one_line(record)
    for row in (lamp, sense):
        own = " ".join(i.text for i in sheet.items if i.ref == row.id)
        assert row.stub in own
        assert row.stub.startswith(f"before it {row.mark.split(' to ')[0]}, ")
    assert "2 in" in sense.stub or "0.05 m" in sense.stub


def test_branches_and_levers_off_in_the_middle_are_said() -> None:
    """Wires behind a joint that no row counts."""
    texts = " ".join(i.text for s in one_line_sheets("foxglove") for i in s.items if i.text)
    assert "C3A22 to C3D22 + 3" in texts
    assert "a starter's: turning" in texts
    rows = {i.ref for s in one_line_sheets("foxglove") for i in s.items
            if isinstance(i.ink, Placed) and i.ink.name == "centre-off"}  # fmt: skip
    assert rows - {"legend"} == {"water-rudder-control"}
    sized = " ".join(i.text for s in one_line_sheets("thistledown") for i in s.items)
    assert ("Wires for:" in sized) == (" · wires for " in f" · {sized}")


@pytest.mark.parametrize("name", NAMES)
def test_a_feeder_says_what_it_carries_while_the_starter_turns(name: str) -> None:
    """A master contactor of 80 A is passed by 168 A then; its rating stands at it."""
    own, met = study(name), 0
    for chain in chains(own).of("feeder"):
        texts = [i.text for s in one_line_sheets(name) for i in s.items if i.ref == chain.name]
        drop = feeder_drops(own)[chain.name]
        said = [t for t in texts if f"start {drop.cranking_a:.0f} A" in t]
        assert len(said) == drop.cranks, chain.name
        for part in chain.parts():
            entry = own.document.switches.get(part.name)
            if part.kind == "contactor" and entry is not None and entry.rating_a is not None:
                met += 1
                assert any(f"{entry.rating_a:.0f} A, coil" in t for t in texts), chain.name
    assert bool(met) == (name != "thistledown")


@pytest.mark.parametrize("name", NAMES)
def test_branches_that_carry_less_than_their_row_says_are_named(name: str) -> None:
    """`0.7 A` beside `+ 1` is of the first wire: the second one has half of it."""
    texts = " ".join(i.text for s in one_line_sheets(name) for i in s.items if i.ref == "note")
    less = {"yarrow": ("M12E22 carries 0.3 A", "M11E18 carries 0.9 A"),
            "larkspur": ("L4D22 carries 0.08 A",)}  # fmt: skip
    assert all(mark in texts for mark in less.get(name, ()))
    assert texts.count(BRANCH) == (name in less)  # on the sheet with that row, and on no other


def test_what_stands_by_says_what_it_carries_alone() -> None:
    """The tenth of an ampere of its relay's coil says nothing about a wire of AWG 10."""
    alone = duties(study("larkspur"))["cross feed"].current_a
    assert alone > 10.0
    for name in NAMES:
        items = [i for s in one_line_sheets(name) for i in s.items]
        said = [(i.ref, i.text) for i in items if i.text.startswith("alone ")]
        assert said == ([("cross feed", f"alone {alone:.1f} A")] if name == "larkspur" else [])
        assert any("Alone: " in i.text for i in items) == bool(said)


@pytest.mark.parametrize("name", NAMES)
def test_the_gauge_of_a_feeder_is_in_its_mark_on_every_diagram(name: str) -> None:
    """One system with `AWG 4` at the first wire and one without are two rules."""
    feeders = chains(study(name)).of("feeder")
    refs = {one.name for one in feeders} | {c for one in feeders for c in changed(one)}
    texts = [i.text for s in one_line_sheets(name) for i in s.items if i.ref in refs and i.text]
    assert texts
    assert not [text for text in texts if "AWG" in text]
    assert any("Marks end in the gauge" in note for note in NOTES)


def test_a_changeover_with_a_position_that_is_off_has_its_own_symbol() -> None:
    """One that is always on either battery is another part."""
    inks = {i.ink.name for s in one_line_sheets("thistledown") for i in s.items
            if isinstance(i.ink, Placed)}  # fmt: skip
    assert {"changeover-off", "changeover-off-upper"} <= inks
    assert not {"changeover", "changeover-upper"} & inks


def test_it_is_said_by_what_a_contactor_is_judged_where_more_is_sized_for() -> None:
    """Wires for 120 A through a contactor of 80 A: two figures for two questions."""
    for name in ("foxglove", "larkspur", "yarrow"):
        own, met = study(name), 0
        for chain in chains(own).of("feeder"):
            drop = feeder_drops(own)[chain.name]
            ratings = [own.document.switches[p.name].rating_a or 0.0 for p in chain.parts()
                       if p.kind == "contactor"]  # fmt: skip
            met += any(rating < drop.current_a for rating in ratings)
        assert met
        notes = " ".join(i.text for s in one_line_sheets(name) for i in s.items if i.ref == "note")
        assert "a battery's current for 5 min" in notes
        assert "A contactor: by the amps; its start: ask its maker" in notes


@pytest.mark.parametrize("name", NAMES)
def test_the_name_of_a_bus_stands_clear_of_its_first_row(name: str) -> None:
    buses = study(name).document.buses
    for sheet in one_line_sheets(name):
        words = [i for i in sheet.items if i.kind == "text"]
        for bar in (i for i in words if i.ref in buses and i.capital_mm > 3.0):
            below = [
                i.box[1] - bar.box[3]
                for i in words
                if i.box[0] < bar.box[2] and i.box[2] > bar.box[0] and i.box[1] > bar.box[3]
            ]
            assert not below or min(below) > 0.8, (sheet.title.label, bar.text)


@pytest.mark.parametrize("name", NAMES)
def test_a_motor_that_runs_both_ways_has_a_symbol_of_its_own(name: str) -> None:
    found = {i.ref for s in one_line_sheets(name) for i in s.items
             if isinstance(i.ink, Placed) and i.ink.name == "reversing"}  # fmt: skip
    assert found - {"legend"} == set(reversing(study(name)))


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_has_its_key_and_its_notes(name: str) -> None:
    """Those on feeders where feeders are: who has the first sheet alone has all to read it."""
    for sheet in one_line_sheets(name):
        shown = used_symbols(sheet)
        keyed = {i.ink.name for i in sheet.items
                 if i.ref == "legend" and isinstance(i.ink, Placed)}  # fmt: skip
        assert keyed == set(shown), sheet.title.label
        notes = " ".join(i.text for i in sheet.items if i.ref == "note" and i.text != "–")
        said = [part for note in NOTES for part in note.split("{turning}")]
        assert all(part in notes for part in said), sheet.title.label
        sources = set(study(name).document.sources)
        assert ("+ post" in notes) == any(i.ref in sources for i in sheet.items)


@pytest.mark.parametrize("name", NAMES)
def test_every_switch_that_a_hand_throws_stands_in_the_row_of_its_circuit(name: str) -> None:
    """One behind the other: START ARM alone seems to be all that the starter asks for."""
    own, met = study(name), 0
    moved = limit_switches(own)
    for chain in chains(own).of("circuit"):
        row = {i.text for s in one_line_sheets(name) for i in s.items if i.ref == chain.name}
        for part in chain.rows[0].parts:
            entry = own.document.switches.get(part.name)
            if part.kind == "switch" and entry is not None and entry.coil is None:
                if part.name in moved or chain.rows[0].parts[0].kind == "post" or not row:
                    continue
                assert any(text.split(",")[0] == part.label for text in row), part.name
                met += 1
    assert met


@pytest.mark.parametrize(
    ("name", "feeder", "near"),
    [("foxglove", "breaker 1", "P5A12"), ("thistledown", "fuse 1", "P1A14")],
)
def test_a_device_beside_its_battery_is_drawn_beside_it(name: str, feeder: str, near: str) -> None:
    """Four inches of wire drawn across the whole sheet put the breaker at the bus, for the eye."""
    items = [i for s in one_line_sheets(name) for i in s.items]
    (called,) = (i.box for i in items if i.text == feeder)
    (mark,) = (i.box for i in items if i.text.split(" ")[0] == near and i.kind == "text")
    assert 0.0 < called[0] - mark[0] < 40.0  # no more than what is said of the short wire


@pytest.mark.parametrize("name", NAMES)
def test_a_single_sheet_is_not_titled_as_if_others_followed(name: str) -> None:
    titles = [sheet.title.title for sheet in one_line_sheets(name)]
    if len(titles) == 1:
        assert titles == ["Power distribution"]
    else:
        assert len(set(titles)) == len(titles)
        assert all(title.startswith("Power distribution: ") for title in titles)


def test_start_arm_and_start_are_two_symbols() -> None:
    symbols = [i for s in one_line_sheets("larkspur") for i in s.items
               if i.ref == "starter-contactor-coil" and isinstance(i.ink, Placed)]  # fmt: skip
    order = [i.ink.name for i in sorted(symbols, key=lambda i: i.box[0])]  # type: ignore[union-attr]
    assert order == ["breaker", "switch", "button", "terminal"]


@pytest.mark.parametrize("name", NAMES)
def test_circuits_on_the_same_sheet_are_said_to_be_here(name: str) -> None:
    for sheet in one_line_sheets(name):
        for item in sheet.items:
            if item.ref.startswith("circuits ") and item.text:
                bar = item.ref.removeprefix("circuits ")
                below = sum(i.ref == bar and i.kind == "bar" for i in sheet.items) > 1
                assert item.text.endswith(": here, below") == below, item.text
                assert f"sheet {sheet.title.label}" not in item.text


@pytest.mark.parametrize("name", NAMES)
def test_a_device_that_no_panel_has_is_called_the_same_on_every_sheet(name: str) -> None:
    """At its symbol on the one-line diagram or in its circuit, and in the list."""
    own, met = study(name), 0
    texts = {
        sheet.title.label: [i.text for i in sheet.items]
        for drawing in drawn(name).drawings
        for sheet in drawing.sheets
        if drawing.kind in ("one-line", "circuit", "panel")
    }
    for chain in chains(own).by_name.values():
        for part in chain.parts():
            called = off_name(own, part)
            if called:
                found = [label for label, words in texts.items()
                         if any(called in (w, w.split(" · ")[0]) for w in words)]  # fmt: skip
                kinds = {label[0] for label in found}
                both = part.kind == "fuse" and chain.kind == "wire"
                assert kinds in ([{"B", "C", "P"}] if both else [{"B", "P"}, {"B", "C"}])
                assert len(found) == len(kinds), (called, found)
                met += 1
    assert met


@pytest.mark.parametrize("name", ["larkspur", "foxglove", "yarrow"])
def test_a_stud_is_a_thin_bar_on_every_sheet(name: str) -> None:
    """Who looks for a bus bar with breakers where there is one bolt looks in vain."""
    own = study(name)
    thick: dict[tuple[str, str], set[float]] = {}
    for drawing in (*drawn(name).of("one-line"), *drawn(name).of("circuit")):
        for sheet in drawing.sheets:
            for item in sheet.items:
                if item.kind == "bar" and item.ref in own.document.buses:
                    assert isinstance(item.ink, InkPath)
                    thick.setdefault((item.ref, drawing.kind), set()).add(item.ink.width_mm)
    for (bus, _), widths in thick.items():
        guarded = any(c.device for c in chains(own).of("circuit") if c.source_end == bus)
        assert widths == {1.6 if guarded else 0.9}, bus
    assert ("power", "one-line") in thick or ("power-stud", "one-line") in thick


@pytest.mark.parametrize("name", NAMES)
def test_every_diode_has_a_name_of_its_own(name: str) -> None:
    """Two on Larkspur were both called "schottky diode" in the list to pull by."""
    own = study(name)
    found = {p.id: off_name(own, p) for c in chains(own).by_name.values() for p in c.parts()
             if p.kind == "diode"}  # fmt: skip
    assert len(set(found.values())) == len(found)
    shown = {i.text for s in one_line_sheets(name) for i in s.items}
    listed = {i.text for d in drawn(name).of("panel") for s in d.sheets for i in s.items}
    assert set(found.values()) <= shown & listed


@pytest.mark.parametrize("name", NAMES)
def test_a_device_has_one_designation_on_all_sheets(name: str) -> None:
    """Lists wrote "breaker of clock" where panel and diagram say CB3-1C."""
    for d in drawn(name).drawings:
        for sheet in d.sheets:
            for item in sheet.items:
                for word in ("breaker of ", "limiter of ", "schottky diode"):
                    assert not item.text.startswith(word), (sheet.title.label, item.text)


def test_each_battery_enters_the_throw_of_its_own_position() -> None:
    """One position of the lever joins one battery: the poles do not both come to the same throw."""
    (sheet,) = one_line_sheets("thistledown")
    drawn_here = [i.ink for i in sheet.items if isinstance(i.ink, Placed) and i.role != "legend"]
    for kind, own in (("changeover-off-upper", "BAT 1 (3)"), ("changeover-off", "BAT 2 (4)")):
        (ink,) = [one for one in drawn_here if one.name == kind]
        (word,) = [i for i in sheet.items if i.text == own]
        assert (word.box[1] + word.box[3]) / 2 == pytest.approx(ink.at[1], abs=3.0)
    assert words.COUNTED in [i.text for i in sheet.items]
    assert [i.text for i in sheet.items].count("at OFF") == 2  # as both poles are drawn


@pytest.mark.parametrize("name", NAMES)
def test_the_posts_of_a_battery_are_said(name: str) -> None:
    """Which of them the bar beside it is, and on which sheets the cable of the other lies."""
    texts = [i.text for d in drawn(name).of("one-line") for s in d.sheets for i in s.items]
    assert sum(text.startswith("Battery: + post") for text in texts) == 1
    at_bar = "the bar beside it" in " ".join(texts)
    assert at_bar == (name != "thistledown")  # each of its batteries feeds one wire


@pytest.mark.parametrize(
    ("name", "volts", "posts"),
    [("foxglove", "14 V", 1), ("yarrow", "14 V", 1), ("larkspur", "28 V", 2),
     ("thistledown", "12 V", 0)],
)  # fmt: skip
def test_the_voltage_stands_over_the_sources_and_bars_beside_batteries_are_posts(
    name: str, volts: str, posts: int
) -> None:
    """Neither was on any sheet, and the bar beside a battery was read as a bus."""
    first = one_line_sheets(name)[0]
    assert [i.text for i in first.items if i.ref == "nominal"] == [f"{volts} system (nominal)"]
    found = [i for i in first.items if i.text == "+ post"]
    assert len(found) == posts
    assert {i.ref for i in found} <= set(study(name).document.sources)


def test_where_nothing_cranks_no_starter_is_explained() -> None:
    texts = {
        name: " ".join(i.text for s in one_line_sheets(name) for i in s.items if i.text)
        for name in ("thistledown", "yarrow")
    }
    assert "starter" not in texts["thistledown"]
    assert "a starter's: turning" in texts["yarrow"]
