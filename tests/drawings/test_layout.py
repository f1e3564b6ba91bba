"""The layouts as pure functions: bars without clashes, rows in columns."""

import math
import random

import pytest
from msgspec import Struct
from msgspec.structs import replace

from elec.drawings.layout import bars, rows
from elec.drawings.layout.bars import BarBox, FeederLink, LayoutProblem, Own, arrange
from elec.drawings.layout.place import Blocks, layers
from elec.drawings.layout.problem import CROSSING_COST
from elec.drawings.sheets.one_line import _most_bars


def link(name: str, source: str, target: str) -> FeederLink:
    return FeederLink(
        id=name,
        source=source,
        target=target,
        length_mm=40.0,
        above_mm=6.0,
        below_mm=6.0,
        out_mm=60.0,
        in_mm=30.0,
    )


def problem(links: list[tuple[str, str]], owns: str = "") -> LayoutProblem:
    bars = dict.fromkeys(bar for pair in links for bar in pair)
    return LayoutProblem(
        bars=tuple(BarBox(id=bar) for bar in bars),
        links=tuple(link(f"{a}{b}{i}", a, b) for i, (a, b) in enumerate(links)),
        owns=tuple(
            Own(id=f"own {bar}{i}", bar=bar, above_mm=4, below_mm=4) for i, bar in enumerate(owns)
        ),
    )


def test_layers_are_longest_paths() -> None:
    found = arrange(problem([("a", "b"), ("b", "c"), ("a", "c")]), width_mm=1000.0)
    assert found.layer == {"a": 0, "b": 1, "c": 2}
    assert found.x["a"] < found.x["b"] < found.x["c"]
    assert not found.cut


def test_a_tree_needs_no_flag() -> None:
    tree = [("a", "b"), ("a", "c"), ("b", "d"), ("b", "e"), ("c", "f"), ("c", "g")]
    assert not arrange(problem(tree, owns="bbccdefg"), width_mm=1000.0).cut


def test_a_ring_is_cut_once() -> None:
    found = arrange(problem([("a", "b"), ("b", "c"), ("c", "a")]), width_mm=1000.0)
    assert found.cut == {"ca2"}


def test_what_is_too_wide_is_cut() -> None:
    chain = [("a", "b"), ("b", "c"), ("c", "d"), ("d", "e")]
    wide = arrange(problem(chain), width_mm=1000.0)
    narrow = arrange(problem(chain), width_mm=120.0)
    assert not wide.cut
    assert narrow.cut
    assert narrow.right_mm <= 120.0


@pytest.mark.parametrize("seed", range(20))
def test_no_row_runs_through_a_bar_that_is_not_its_own(seed: int) -> None:
    rnd = random.Random(seed)  # noqa: S311  # not for secrets
    names = "abcdefgh"[: rnd.randint(2, 8)]
    links = [(rnd.choice(names), rnd.choice(names)) for _ in range(rnd.randint(1, 12))]
    given = problem(links, owns="".join(rnd.choices(list({a for a, _ in links}), k=9)))
    found = arrange(given, width_mm=1000.0)
    for one in given.links:
        if one.id in found.cut:
            continue
        start, end, y = found.x[one.source], found.x[one.target], found.y[one.id]
        for bar, (top, bottom) in found.span.items():
            if bar not in (one.source, one.target) and start < found.x[bar] < end:
                assert not top <= y <= bottom
    for own in given.owns:
        y = found.y[own.id]
        for bar, (top, bottom) in found.span.items():
            if bar != own.bar and found.x[bar] > found.x[own.bar]:
                assert not top <= y <= bottom


def cell(ref: str, kind: str = "equipment", width: float = 20.0) -> rows.NodeBox:
    return rows.NodeBox(ref=ref, kind=kind, width_mm=width, above_mm=4.0, below_mm=4.0)


def strip(name: str, *cells: rows.NodeBox) -> rows.Strip:
    return rows.Strip(id=name, cells=cells, lengths_mm=(30.0,) * (len(cells) - 1))


