"""How much more fits: adding that much changes no verdict, a step more does."""

from pathlib import Path

import pytest

from elec.answers.base.marks import marks
from elec.attempt.asked import Unclear
from elec.attempt.cores import room_of_core
from elec.attempt.room import Room, room
from elec.attempt.search import EXACT, EXACT_A
from elec.attempt.spot import PROBE, frozen, probed, spot_of
from elec.attempt.verdicts import verdict_changes
from elec.check import run
from elec.finding import Verdict
from elec.read import read
from elec.study import Study
from tests.attempt.test_attempt import SYSTEMS, small
from tests.systems import NAMES


def study_of(path: Path) -> Study:
    system = read(path).system
    assert system is not None
    return Study(system)


def worse_with(study: Study, name: str, current_a: float) -> set[tuple[str, str]]:
    """What all checks, asked from the start, say against so much more load."""
    base, spot = frozen(study), spot_of(study, name, None)
    before = run(probed(base, spot, 1e-3), deep=False)
    loaded = probed(base, spot, current_a)
    after = run(loaded, deep=False)
    own = {PROBE, *(marks(loaded)[i] for i in marks(loaded) if i.startswith(f"{PROBE}/"))}
    return {
        (c.check, c.about)
        for c in verdict_changes(before, after)
        if c.worse and c.after in (Verdict.FAIL, Verdict.ADVISE) and c.check != "load-spread"
        if spot.kind == "place" or not own & {c.about}
    }


@pytest.mark.parametrize("name", ["main", "beacon", "alternator", "battery-to-main", "belly"])
def test_that_much_passes_and_5_percent_more_does_not(name: str, tmp_path: Path) -> None:
    study = study_of(small(tmp_path))
    found = room(study, name)
    assert found.extra_a is not None
    assert found.extra_a > 0
    named = {(b.check, b.about) for b in found.bounds if b.found and b.room_a == found.extra_a}
    assert named
    ours = {"battery-to-main": named, "alternator": named}
    limited = worse_with(study, name, found.extra_a)
    assert not (limited & ours[name] if name in ours else limited)
    beyond = worse_with(study, name, found.extra_a * 1.05 + EXACT_A)
    assert named <= beyond


def test_the_margin_binds_where_it_must(tmp_path: Path) -> None:
    # 80 % of the 16 A that the alternator is rated for, less what cruise draws
    study = study_of(small(tmp_path))
    found = room(study, "main")
    (margin,) = [b for b in found.bounds if (b.check, b.about) == ("alternator-margin", "cruise")]
    from elec.answers.loads.margins import margins

    (load,) = {m.share.asked_a for m in margins(study) if m.phase == "cruise"}
    assert margin.room_a == pytest.approx(0.8 * 16 - load, rel=EXACT)


def test_the_nearest_limit_comes_first_but_for_those_passed_already(tmp_path: Path) -> None:
    found = room(study_of(small(tmp_path)), "main")
    rooms = [b.room_a for b in found.bounds]
    assert rooms == sorted(rooms)
    assert found.extra_a is not None
    assert all(b.room_a == 0 or b.room_a >= found.extra_a for b in found.bounds)
    assert found.extra_w == pytest.approx(found.extra_a * found.voltage_v)


def test_sizes_stay_as_they_are(tmp_path: Path) -> None:
    from elec.sizing.sizing import sizing

    study = study_of(small(tmp_path))
    now, fixed = sizing(study), sizing(frozen(study))
    assert {n: d.rating_a for n, d in now.devices.items()} == {
        n: d.rating_a for n, d in fixed.devices.items()
    }
    assert {n: g.awg for n, g in now.gauges.items()} == {n: g.awg for n, g in fixed.gauges.items()}
    assert not any(d.chosen for d in fixed.devices.values())


@pytest.mark.parametrize("name", NAMES)
def test_sizes_stay_as_they_are_in_the_systems(name: str) -> None:
    from elec.sizing.sizing import sizing

    study = study_of(SYSTEMS / name)
    now, fixed = sizing(study), sizing(frozen(study))
    assert {n: d.rating_a for n, d in now.devices.items()} == {
        n: d.rating_a for n, d in fixed.devices.items()
    }
    assert {n: g.awg for n, g in now.gauges.items()} == {n: g.awg for n, g in fixed.gauges.items()}


