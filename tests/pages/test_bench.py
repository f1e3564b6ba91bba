"""Papers for the bench: they add up with the schedule, and say what the documents ask."""

import re

import pytest

from elec.answers.time.power_up import power_up
from elec.pages.bench import proving, shopping
from elec.pages.bench import table as bench
from elec.pages.bench.page import sheets
from elec.pages.circuits import power
from elec.pages.table import Cell, Table, Value
from elec.sizing.sizing import sizing
from elec.wiring.chains import chains
from elec.wiring.demand import demand
from elec.wiring.runs import runs
from tests.answers.helper import NAMES, small, whole

INCH = 0.0254


def column(table: Table, key: str) -> list[Value]:
    at = [c.key for c in table.columns].index(key)
    return [row[at] for row in table.rows]


def bare(value: Value) -> object:
    return value.value if isinstance(value, Cell) else value


@pytest.mark.parametrize("name", NAMES)
def test_the_cut_list_has_every_single_wire_once_and_to_the_last_inch(name: str) -> None:
    study = whole(name)
    table = bench.cut_list(study)
    marks = [bare(value) for value in column(table, "mark")]
    wires = bench.single_wires(study)
    assert len(marks) == len(set(marks)) == len(wires)
    reels: dict[str, float] = {}
    reel = ""
    for row in table.rows:
        reel = str(row[0]) or reel
        reels[reel] = float(str(bare(row[3])))
    by_hand: dict[str, float] = {}
    for c in wires:
        length = runs(study)[c.id].length_m
        key = f"AWG {sizing(study).gauges[c.id].awg} "
        cut = 0.0 if length is None else bench.rounded_m(length, study.system.about.units)
        by_hand[key] = by_hand.get(key, 0.0) + cut
    for key, total in by_hand.items():
        mine = sum(v for r, v in reels.items() if r.startswith(key))
        assert mine == pytest.approx(total, abs=1e-6), key  # nothing but rounding of sums


@pytest.mark.parametrize("name", NAMES)
def test_the_shopping_list_has_the_wires_of_the_schedule(name: str) -> None:
    """Needed wire by gauge: the sum of the runs, not rounded."""
    study = whole(name)
    table = shopping.wire_to_buy(study)
    bought = sum(float(str(bare(v))) for v in column(table, "needed_m"))
    runs_m = sum(
        runs(study)[c.id].length_m or 0.0
        for chain in chains(study).by_name.values()
        if chain.kind != "cable"
        for c in chain.conductors()
    )
    assert bought == pytest.approx(runs_m, rel=1e-9)


TEXT = """\
system: {name: Bench, nominal: 14 V}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: panel, capacity: 18 Ah}}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders: [{from: battery, to: main, limiter: auto, length: 1 ft}]
equipment: {lamp: {place: tail, draw: 2 A, ground: block}, odd: {place: panel}}
circuits:
  lamp: {bus: main, breaker: 5 A, feeds: lamp, gauge: AWG 22, length: LENGTH, function: L,
         number: 7}
  odd: {bus: main, breaker: 5 A, feeds: odd, length: 2 in}
places: {panel: , tail: }
ways: [{between: [panel, tail], length: 9 ft}]
"""


@pytest.mark.parametrize(
    ("length", "count"), [("2 in", 0), ("5 in", 1), ("12 in", 2), ("22 in", 3), ("120 in", 9)]
)
def test_labels(length: str, count: int) -> None:
    """AC 43.13-1B 11-208: none below 3 in, one to 7 in, then both ends and every 15 in."""
    table = bench.labels(small(TEXT.replace("LENGTH", length)))
    found = {str(row[0]): bare(row[1]) for row in table.rows}
    assert found["L7A22"] == count


