"""What is well written and cannot be meant: one sentence each, with what was probably meant."""

from pathlib import Path

import pytest

from tests.read.helper import GOOD, Wrong, changed, good, reading, said

ONE_CHANGE = [
    ("on: taxi..cruise", "on: taxi-cruise", [
        'equipment.beacon.on: "taxi-cruise" is no phase; write taxi..cruise'
    ]),
    ("on: taxi..cruise", "on: taxi to cruise", [
        'equipment.beacon.on: "taxi to cruise" is no phase; write taxi..cruise'
    ]),
    ("on: taxi..cruise", "on: true", ['equipment.beacon.on: "true" is no phase; write always']),
    ("on: taxi..cruise", "on: no", ['equipment.beacon.on: "no" is no phase; write never']),
    ("on: taxi..cruise", "on: {taxi: 11 min}", [
        ("equipment.beacon.on.taxi: 11 min are longer than taxi, which lasts 10 min; "
         "write 100 %, or a shorter time, or let it last longer")
    ]),
    ("draw: 12 W", "draw: 1,5 A", [
        'equipment.beacon.draw: "1,5 A" has a decimal comma; write 1.5 A'
    ]),
    ("nominal: 14 V", "nominal: 14 V, ambient: 140 F", [
        ('system.ambient: "140 F" has no degree sign; write 140 °F, which is 60 °C')
    ]),
    ("nominal: 14 V", "nominal: 14 V, ambient: 40 C", [
        'system.ambient: "40 C" has no degree sign; write 40 °C'
    ]),
    ("contactor: master}", "contactor: master, far-end: 15 A}", [
        'feeders.1.far-end: "15 A" is not all of it; write far-end: {fuse: 15 A}'
    ]),
    ("contactor: master}", "contactor: master, far-end: breaker 7.5A}", [
        'feeders.1.far-end: "breaker 7.5A" is not all of it; write far-end: {breaker: 7.5 A}'
    ]),
    ("contactor: master}", "contactor: master, far-end: auto}", [
        'feeders.1.far-end: "auto" is not all of it; write far-end: {fuse: auto}'
    ]),
    ("type: dsub-15", "type: DSUB15", [
        'equipment.radio.connectors.J1.type: there is no type "DSUB15"; did you mean "dsub-15"?'
    ]),
    ("type: dsub-15", "type: HD dsub 26", [
        ('equipment.radio.connectors.J1.type: there is no type "HD dsub 26"; '
         'did you mean "dsub-hd-26"?')
    ]),
    ("resistance: 9 mohm", "resistance: 9 mohm, peukert: 1.1, rates: {1 h: 12 Ah, 20 h: 18 Ah}", [
        "sources.battery.peukert: rates: stands instead of peukert:; leave out one of them"
    ]),
    ("resistance: 9 mohm",
     "resistance: 9 mohm, resistance-by-temperature: {0 °C: 9 mΩ, 20 °C: 8 mΩ}", [
        ("sources.battery.resistance: resistance-by-temperature: stands instead of resistance:; "
         "leave out one of them")
    ]),
    ("on: taxi..cruise", "inrush: {lasts: 2 s}", [
        ("equipment.beacon.inrush: how large it is is missing: write factor: 8 "
         "(times its current), or current: 20 A")
    ]),
    ("on: taxi..cruise", "inrush: {lasts: 2 s, factor: 3, current: 5 A}", [
        "equipment.beacon.inrush.factor: there is also a current; leave out one of the two"
    ]),
    ("output: {1000 rpm: 8 A}", "output: {1000 rpm: 8 A}, cold-output: {1000 rpm: 7 A}", [
        ("sources.alternator.cold-output.1000 rpm: cold it gives 7 A at 1000 rpm, hot 8 A; "
         "cold it gives more. Are output and cold-output swapped?")
    ]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "says"), ONE_CHANGE)
def test_one_sentence(wrong: Wrong, old: str, new: str, says: list[str]) -> None:
    assert wrong(old, new) == says


def test_what_is_like_another_may_say_it_in_the_other_way(tmp_path: Path) -> None:
    spare = "  spare: {like: battery, rates: {1 h: 12 Ah, 20 h: 18 Ah}}\n"
    text = changed("buses:\n", spare + "buses:\n").replace("9 mohm}", "9 mohm, peukert: 1.1}")
    battery = good(reading(tmp_path, text)).document.sources["spare"]
    assert getattr(battery, "rates", None) is not None
    assert getattr(battery, "peukert", None) is None


