"""Lists for others: every wire once, every label, and what is joined as the wires join it."""

import csv
import io
from collections import Counter
from pathlib import Path

import pytest

from elec import cli
from elec.answers.base.marks import marks
from elec.answers.connect.nets import nets
from elec.pages.bench.lists import harness_list, label_list, net_list
from elec.pages.bench.table import labels
from elec.pages.table import Cell, Table, Value
from elec.wiring.chains import chains
from elec.wiring.ends import end_id
from tests.answers.helper import NAMES, SYSTEMS, loads_of, small, whole


def bare(value: Value) -> object:
    return value.value if isinstance(value, Cell) else value


def column(table: Table, key: str) -> list[object]:
    place = [one.key for one in table.columns].index(key)
    return [bare(row[place]) for row in table.rows]


@pytest.mark.parametrize("name", NAMES)
def test_every_wire_is_in_one_net_and_joins_its_ends(name: str) -> None:
    study = whole(name)
    found = nets(study)
    where = Counter(mark for net in found for mark in net.wires)
    assert set(where) == set(marks(study).values())
    assert set(where.values()) == {1}
    assert len({net.name for net in found}) == len(found)
    by_mark = {mark: net for net in found for mark in net.wires}
    for one in chains(study).conductors():
        points = " | ".join(by_mark[marks(study)[one.id]].points)
        for part in (one.a, one.b):
            assert part.kind == "place" or end_id(part) in points


@pytest.mark.parametrize("name", NAMES)
def test_nets_are_parted_by_whatever_opens(name: str) -> None:
    """No two sources or buses are one net, unless a wire alone joins them."""
    study = whole(name)
    document = study.document
    ends = {*document.buses, *(f"{one}.+" for one in document.sources)}
    plain = {
        frozenset((end_id(row.parts[0]), end_id(row.parts[-1])))
        for chain in chains(study).of("feeder")
        for row in chain.rows
        if len(row.parts) == 2
    }
    for net in nets(study):
        some = ends & set(net.points)
        assert len(some) < 2 or any(pair <= some for pair in plain), net.name


def test_a_small_netlist_by_hand() -> None:
    found = {net.name: set(net.points) for net in nets(small(loads_of({"lamp": "1 A"})))}
    assert found["lamp breaker out"] == {"lamp breaker out", "lamp.+"}
    assert found["block"] == {"block", "lamp.-", "battery.-", "alternator.-"}
    assert "lamp breaker in" in found["main"]


def test_spare_cores_with_free_ends_are_not_joined() -> None:
    study = whole("foxglove")
    spare = {
        marks(study)[c.id] for c in chains(study).conductors() if "place" in (c.a.kind, c.b.kind)
    }
    assert spare
    for net in nets(study):
        if spare & set(net.wires):
            assert len(net.wires) == 1
            assert len(net.points) == 2


@pytest.mark.parametrize("name", NAMES)
def test_the_harness_list_has_every_wire(name: str) -> None:
    study = whole(name)
    assert column(harness_list(study), "mark") == [
        marks(study)[one.id]
        for chain in chains(study).by_name.values()
        for one in chain.conductors()
    ]


def test_a_row_a_label() -> None:
    study = whole("foxglove")
    counted = labels(study)
    wanted = dict(zip(column(counted, "mark"), column(counted, "labels_count"), strict=True))
    made = Counter(column(label_list(study), "mark"))
    assert made == {mark: number or 2 for mark, number in wanted.items() if number != 0}


def test_a_label_of_unknown_length_has_both_ends_and_says_so() -> None:
    text = loads_of({"lamp": "1 A"}).replace("places: {panel: }", "places: {panel: , tail: }")
    study = small(text.replace("lamp: {place: panel", "lamp: {place: tail"))
    said = [row[1] for row in label_list(study).rows if "lamp" in f"{row[2]}{row[3]}"]
    assert said[:2] == ["1 of ?", "2 of ?"]


@pytest.mark.parametrize("name", ["netlist", "harness", "labels"])
def test_the_command(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    system = str(SYSTEMS / "yarrow")
    assert cli.main(["export", system, "--to", name]) == 0
    out, err = capfd.readouterr()
    assert err == ""
    rows = list(csv.reader(io.StringIO(out.removeprefix("\ufeff"))))
    assert len({len(row) for row in rows}) == 1
    assert "approves nothing" in rows[0][-1]
    assert cli.main(["export", system, "--to", name, "-o", "list.xlsx"]) == 0
    assert cli.main(["export", system, "--to", name, "--phase", "cruise"]) == 2
    assert "--to spice alone" in capfd.readouterr().err


def test_the_netlist_is_a_row_a_point() -> None:
    study = whole("yarrow")
    assert len(net_list(study).rows) == sum(len(net.points) for net in nets(study))
