"""The legend says what marks, lengths and short words of the set mean, and no others."""

import re
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.connect.pins import pins
from elec.answers.connect.readings import CLOSED
from elec.answers.drop.end_to_end import of_small
from elec.drawings.from_study import _on_plates, drawings
from elec.drawings.ink import InkPath, Placed
from elec.drawings.inputs import SIZED
from elec.drawings.records.bench import bench_pages
from elec.drawings.records.legend import ABBREVIATIONS, COMPARE, abbreviations, in_plain_words
from elec.drawings.sheet import Item, TitleBlock
from elec.drawings.sheets.bench_table import HEADS
from elec.drawings.sheets.legend import APART_MM, CRIMPS, SIGNS, legend
from elec.drawings.sheets.row_ink import BONDED
from elec.pages.bench.proving import ring_out
from elec.read import read
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study
from elec.units import show_gauge
from elec.wiring.chains import chains
from tests.answers.helper import whole
from tests.drawings.inspect import inspect
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"


@cache
def study_of(name: str) -> Study:
    system = read(SYSTEMS / name).system
    assert system is not None
    return Study(system)


def said(name: str) -> str:
    (one,) = drawings(study_of(name)).of("legend")
    return " ".join(item.text for sheet in one.sheets for item in sheet.items if item.text)


@pytest.mark.parametrize("name", NAMES)
def test_it_says_what_the_letters_of_the_marks_stand_for(name: str) -> None:
    text = said(name)
    used = {chain.function for chain in chains(study_of(name)).by_name.values()}
    meanings = {"L": "L lighting", "P": "P dc power", "Q": "Q fuel and oil", "J": "J ignition"}
    for letter, meaning in meanings.items():
        assert (meaning in text) == (letter in used), letter
    assert "P" in used


@pytest.mark.parametrize(
    ("name", "slack"),
    [("larkspur", "3 in of slack at each end"), ("thistledown", "76 mm (3 in) of slack")],
)
def test_it_says_what_a_length_has_in_it(name: str, slack: str) -> None:
    assert default("wire-slack-per-end").si == pytest.approx(3 * 0.0254)
    assert default("wire-route-factor").si == pytest.approx(0.05)
    assert "5 % more for the route" in said(name)
    assert slack in said(name)


@pytest.mark.parametrize("name", NAMES)
def test_short_words_stand_there_where_they_occur(name: str) -> None:
    others = [d for d in drawings(study_of(name)).drawings if d.kind != "legend"]
    texts = {item.text for d in others for sheet in d.sheets for item in sheet.items}
    found = tuple(abbreviations(texts))
    assert "; ".join(found) + "." in said(name).replace(" – ", " ")
    assert "AWG: American wire gauge" in found
    assert ("BNC: coaxial connector with a bayonet" in found) == any("BNC" in t for t in texts)


def test_a_short_word_is_a_word_of_its_own() -> None:
    assert tuple(abbreviations({"RADIO", "batten", "L31A22"})) == ()
    assert tuple(abbreviations({"BAT - OFF", "⌀ 25 mm"})) == ("⌀: diameter", "bat: battery")
    assert all(text[0].islower() or text.startswith("American") for text in ABBREVIATIONS.values()
               if not text.startswith("D-"))  # fmt: skip


def test_signs_of_the_interconnect_and_the_grounds_stand_there() -> None:
    assert "connector of a box, plug in" in said("foxglove")
    assert "terminal, stud of a ground" in said("larkspur").replace("  ", " ")
    assert "plug in a line" not in said("thistledown")  # it has none
    assert "connector of a box" in said("thistledown")
    assert "joined, not joined" in said("yarrow")


@pytest.mark.parametrize("name", NAMES)
def test_the_list_of_the_sheets_comes_first(name: str) -> None:
    (one,) = drawings(study_of(name)).of("legend")
    rows = [i.box for i in one.sheets[0].items if i.ref == "contents"]
    assert rows
    assert not any(i.ref == "contents" for sheet in one.sheets[1:] for i in sheet.items)
    words = [i.box for i in one.sheets[0].items if i.text and i.ref != "contents"]
    first = next(i.box for i in one.sheets[0].items if i.text == "Sheets of this set")
    assert all(box[1] >= first[1] - 0.5 for box in words)
    assert all(box[0] >= first[0] - 0.5 for box in words)


