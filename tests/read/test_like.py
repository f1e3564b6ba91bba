"""`like:` repeats an entry of the same section with changes."""

from pathlib import Path

from tests.read.helper import GOOD, changed, good, reading, said

BEACON = "  beacon: {place: belly, draw: 12 W, on: taxi..cruise}\n"


def more(entries: str) -> str:
    return changed(BEACON, BEACON + entries)


def test_repeats_with_changes(tmp_path: Path) -> None:
    system = good(
        reading(
            tmp_path,
            more(
                "  second: {like: beacon, place: panel}\n"
                "  third: {like: second, draw: 2 A, name: third one}\n"
                "  fourth: {like: third}\n  box: {like: radio}\n"
            ),
        )
    )
    equipment = system.document.equipment
    assert equipment["second"].place == "panel"
    assert equipment["second"].on == "taxi..cruise"
    assert equipment["second"].draw == equipment["beacon"].draw
    assert equipment["third"].draw is not None
    assert equipment["third"].draw.law == "current"
    assert equipment["third"].name == "third one"
    assert equipment["fourth"].name is None
    assert equipment["fourth"].place == "panel"
    assert equipment["box"].connectors["J1"].pins["3"].signal == "audio"


def test_an_entry_may_come_before_what_it_repeats(tmp_path: Path) -> None:
    text = changed(BEACON, "  second: {like: beacon}\n" + BEACON)
    assert good(reading(tmp_path, text)).document.equipment["second"].place == "belly"


def test_the_place_is_where_the_value_is_written(tmp_path: Path) -> None:
    system = good(reading(tmp_path, more("  second: {like: beacon, place: panel}\n")))
    beacon = system.where("equipment", "beacon", "draw")
    second = system.where("equipment", "second", "draw")
    assert (second.line, second.column) == (beacon.line, beacon.column)
    assert second.path == "equipment.second.draw"
    assert system.where("equipment", "second", "place").line == beacon.line + 1


def test_one_protective_device_takes_the_place_of_the_other(tmp_path: Path) -> None:
    text = changed("feeds: radio}\n", "feeds: radio}\n  again: {like: radio, fuse: 3 A}\n")
    circuit = good(reading(tmp_path, text)).document.circuits["again"]
    assert circuit.breaker is None
    assert circuit.fuse is not None
    assert circuit.fuse.rating_a == 3.0


def test_modes_take_the_place_of_a_draw(tmp_path: Path) -> None:
    text = more("  second: {like: beacon, modes: {low: {draw: 1 A}}}\n")
    assert good(reading(tmp_path, text)).document.equipment["second"].draw is None


def test_modes_take_the_place_of_when_it_is_on(tmp_path: Path) -> None:
    """`on:` of the other would not be read beside them."""
    text = more("  second: {like: beacon, modes: {low: {draw: 1 A, on: taxi}}}\n")
    second = good(reading(tmp_path, text)).document.equipment["second"]
    assert second.on is None
    assert second.modes["low"].on != "always"


def test_an_unknown_name(tmp_path: Path) -> None:
    line = GOOD[: GOOD.index(BEACON)].count("\n") + 2
    found = said(reading(tmp_path, more("  second: {like: becon}\n")))
    assert found == [
        (f'tern.yaml:{line}:18: equipment.second.like: there is no "becon" in equipment; '
        'did you mean "beacon"?')
    ]  # fmt: skip


def test_a_circle(tmp_path: Path) -> None:
    messages = [
        m.message
        for m in reading(
            tmp_path, more("  one: {like: two}\n  two: {like: three}\n  three: {like: one}\n")
        ).mistakes
    ]
    assert messages == ["the entries repeat each other in a circle: one → two → three → one"]
    messages = [m.message for m in reading(tmp_path, more("  one: {like: one}\n")).mistakes]
    assert messages == ["the entries repeat each other in a circle: one → one"]


def test_a_repeated_mistake_is_said_once(tmp_path: Path) -> None:
    text = more("  second: {like: beacon}\n").replace("draw: 12 W", "draw: 12 V")
    assert len(reading(tmp_path, text).mistakes) == 1


def test_no_entry_of_a_list_is_like_another(tmp_path: Path) -> None:
    text = changed("limiter: 40 A}", "limiter: 40 A}\n  - {like: x, from: battery, to: main}")
    messages = [m.message for m in reading(tmp_path, text).mistakes]
    assert len(messages) == 1
    assert messages[0].startswith('unknown key "like"')


def test_the_last_entries_may_only_repeat_others(tmp_path: Path) -> None:
    text = "system: {name: Wren, nominal: 14 V}\nplaces: {hull: }\nequipment:\n"
    text += "  one: {place: hull, draw: 1 A}\n  two: {like: one}\n  three: {like: one}\n"
    assert good(reading(tmp_path, text)).document.equipment["three"].place == "hull"
