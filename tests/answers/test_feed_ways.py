"""Independent ways and pairs of failures: by brute force, by hand, by the solved network."""

import random
from itertools import combinations

import networkx as nx
import numpy as np
import pytest

from elec.answers.failures.failure_double import _both, doubles, folded, taken
from elec.answers.failures.failure_list import failures
from elec.answers.failures.failure_states import CHANGED
from elec.answers.failures.failure_sweep import Sweep
from elec.answers.failures.failures import worst_condition
from elec.answers.failures.feed_ways import FeedWays, feed_ways
from elec.answers.failures.shared_places import shared_places
from elec.answers.failures.ways_apart import WayNet, Ways
from elec.answers.time.endurance import cruise_phase
from elec.checks.failure.pair_bundle import failure_pair_bundle
from elec.cli import main
from elec.network.solve import solve
from elec.pages.failures.ways import feed_ways_table
from elec.pages.table import Cell
from elec.study import Study
from elec.wiring.backup import stand_ins
from elec.wiring.cases import NORMAL
from elec.wiring.graph import Link
from tests.answers.helper import NAMES, SYSTEMS, small, whole


def _cut(links: list[Link], without: set[str], starts: list[str], end: str) -> bool:
    """Whether nothing leads from the starts to the end without some links and spots."""
    net: nx.DiGraph[str] = nx.DiGraph()
    net.add_nodes_from((*starts, end))
    for link in links:
        if not {link.id, link.a, link.b} & without:
            net.add_edge(link.a, link.b)
            if link.kind != "diode":
                net.add_edge(link.b, link.a)
    return not any(s not in without and nx.has_path(net, s, end) for s in starts)


@pytest.mark.parametrize("seed", range(30))
def test_as_many_ways_as_the_least_cut_has_things(seed: int) -> None:
    """Menger: tried are all sets of links, then of links and spots, the smallest first."""
    draw = random.Random(seed)  # noqa: S311 - no secret
    spots, starts, end = ["s1", "s2", "p", "q", "r"], ["s1", "s2"], "end"
    links = [
        Link(id=f"l{k}", kind=draw.choice(("feed", "feed", "diode")), a=a, b=b)
        for k in range(draw.randint(3, 8))
        for a, b in [draw.sample([*spots, end], 2)]
    ]
    found = WayNet(links, starts, (end,)).ways((end,))
    names = [link.id for link in links]

    def least(things: list[str]) -> int:
        return next(
            size
            for size in range(len(things) + 1)
            for some in combinations(things, size)
            if _cut(links, set(some), starts, end)
        )

    assert found.by_wire == least(names)
    assert found.independent == least([*names, *spots])
    assert found.starts == tuple(s for s in starts if not _cut(links, set(), [s], end))


def test_ways_of_the_systems_by_hand() -> None:
    """Foxglove: main bus and battery. Larkspur: main bus, hot bus 1, battery 2, stand-by."""
    (one,) = feed_ways(whole("foxglove"))
    assert one.ways == Ways(starts=("alternator.+", "battery.+"), by_wire=2, independent=2)
    found = {one.about: one for one in feed_ways(whole("larkspur"))}
    assert found["bus essential"].ways.by_wire == 4
    assert found["bus engine-a"].ways.by_wire == 2
    pair = found["ecu-a, ecu-b"]
    assert [failure.about for failure in pair.shared] == ["way through the firewall"]
    rows = {str(row[0]): row[4] for row in feed_ways_table(whole("larkspur")).rows}
    cell = rows["engine controller A and engine controller B"]
    assert isinstance(cell, Cell)
    assert cell.value == "way through the firewall (in several bundles)"


ONE_SWITCH = """\
system: {name: One switch, nominal: 14 V, return: wired}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources:
  first: {kind: lead-acid, place: panel, capacity: 18 Ah}
  second: {kind: lead-acid, place: panel, capacity: 18 Ah}
buses: {main: {place: panel, essential: yes}}
grounds: {post: {place: panel}}
feeders:
  - {from: first, to: main, limiter: auto, switch: both}
  - {from: second, to: main, limiter: auto, switch: SWITCH}
switches: {both: {place: panel, rating: 30 A}, other: {place: panel, rating: 30 A}}
equipment: {radio: {place: panel, on: always, draw: 2 A, essential: yes}}
circuits: {radio: {bus: main, breaker: auto, feeds: radio}}
places: {panel: }
"""