@pytest.mark.parametrize("name", NAMES)
def test_it_is_the_first_of_the_set(name: str) -> None:
    """Who opens the set finds how to read it, and where everything is, before the rest."""
    sheets = drawings(study_of(name)).sheets
    assert [sheet.title.code for sheet in sheets[:2]] == ["L", "L"]
    assert sheets[2].title.label == "P1"


@pytest.mark.parametrize("name", NAMES)
def test_what_sized_for_means_is_said_alike_on_both_sheets(name: str) -> None:
    (one,) = drawings(study_of(name)).of("one-line")
    there = " ".join(item.text for sheet in one.sheets for item in sheet.items if item.text)
    assert ("wires for " in there) == (SIZED in there)
    assert (SIZED in said(name).replace(" – ", " ")) == (SIZED in there)


def test_blue_and_the_letter_n_are_explained() -> None:
    """A signal that ends on a ground has the N and is white, as the sheet of grounds says."""
    assert "Blue: on screen a link." in said("foxglove").replace(" – ", " ")
    assert "ends on a ground (return black, signal white)" in said("foxglove")


@pytest.mark.parametrize("name", NAMES)
def test_a_ticked_box_has_one_meaning(name: str) -> None:
    """Crimped on one sheet and pulled on another is the same: done."""
    assert said(name).count("☑") == 1
    assert "☑: done" in said(name)


SHOWN = {
    "hole and its centre": lambda items: any(i.ref.startswith("cross ") for i in items),
    "free position": lambda items: any(i.text == "free" for i in items),
    "its plate goes on": lambda items: any(i.ref == "panel cut" for i in items),
    "contacts of one lever": lambda items: any(
        LEVER in getattr(i.ink, "dash", ()) and _upright(i) for i in items if i.kind == "rule"
    ),
    "bridge of a motor": lambda items: any(
        isinstance(i.ink, Placed) and i.ink.name == "reversing" for i in items
    ),
    "changeover, moved by hand": lambda items: any(_two_throws(i) for i in items),
}
LEVER = 1.2
"""The first stroke of the broken line between the blades of one lever."""


def _upright(item: Item) -> bool:
    """Of the broken lines those from blade to blade: neither a plug's halves nor a panel's edge."""
    wide = item.ink.width_mm == 0.2  # type: ignore[union-attr]
    return wide and abs(item.box[0] - item.box[2]) < 0.01


def _two_throws(item: Item) -> bool:
    """Whether an item is the blade of a contact with two throws; its symbol is a symbol."""
    return item.kind == "rule" and isinstance(item.ink, InkPath) and item.ink.width_mm == 0.6


@pytest.mark.parametrize("sign", SHOWN)
@pytest.mark.parametrize("name", NAMES)
def test_it_has_the_signs_of_panels_and_levers_that_are_drawn(name: str, sign: str) -> None:
    others = [d for d in drawings(study_of(name)).drawings if d.kind != "legend"]
    items = [item for d in others for sheet in d.sheets for item in sheet.items]
    assert (sign in said(name).replace("  ", " ")) == SHOWN[sign](items)


@pytest.mark.parametrize("name", NAMES)
def test_faces_of_devices_are_signs_where_a_plate_is_not_at_its_size(name: str) -> None:
    """A double ring for a breaker stood there, and bare rings with a cross on all plates."""
    sheets = [s for d in drawings(study_of(name)).of("panel") for s in d.sheets]
    true, other = _on_plates(sheets)
    assert "lever" in true
    assert "lever" not in other
    assert "on a panel: breaker" not in said(name)
    bare = [replace(s, items=[i for i in s.items if not i.ref.startswith("cross ")])
            for s in sheets]  # fmt: skip
    assert "lever" in _on_plates(bare)[1]
    assert not _on_plates(bare)[0]


def test_a_list_longer_than_a_sheet_stands_on_sheets_of_its_own() -> None:
    rows = [(f"C{n}", f"Circuits {n}") for n in range(1, 160)]
    sheets = legend(TitleBlock(title="x", code="L"), "A4", contents=rows)
    assert [str(f) for s in sheets for f in inspect(s)] == []
    assert sum(i.text.startswith("Circuits ") for s in sheets for i in s.items) == 159


