"""Trying a change is the same as making it by hand and asking again."""

from collections import Counter
from collections.abc import Mapping
from pathlib import Path

import pytest

from elec.answers.base.marks import marks
from elec.answers.build.difference import endurance_pair, margin_pairs, resized
from elec.answers.connect.free import free_along
from elec.answers.connect.panel import panels
from elec.answers.failures.counted_alone import counted_alone
from elec.answers.loads.margins import margins, margins_by_condition
from elec.answers.time.endurance import endurance
from elec.answers.time.loss import losses
from elec.attempt.asked import AskedChange, Unclear, on_of
from elec.attempt.attempt import Attempt, attempt
from elec.attempt.ways_out import stuck_circuits
from elec.check import run
from elec.finding import Finding, Mistaken, Verdict
from elec.pages.attempt.page import attempt_answer
from elec.pages.document import Paragraph
from elec.read import read
from elec.read.edit import Edits, Value
from elec.read.starter import starter
from elec.sizing.sizing import sizing
from elec.study import Study

SYSTEMS = Path(__file__).parents[2] / "systems"

BELLY = """\
  hand-beacon: {place: belly, draw: 17 W, on: taxi..approach, when: night, basis: estimate}
"""
BEACONS: Mapping[str, tuple[Mapping[str, Value], str, str]] = {
    "foxglove": (
        {
            "place": "belly",
            "draw": "17 W",
            "on": "taxi..approach",
            "bus": "main",
            "when": "night",
            "basis": "estimate",
        },
        BELLY,
        "  hand-beacon: {bus: main, breaker: auto, switch: hand-beacon, feeds: hand-beacon}\n",
    ),
    "larkspur": (
        {"place": "tail-cone", "draw": "1.2 A", "on": "taxi..approach", "bus": "main"},
        "  hand-beacon: {place: tail-cone, draw: 1.2 A, on: taxi..approach, basis: estimate}\n",
        "  hand-beacon: {bus: main, breaker: auto, switch: hand-beacon, feeds: hand-beacon}\n",
    ),
    "thistledown": (
        {"place": "canopy", "draw": "0.3 A", "on": "soaring", "bus": "main"},
        "  hand-beacon: {place: canopy, draw: 0.3 A, on: soaring, basis: estimate}\n",
        "  hand-beacon: {bus: main, fuse: auto, switch: hand-beacon, feeds: hand-beacon}\n",
    ),
}


def small(folder: Path, **changes: str) -> Path:
    """The starting system, with some of its texts replaced."""
    text = starter("Tern")
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    path = folder / "tern.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def add(name: str, **keys: Value) -> AskedChange:
    return AskedChange(
        kind="add", name=name, keys={k.replace("_", "-"): v for k, v in keys.items()}
    )


def test_what_is_tried_by_default_is_said(tmp_path: Path) -> None:
    found = attempt(small(tmp_path), [add("lamp", place="belly", draw="1 A", on="taxi")])
    said = " ".join(found.plan.said)
    assert "only bus" in said
    assert "estimate" in said
    assert "switch of its own, lamp" in said