def test_two_feeds_through_one_switch_are_two_ways_that_share_it() -> None:
    (one,) = feed_ways(small(ONE_SWITCH.replace("SWITCH", "both")))
    assert (one.ways.by_wire, one.ways.independent) == (2, 2)
    assert "switch both" in [failure.about for failure in one.shared]
    (one,) = feed_ways(small(ONE_SWITCH.replace("SWITCH", "other")))
    assert not [f for f in one.shared if f.kind == "switch"]
    rows = doubles(small(ONE_SWITCH.replace("SWITCH", "other")))
    pairs = {frozenset((a.id, b.id)) for row in rows for a in row.first for b in row.second}
    assert frozenset(("switch:both", "switch:other")) in pairs
    assert frozenset(("switch:both", "source:second")) in pairs
    assert frozenset(("switch:both", "source:first")) not in pairs


TWO_WAYS = """\
system: {name: Two ways, nominal: 14 V, return: wired}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources:
  first: {kind: lead-acid, place: bay, capacity: 18 Ah}
  second: {kind: lead-acid, place: shelf, capacity: 18 Ah}
buses: {left: {place: bay}, right: {place: shelf}}
grounds: {post: {place: bay}}
feeders:
  - {from: first, to: left, limiter: auto}
  - {from: second, to: right, limiter: auto}
equipment:
  one: {place: nose, on: always, draw: 2 A, essential: yes, backup: two, ground: post}
  two: {place: tail, on: always, draw: 2 A, essential: yes, ground: post}
circuits:
  one: {bus: left, breaker: auto, feeds: one, VIA_ONE}
  two: {bus: right, breaker: auto, feeds: two, VIA_TWO}
places: {bay: , shelf: , nose: , tail: , spar: {name: the spar}, floor: , loft: }
ways:
  - {between: [bay, spar], length: 2 ft}
  - {between: [shelf, spar], length: 2 ft}
  - {between: [spar, nose], length: 2 ft}
  - {between: [spar, tail], length: 2 ft}
  - {between: [bay, floor], length: 9 ft}
  - {between: [floor, nose], length: 9 ft}
  - {between: [shelf, loft], length: 9 ft}
  - {between: [loft, tail], length: 9 ft}
zones: {belly: {name: the belly, places: [floor, loft], closes: last}}
"""


@pytest.mark.parametrize(
    ("one", "two", "expected"),
    [
        ("via: spar", "via: spar", ("the spar",)),
        ("via: floor", "via: spar", ()),
        # no place is common to both, but one zone holds either
        ("via: floor", "via: loft", ("the belly",)),
        ("via: [floor, spar]", "via: [spar, loft]", ("the spar", "the belly")),
    ],
)
def test_places_that_all_ways_of_a_pair_pass(one: str, two: str, expected: tuple[str, ...]) -> None:
    study = small(TWO_WAYS.replace("VIA_ONE", one).replace("VIA_TWO", two))
    assert shared_places(study, _pair(study).ends) == expected
    finding = next(iter(failure_pair_bundle(study)))
    assert all(title in finding.sentence for title in expected)
    assert ("No place is passed" in finding.sentence) == (not expected)


def _pair(study: Study) -> FeedWays:
    return next(one for one in feed_ways(study) if one.about == "one, two")


def test_a_second_feed_by_another_place_takes_it_off_the_list() -> None:
    text = TWO_WAYS.replace("VIA_ONE", "via: spar").replace("VIA_TWO", "via: spar")
    again = "circuits:\n  again: {bus: left, breaker: auto, feeds: one, via: floor}"
    study = small(text.replace("circuits:", again))
    assert shared_places(study, _pair(study).ends) == ()


def test_where_a_wire_lies_unknown_no_place_is_ruled_out() -> None:
    text = TWO_WAYS.replace("VIA_ONE", "via: spar").replace("VIA_TWO", "length: 3 ft")
    text = text.replace("[spar, tail]", "[nose, loft]").replace("[loft, tail]", "[bay, loft]")
    study = small(text)
    assert shared_places(study, _pair(study).ends) is None
    assert feed_ways_table(study).rows[-1][-1] is None
    assert "cannot be told" in next(iter(failure_pair_bundle(study))).sentence