NOT_COMPOSED = [
    (
        "  block: {place: panel, kind: block}",
        "  block: {place: panel, kind: block, gauge: #8}",
        45,
        "the # begins a comment, and the bracket behind it is not read; write AWG 8",
    ),
    ("buses:", "buses", 1, '"buses" stands alone; write it with a colon, buses:'),
    ("  main: {place: panel}", "  main:{place: panel}", 3, "put a space after the colon: main: {"),
    ("    draw: 1.5 A", "    draw:1.5 A", 5, "put a space after the colon: draw: 1.5 A"),
    (
        "    draw: 1.5 A",
        "     draw: 1.5 A",
        6,
        "this line begins in column 6; the lines it could belong to begin in column 5, 3 or 1",
    ),
    (
        "    draw: 1.5 A",
        "   draw: 1.5 A",
        4,
        "this line begins in column 4; the lines it could belong to begin in column 5, 3 or 1",
    ),
    ("equipment:\n  radio:", "  radio:", 3, 'the lines above begin with "- ", this one does not'),
]


@pytest.mark.parametrize(("old", "new", "column", "says"), NOT_COMPOSED)
def test_a_slip_is_told_at_its_own_line(
    tmp_path: Path, old: str, new: str, column: int, says: str
) -> None:
    found = reading(tmp_path, changed(old, new)).mistakes
    assert len(found) == 1
    assert found[0].place.line == GOOD[: GOOD.index(old)].count("\n") + 1
    assert found[0].place.column == column
    assert found[0].message.startswith(says)


def test_a_missing_space_is_told_at_its_line_wherever_it_is(tmp_path: Path) -> None:
    """Every key of the small system that stands first in its line, one at a time."""
    lines = GOOD.splitlines()
    tried = 0
    for number, line in enumerate(lines):
        key, colon, rest = line.partition(": ")
        if not colon or "{" in key or "[" in key:
            continue
        text = "\n".join([*lines[:number], f"{key}:{rest}", *lines[number + 1 :]]) + "\n"
        found = reading(tmp_path, text).mistakes
        assert [m.place.line for m in found] == [number + 1], (line, found)
        tried += 1
    assert tried >= 12


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        (
            "places: {engine: , panel: , belly: }",
            "places: {engine: , panle: , belly: }",
            35,
            (
                'places.panle: nothing uses "panle", and 6 lines name "panel", the first of them '
                'tern.yaml:9; write "panel" here, or "panle" in those lines'
            ),
        ),
        (
            "  taxi: {lasts",
            "  taix: {lasts",
            3,
            'equipment.beacon.on: there is no phase "taxi"; did you mean "taix"?',
        ),
    ],
)
def test_a_misspelt_entry_is_not_blamed_on_its_uses(
    tmp_path: Path, old: str, new: str, line: int, says: str
) -> None:
    found = said(reading(tmp_path, changed(old, new)))
    assert len(found) == 1
    assert found[0].endswith(says)


def test_a_name_that_is_missing_is_told_once(tmp_path: Path) -> None:
    found = said(reading(tmp_path, changed(", panel: , belly: }", ", belly: }")))
    assert found == [
        (
            'tern.yaml:9:17: buses.main.place: there is no place "panel"; known: engine, belly '
            "(5 more lines name it)"
        )
    ]


@pytest.mark.parametrize(
    "section", ["sources", "buses", "grounds", "equipment", "circuits", "plugs"]
)
def test_a_missing_heading_is_told_once(tmp_path: Path, section: str) -> None:
    found = reading(tmp_path, GOOD.replace(f"\n{section}:\n", "\n")).mistakes
    line = GOOD[: GOOD.index(f"\n{section}:\n")].count("\n") + 2
    assert len(found) == 1, found
    assert found[0].place.line in (line, line + 1)
    assert f"{section}:" in found[0].message or "section" in found[0].message


def test_a_copy_left_in_the_folder_is_one_mistake(tmp_path: Path) -> None:
    (tmp_path / "tern.yaml").write_text(GOOD, encoding="utf-8")
    found = reading(tmp_path, GOOD, "tern (1).yaml").mistakes
    assert not found  # a single file is read by itself
    from elec.read import read

    found = read(tmp_path).mistakes
    assert len(found) == 1
    assert str(found[0].place).startswith("tern (1).yaml:1")
    assert "things given here are given in tern.yaml too" in found[0].message


PLAIN = ('!!str" and', "mapping", "scalar", "sequence", "YAML", "token", "node")


@pytest.mark.parametrize("old", ["{place: panel}", "2 h", "radio}", "[engine, panel]", "J1: {"])
@pytest.mark.parametrize("new", ["[a]", "{a: b}", "!!str x", "a: b", "{", "]", "- a", "x: [", "|"])
def test_messages_are_in_plain_words(tmp_path: Path, old: str, new: str) -> None:
    for mistake in reading(tmp_path, GOOD.replace(old, new, 1)).mistakes:
        assert not any(word in mistake.message for word in PLAIN), mistake.message