@pytest.mark.parametrize("name", sorted(BEACONS))
def test_a_beacon_tried_is_a_beacon_added_by_hand(name: str, tmp_path: Path) -> None:
    keys, equipment, circuit = BEACONS[name]
    tried = attempt(SYSTEMS / name, [AskedChange(kind="add", name="hand-beacon", keys=keys)])
    for file in (SYSTEMS / name).iterdir():
        text = file.read_text(encoding="utf-8")
        text += equipment if file.name == "equipment.yaml" else ""
        text += circuit if file.name == "circuits.yaml" else ""
        (tmp_path / file.name).write_text(text, encoding="utf-8")
    edits = Edits.of(tmp_path)  # and into a free position of each panel
    taken = {e.path: e.value for e in tried.plan.edits if e.path[0] == "panels"}
    edits.set_all({path: value for path, value in taken.items() if value is not None})
    edits.write()
    reading = read(tmp_path)
    assert reading.system is not None, reading.mistakes
    hand = Study(reading.system)
    made = run(hand, deep=False)
    assert answers(tried.findings) == answers(made)
    assert tried.circuits == ("hand-beacon",)
    ours, theirs = (sizing(study).devices["hand-beacon"] for study in (tried.after, hand))
    assert (ours.label, ours.family, ours.load_a) == (theirs.label, theirs.family, theirs.load_a)
    gauges = {n: g.awg for n, g in sizing(tried.after).gauges.items()}
    assert gauges == {n: g.awg for n, g in sizing(hand).gauges.items()}
    assert marks(tried.after) == marks(hand)
    spare = {key: m.spare_a for key, m in margins_by_condition(tried.after).items()}
    assert spare == {key: m.spare_a for key, m in margins_by_condition(hand).items()}
    lasts, by_hand = endurance(tried.after), endurance(hand)
    assert lasts is not None
    assert by_hand is not None
    assert lasts.minutes == by_hand.minutes
    # and the changes are those between the two whole runs, counted here again
    before = answers(run(Study(tried.before.system), deep=False))
    differ = {key for key, verdict in answers(made).items() if before.get(key, "pass") != verdict}
    differ |= {key for key in before.keys() - answers(made).keys() if before[key] != "pass"}
    other = {(c.check, c.about) for c in tried.changes if not c.number}
    assert other == differ


def answers(findings: tuple[Finding, ...]) -> dict[tuple[str, str], str]:
    """The worst verdict of every check about every thing."""
    order = ["fail", "advise", "cannot-tell", "accepted", "pass"]
    found: dict[tuple[str, str], str] = {}
    for one in findings:
        key = one.check, one.about
        found[key] = min(found.get(key, "pass"), one.verdict.value, key=order.index)
    return found


def test_the_margin_falls_by_what_the_load_draws(tmp_path: Path) -> None:
    found = attempt(small(tmp_path), [add("lamp", place="belly", draw="2 A", on="taxi..cruise")])
    pairs = {(p.phase, p.condition): p for p in margin_pairs(found.before, found.after)}
    assert set(pairs) == {(p, c) for p in ("taxi", "cruise") for c in ("day", "night")}
    for pair in pairs.values():
        assert pair.before is not None
        assert pair.before.spare_a is not None
        # Loads of constant power draw a little more, for the bus sinks by millivolts.
        assert pair.after.spare_a == pytest.approx(pair.before.spare_a - 2.0, abs=0.01)


def test_only_the_condition_that_changes_is_told_the_least_first(tmp_path: Path) -> None:
    lamp = add("lamp", place="belly", draw="2 A", on="taxi..cruise", when="night")
    pairs = margin_pairs(*_studies(attempt(small(tmp_path), [lamp])))
    assert [(p.phase, p.condition) for p in pairs] == [("taxi", "night"), ("cruise", "night")]
    spare = [p.after.spare_a or 0.0 for p in pairs]
    assert spare == sorted(spare)


def test_margins_of_a_phase_are_the_worse_of_day_and_night(tmp_path: Path) -> None:
    lamp = add("lamp", place="belly", draw="2 A", on="taxi..cruise", when="night")
    study = attempt(small(tmp_path), [lamp]).after
    assert {m.phase: m.condition for m in margins(study)} == {
        "taxi": "night",
        "cruise": "night",
    }


def _studies(found: Attempt) -> tuple[Study, Study]:
    return found.before, found.after


def test_a_load_that_is_too_much_fails_and_says_so(tmp_path: Path) -> None:
    found = attempt(small(tmp_path), [add("heater", place="belly", draw="25 A", on="always")])
    assert found.fails
    failing = {c.check for c in found.changes if c.new_fail}
    assert "alternator-margin" in failing
    assert all(c.finding.remedy for c in found.changes if c.new_fail)


def test_a_load_of_unknown_current_makes_no_total_certain(tmp_path: Path) -> None:
    found = attempt(small(tmp_path), [add("box", place="belly")])
    assert not found.fails
    cannot = {c.check for c in found.changes if c.after is Verdict.CANNOT_TELL}
    assert "load-known" in cannot


