"""What is chosen for the systems that come with elec, as it was last looked at."""

import pytest

from tests.systems import NAMES
from tests.systems.figures import file, text


@pytest.mark.parametrize("name", NAMES)
def test_what_is_chosen_is_what_was_looked_at(name: str) -> None:
    """`python -m tests.systems.figures` writes the files anew; docs/changes.md says why."""
    assert text(name) == file(name).read_text(encoding="utf-8")