@pytest.mark.parametrize("seed", range(10))
def test_folding_loses_and_invents_no_pair(seed: int) -> None:
    draw = random.Random(seed)  # noqa: S311 - no secret
    cuts = {
        pair: frozenset(draw.choice("rs"))
        for pair in combinations(range(8), 2)
        if draw.random() < 0.5
    }
    told = [
        (tuple(sorted((a, b))), what)
        for first, second, what in folded(cuts)
        for a in first
        for b in second
    ]
    assert sorted(told, key=str) == sorted(cuts.items(), key=str)


def _sweep(study: Study, count: int) -> tuple[Sweep, list[tuple[int, int]]]:
    """Some pairs of failures of the list, with the failures alone before them."""
    every = [f for f in failures(study) if f.powers and f.kind != "way"]
    draw = random.Random(5)  # noqa: S311 - no secret
    pairs = draw.sample(list(combinations(range(len(every)), 2)), count)
    return Sweep(
        study, (cruise_phase(study),), (NORMAL, CHANGED), ("momentary",), worst_condition(study),
        which=(*every, *(_both(every[a], every[b]) for a, b in pairs)),
    ), pairs  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_pairs_are_those_that_trying_each_two_finds(name: str) -> None:
    study = whole(name)
    told = {
        frozenset((a.id, b.id)): frozenset(row.taken)
        for row in doubles(study)
        for a in row.first
        for b in row.second
    }
    sweep, pairs = _sweep(study, 400 if name == "larkspur" else 100)
    alone = len(sweep.failures) - len(pairs)
    for column, (a, b) in enumerate(pairs, alone):
        new = taken(sweep, column) - taken(sweep, a) - taken(sweep, b)
        key = frozenset((sweep.failures[a].id, sweep.failures[b].id))
        assert told.get(key, frozenset()) == new, key


@pytest.mark.parametrize("name", NAMES)
def test_the_solved_network_has_no_voltage_at_what_a_pair_takes(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One pair a row, both failed at once, after changing over and before.

    What is open is open here: the 10 GΩ that keep a source without a ground on a common reference
    would let a voltmeter read it through a load that is off.
    """
    monkeypatch.setattr("elec.answers.failures.failure_sweep.ADRIFT_OHM", np.inf)
    study, rows = whole(name), doubles(whole(name))
    both = tuple(_both(row.first[0], row.second[-1]) for row in rows)
    phase = cruise_phase(study)
    sweep = Sweep(
        study, (phase,), (NORMAL, CHANGED), ("momentary",), worst_condition(study), which=both
    )
    bases = range(len(sweep.cases))
    dark = 0
    for column, row in enumerate(rows):
        gone = [
            all(
                np.isnan(v) or abs(v) < 1e-3  # V: rounding; a fed load has volts
                for v in _volts(sweep, base, column, load)
            )
            for base in bases
            for load in row.taken
            if not stand_ins(study).get(load)
        ]
        assert all(gone), both[column].title
        dark += len(gone)
    assert rows
    assert dark or name == "larkspur"


def _volts(sweep: Sweep, base: int, column: int, load: str) -> list[float]:
    load_v = solve(sweep.model.netlist, sweep._values([(base, column)])).load_v
    return [
        float(load_v[k, 0]) for k, port in enumerate(sweep.model.ports) if port.equipment == load
    ]


def test_the_command_tells_pairs_and_ways(capsys: pytest.CaptureFixture[str]) -> None:
    path = str(SYSTEMS / "foxglove")
    assert main(["failures", path, "--pairs"]) == 0
    out = capsys.readouterr().out
    assert "pairs of failures together take" in out
    assert "Independent ways that feed what is essential" in out
    assert main(["failures", path, "--pairs", "--shorts"]) == 2
    assert main(["failures", path, "--pairs", "--phase", "cruise"]) == 2


def test_nothing_essential_has_no_pair_and_no_way() -> None:
    study = small(ONE_SWITCH.replace("SWITCH", "both").replace(", essential: yes", ""))
    assert doubles(study) == ()
    assert feed_ways(study) == ()
