"""Each wrong value gives one sentence at its place, in the builder's words."""

from pathlib import Path

import pytest

from tests.read.helper import GOOD, Wrong, changed, good, reading, said

ONE_CHANGE = [
    ("name: Tern,", "nmae: Tern,", ['system.nmae: unknown key "nmae"; did you mean "name"?']),
    ("nominal: 14 V", "nominal: 14 A", [
        'system.nominal: "14 A" is a current; expected a voltage such as "14.2 V"'
    ]),
    ("{name: Tern, nominal: 14 V}", "{name: Tern}", [
        'system: "nominal" is missing: write a voltage, nominal: 14 V'
    ]),
    ("system: {name: Tern, nominal: 14 V}\n", "", [': the section "system" is missing']),
    ("ways:", "wyas:", ['wyas: unknown section "wyas"; did you mean "ways"?']),
    ("kind: lead-acid", "kind: leadacid", [
        ('sources.battery.kind: "leadacid" is none of alternator, lead-acid, '
        'lithium-iron-phosphate, external-power; did you mean "lead-acid"?')
    ]),
    ("kind: lead-acid, ", "", [
        ('sources.battery: "kind" is missing: write one of alternator, lead-acid, '
        "lithium-iron-phosphate, external-power")
    ]),
    ("kind: lead-acid", "knid: lead-acid", [
        'sources.battery.knid: unknown key "knid"; did you mean "kind"?'
    ]),
    ("capacity: 18 Ah", "capacty: 18 Ah", [
        'sources.battery.capacty: unknown key "capacty"; did you mean "capacity"?'
    ]),
    ("main: {place: panel}", "main: panel", [
        'buses.main: expected lines of "key: value"; found the text "panel"'
    ]),
    ("main: {place: panel}", "main: {place: [panel]}", [
        "buses.main.place: expected a text such as place: panel; found a list"
    ]),
    ("limiter: 40 A", "limiter: [40 A]", [
        ("feeders.2.limiter: expected auto, a rating (5 A), or {rating: 5 A, class: ...}; "
        "found a list")
    ]),
    ("limiter: 40 A", "limiter: {rating: 40, class: strip-limiter}", [
        'feeders.2.limiter.rating: "40" has no unit; write 40 A'
    ]),
    ("limiter: 40 A", "limiter: 0 A", [
        'feeders.2.limiter: "0 A" is too small; more than 0 is needed'
    ]),
    ("draw: 12 W", "draw: {law: power, value: 12}", [
        ("equipment.beacon.draw.value: expected a quantity as one text, such as draw: 35 W; "
        'found the text "12"')
    ]),
    ("on: taxi..cruise", "on: {taxi: 10}", [
        'equipment.beacon.on.taxi: "10" has no unit; write 10 %'
    ]),
    ("on: taxi..cruise", "on: [taxi, [cruise]]", [
        "equipment.beacon.on.2: expected a text; found a list"
    ]),
    ("on: taxi..cruise", "on: taxi, shed: 5", [
        'equipment.beacon.shed: "5" has no unit; write 5 s; or write never or at once'
    ]),
    ("on: taxi..cruise", "on: taxi, shed: at onec", [
        ('equipment.beacon.shed: "at onec" is no number with a unit; expected a time such as '
        '"15 s"; or write never or at once')
    ]),
    ("on: taxi..cruise", "when: nite", [
        'equipment.beacon.when: "nite" is none of day, night, always; did you mean "night"?'
    ]),
    ("passive: yes", "passive: si", ['equipment.antenna.passive: "si" is neither yes nor no']),
    ("lasts: 10 min", "lasts: 0 min", [
        'phases.taxi.lasts: "0 min" is nothing; a time here is more than zero'
    ]),
    ("engine: 1200 rpm", "engine: 1200", [
        'phases.taxi.engine: "1200" has no unit; write 1200 rpm'
    ]),
    ("1000 rpm: 8 A", "1000: 8 A", [
        'sources.alternator.output: "1000" has no unit; write 1000 rpm'
    ]),
    ("1000 rpm: 8 A", "1000: 8", [
        'sources.alternator.output: "1000" has no unit; write 1000 rpm; "8" has no unit; write 8 A'
    ]),
    ("[engine, panel], length: 3 ft", "[engine], length: 3 ft", [
        "ways.1.between: expected the two places that this way joins: [panel, belly]"
    ]),
    ("[engine, panel], length: 3 ft", "[engine, panel], length: 0 ft", [
        'ways.1.length: "0 ft" is nothing; a length here is more than zero'
    ]),
    ("service: com", "function: comm", [
        'coax.com.function: "comm" does not fit; expected one or two capital letters'
    ]),
    ("service: com", "number: two", ['coax.com.number: "two" is no whole number']),
    ("resistance: 9 mohm", "peukert: 3", [
        'sources.battery.peukert: "3" is too large; 2 or less is needed'
    ]),
    ("8: ground", "8: {signal: ground, gauge: 22}", [
        'equipment.radio.connectors.J1.pins.8.gauge: "22" has no unit; write AWG 22'
    ]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "says"), ONE_CHANGE)
