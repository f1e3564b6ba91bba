"""What two systems are laid out to, as it was last looked at."""

import pytest

from tests.systems.laid_out import FILES, analyses, file, text


@pytest.mark.parametrize("name", FILES)
def test_what_is_laid_out_is_what_was_looked_at(name: str) -> None:
    """`python -m tests.systems.laid_out` writes the files anew: read the difference."""
    assert text(name).splitlines() == file(name).read_text(encoding="utf-8").splitlines()


def test_every_analysis_of_the_room_stands_in_it() -> None:
    assert {"runs.runs", "demand.demand", "coils.contacts", "taps.taps"} <= set(analyses())
    assert len(analyses()) > 25
