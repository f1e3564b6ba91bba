"""What is asked, as changes of the text; and what is said where it cannot be meant."""

from pathlib import Path

import pytest

from elec.attempt.asked import AskedChange, Unclear, inrush_of, on_of, value_of
from elec.attempt.attempt import begun, changed
from elec.attempt.plan import ChangePlan, path_of, plan
from elec.read import read
from elec.read.edit import Value
from elec.study import Study
from tests.attempt.test_attempt import SYSTEMS, small

REFERRED = """
plugs:
  root: {type: circular-38999-20, place: belly, pins: {A: lamp, B: lamp return, C: spare, D: spare}}
wires:
  - {from: radio.J1.3, to: beacon.J1.2}
build: {beacon: tested}
accept:
  - {check: load-basis, about: currents, reason: to be measured}
  - {check: wire-drop, about: beacon, reason: a test}
"""


@pytest.fixture
def study(tmp_path: Path) -> Study:
    system = read(small(tmp_path)).system
    assert system is not None
    return Study(system)


@pytest.fixture
def larkspur() -> Study:
    system = read(SYSTEMS / "larkspur").system
    assert system is not None
    return Study(system)


def asked(kind: str, name: str, value: str | None = None, **keys: Value) -> AskedChange:
    given = {key.replace("_", "-"): text for key, text in keys.items()}
    return AskedChange(kind=kind, name=name, keys=given, value=value)  # type: ignore[arg-type]


def edits(made: ChangePlan) -> dict[str, object]:
    return {".".join(str(p) for p in edit.path): edit.value for edit in made.edits}


# adding ------------------------------------------------------------------------------------------


def test_a_load_gets_a_circuit_and_a_switch_of_its_own(study: Study) -> None:
    made = plan(study, [asked("add", "lamp", place="belly", draw="1 A", on="taxi", bus="main")])
    assert edits(made) == {
        "equipment.lamp": {"place": "belly", "draw": "1 A", "on": "taxi", "basis": "estimate"},
        "circuits.lamp": {"bus": "main", "breaker": "auto", "switch": "lamp", "feeds": "lamp"},
        "switches.lamp": {"kind": "switch", "place": "panel"},
    }
    assert (made.loads, made.circuits) == (("lamp",), ("lamp",))


def test_a_load_that_is_always_on_gets_no_switch(study: Study) -> None:
    made = plan(study, [asked("add", "clock", place="panel", draw="10 mA", bus="main")])
    assert edits(made)["circuits.clock"] == {"bus": "main", "breaker": "auto", "feeds": "clock"}


def test_a_switch_named_alike_is_not_shared_by_accident(study: Study) -> None:
    keys: dict[str, Value] = {"place": "panel", "draw": "1 A", "on": "taxi", "bus": "main"}
    made = plan(study, [AskedChange(kind="add", name="master", keys=keys)])
    circuit = edits(made)["circuits.master"]
    assert isinstance(circuit, dict)
    assert circuit["switch"] == "master-switch"


@pytest.mark.parametrize(("switch", "expected"), [("none", None), ("beacon", "beacon")])
def test_the_switch_that_is_asked_for(study: Study, switch: str, expected: str | None) -> None:
    lamp = asked("add", "lamp", place="belly", draw="1 A", on="taxi", bus="main", switch=switch)
    circuit = edits(plan(study, [lamp]))["circuits.lamp"]
    assert isinstance(circuit, dict)
    assert circuit.get("switch") == expected


def test_the_device_is_of_the_kind_that_the_bus_has() -> None:
    system = read(SYSTEMS / "thistledown").system
    assert system is not None
    made = plan(Study(system), [asked("add", "lamp", place="panel", draw="1 A")])
    circuit = edits(made)["circuits.lamp"]
    assert isinstance(circuit, dict)
    assert (circuit["bus"], circuit["fuse"]) == ("main", "auto")


def test_a_load_may_join_a_circuit(study: Study) -> None:
    made = plan(study, [asked("add", "lamp", place="belly", draw="1 A", circuit="beacon")])
    assert edits(made)["circuits.beacon.feeds"] == ["beacon", "lamp"]
    with pytest.raises(Unclear, match="--bus: lamp joins the circuit beacon, which has its own"):
        plan(study, [asked("add", "lamp", place="belly", circuit="beacon", bus="main")])