def test_what_failed_and_passes_now_is_told(tmp_path: Path) -> None:
    usual = "draw: 12 W, on: taxi..cruise, basis: typical, peak: 30 W"
    much = "draw: 600 W, on: taxi..cruise, basis: typical, duty: 100 %"
    path = small(tmp_path, **{usual: much})
    found = attempt(path, [AskedChange(kind="change", name="beacon", keys={"draw": "12 W"})])
    better = Counter(c.check for c in found.changes if c.after is Verdict.PASS)
    assert better["alternator-margin"] >= 1
    assert not [c for c in found.changes if c.worse]


def test_nothing_is_written_until_asked_and_then_only_these_lines(tmp_path: Path) -> None:
    path = small(tmp_path)
    before = path.read_text(encoding="utf-8")
    found = attempt(path, [add("lamp", place="belly", draw="1 A", on="taxi")])
    assert path.read_text(encoding="utf-8") == before
    found.edits.write()
    after = path.read_text(encoding="utf-8")
    kept = iter(after.splitlines())
    assert all(line in kept for line in before.splitlines()), "every line stays, in its order"
    added = [line for line in after.splitlines() if line not in before.splitlines()]
    names = [line.split(":")[0].strip() for line in added if line]
    assert names == ["# rating of lamp", "lamp", "lamp", "lamp"]
    again = read(path).system
    assert again is not None
    assert answers(run(Study(again), deep=False)) == answers(found.findings)


def test_comments_stay_when_a_value_changes(tmp_path: Path) -> None:
    path = small(tmp_path)
    before = path.read_text(encoding="utf-8").splitlines()
    asked = AskedChange(kind="set", name="ways.panel-to-belly.length", keys={}, value="7 ft")
    attempt(path, [asked]).edits.write()
    after = path.read_text(encoding="utf-8").splitlines()
    differ = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert differ == [
        (
            "  - {between: [panel, belly], length: 5 ft 6 in}",
            "  - {between: [panel, belly], length: 7 ft}",
        )
    ]


def test_what_elec_would_now_choose_otherwise_is_told(tmp_path: Path) -> None:
    asked = AskedChange(kind="set", name="ways.panel-to-belly.length", keys={}, value="60 ft")
    found = attempt(small(tmp_path), [asked])
    assert any(
        r.chain == "beacon" and r.what == "gauge" for r in resized(*_studies(found), frozenset())
    )
    assert not [r for r in resized(*_studies(found), frozenset({"beacon"})) if r.chain == "beacon"]


def test_a_mark_that_moves_is_told(tmp_path: Path) -> None:
    found = attempt(small(tmp_path), [AskedChange(kind="remove", name="radio", keys={})])
    moved = [r for r in resized(*_studies(found), frozenset({"radio"})) if r.what == "mark"]
    assert {r.chain for r in moved} == {"beacon", "field"}
    assert all(r.before != r.after for r in moved)


def test_a_system_with_mistakes_is_not_tried(tmp_path: Path) -> None:
    path = small(tmp_path, **{"bus: main, breaker: auto, feeds: radio": "bus: mian, feeds: radio"})
    with pytest.raises(Mistaken) as caught:
        attempt(path, [add("lamp", place="belly", draw="1 A")])
    assert any('"mian"' in m.message for m in caught.value.mistakes)
    assert "nothing was computed" in str(caught.value)


def test_the_battery_before_and_after(tmp_path: Path) -> None:
    keys: dict[str, Value] = {"place": "belly", "draw": "2 A", "essential": "yes"}
    found = attempt(small(tmp_path), [AskedChange(kind="add", name="lamp", keys=keys)])
    pair = endurance_pair(found.before, found.after)
    assert pair.before is not None
    assert pair.after is not None
    assert pair.before.minutes is not None
    assert pair.after.minutes is not None
    assert pair.after.minutes < pair.before.minutes


# what is left ------------------------------------------------------------------------------------

SPARE = """
multicores:
  later: {type: 2-core AWG 20, from: panel, to: belly, spare: yes}
  elsewhere: {type: 2-core AWG 20, from: engine, to: panel, spare: yes}
panels:
  breakers: {place: panel, columns: 3, rows: [[radio, beacon, free], [field, free, free]]}
"""