def test_columns_follow_the_rows() -> None:
    tier = rows.tier([
        strip("1", cell("bus", "bus"), cell("J1", "connector"), cell("radio")),
        strip("2", cell("ground", "ground"), cell("radio")),
    ])  # fmt: skip
    one, two = tier.keys
    assert [tier.column[key] for key in one] == [0, 1, 2]
    assert tier.column[two[0]] == 1  # a ground stands beside what it returns
    assert one[-1] == two[-1]


def test_boxes_in_opposite_order_are_drawn_twice() -> None:
    tier = rows.tier([strip("1", cell("a"), cell("b")), strip("2", cell("b"), cell("a"))])
    assert len({key for row in tier.keys for key in row}) == 3


def test_a_box_is_parted_by_a_row_that_passes() -> None:
    tier = rows.tier([
        strip("1", cell("a"), cell("J", "connector"), cell("z")),
        strip("2", cell("a"), cell("z")),
        strip("3", cell("a"), cell("J", "connector"), cell("z")),
    ])  # fmt: skip
    parts = rows.parts(tier, 0, 3)
    assert [(p.rows, p.whole) for p in parts if p.cell.ref == "J"] == [((0,), False), ((2,), False)]
    assert [(p.rows, p.whole) for p in parts if p.cell.ref == "z"] == [((0, 1, 2), True)]


def test_rows_are_ordered_so_that_boxes_stay_whole() -> None:
    a = [strip("1", cell("x"), cell("a")), strip("2", cell("x"), cell("b"))]
    b = [strip("3", cell("x"), cell("a"))]
    assert [s.id for s in rows.order([*a, *b])] in (["1", "3", "2"], ["2", "1", "3"])


def test_a_gap_holds_the_longest_text() -> None:
    tier = rows.tier([strip("1", cell("a"), cell("b"))])
    assert tier.middle[1] - tier.middle[0] == pytest.approx(20.0 + 30.0)


def test_an_order_costs_what_its_places_say_and_is_given_up_only_where_it_costs_more() -> None:
    draw = random.Random(5)  # noqa: S311 - no secret
    names = "abcdefgh"
    given = problem([(a, draw.choice(names)) for a in names for _ in range(2)], owns=names)
    links = [one for one in given.links if one.source < one.target]
    given = replace(given, links=tuple(links))
    layer = layers(given, frozenset())
    blocks = Blocks(given, frozenset(), layer)
    for _ in range(30):
        order = tuple(draw.sample(names, len(names)))
        found = blocks.place(order)
        assert found == Blocks(given, frozenset(), layer).place(order)  # whatever stood before
        long = sum(b - a for a, b in found.span.values())
        whole = CROSSING_COST * len(found.conflicts) + found.bottom_mm + 0.2 * long + 3
        for most in (math.inf, whole + 1.0):
            assert blocks.cost(order, moved=3, most=most) == whole
        least = found.bottom_mm + 0.2 * long + 3
        assert blocks.cost(order, moved=3, most=least) == math.inf


def test_many_bars_are_searched_only_so_long(monkeypatch: pytest.MonkeyPatch) -> None:
    placed: list[tuple[str, ...]] = []

    cost = Blocks.cost

    def counted(blocks: Blocks, order: tuple[str, ...], *, moved: int, most: float) -> float:
        placed.append(order)
        return cost(blocks, order, moved=moved, most=most)

    monkeypatch.setattr(Blocks, "cost", counted)
    names = [f"b{k}" for k in range(40)]
    links = [(names[k], names[min(39, 2 * k + 1)]) for k in range(39)]
    bars._improve(problem(links), frozenset(), tuple(names), tuple(names))
    assert sum(map(len, placed)) <= bars.MOST_PLACED + 40
    assert len(set(placed)) == len(placed)  # none twice


@pytest.mark.parametrize("fit", [1, 2, 3, 5, 8, 13, 21])
def test_a_sheet_gets_as_many_bars_as_it_holds(fit: int) -> None:
    class Page(Struct, frozen=True):
        bottom_mm: float

    count, found = _most_bars(lambda n: Page(float(n)), 21, float(fit))  # type: ignore[arg-type,return-value]
    assert (count, found.bottom_mm) == (fit, float(fit))
    assert _most_bars(lambda n: Page(float(n)), 21, 0.0)[0] == 1  # type: ignore[arg-type,return-value]