def test_what_was_not_compared_with_its_document_is_said_in_plain_words() -> None:
    """A star at the number and once what it means; neither where nothing is such."""
    found = in_plain_words(("Size 20 (usual ratings (from memory, not checked)).", "Plain."))
    assert found[0] == "Size 20 (usual ratings*)."
    assert found[1:] == ("Plain.", COMPARE)
    assert in_plain_words(("Plain.",)) == ("Plain.",)


def test_the_legends_of_the_systems_have_no_other_words_for_it() -> None:
    for name in NAMES:
        texts = [
            i.text for d in drawings(study_of(name)).of("legend") for s in d.sheets for i in s.items
        ]
        assert not [text for text in texts if "from memory" in text]
        stars = [text for text in texts if "*" in text]
        assert any(text.startswith("*: ") for text in stars) == bool(stars)


@pytest.mark.parametrize("name", NAMES)
def test_ring_out_and_crimps_stand_under_their_names(name: str) -> None:
    """Crimps of every gauge of the system; those of terminals are thicker than of contacts."""
    (one,) = drawings(study_of(name)).of("legend")
    assert len(one.sheets) == 2
    texts = [i.text for sheet in one.sheets for i in sheet.items if i.text]
    steps = [k for k, text in enumerate(texts) if text.startswith("1. Battery disconnected")]
    assert [texts[k - 1] for k in steps] == ["Ring-out"]
    assert CRIMPS in texts
    told = said(name)
    for gauge in {g.awg for g in sizing(study_of(name)).gauges.values()}:
        assert f"{show_gauge(gauge)}: " in told or f"at hand for {show_gauge(gauge)}" in told
    assert "The cut list adds" in told
    assert "SYSTEM" not in told  # a command is no word of a drawing


@pytest.mark.parametrize("name", NAMES)
def test_a_reading_with_the_small_current_is_said_to_count_ten_times(name: str) -> None:
    """A poor joint passed as good: the mV to expect are at 1 A, and 0.1 A gives a tenth."""
    study = study_of(name)
    assert default("ring-out-current").si == pytest.approx(10 * 0.1)
    assert of_small() == (
        'With 0.1 A, count 10 times the reading, unless the mV to expect are "at 0.1 A".'
    )
    assert of_small() in said(name)
    assert of_small() in ring_out(study).note
    assert all(of_small() in dict(bench_pages(study, one)[0].facts)["meter"]
               for one in pins(study).by_id)  # fmt: skip


def test_what_passes_is_said_with_the_heads_of_its_columns() -> None:
    """*Sound up to most* was no sentence."""
    text = said("foxglove")
    assert 'Good if not above "at most": "mV at 1 A" and 20 % and 20 mΩ more' in text
    assert {"mV at 1 A", "at most"} <= set(HEADS)


def test_a_ring_out_opens_what_the_system_has_but_what_a_row_names() -> None:
    """Thistledown has neither masters, hot buses nor breakers."""
    closed = f"; {CLOSED}."
    assert f"plugs apart, all switches off, fuses out{closed}" in said("thistledown")
    assert "4. What shares no bus, ground or load reads open" in said("thistledown")
    assert f"plugs apart, all switches off, breakers out, fuses out{closed}" in said("larkspur")
    note = ring_out(whole("larkspur")).note  # the book says the same
    assert "all switches off, breakers out, fuses out." in note
    assert CLOSED in note
    for absent in ("masters", "hot bus"):
        assert absent not in said("thistledown")


@pytest.mark.parametrize("name", NAMES)
def test_names_of_signs_keep_apart(name: str) -> None:
    """*contacts of one lever* and *bridge of a motor* were one block of three lines."""
    (one,) = drawings(study_of(name)).of("legend")
    texts = [i for i in one.sheets[0].items if i.text and i.ref == "legend"]
    ends = {sign.split()[-1]: sign.split()[0] for sign in SIGNS}
    for a in texts:
        for b in texts:
            under = a is not b and b.box[1] > a.box[1] and abs(a.box[0] - b.box[0]) < 0.01
            starts = any(sign.startswith(b.text) for sign in SIGNS)
            if under and starts and a.text.split()[-1] in ends:
                assert b.box[1] - a.box[3] > APART_MM - 0.5, (a.text, b.text)


