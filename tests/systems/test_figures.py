"""What is chosen for the systems that come with elec, as it was last looked at."""

import pytest

from tests.systems import NAMES
from tests.systems.figures import file, text


@pytest.mark.parametrize("bare", [False, True], ids=["given", "from-nothing"])
@pytest.mark.parametrize("name", NAMES)
def test_what_is_chosen_is_what_was_looked_at(name: str, bare: bool) -> None:
    """`python -m tests.systems.figures` writes the files anew; docs/changes.md says why."""
    assert text(name, bare=bare) == file(name, bare=bare).read_text(encoding="utf-8")