def test_what_is_left_along_a_new_circuit(tmp_path: Path) -> None:
    path = small(tmp_path)
    path.write_text(path.read_text(encoding="utf-8") + SPARE, encoding="utf-8")
    found = attempt(path, [add("lamp", place="belly", draw="1 A", on="taxi")])
    free = free_along(found.after, "lamp", found.before)
    spots = {s.holds: s for s in free.spots}
    assert [p.name for p in spots["breakers"].free] == ["CB-1C", "CB-2B", "CB-2C"]
    assert not spots["switches"].laid_out
    (core,) = free.cores
    assert (core.cable, core.cores, core.ends) == ("later", ("1", "2"), ("panel", "belly"))
    assert core.carries
    assert core.drop_v is not None
    assert core.drop_v < core.drop_limit_v


def test_a_spare_core_too_thin_is_no_way_out(tmp_path: Path) -> None:
    path = small(tmp_path)
    text = path.read_text(encoding="utf-8") + SPARE.replace("2-core AWG 20", "2-core AWG 26")
    path.write_text(text, encoding="utf-8")
    found = attempt(path, [add("lamp", place="belly", draw="9 A", on="taxi")])
    (core,) = free_along(found.after, "lamp", found.before).cores
    assert not core.carries
    assert core.drop_v is not None
    assert core.drop_v > core.drop_limit_v or core.allowed_a < core.needed_a


def test_nobody_counted_the_positions(tmp_path: Path) -> None:
    found = attempt(small(tmp_path), [add("lamp", place="belly", draw="1 A")])
    free = free_along(found.after, "lamp", found.before)
    assert [(s.holds, s.laid_out, s.free) for s in free.spots] == [("breakers", False, ())]
    assert free.cores == ()


def test_a_circuit_that_is_there_takes_no_new_position(tmp_path: Path) -> None:
    found = attempt(
        small(tmp_path), [AskedChange(kind="change", name="beacon", keys={"draw": "1 A"})]
    )
    assert free_along(found.after, "beacon", found.before).spots == ()


def test_unclear_says_what_to_write(tmp_path: Path) -> None:
    with pytest.raises(Unclear, match="is a voltage"):
        attempt(small(tmp_path), [add("lamp", place="belly", draw="14 V")])


# -- what is counted of a load once the alternator is lost


@pytest.mark.parametrize(
    ("on", "until", "after", "words"),
    [
        ("taxi", (), (), "is not on in take-off and climb, until"),
        ("taxi, climb", ("climb",), (), "counts in take-off and climb, until"),
        ("climb..cruise", ("climb",), ("cruise",), "then it goes with its bus, main"),
        ("approach", (), ("approach",), "then it goes with its bus, main"),
    ],
)
def test_what_counts_of_a_load_is_what_the_minutes_follow(
    on: str, until: tuple[str, ...], after: tuple[str, ...], words: str
) -> None:
    """The worst minute is at the end of a taxi: the phase that follows counts, not the cruise."""
    asked = add("lamp", place="tail-cone", draw="2 A", on=on_of(on), bus="main")
    found = attempt(SYSTEMS / "larkspur", [asked])
    counted = counted_alone(found.after, "lamp")
    assert counted is not None
    assert (counted.passed, counted.until, counted.after) == (("climb",), until, after)
    before, now = losses(found.before), losses(found.after)
    assert before is not None
    assert now is not None
    assert (now.worst.lasts_s < before.worst.lasts_s - 1) == bool(until)
    paragraphs = [b.text for b in attempt_answer(found).blocks if isinstance(b, Paragraph)]
    assert any(words in text for text in paragraphs)


# -- where it goes on the panel, and what is written of its switch