def test_through_a_plug_on_its_free_contacts(larkspur: Study) -> None:
    keys: dict[str, Value] = {"place": "left-wing", "draw": "1 A", "bus": "main"}
    made = plan(
        larkspur, [AskedChange(kind="add", name="lamp", keys={**keys, "through": "left-plug"})]
    )
    circuit = edits(made)["circuits.lamp"]
    assert isinstance(circuit, dict)
    assert circuit["through"] == {"left-plug": {"feed": "R", "return": "S"}}
    given = {**keys, "through": "left-plug:S,R"}
    circuit = edits(plan(larkspur, [AskedChange(kind="add", name="lamp", keys=given)]))[
        "circuits.lamp"
    ]
    assert isinstance(circuit, dict)
    assert circuit["through"] == {"left-plug": {"feed": "S", "return": "R"}}
    for text, said in (
        ("left-plug:S", "write left-plug:A,B"),
        ("left-plgu", 'did you mean "left-plug"'),
        ("firewall-plug-a:", "names no feed and return"),
    ):
        with pytest.raises(Unclear, match=said):
            plan(larkspur, [AskedChange(kind="add", name="lamp", keys={**keys, "through": text})])


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"draw": "1 A"}, "--add: say where it sits: --place engine; places: engine, panel, belly"),
        ({"place": "belly", "draw": "1 A", "circuit": "master"}, ""),
    ],
)
def test_what_is_left_out_is_asked_for(study: Study, keys: dict[str, Value], said: str) -> None:
    if not said:
        assert plan(study, [AskedChange(kind="add", name="lamp", keys=keys)]).circuits == (
            "master",
        )
        return
    with pytest.raises(Unclear, match=said):
        plan(study, [AskedChange(kind="add", name="lamp", keys=keys)])


def test_several_buses_ask_for_one(larkspur: Study) -> None:
    with pytest.raises(Unclear, match="say which bus feeds it: --bus main; buses: power, main"):
        plan(larkspur, [asked("add", "lamp", place="belly", draw="1 A")])


def test_names_that_are_there_already(study: Study) -> None:
    with pytest.raises(Unclear, match=r'already equipment "beacon" \(tern.yaml:\d+\); --change'):
        plan(study, [asked("add", "beacon", place="belly")])
    with pytest.raises(Unclear, match=r'already a circuit "field" .* name the new one with'):
        plan(study, [asked("add", "field", place="belly")])
    twice = [asked("add", "lamp", place="belly"), asked("add", "lamp", place="belly")]
    with pytest.raises(Unclear, match='already equipment "lamp"'):
        plan(study, twice)


# changing, taking out, setting -------------------------------------------------------------------


def test_keys_go_to_the_load_and_to_its_circuit(study: Study) -> None:
    made = plan(study, [asked("change", "beacon", draw="25 W", fuse="auto", switch="none")])
    assert edits(made) == {
        "equipment.beacon.draw": "25 W",
        "circuits.beacon.fuse": "auto",
        "circuits.beacon.switch": None,
        "circuits.beacon.breaker": None,
    }
    assert made.circuits == ("beacon",)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (asked("change", "becon", draw="1 A"), 'no equipment "becon"; did you mean "beacon"'),
        (
            asked("change", "field", draw="1 A"),
            '"field" is a circuit; name what it feeds: --change',
        ),
        (asked("change", "beacon"), "say what changes"),
        (asked("remove", "becon"), 'no equipment "becon"'),
        (asked("remove", "circits.beacon"), 'no section "circits"; did you mean "circuits"'),
        (asked("set", "beacon", "1"), 'no section "beacon"'),
        (asked("set", "circuits", "1"), "say which of circuits"),
        (asked("set", "ways.panel-to-tail.length", "1 m"), 'no "panel-to-tail" in ways'),
        (asked("set", "ways.9.length", "1 m"), "by number, ways.1 to ways.2"),
    ],
)
def test_names_that_do_not_exist(study: Study, wrong: AskedChange, said: str) -> None:
    with pytest.raises(Unclear, match=said):
        plan(study, [wrong])


def test_a_load_of_several_modes_asks_which(larkspur: Study) -> None:
    with pytest.raises(Unclear, match=r'equipment\.radio-1\.modes\.receive\.draw=9 W"'):
        plan(larkspur, [asked("change", "radio-1", draw="9 W")])


def test_items_of_lists_by_name_or_number(study: Study) -> None:
    system = study.system
    assert path_of(system, "ways.2.length", "set") == ("ways", 1, "length")
    assert path_of(system, "ways.panel-to-belly.length", "set") == ("ways", 1, "length")
    assert path_of(system, "feeders.main-to-alternator.gauge", "set") == ("feeders", 1, "gauge")
    assert path_of(system, "circuits.beacon.gauge", "set") == ("circuits", "beacon", "gauge")


def test_with_a_load_go_its_circuit_its_switch_and_what_was_said_of_it(tmp_path: Path) -> None:
    path = small(tmp_path)
    text = path.read_text(encoding="utf-8") + REFERRED.replace(
        "  - {from: radio.J1.3, to: beacon.J1.2}\n", "  []\n"
    )
    path.write_text(text, encoding="utf-8")
    reading = read(path)
    assert reading.system is not None, reading.mistakes
    made = plan(Study(reading.system), [asked("remove", "beacon")])
    assert set(edits(made)) == {
        "equipment.beacon", "circuits.beacon", "switches.beacon", "build.beacon", "accept.1",
    }  # fmt: skip
    after = changed(begun(path), made, reading.system).document
    assert "beacon" not in {*after.equipment, *after.circuits, *after.switches, *after.build}
    assert [a.check for a in after.accept] == ["load-basis"]


