"""How much more fits: adding that much changes no verdict, a step more does."""

from pathlib import Path

import pytest

from elec.analyses.marks import marks
from elec.attempt.asked import Unclear
from elec.attempt.room import Room, room
from elec.attempt.search import EXACT, EXACT_A
from elec.attempt.spot import PROBE, frozen, probed, spot_of
from elec.attempt.verdicts import verdict_changes
from elec.check import run
from elec.finding import Verdict
from elec.read import read
from elec.study import Study
from tests.attempt.test_attempt import SYSTEMS, small


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
    # 80 % of the 30 A that the alternator is rated for, less what cruise draws
    study = study_of(small(tmp_path))
    found = room(study, "main")
    (margin,) = [b for b in found.bounds if (b.check, b.about) == ("alternator-margin", "cruise")]
    from elec.analyses.margins import margins

    load = margins(study)["cruise"].load_a
    assert margin.room_a == pytest.approx(0.8 * 30 - load, rel=EXACT)


def test_the_nearest_limit_comes_first_but_for_those_passed_already(tmp_path: Path) -> None:
    found = room(study_of(small(tmp_path)), "main")
    rooms = [b.room_a for b in found.bounds]
    assert rooms == sorted(rooms)
    assert found.extra_a is not None
    assert all(b.room_a == 0 or b.room_a >= found.extra_a for b in found.bounds)
    assert found.extra_w == pytest.approx(found.extra_a * found.voltage_v)


def test_sizes_stay_as_they_are(tmp_path: Path) -> None:
    from elec.analyses.sizing import sizing

    study = study_of(small(tmp_path))
    now, fixed = sizing(study), sizing(frozen(study))
    assert {n: d.rating_a for n, d in now.devices.items()} == {
        n: d.rating_a for n, d in fixed.devices.items()
    }
    assert {n: g.awg for n, g in now.gauges.items()} == {n: g.awg for n, g in fixed.gauges.items()}
    assert not any(d.chosen for d in fixed.devices.values())


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "thistledown"])
def test_sizes_stay_as_they_are_in_the_systems(name: str) -> None:
    from elec.analyses.sizing import sizing

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
    [("mian", 'no bus, source, feeder, circuit or place "mian"; did you mean "main"')],
)
def test_names_that_do_not_exist(name: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(Unclear, match=said):
        room(study_of(small(tmp_path)), name)


def test_a_circuit_of_unknown_current_has_nothing_to_add_to(tmp_path: Path) -> None:
    path = small(
        tmp_path,
        **{"{place: belly, draw: 12 W, on: taxi..cruise, basis: typical}": "{place: belly}"},
    )
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
