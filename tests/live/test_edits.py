"""A process that has run for long says of every text what a new one says."""

from pathlib import Path

import pytest

from elec.live.answers import Answers
from elec.read.edit import Edits
from tests.live.edits import cold, differing, said, tried


@pytest.mark.parametrize(("system", "count", "pages"), [("foxglove", 3, 1), ("larkspur", 1, 0)])
def test_after_random_edits_it_says_what_a_new_process_says(
    system: str, count: int, pages: int
) -> None:
    """Loads changed, added and deleted, lengths, ratings: word for word and number for number."""
    assert tried(system, count, seed=3, pages=pages) == []


def test_a_difference_would_be_seen() -> None:
    """Another current of one load is told apart in words, numbers and the page."""
    files = {file: file.read_bytes() for file in Path("systems/thistledown").glob("*.yaml")}
    edits = Edits(files)
    loads = [n for n, one in edits.get("equipment").items() if "draw" in one]
    edits.set(("equipment", loads[0], "draw"), "3.3 A")
    warm, other = said(Answers(), files, page=True), cold(edits.files(), page=True)
    assert {"findings", "numbers", "page"} <= set(differing(warm, other))