def test_one_of_several_loads_leaves_the_circuit_to_the_others(tmp_path: Path) -> None:
    path = small(tmp_path, **{"feeds: beacon}": "feeds: [beacon, radio]}"})
    system = read(path).system
    assert system is not None
    made = plan(Study(system), [asked("remove", "beacon")])
    assert edits(made)["circuits.beacon.feeds"] == "radio"
    assert "circuits.beacon" not in edits(made)


def test_who_refers_to_what_goes(tmp_path: Path) -> None:
    before, after = "draw: 2 A, on: taxi..cruise", "draw: 2 A, backup: radio, on: taxi..cruise"
    path = small(tmp_path, **{before: after})
    system = read(path).system
    assert system is not None
    made = plan(Study(system), [asked("remove", "radio")])
    with pytest.raises(Unclear) as caught:
        changed(begun(path), made, system)
    first, second = str(caught.value).splitlines()
    assert first == "radio cannot go alone; others refer to it:"
    line = (
        path.read_text(encoding="utf-8")
        .splitlines()
        .index(next(ln for ln in path.read_text(encoding="utf-8").splitlines() if "backup" in ln))
    )
    assert second.startswith(f"tern.yaml:{line + 1}: equipment.regulator.backup: ")


def test_a_mistake_in_what_is_asked_is_said_under_its_option(tmp_path: Path) -> None:
    path = small(tmp_path)
    system = read(path).system
    assert system is not None
    wrong = asked("add", "lamp", place="bely", draw="14 V", bus="mian", on="cruse", minimum="9")
    with pytest.raises(Unclear) as caught:
        changed(begun(path), plan(Study(system), [wrong]), system)
    said = str(caught.value).splitlines()
    assert sorted(line.split(":")[0] for line in said) == [
        "--bus", "--draw", "--minimum", "--on", "--place",
    ]  # fmt: skip
    assert '--draw: "14 V" is a voltage; a load is a current (2.5 A)' in str(caught.value)
    assert '--minimum: "9" has no unit; write 9 V' in str(caught.value)


PANELS = """
panels:
  devices: {name: breaker panel, place: panel, rows: [[radio, free, beacon], [field, free, free]]}
  knobs: {place: panel, holds: switches, rows: [[beacon, field], [free, free]]}
"""


@pytest.fixture
def laid_out(tmp_path: Path) -> Path:
    path = small(tmp_path)
    text = path.read_text(encoding="utf-8").replace(
        "  - {between: [panel, belly], length: 5 ft 6 in}",
        "  - {between: [panel, belly], length: 5 ft 6 in,\n"
        "     bundled: {one: [beacon, radio], two: rest}}",
    )
    path.write_text(text + PANELS, encoding="utf-8")
    return path


def test_a_newcomer_takes_a_free_position_of_a_panel(laid_out: Path) -> None:
    reading = read(laid_out)
    assert reading.system is not None, reading.mistakes
    lamps = [asked("add", n, place="belly", draw="1 A", on="taxi", bus="main") for n in ("a", "b")]
    made = plan(Study(reading.system), lamps)
    rows = changed(begun(laid_out), made, reading.system).document.panels
    assert rows["devices"].rows == (("radio", "a", "beacon"), ("field", "b", "free"))
    assert rows["knobs"].rows == (("beacon", "field"), ("a", "b"))
    assert "a takes position CB-1B of breaker panel." in made.said


def test_what_goes_leaves_its_position_and_its_bundle(laid_out: Path) -> None:
    system = read(laid_out).system
    assert system is not None
    made = plan(Study(system), [asked("remove", "beacon")])
    after = changed(begun(laid_out), made, system).document
    assert after.panels["devices"].rows[0] == ("radio", "free", "free")
    assert after.panels["knobs"].rows[0] == ("free", "field")
    assert after.ways[1].bundled == {"one": ("radio",), "two": ("rest",)}


# words -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("17W", "17 W"),
        ("2.5A", "2.5 A"),
        ("AWG 20", "AWG 20"),
        ("6ft", "6 ft"),
        ("6 ft 3 in", "6 ft 3 in"),
        ("[a, b]", ["a", "b"]),
        ("{rating: 5 A, class: fast}", {"rating": "5 A", "class": "fast"}),
    ],
)
def test_values(text: str, value: Value) -> None:
    assert value_of(text) == value


def test_words_that_cannot_be_meant() -> None:
    with pytest.raises(Unclear, match="does not close"):
        value_of("[a, b")
    with pytest.raises(Unclear, match="does not say how much for how long"):
        inrush_of("8 x")


def test_when_a_load_is_on() -> None:
    assert on_of("cruise: 10 %, taxi:30 s") == {"cruise": "10 %", "taxi": "30 s"}
    assert on_of("{cruise: 10 %}") == {"cruise": "10 %"}
    assert on_of("[taxi, cruise]") == ["taxi", "cruise"]
