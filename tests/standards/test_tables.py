"""Tables are complete, honest about gaps, and never extrapolated."""

import math
import sys
from pathlib import Path

import pytest

from elec.standards import Cite, NotCovered, cites, documents, source, table
from elec.standards.cite import DATA, REMARKS
from elec.standards.table import PublishedTable, TableRow
from elec.units import SUFFIXES
from tests.standards.names import table_names

HEAD_KEYS = ("document", "where", "title", "read", "between", "certainty", "note")
BETWEEN = ("none", "linear", "log")

PRINTED_UNITS = (
    *("in", "ft", "kft", "lb_per_kft", "lb_per_ft", "ohm_per_kft", "per_ft", "circular_mil"),
    *("mhz", "ms", "lbf", "count", "factor", "share", "ratio", "multiple", "number", "k", "g"),
    "nohm_m",
)
"""Units of printed tables that no quantity inside elec has."""

TEXT_COLUMNS = frozenset(
    {
        *("document", "where", "certainty", "note", "why", "meaning", "title", "key", "unit"),
        *("value", "kind", "load", "device", "case", "family", "chemistry", "breaker_class"),
        *("colour", "digit", "letter", "letters", "insulation", "disturbance", "arrangement"),
        *("shell", "contact_size", "pin", "row", "cable", "specification", "dielectric", "centre"),
        *("braid", "jacket", "equipment", "character", "duty", "on_time", "essential"),
        *("free_air_b", "free_air_m", "k1_nominal", "k2_nominal", "k1_worst", "k2_worst"),
        *("exponent", "least", "greatest", "awg_thin", "awg_thick", "strand_awg"),
        *("contacts_from", "contacts_to", "nominal_basis", "worst_basis", "conductor", "heat"),
        *("what", "stud", "quantity", "most", "word", "kind", "bound", "sheet"),
    }
)


def _tables() -> list[PublishedTable]:
    return [table(name) for name in table_names()]


@pytest.mark.parametrize("one", _tables(), ids=table_names())
def test_head_is_complete(one: PublishedTable) -> None:
    assert one.cite.document in documents()
    assert one.cite.where
    assert one.title
    assert one.read
    assert one.between in BETWEEN
    assert one.cite.certainty in REMARKS
    assert one.name.split("/")[0] in documents()


@pytest.mark.parametrize("one", _tables(), ids=table_names())
def test_columns_say_their_unit(one: PublishedTable) -> None:
    assert len(set(one.columns)) == len(one.columns)
    for column in one.columns:
        if column in TEXT_COLUMNS or column.endswith("_certainty"):
            continue
        endings = (*SUFFIXES, *PRINTED_UNITS)
        said = any(column == e or column.endswith(f"_{e}") for e in endings)
        assert said, f"{column} ends in no unit of SUFFIXES or PRINTED_UNITS"


@pytest.mark.parametrize("one", _tables(), ids=table_names())
def test_rows_are_whole_and_marked(one: PublishedTable) -> None:
    assert one.cells
    for row in one:
        assert len(row.cells) == len(one.columns)
        assert row.cite.document in documents()
        for column in one.columns:
            if column == "certainty" or column.endswith("_certainty"):
                assert row.text(column) in {*REMARKS, ""}


@pytest.mark.parametrize("one", _tables(), ids=table_names())
def test_numeric_columns_hold_numbers(one: PublishedTable) -> None:
    for column in one.columns:
        if column in TEXT_COLUMNS or column.endswith("_certainty") or column == "awg":
            continue
        for row in one:
            if row.has(column):
                row.number(column)


