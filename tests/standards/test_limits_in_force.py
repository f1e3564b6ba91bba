"""Every limit that stands in the table is in force, with the citation of its row."""

import pytest

from elec.standards import table
from elec.wiring.limits import RULES, published


@pytest.mark.parametrize("key", [row.text("key") for row in table("elec/limits")])
def test_every_limit_is_in_force(key: str) -> None:
    assert key in RULES
    assert published(key).cite == table("elec/limits").row(key=key).cite
