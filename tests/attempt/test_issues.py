"""Issues: frozen as they stood, refused where nothing differs, and told by book and compare."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from elec import cli
from elec.pages.book import book, digest_of
from elec.read import read
from elec.read.kept.issues import BrokenIssue, issues_of
from elec.read.starter import starter
from elec.study import Study
from tests.answers.helper import small

Run = Callable[..., tuple[int, str, str]]
FIRST = ("--reason", "first flight", "--date", "2031-05-04")


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> Run:
    """Run a command beside the starting system; gives exit status, output and errors."""
    (tmp_path / "tern.yaml").write_text(starter("Tern"), encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    def command(*arguments: str) -> tuple[int, str, str]:
        status = cli.main(list(arguments))
        out, err = capfd.readouterr()
        return status, out, err

    return command


def change(old: str, new: str) -> None:
    path = Path("tern.yaml")
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_an_issue_is_the_text_as_it_stood(run: Run) -> None:
    status, out, err = run("issue", "tern.yaml", *FIRST)
    assert (status, err) == (0, "")
    assert out == "Wrote issue 1 to tern-issues/001: first flight.\n"
    kept = Path("tern-issues/001/tern.yaml")
    assert kept.read_bytes() == Path("tern.yaml").read_bytes()
    note = json.loads(Path("tern-issues/001/issue.json").read_text(encoding="utf-8"))
    assert (note["date"], note["reason"], note["issue"]) == ("2031-05-04", "first flight", 1)
    system = read("tern.yaml").system
    assert system is not None
    assert note["digest"] == digest_of(Study(system))
    (one,) = issues_of(Path("tern.yaml"))
    assert one.changed == ()
    assert one.read().system is not None
    kept.write_text("else", encoding="utf-8")
    assert [*one.changed] == ["tern.yaml"]
    assert "changed since it was issued" in run("issue", "tern.yaml")[1]


def test_where_nothing_differs_there_is_nothing_to_issue(run: Run) -> None:
    assert run("issue", "tern.yaml", *FIRST)[0] == 0
    change("# what closes together", "# remark")
    status, out, err = run("issue", "tern.yaml", "--reason", "again", "--date", "2031-06-01")
    assert (status, out) == (2, "")
    assert "Nothing differs from issue 1 (2031-05-04, first flight)" in err
    change("draw: 12 W", "draw: 10 W")
    assert run("issue", "tern.yaml", "--reason", "other beacon", "--date", "2031-06-01")[0] == 0
    assert [one.number for one in issues_of(Path("tern.yaml"))] == [1, 2]
    listed = run("issue", "tern.yaml")[1]
    assert listed.index("first flight") < listed.index("other beacon")


def test_the_last_issue_is_what_a_system_is_compared_with(run: Run) -> None:
    status, _, err = run("compare", "tern.yaml")
    assert status == 2
    assert "elec issue" in err
    assert run("issue", "tern.yaml", *FIRST)[0] == 0
    change("draw: 12 W", "draw: 10 W")
    told = run("compare", "tern.yaml")
    assert told[0] == 0
    assert "than in issue 1" in told[1]
    assert "equipment  beacon" in told[1]
    assert run("compare")[1] == told[1]
    assert run("compare", "tern-issues/001", "tern.yaml")[1].splitlines()[4:] != []
    said = run("compare", "tern.yaml", "--sheet", "--reason", "less")[1]
    assert "issue 1, text " in said


def test_a_folder_keeps_its_issues_in_it(run: Run, tmp_path: Path) -> None:
    (tmp_path / "plane").mkdir()
    Path("tern.yaml").rename("plane/tern.yaml")
    assert run("issue", "plane", *FIRST)[0] == 0
    assert Path("plane/issues/001/tern.yaml").is_file()
    assert read("plane").system is not None
    assert "Nothing differs" in run("compare", "plane")[1]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("--reason", "why"), "add --date"),
        (("--date", "2031-05-04"), "add --reason"),
        (("--reason", " ", "--date", "today"), "add --reason"),
        (("--reason", "two\nlines", "--date", "today"), "in one line"),
    ],
)
def test_wrong_use(run: Run, asked: tuple[str, ...], said: str) -> None:
    status, out, err = run("issue", "tern.yaml", *asked)
    assert (status, out) == (2, "")
    assert said in err
    assert not Path("tern-issues").exists()


def test_a_broken_note_is_told_and_never_taken_for_none(run: Run) -> None:
    assert run("issue", "tern.yaml", *FIRST)[0] == 0
    Path("tern-issues/001/issue.json").write_text("{}", encoding="utf-8")
    with pytest.raises(BrokenIssue):
        issues_of(Path("tern.yaml"))
    for command in ("issue", "compare", "book"):
        status, _, err = run(command, "tern.yaml")
        assert status == 2
        assert "cannot be read as the note of an issue" in err


def test_a_system_with_mistakes_is_not_issued(run: Run) -> None:
    change("draw: 12 W", "draw: 12")
    status, _, err = run("issue", "tern.yaml", *FIRST)
    assert status == 2
    assert "tern.yaml:" in err
    assert not Path("tern-issues").exists()


def test_the_book_lists_the_issues_and_says_what_changed(run: Run) -> None:
    assert run("issue", "tern.yaml", *FIRST)[0] == 0
    change("breaker: 5 A", "breaker: 1 A")
    assert run("book", "tern.yaml", "-o", "book")[0] == 0
    page = Path("book/book.html").read_text(encoding="utf-8")
    assert "What changed?" in page
    told = json.loads(Path("book/book.json").read_text(encoding="utf-8"))
    since = next(one for one in told["sections"] if one["id"] == "changes-since")
    lead = since["blocks"][0]["text"]
    assert lead.startswith("Since issue 1 (2031-05-04: first flight): ")
    assert "not fail in issue 1" in lead
    assert run("book", "tern.yaml", "--for", "aircraft", "-o", "binder.html")[0] == 0
    assert "issue 1: first flight" in Path("binder.html").read_text(encoding="utf-8")


def test_without_issues_a_book_says_nothing_of_them() -> None:
    made = book(small(starter("Tern")))
    assert "changes-since" not in {one.id for one in made.sections}
    assert "What changed?" not in {one.question for one in made.answers}


def test_an_issue_that_reads_no_more_is_said(run: Run) -> None:
    assert run("issue", "tern.yaml", *FIRST)[0] == 0
    Path("tern-issues/001/tern.yaml").write_text("system: {", encoding="utf-8")
    assert run("book", "tern.yaml", "-o", "book")[0] == 0
    page = Path("book/book.html").read_text(encoding="utf-8")
    assert "what differs cannot be told" in page
    assert run("compare", "tern.yaml")[0] == 2