def test_a_circuit_draws_more_by_its_own_law(tmp_path: Path) -> None:
    study = study_of(small(tmp_path))
    spot = spot_of(study, "beacon", None)
    more = probed(frozen(study), spot, 2.0).document.equipment
    assert PROBE not in more
    draw = more["beacon"].draw
    assert draw is not None
    assert draw.law == "power"
    assert draw.value == pytest.approx(12 + 2.0 * 14.2)


def test_nothing_binds_in_a_feeder_made_for_its_alternator(tmp_path: Path) -> None:
    found = room(study_of(small(tmp_path)), "main-to-alternator")
    assert found.extra_a is None
    assert found.extra_w is None


@pytest.mark.parametrize(
    ("name", "said"),
    [("mian", 'no bus, source, feeder, circuit, spare cable or place "mian"; did you mean "main"')],
)
def test_names_that_do_not_exist(name: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(Unclear, match=said):
        room(study_of(small(tmp_path)), name)


def test_a_circuit_of_unknown_current_has_nothing_to_add_to(tmp_path: Path) -> None:
    drawn = "{place: belly, draw: 12 W, on: taxi..cruise, basis: typical, peak: 30 W}"
    path = small(tmp_path, **{drawn: "{place: belly}"})
    with pytest.raises(Unclear, match="what beacon draws is not known"):
        room(study_of(path), "beacon")


def kinds(found: Room) -> tuple[str, str]:
    return found.kind, found.bus


def test_what_a_name_means(tmp_path: Path) -> None:
    study = study_of(small(tmp_path))
    spots = {n: spot_of(study, n, None) for n in ("main", "battery", "battery-to-main", "belly")}
    assert {n: (s.kind, s.bus) for n, s in spots.items()} == {
        "main": ("bus", "main"),
        "battery": ("source", "main"),
        "battery-to-main": ("feeder", "main"),
        "belly": ("place", "main"),
    }


# spare cores -------------------------------------------------------------------------------------

SPARE = """
multicores:
  later: {type: 2-core AWG 20, from: panel, to: belly, spare: yes}
  single: {type: 1-core AWG 20, from: panel, to: belly, spare: yes}

coax:
  coax: {type: RG-400, from: panel, to: belly, spare: yes}
"""


@pytest.fixture
def spared(tmp_path: Path) -> Study:
    path = small(tmp_path)
    path.write_text(path.read_text(encoding="utf-8") + SPARE, encoding="utf-8")
    return study_of(path)


def test_a_core_takes_what_its_drop_allows(spared: Study) -> None:
    found = room_of_core(spared, "later.1")
    assert found is not None
    # 5 ft 6 in, 5 % for the route and the slack at both ends; AWG 20 at 80 degC, out and back
    from elec.wiring.runs import runs

    length_m = runs(spared)["later/1"].length_m
    assert length_m is not None
    ohm_per_m = 9.88 / 304.8  # AC 43.13-1B table 11-9: 9.88 ohm in 1000 ft of AWG 20
    loop_ohm = 2 * (ohm_per_m * length_m * (234.5 + 80) / 254.5 + 0.0004)
    assert found.extra_a == pytest.approx(0.5 / loop_ohm, rel=1e-3)
    assert [b.check for b in found.bounds] == ["wire-drop", "wire-drop", "wire-heat"]
    single = room_of_core(spared, "single")
    assert single is not None
    assert found.extra_a is not None
    assert single.extra_a == pytest.approx(2 * found.extra_a, rel=1e-6)


def test_the_heat_of_a_core_is_that_of_a_wire_there(spared: Study) -> None:
    from elec.answers.heat.heat import heat
    from elec.sizing.sizing import sizing

    found = room_of_core(spared, "later")
    assert found is not None
    (warm,) = [b for b in found.bounds if b.check == "wire-heat"]
    wires = [w for w in heat(spared).values() if w.title == "panel to belly"]
    assert sizing(spared).gauges[wires[0].conductor].awg == "20"
    assert warm.room_a == pytest.approx(wires[0].allowed_a)


@pytest.mark.parametrize("name", ["later.9", "coax", "nothing", "beacon"])
def test_what_is_no_spare_core(spared: Study, name: str) -> None:
    assert room_of_core(spared, name) is None