def test_every_head_has_the_same_keys() -> None:
    for name in table_names():
        lines = (DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()
        keys = {line[1:].split(":")[0].strip() for line in lines if line.startswith("#")}
        assert keys | {"note"} == set(HEAD_KEYS), name  # what is not marked would count as seen


def test_a_head_that_lacks_a_key_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    head = (DATA / "ac4313/allowed_drop.csv").read_text(encoding="utf-8")
    (tmp_path / "of.csv").write_text(head.replace("# certainty: seen\n", ""), encoding="utf-8")
    monkeypatch.setattr(sys.modules[PublishedTable.__module__], "DATA", tmp_path)
    with pytest.raises(ValueError, match=r"data/of\.csv: its head lacks certainty"):
        table("of")


def _rising(rows: tuple[TableRow, ...], column: str) -> None:
    numbers = [row.number(column) for row in rows if row.has(column)]
    assert numbers == sorted(numbers), column


def test_thicker_wire_carries_more_and_resists_less() -> None:
    rows = table("ac4313/wire_copper").rows
    for column in ("area_circular_mil", *(f"current_{t}degc_a" for t in (105, 150, 200))):
        _rising(rows, column)
    _rising(rows[::-1], "resistance_20degc_ohm_per_kft")
    for column in ("diameter_in", "conductor_diameter_in", "area_circular_mil"):
        _rising(table("mil_w_22759/wire_copper").rows, column)
    for column in ("breaker_a", "fuse_a"):
        _rising(table("ac4313/protector").rows, column)


def test_fuller_bundle_and_higher_flight_carry_less() -> None:
    curves = table("mil_w_5088/bundle_derating")
    for percent in (20, 40, 60, 80, 100):
        _rising(curves.select(loading_percent=percent)[::-1], "factor")
    _rising(table("ac4313/altitude_derating").rows[::-1], "factor")


def test_fuller_battery_has_more_voltage() -> None:
    for chemistry in ("flooded", "agm", "lifepo4"):
        points = table("elec/battery_voltage").points(
            "state_of_charge_percent", "voltage_v", chemistry=chemistry
        )
        volts = [v for _, v in points]
        assert volts == sorted(volts)
        assert len(volts) >= 10


def test_greater_fuse_resists_less() -> None:
    for family in ("blade-c", "blade-e"):
        _rising(table("elec/fuse_ratings").select(family=family)[::-1], "cold_resistance_mohm")


def test_exact_row_is_found() -> None:
    assert table("ac4313/protector").value("breaker_a", awg="20") == 7.5


def test_gauge_is_text_not_number() -> None:
    areas = table("ac4313/wire_copper")
    assert areas.value("area_circular_mil", awg="0") == 104500
    assert areas.value("area_circular_mil", awg="00") == 133000


def test_empty_cell_is_not_covered() -> None:
    with pytest.raises(NotCovered, match=r"breaker_a .* AC 43\.13-1B table 11-3"):
        table("ac4313/protector").value("breaker_a", awg="0")


def test_unknown_row_is_not_covered() -> None:
    with pytest.raises(NotCovered, match="awg = 21"):
        table("ac4313/protector").value("breaker_a", awg="21")


def test_nothing_between_rows_where_the_table_gives_none() -> None:
    with pytest.raises(NotCovered, match="nothing between"):
        table("ac4313/altitude_derating").value("factor", altitude_ft=30000)


def test_straight_line_between_rows() -> None:
    ambient = table("elec/fuse_ambient")
    # 0.85 at 65 °C and 0.75 at 85 °C: the middle is 0.80
    assert ambient.value("factor", family="blade-e", ambient_degc=75) == pytest.approx(0.80)


def test_logarithmic_between_rows() -> None:
    drops = table("elec/breaker_drop")
    # geometric middle of 1 and 2 A: √(0.85·0.50)
    between = drops.value("drop_v", rating_a=math.sqrt(1 * 2))
    assert between == pytest.approx(math.sqrt(0.85 * 0.50))


@pytest.mark.parametrize("ambient", [-41.0, 126.0])
def test_never_beyond_the_rows(ambient: float) -> None:
    with pytest.raises(NotCovered, match="-40 to 125"):
        table("elec/fuse_ambient").value("factor", family="blade-e", ambient_degc=ambient)


def test_no_line_across_a_gap() -> None:
    voltages = table("elec/battery_voltage")
    with pytest.raises(NotCovered):  # flooded at 0 % is left open by the document
        voltages.value("voltage_v", chemistry="flooded", state_of_charge_percent=5.0)
    assert voltages.value(
        "voltage_v", chemistry="flooded", state_of_charge_percent=15.0
    ) == pytest.approx(11.65)


def test_two_open_keys_are_not_covered() -> None:
    with pytest.raises(NotCovered):
        table("mil_w_5088/bundle_derating").value("factor", wires_count=25, loading_percent=30)


def test_not_covered_says_what_and_where() -> None:
    with pytest.raises(NotCovered) as caught:
        table("ac4313/protector").row(awg="21")
    assert caught.value.name == "awg"
    assert caught.value.value == "21"
    assert caught.value.source == "AC 43.13-1B table 11-3"


def test_cite_prints_document_and_place() -> None:
    assert str(Cite("ac4313", "table 11-9")) == "AC 43.13-1B table 11-9"
    assert Cite("ac4313", "table 11-9", "seen").remark == ""
    memory = Cite("mil_std_704", "normal", "memory")
    assert str(memory).endswith("(from memory, not checked)")


def test_a_row_from_memory_says_so() -> None:
    drop = table("mil_w_22759/wire_copper").row(awg="20")
    assert drop.certainty == "memory"
    assert "memory" in drop.cite.remark
    high = table("ac4313/altitude_derating").row(altitude_ft=60000)
    assert high.certainty == "memory"
    assert table("ac4313/altitude_derating").row(altitude_ft=20000).certainty == "seen"


def test_source_attaches_cites_in_the_order_written() -> None:
    @source("ac4313", "11-66")
    @source("elec", "fit", "computed")
    def formula() -> float:
        return 1.0

    assert [str(c) for c in cites(formula)] == ["AC 43.13-1B 11-66", "elec fit (computed)"]
    assert cites(len) == () if hasattr(len, "__dict__") else True