def test_ring_out_by_hand() -> None:
    """10 ft of AWG 22: 16.2 Ω/1000 ft make 0.162 Ω; passes to a fifth and 20 mΩ more."""
    table = proving.ring_out(small(TEXT.replace("LENGTH", "10 ft")))
    row = next(row for row in table.rows if row[0] == "L7A22")
    expected, most = bare(row[3]), bare(row[4])
    assert isinstance(expected, float)
    assert isinstance(most, float)
    assert expected == pytest.approx(0.162, rel=0.02)  # tables of this gauge differ by 2 %
    assert most == pytest.approx(1.2 * expected + 0.020)


def test_pull_test_asks_what_the_specification_asks() -> None:
    """AS7928 class: AWG 22 15 lbf, AWG 8 225 lbf (from memory there)."""
    table = proving.pull_test(whole("foxglove"))
    asked = {str(bare(row[0])): row[1] for row in table.rows}
    assert asked["22"] == 15
    assert asked["16"] == 50


def test_insulation_leaves_antenna_cables_out() -> None:
    study = whole("larkspur")
    marks = {str(row[0]) for row in proving.insulation_test(study).rows}
    coaxial = [c for c in chains(study).conductors() if c.role == "coax"]
    assert coaxial
    assert not any(mark.endswith("-") for mark in marks)


@pytest.mark.parametrize("name", NAMES)
def test_each_step_of_the_power_up_is_its_load_alone(name: str) -> None:
    """A load draws between what it draws at the empty and at the full battery."""
    study = whole(name)
    found = power_up(study)
    assert found is not None
    for step in found.steps:
        draws = [
            next(m.draw for modes in demand(study).loads[load].phases.values() for m in modes)
            for load in step.loads
            if load in demand(study).loads and demand(study).loads[load].phases
        ]
        known = [draw for draw in draws if draw is not None]
        if step.added_a is None or not known or len(known) != len(step.loads):
            continue
        volts = found.supply_v
        low = sum(min(d.current_a(0.7 * volts), d.current_a(volts)) for d in known)
        high = sum(max(d.current_a(0.7 * volts), d.current_a(volts)) for d in known)
        # A coil that pulls in with the switch comes on top: at most 1.5 A here.
        assert low * 0.99 <= step.added_a <= high * 1.01 + 1.5, step


def test_a_load_of_unknown_current_is_not_said_to_draw_nothing() -> None:
    study = small(TEXT.replace("LENGTH", "10 ft"))
    found = power_up(study)
    assert found is not None
    odd = next(step for step in found.steps if step.circuit == "odd")
    assert odd.added_a is None
    assert odd.unknown == ("odd",)
    table = power.first_power(study)
    assert table is not None
    row = next(row for row in table.rows if str(row[0]).startswith("odd"))
    assert row[3] is None


@pytest.mark.parametrize("name", NAMES)
def test_every_paper_is_there(name: str) -> None:
    tables = sheets(whole(name))
    assert [t.id for t in tables] == [
        "cut-list", "labels", "pull-test", "ring-out", "insulation-test", "first-power",
    ]  # fmt: skip
    for table in tables:
        assert table.rows
        assert not re.search(r"approved|airworthy", table.note)


@pytest.mark.parametrize("name", NAMES)
def test_lengths_on_the_drawings_are_those_of_the_cut_list(name: str) -> None:
    """To the last inch: the same text stands at each wire on its sheet and in the list."""
    from elec.drawings.from_study import drawings

    study = whole(name)
    table = bench.cut_list(study)
    lengths = dict(zip(column(table, "mark"), column(table, "length_m"), strict=True))
    drawn = {item.text for sheet in drawings(study).sheets for item in sheet.items}
    seen = 0
    for mark, cell in lengths.items():
        shown = cell.text if isinstance(cell, Cell) else None
        if shown and f"{mark} · {shown}" in drawn:
            seen += 1
        elif shown:
            others = [text for text in drawn if text.startswith(f"{mark} · ")]
            assert not others, f"{mark}: {shown} in the list, {others} on a sheet"
    assert seen >= 0.9 * len(lengths)  # heavy cables stand on the one-line sheets without length