@pytest.mark.parametrize(
    ("name", "device", "switch"),
    [
        ("bow-light", "LIGHTS", "LIGHTS"),
        ("fog-lamp", "LIGHTS", "LIGHTS"),
        ("second-usb-socket", "CABIN", "FLOAT"),
        ("trim-indicator", "FLOAT AND TRIM", "POWER"),
    ],
)
def test_a_newcomer_stands_under_a_heading_that_fits_its_name(
    name: str, device: str, switch: str
) -> None:
    asked = add(name, place="float-compartment", draw="6 W", on="taxi", bus="main")
    found = attempt(SYSTEMS / "foxglove", [asked])
    layout = panels(found.after)
    spot, toggle = layout.position(name), layout.position(name, switch=True)
    assert spot is not None
    assert toggle is not None
    fits = [one for one in panels(found.before).free("switches") if one.heading == switch]
    assert spot.heading == device
    assert toggle.heading == switch or not fits
    said = " ".join(found.plan.said)
    assert f"takes position {spot.name} of main breakers, under {device}" in said


def test_a_new_switch_gets_an_entry_whose_rating_is_said_to_be_unknown(tmp_path: Path) -> None:
    """So that what stays to be given is seen in the file, and nothing is made up."""
    path = small(tmp_path)
    found = attempt(path, [add("lamp", place="belly", draw="1 A", on="taxi")])
    entry = found.after.document.switches["lamp"]
    assert (entry.kind, entry.place, entry.rating_a) == ("switch", "panel", None)
    assert "+  # rating of lamp: unknown" in found.diff
    assert any("rating of the switch lamp is not known" in said for said in found.plan.said)
    about = [f for f in found.findings if f.check == "switch-rating" and "lamp" in f.sentence]
    assert [f.verdict for f in about] == [Verdict.CANNOT_TELL]
    found.edits.write()
    told = attempt(
        path, [AskedChange(kind="set", name="switches.lamp.rating", keys={}, value="5 A")]
    )
    about = [f for f in told.findings if f.check == "switch-rating" and f.about == "lamp"]
    assert [f.verdict for f in about] == [Verdict.PASS]
    shared = attempt(path, [add("second", place="belly", draw="1 A", on="taxi", switch="lamp")])
    assert "switches:" not in shared.diff


@pytest.mark.parametrize("set_first", [False, True])
def test_a_new_switch_whose_rating_is_given_is_not_said_to_lack_one(
    tmp_path: Path, set_first: bool
) -> None:
    lamp = add("lamp", place="belly", draw="1 A", on="taxi", switch="lamp")
    rating = AskedChange(kind="set", name="switches.lamp.rating", keys={}, value="10 A")
    found = attempt(small(tmp_path), [rating, lamp] if set_first else [lamp, rating])
    assert found.after.document.switches["lamp"].rating_a == 10.0
    assert "unknown" not in found.diff
    assert not any("is not known" in said for said in found.plan.said)


# -- contacts that take no thicker wire ------------------------------------------------------------


@pytest.mark.parametrize("draw", ["3 A", "6 A"])
def test_no_gauge_is_chosen_that_its_contacts_do_not_take_where_the_drop_alone_asks_for_it(
    draw: str,
) -> None:
    keys: dict[str, Value] = {"place": "left-wing", "draw": draw, "bus": "main"}
    keys |= {"on": ["taxi", "climb"], "through": "left-plug"}
    found = attempt(SYSTEMS / "larkspur", [AskedChange(kind="add", name="lamp", keys=keys)])
    assert not [
        f for f in found.findings if f.check == "connector-wire" and f.verdict is Verdict.FAIL
    ]
    named = found.after.document.plugs["left-plug"].pins
    assert (named["R"].signal, named["S"].signal) == ("lamp-feed", "lamp-return")  # were spare
    (drop,) = [f for f in found.findings if f.check == "wire-drop" and f.about == "lamp"]
    assert drop.verdict is Verdict.FAIL
    assert "larger contacts" in drop.remedy
    (stuck,) = stuck_circuits(found)
    texts = [way.text for way in stuck.ways]
    assert texts[0].startswith("Give it a plug of its own beside the left wing root plug")
    assert any(text.startswith("Lead it past the left wing root plug") for text in texts)
    # 6 A are too much for a contact among fourteen loaded ones: no allowed drop mends that
    assert any(text.startswith("Let lamp lose") for text in texts) is (draw == "3 A")
