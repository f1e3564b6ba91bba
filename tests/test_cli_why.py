"""`elec why` takes in one pair of quotes what may be two words."""

from pathlib import Path

import pytest

from elec import cli

FOXGLOVE = str(Path(__file__).parents[1] / "systems" / "foxglove")


@pytest.mark.parametrize(("one", "two"), [("radio drop", "drop"), ("wire-drop radio", "radio")])
def test_one_string_is_found_like_two_words(
    one: str, two: str, capfd: pytest.CaptureFixture[str]
) -> None:
    said = []
    for words in ((one,), (one.replace(f" {two}", ""), two)):
        assert cli.main(["why", FOXGLOVE, *words]) == 0
        said.append(capfd.readouterr().out)
    assert said[0] == said[1]
    assert said[0]