def others(name: str) -> set[str]:
    """What stands on all other sheets of a set, before references are written in."""
    found = [d for d in drawings(study_of(name)).drawings if d.kind != "legend"]
    return {i.text for d in found for sheet in d.sheets for i in sheet.items if i.text}


def test_it_explains_nothing_that_the_set_has_not() -> None:
    """Thistledown's had breakers, contactors, limiters, starters and thick lines: it has none."""
    text = said("thistledown")
    absent_words = (
        "CB: ", "panel: breaker", "Limiter", "starter", "Coil", "thick line", "Sized for", "(part)",
        "button", "diode",
    )  # fmt: skip
    for absent in absent_words:
        assert absent not in text, absent
    for there in ("F: fuses, S: switches", "hole and its centre", "Fuse 1: on"):
        assert there in text, there
    assert "CB: breakers, S: switches" in said("foxglove")
    assert "AWG 6 and thicker: thick lines" in said("yarrow")


@pytest.mark.parametrize("name", NAMES)
def test_its_examples_stand_in_the_set(name: str) -> None:
    text = said(name).replace(" – ", " ")
    every = set(marks(study_of(name)).values())
    for example in re.findall(r"Mark ([A-Z0-9]+): ", text):
        assert example in every
        kind, number, piece, gauge = re.fullmatch(r"([A-Z])(\d+)([A-Z])(\d+)N?", example).groups()  # type: ignore[union-attr]
        assert f"kind of circuit {kind}, its number {number}, piece {piece}, AWG {gauge}" in text
        assert ("; N: it ends on a ground" in text) == example.endswith("N")
    assert text.count("Mark ") == 1
    for example in re.findall(r"(\S+): panel ", text):
        assert example in others(name)
    least = re.findall(r"At least (\S+ A) for its load:", text)
    assert len(least) == 1
    assert any(f"at least {least[0]} for its load" in one for one in others(name))
    for coil in re.findall(r"Coil (C[\d.]+): on that sheet", text):
        assert any(one.endswith(f"coil {coil}") for one in others(name))
    for mark, amps in re.findall(r"(P\w+): its alternator's ([\d.]+ A)", text):
        assert mark in every
        assert any(f"wires for {amps}" in one for one in others(name))


def test_the_nominal_voltage_is_said() -> None:
    """No sheet of the set said whether a lamp of 12 or of 28 V goes in."""
    assert "Nominal voltage: 14 V, direct current." in said("foxglove")
    assert "Nominal voltage: 28 V, direct current." in said("larkspur")
    assert "Nominal voltage: 12 V, direct current." in said("thistledown")


@pytest.mark.parametrize("name", NAMES)
def test_a_star_is_explained_on_its_own_sheet(name: str) -> None:
    """Yarrow's stood on L1 and what it means on L2."""
    (one,) = drawings(study_of(name)).of("legend")
    starred = []
    for sheet in one.sheets:
        texts = [i.text for i in sheet.items if i.text]
        starred.append(any("*" in text and not text.startswith("*: ") for text in texts))
        assert starred[-1] == any(text.startswith("*: ") for text in texts)
    assert any(starred)


@pytest.mark.parametrize("name", NAMES)
def test_metal_without_a_wire_has_its_sign(name: str) -> None:
    """The broken line of the grounds was read as one more cable."""
    grounds = [i for d in drawings(study_of(name)).of("grounds") for s in d.sheets for i in s.items]
    broken = any(getattr(i.ink, "dash", ()) == BONDED for i in grounds)
    assert ("metal bolted together" in said(name)) == broken
    assert "ground, signal" in said(name)  # the contact of a signal


def test_a_warm_wire_reads_more() -> None:
    """Of copper, by the line of its resistance through 20 °C: 1/254.5 of it (page 11-22)."""
    assert "copper: 0.4 % more a degree" in said("yarrow")


@pytest.mark.parametrize(
    ("name", "listed"),
    [("foxglove", "(B3.2)"), ("larkspur", "(B4.2)"), ("yarrow", "panel"), ("thistledown", "panel")],
)
def test_the_list_of_the_sheets_names_what_is_on_no_panel(name: str, listed: str) -> None:
    """Larkspur's called B4.2, the list of what is on no panel, breakers elsewhere."""
    assert re.search(rf"; On no panel {re.escape(listed)}|; On no {listed}", said(name))
