"""The issues of a system: the list, what differs since the last, and the lines of the record."""

from collections.abc import Iterator

from msgspec import Struct

from elec.attempt.compared import Compared
from elec.pages.answers import headline
from elec.pages.columns import count, text
from elec.pages.compare.page import compare_blocks, compare_lead, summary_lines
from elec.pages.document import Block, Paragraph, Section, TableBlock
from elec.pages.glance import Answer
from elec.pages.table import Table, Value
from elec.read.kept.issues import Issue
from elec.study import Study

NONE = 'Nothing is issued yet: elec issue SYSTEM --reason "first flight" --date DATE'


class Past(Struct, frozen=True, kw_only=True):
    """What was issued before, and how it stands to the text of today."""

    issues: tuple[Issue, ...]
    since: Compared | None = None
    """The last issue against the text of today; None where it cannot be read any more."""

    @property
    def last(self) -> Issue:
        """The last issue."""
        return self.issues[-1]

    @property
    def named(self) -> str:
        """`issue 3 (2031-05-04: second radio)`."""
        return f"{self.last.name} ({self.last.date}: {self.last.reason})"


def issues_table(issues: tuple[Issue, ...]) -> Table:
    """Every issue: number, date, revision, reason, digest, and whether it stands as it was."""
    return Table(
        id="issues",
        title="Issues",
        columns=(
            count("number", "Issue"),
            text("date", "Date"),
            text("revision", "Revision"),
            text("reason", "Why"),
            text("digest", "Text", 2),
            text("state", "", 2),
        ),
        rows=tuple(
            (one.number, one.date, one.revision, one.reason, one.digest[:12], _state(one))
            for one in issues
        ),
        note="Text: the beginning of the digest that stands on the prints of that issue.",
    )


def _state(one: Issue) -> str:
    return f"changed since it was issued: {', '.join(one.changed)}" if one.changed else ""


def issues_answer(study: Study, issues: tuple[Issue, ...]) -> Section:
    """The answer of `elec issue` alone."""
    block: Block = TableBlock(table=issues_table(issues)) if issues else Paragraph(text=NONE)
    return Section(id="issue", title=headline(study), blocks=(block,), new_page=False)


def since_section(past: Past | None) -> Section:
    """What differs since the last issue, for the book; nothing where nothing was issued."""
    blocks: list[Block] = []
    if past is not None:
        blocks = [
            Paragraph(text=_lead(past), kind="lead"),
            TableBlock(table=issues_table(past.issues)),
        ]
        if past.since is not None:
            blocks += compare_blocks(past.since, past.last.name, whole=True)
    return Section(id="changes-since", title="Since the last issue", blocks=tuple(blocks))


def since_answer(past: Past | None) -> Iterator[Answer]:
    """What a page says of it before anybody scrolls."""
    if past is None:
        return
    lines: tuple[tuple[str, str], ...] = ()
    verdict = ""
    if past.since is not None:
        lines = tuple((line, "changes-since") for line in summary_lines(past.since, past.last.name))
        worse = [change.after for change in past.since.changes if change.worse and change.after]
        verdict = worse[0].value if worse else ""
    yield Answer(question="What changed?", text=_lead(past), ref="changes-since",
                 verdict=verdict, lines=lines)  # fmt: skip


def _lead(past: Past) -> str:
    if past.since is None:
        return f"? Since {past.named}: what differs cannot be told, its text cannot be read."
    return f"Since {past.named}: {compare_lead(past.since, past.last.name)}"


def record_rows(past: Past | None) -> Iterator[tuple[Value, ...]]:
    """A line of the change record for each issue; what was done for it is written by hand."""
    for one in past.issues if past is not None else ():
        yield one.revision, one.date, f"{one.name}: {one.reason}", "", "", ""


__all__ = [
    "Past", "issues_answer", "issues_table", "record_rows", "since_answer", "since_section",
]  # fmt: skip