def test_a_place_that_no_way_reaches_is_one_mistake(tmp_path: Path) -> None:
    fin = (
        GOOD.replace("belly: }", "belly: , fin: }")
        .replace("equipment:\n", "equipment:\n  lamp: {place: fin, draw: 1 A}\n")
        .replace("circuits:\n", "circuits:\n  lamp: {bus: main, breaker: 2 A, feeds: lamp}\n")
    )
    assert said(reading(tmp_path, fin)) == [
        (
            f"tern.yaml:{fin[: fin.index('places:')].count(chr(10)) + 1}:38: places.fin: "
            "no way leads from fin to panel, where the circuit lamp goes; add to ways: "
            "- {between: [panel, fin], length: 5 ft}, without length while it is not known"
        )
    ]
    good(reading(tmp_path, fin.replace("feeds: lamp}", "feeds: lamp, length: 12 ft}")))
    good(reading(tmp_path, fin.replace("ways:\n", "ways:\n  - {between: [panel, fin]}\n")))


def test_without_any_way_nothing_is_missed(tmp_path: Path) -> None:
    good(reading(tmp_path, GOOD[: GOOD.index("ways:")] + GOOD[GOOD.index("zones:") :]))


@pytest.mark.parametrize(
    ("kind", "meant"),
    [
        ("shielded pair", "2-core AWG 22 shielded"),
        ("twisted pair 20 AWG", "2-core AWG 20 twisted"),
        ("3 core AWG 24 screened", "3-core AWG 24 shielded"),
        ("2-core 18 AWG", "2-core AWG 18"),
    ],
)
def test_a_cable_in_other_words(wrong: Wrong, kind: str, meant: str) -> None:
    assert wrong("2-core AWG 20", kind) == [
        f'multicores.spare.type: "{kind}" does not say how many cores of which gauge; write {meant}'
    ]


@pytest.mark.parametrize("kind", ["2-core shielded", "3-core AWG 22 twisted", "ribbon"])
def test_a_cable_that_can_be_read(tmp_path: Path, kind: str) -> None:
    good(reading(tmp_path, changed("2-core AWG 20", kind)))


def test_the_negative_of_a_source_may_lie_in_a_bundle(tmp_path: Path) -> None:
    way = "[engine, panel], length: 3 ft"
    bundled = "bundled: {a: [battery-negative, {}], b: rest}"
    good(reading(tmp_path, changed(way, f"{way}, {bundled.replace('{}', 'radio', 1)}")))
    found = reading(tmp_path, changed(way, f"{way}, bundled: {{a: battery negative, b: rest}}"))
    assert found.mistakes[0].message.endswith('did you mean "battery-negative"?')


@pytest.mark.parametrize(
    "entry", ["{like: beacon}", "{like: beacon, place: panel}", "{place: belly, passive: yes}"]
)
def test_a_short_entry_stays_in_its_section(tmp_path: Path, entry: str) -> None:
    good(reading(tmp_path, changed("circuits:\n", f"  second: {entry}\ncircuits:\n")))


def test_an_entry_without_what_it_needs_is_told_as_that(wrong: Wrong) -> None:
    assert wrong("circuits:\n", "  second: {name: Second}\ncircuits:\n") == [
        'equipment.second: "place" is missing'
    ]


def test_a_way_given_twice(wrong: Wrong) -> None:
    way = "  - {between: [engine, panel], length: 3 ft}\n"
    assert wrong(way, way + way) == ["ways.2: this way is given already in line 38; take one out"]


@pytest.mark.parametrize(
    ("new", "old", "told"),
    [
        ("plugs:", "connectors:", '"connectors" is called plugs: here (what joins two harnesses)'),
        (
            "multicores:",
            "cables:",
            '"cables" is called multicores: where it has cores, coax: where it is a coaxial line',
        ),
    ],
)
def test_a_section_by_the_name_that_it_had(tmp_path: Path, new: str, old: str, told: str) -> None:
    (mistake,) = reading(tmp_path, changed(f"\n{new}", f"\n{old}")).mistakes
    assert mistake.message == told


def test_cables_in_the_wrong_section_are_told_in_one_sentence(tmp_path: Path) -> None:
    (mistake,) = reading(tmp_path, changed("coax:\n  com: ", "  com: ")).mistakes
    assert mistake.message == "com is a coaxial line: it belongs under coax:"
    (mistake,) = reading(tmp_path, changed("type: RG-400", "type: 2-core AWG 22")).mistakes
    assert mistake.message == "com has cores: it belongs under multicores:"
