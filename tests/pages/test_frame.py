"""`Table.frame()`: a table for a notebook."""

import math
import subprocess
import sys

from elec.pages.circuits.wire import conductors
from elec.pages.table import Cell, Column, Table
from tests.answers.helper import whole

TABLE = Table(
    id="t",
    title="Loads",
    note="by night",
    columns=(
        Column(key="name", head="Load"),
        Column(key="draw_a", head="Draw", unit="a"),
        Column(key="share", head="Share", unit="fraction"),
        Column(key="from", head="End"),
        Column(key="to", head="End"),
    ),
    rows=(
        ("radio", Cell(value=2.5, text="2.5 A"), 0.5, "a", "b"),
        ("beacon", None, 1, "c", None),
        ("none", "", 0, "", "d"),
    ),
)


def test_heads_have_units_and_cells_are_numbers() -> None:
    frame = TABLE.frame()
    assert list(frame.columns) == ["Load", "Draw, A", "Share", "from", "to"]
    assert frame["Draw, A"].dtype == float
    assert frame["Draw, A"][0] == 2.5
    assert math.isnan(frame["Draw, A"][1])  # not known is no number
    assert frame["Draw, A"].sum() == 2.5
    assert frame["to"][1] is None
    assert frame["from"][2] == ""
    assert frame.attrs == {"title": "Loads", "note": "by night"}


def test_a_table_of_a_system_has_all_its_rows() -> None:
    table = conductors(whole("thistledown"))
    frame = table.frame()
    assert frame.shape == (len(table.rows), len(table.columns))


def test_pandas_is_loaded_only_when_asked() -> None:
    text = "import sys, elec.pages.table; assert 'pandas' not in sys.modules"
    subprocess.run([sys.executable, "-c", text], check=True)
