"""The one-line diagram: nothing missing, nothing overlapping, on any topology and any paper."""

from collections import Counter

import pytest
from msgspec.structs import replace

from elec.drawings.ink import Placed
from elec.drawings.inputs import Bar, DrawnDevice, DrawnFeeder, OneLine, Source
from elec.drawings.sheet import SIZES_MM, Size
from elec.drawings.sheets.one_line import one_line
from elec.drawings.svg import to_svg
from tests.drawings import invented
from tests.drawings.inspect import inspect


def texts(record: OneLine) -> Counter[str]:
    return Counter(item.text for sheet in one_line(record) for item in sheet.items)


@pytest.mark.parametrize("size", list(SIZES_MM))
@pytest.mark.parametrize("circuits", [0, 1, 12, 30, 60, 140])
def test_no_fault_on_any_paper(circuits: int, size: Size) -> None:
    sheets = one_line(invented.system(circuits, size))
    assert [str(f) for s in sheets for f in inspect(s)] == []
    assert [s.title.sheet for s in sheets] == list(range(1, len(sheets) + 1))


def test_thirty_circuits_fit_one_a3_sheet_without_any_flag() -> None:
    (sheet,) = one_line(invented.system(30, "A3"))
    flags = [item.ref for item in sheet.items if item.kind == "flag"]
    assert all(ref.startswith("circuits ") for ref in flags)  # each bus leads on to its rows


def test_sixty_circuits_take_two_a3_sheets() -> None:
    assert len(one_line(invented.system(60, "A3"))) == 2


@pytest.mark.parametrize(("circuits", "size"), [(30, "A3"), (60, "A3"), (60, "A4"), (60, "Letter")])
def test_every_circuit_source_and_feeder_is_drawn_once(circuits: int, size: Size) -> None:
    record = invented.system(circuits, size)
    found = texts(record)
    for branch in record.branches:
        assert found[f"{branch.mark} · {branch.gauge} · {branch.length}"] == 1, branch
    for source in record.sources:
        assert found[source.label] == 1
    for feeder in record.feeders:
        assert sum(n for t, n in found.items() if t.split(" · ")[0] == feeder.mark) == 1
    placed = Counter(
        i.ink.name
        for s in one_line(record)
        for i in s.items
        if isinstance(i.ink, Placed) and i.kind == "symbol"
    )
    switches = sum(len(b.switches) for b in record.branches)
    assert placed["switch"] == switches + 1  # and the one in a feeder
    assert placed["breaker"] == circuits + 2


@pytest.mark.parametrize("seed", range(50))
def test_random_systems_have_no_fault(seed: int) -> None:
    record = invented.random_system(seed, list(SIZES_MM)[seed % 4])  # type: ignore[arg-type]
    sheets = one_line(record)
    assert [str(f) for s in sheets for f in inspect(s)] == []
    drawn = {item.ref for sheet in sheets for item in sheet.items}
    assert {f.id for f in record.feeders} <= drawn
    assert {b.id for b in record.branches} <= drawn
    assert {s.id for s in record.sources} <= drawn
    assert {b.id for b in record.bars} <= drawn


@pytest.mark.parametrize("seed", range(0, 30, 3))
def test_both_ends_of_a_cut_feeder_have_flags_that_name_each_other(seed: int) -> None:
    record = invented.random_system(seed, "A4")
    flags: Counter[str] = Counter()
    for sheet in one_line(record):
        flags.update(i.ref for i in sheet.items if i.kind == "flag" and "circuits" not in i.ref)
    assert all(count == 2 for count in flags.values()), flags


def test_a_ring_of_feeders_is_drawn() -> None:
    record = OneLine(
        title=invented.TITLE,
        sources=(),
        bars=(Bar(id="a", label="A"), Bar(id="b", label="B"), Bar(id="c", label="C")),
        feeders=tuple(
            DrawnFeeder(id=f"{x}{y}", source=x, target=y, mark=f"P{x}{y}")
            for x, y in (("a", "b"), ("b", "c"), ("c", "a"), ("a", "a"))
        ),
        branches=(),
    )
    assert [str(f) for s in one_line(record) for f in inspect(s)] == []


def test_forty_feeders_from_one_bus_go_on_over_several_sheets() -> None:
    bars = tuple(Bar(id=f"b{i}", label=f"SUB BUS {i}") for i in range(40))
    record = OneLine(
        title=invented.TITLE,
        sources=(Source(id="battery", label="Battery", kind="battery"),),
        bars=(Bar(id="main", label="MAIN"), *bars),
        feeders=tuple(invented.feeder(i, "main", b.id) for i, b in enumerate(bars)),
        branches=(),
        size="A4",
    )
    assert [str(f) for s in one_line(record) for f in inspect(s)] == []


def test_an_unknown_end_is_an_error() -> None:
    record = invented.system(1)
    lost = invented.feeder(99, "main", "nowhere")
    with pytest.raises(ValueError, match="nowhere"):
        one_line(replace(record, feeders=(*record.feeders, lost)))


def test_the_same_bytes_twice() -> None:
    one, two = ("".join(to_svg(s) for s in one_line(invented.system(30))) for _ in range(2))
    assert one == two


def test_a_changeover_of_two_feeders_is_one_thing() -> None:
    change = DrawnDevice(kind="changeover", label="BAT 1 - OFF - BAT 2")
    fuse = DrawnDevice(kind="fuse", rating="15 A")
    record = OneLine(
        title=invented.TITLE,
        sources=tuple(Source(id=f"b{i}", label=f"Battery {i}", kind="battery") for i in (1, 2)),
        bars=(Bar(id="main", label="MAIN"),),
        feeders=tuple(
            DrawnFeeder(id=f"f{i}", source=f"b{i}", target="main", devices=(fuse, change), mark="P")
            for i in (1, 2)
        ),
        branches=(),
        size="A4",
    )
    assert texts(record)[change.label] == 1
    placed = [i.ink.name for s in one_line(record) for i in s.items if isinstance(i.ink, Placed)]
    assert placed.count("fuse") == 3  # one a feeder, and that of the legend
    assert "changeover" not in placed
    assert [str(f) for s in one_line(record) for f in inspect(s)] == []
