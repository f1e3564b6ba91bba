"""The index of references and the legend."""

from elec.drawings.index import index, numbered
from elec.drawings.sheet import SIZES_MM, TitleBlock
from elec.drawings.sheets.circuit import circuit
from elec.drawings.sheets.legend import legend
from elec.drawings.sheets.one_line import one_line
from elec.drawings.symbols import NAMES, shape
from tests.drawings import invented
from tests.drawings.inspect import inspect


def test_every_wire_has_its_sheet_and_zone() -> None:
    sheets = circuit(invented.LIGHTS)
    found = index(sheets)
    spot = found["w1"][0]
    assert str(spot).startswith("1/")
    assert spot.zone[0] in "ABCD"
    assert set(found) >= {f"w{i}" for i in range(1, 13)}
    assert "legend" not in found


def test_numbering_gives_name_count_and_id() -> None:
    sheets = numbered(one_line(invented.system(60)), "P")
    assert [s.title.label for s in sheets] == [f"P{n + 1}" for n in range(len(sheets))]
    assert {s.title.sheets for s in sheets} == {len(sheets)}
    assert [s.id for s in sheets] == [f"sheet-{s.title.label}" for s in sheets]


def test_the_legend_shows_every_symbol_on_every_paper() -> None:
    for size in SIZES_MM:
        sheets = legend(TitleBlock(owner="Foxglove", sheet=9), size)  # type: ignore[arg-type]
        assert [inspect(sheet) for sheet in sheets] == [()] * len(sheets)
        items = [item for sheet in sheets for item in sheet.items]
        words = {item.text for item in items}
        assert {shape(name).title for name in NAMES} <= words
        joined = " ".join(i.text for i in items)
        assert "approves nothing" in joined
        assert "computes." in joined
