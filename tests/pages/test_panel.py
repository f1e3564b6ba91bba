"""The engraver's table: each text once, with the height of what it belongs to."""

from pathlib import Path

import pytest

from elec.answers.connect.panel import engraving, panels
from elec.pages.circuits.panel import ON_NONE, labels
from elec.read import read
from elec.standards import default
from elec.study import Study
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"


@pytest.mark.parametrize("name", NAMES)
def test_every_taken_position_has_its_text(name: str) -> None:
    system = read(SYSTEMS / name).system
    assert system is not None
    study = Study(system)
    table = labels(study)
    rows = {(row[0], row[1]): row for row in table.rows}
    taken = 0
    for layout in panels(study).by_name.values():
        for position in layout.positions:
            place = ON_NONE if layout.lone else position.name
            row = rows.get((layout.title, place))
            assert (row is None) == (position.subject not in layout.engraved)
            if row is not None and position.subject is not None:
                taken += 1
                assert row[2] == engraving(study, position.subject)
                switch = layout.holds == "switches"
                key = "panel-switch-height" if switch else "panel-breaker-height"
                assert row[3] == default(key).value
    assert taken