def test_one_sentence(wrong: Wrong, old: str, new: str, says: list[str]) -> None:
    assert wrong(old, new) == says


def test_names_of_fields_are_no_keys(wrong: Wrong) -> None:
    found = wrong("length: 3 ft", "length_m: 3 ft")
    assert found == ['ways.1.length_m: unknown key "length_m"; did you mean "length"?']


def test_an_unknown_state_of_building(tmp_path: Path) -> None:
    found = reading(tmp_path, GOOD + "build: {beacon: tessted}\n")
    assert [m.message for m in found.mistakes] == [
        (
            '"tessted" is none of planned, cut, pulled, terminated, rung out, tested; '
            'did you mean "tested"?'
        )
    ]
    system = good(reading(tmp_path, GOOD + "build: {beacon: tested, coax: {cut: 9 ft 4 in}}\n"))
    assert system.document.build["beacon"].state == "tested"
    assert system.document.build["coax"].cut_m == pytest.approx(112 * 0.0254)


def test_limits_stay_text(tmp_path: Path) -> None:
    system = good(reading(tmp_path, GOOD + "limits: {wire-drop: 0.4 V}\n"))
    assert system.document.limits == {"wire-drop": "0.4 V"}


def test_the_sentences_of_the_documentation(tmp_path: Path) -> None:
    text = changed("feeds: radio}", "feeds: radio}\n  nav: {bus: mian, breaker: 5, feeds: beacon}")
    found = said(reading(tmp_path, text))
    line = GOOD[: GOOD.index("feeds: radio}")].count("\n") + 2
    assert found == [
        f'tern.yaml:{line}:14: circuits.nav.bus: there is no bus "mian"; did you mean "main"?',
        f'tern.yaml:{line}:29: circuits.nav.breaker: "5" has no unit; write 5 A',
    ]


def test_every_mistake_is_seen_in_one_run(tmp_path: Path) -> None:
    text = GOOD
    wanted = set()
    for old, new, says in ONE_CHANGE:
        # Changes that do not touch each other's lines.
        if (
            says
            and old in text
            and old.startswith(("nominal: 14 V", "capacity", "draw", "service: com"))
        ):
            text = text.replace(old, new, 1)
            wanted.update(says)
    found = {f"{m.place.path}: {m.message}" for m in reading(tmp_path, text).mistakes}
    assert wanted <= found
    assert len(wanted) >= 4


@pytest.mark.parametrize("section", ["buses", "feeders", "equipment", "circuits", "ways", "zones"])
@pytest.mark.parametrize("value", ["text", "[a, b]", "{a: b}", "[[a]]", "{a: [b]}", "{a: {b: c}}"])
def test_any_shape_in_any_section_is_answered(tmp_path: Path, section: str, value: str) -> None:
    found = reading(tmp_path, f"system: {{name: a, nominal: 14 V}}\n{section}: {value}\n")
    assert found.system is None
    for mistake in found.mistakes:
        assert mistake.place.line >= 1
        assert "Input should" not in mistake.message
