"""`elec why` takes in one pair of quotes what may be two words."""

from pathlib import Path

import pytest

from elec import cli
from elec.check import ask, ids
from elec.cli.why import _answer
from elec.pages.document import FindingList, Paragraph
from tests.answers.helper import whole

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


@pytest.mark.parametrize("name", ["foxglove", "thistledown"])
def test_no_check_leads_nowhere(name: str) -> None:
    """Its name alone gives every finding that can be asked about, and each is an answer."""
    study = whole(name)
    for check in ids():
        findings = ask(study, check)
        blocks = _answer(study, check, None).blocks
        assert blocks, check
        shown = [f for b in blocks if isinstance(b, FindingList) for f in b.findings]
        assert shown == list(findings), check
        for about in dict.fromkeys(f.about for f in findings):
            assert _answer(study, check, about).blocks, (check, about)


def test_what_a_finding_alone_calls_so_is_found() -> None:
    """The worst minute is no thing of the file."""
    study = whole("foxglove")
    (first, last) = _answer(study, "worst minute", None).blocks
    assert isinstance(first, FindingList)
    assert [f.check for f in first.findings] == ["battery-worst-minute"]
    assert first == _answer(study, "battery-worst-minute", None).blocks[0]
    assert isinstance(last, Paragraph)
    assert "elec flight" in last.text
