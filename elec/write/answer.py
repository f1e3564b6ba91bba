"""What stands in the JSON output, as records: the schema that is published is made from them.

In: nothing. Out: `answer_schema`. A test reads every output back into these records and refuses a
field that they do not have, so that the schema says all and nothing else.
"""

from typing import Any

import msgspec
from msgspec import UNSET, Struct, UnsetType

Plain = str | float | int | bool | None
"""A value in the unit of its column; None is not known; an infinite one is the text `infinity`."""


class _Closed(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Nothing stands in the output that is not here."""


class PlaceOut(_Closed, frozen=True, kw_only=True):
    """A spot in the builder's text; line and column count from 1, 0 is not known."""

    file: str
    line: int
    column: int
    path: str


class TermOut(_Closed, frozen=True, kw_only=True):
    """A number of a hand calculation."""

    symbol: str
    value: float | str | None
    unit: str
    meaning: str
    origin: str


class StepOut(_Closed, frozen=True, kw_only=True):
    """A line of a hand calculation."""

    result: TermOut
    formula: str
    terms: list[TermOut]
    source: str
    note: str


class WorkingOut(_Closed, frozen=True, kw_only=True):
    """A hand calculation."""

    title: str
    binds: str
    steps: list[StepOut]


class ValueOut(_Closed, frozen=True, kw_only=True):
    """A cell that says more than its value."""

    value: Plain
    text: str | UnsetType = UNSET
    """As it is printed."""
    verdict: str | UnsetType = UNSET
    working: WorkingOut | UnsetType = UNSET


class ColumnOut(_Closed, frozen=True, kw_only=True):
    """A column: its key ends in its unit."""

    key: str
    head: str
    unit: str


class FindingOut(_Closed, frozen=True, kw_only=True):
    """What a check says of one thing."""

    check: str
    about: str
    verdict: str
    sentence: str
    remedy: str
    consequence: str
    reason: str
    value: float | str | None
    limit: float | str | None
    unit: str
    place: PlaceOut
    sources: list[str]
    working: WorkingOut | None


class _Said(_Closed, frozen=True, kw_only=True, tag_field="kind"):
    """A paragraph."""

    text: str


class TextOut(_Said, frozen=True, kw_only=True, tag="text"):
    """Words."""


class LeadOut(_Said, frozen=True, kw_only=True, tag="lead"):
    """The answer in a sentence or two."""


class NoteOut(_Said, frozen=True, kw_only=True, tag="note"):
    """What belongs to it."""


class CautionOut(_Said, frozen=True, kw_only=True, tag="caution"):
    """What keeps from harm."""


class VerbatimOut(_Said, frozen=True, kw_only=True, tag="verbatim"):
    """Lines as they stand in a file."""


class ItemsOut(_Closed, frozen=True, kw_only=True, tag_field="kind", tag="items"):
    """A list of short texts, with boxes to tick or without."""

    items: list[str]
    boxes: bool


class TableOut(_Closed, frozen=True, kw_only=True, tag_field="kind", tag="table"):
    """A table; a row has a value for the key of each column."""

    id: str
    title: str
    columns: list[ColumnOut]
    rows: list[dict[str, Plain | ValueOut]]
    note: str


class FigureOut(_Closed, frozen=True, kw_only=True, tag_field="kind", tag="figure"):
    """That there is a drawing; it is drawn in other formats."""

    id: str
    title: str
    description: str


class FindingsOut(_Closed, frozen=True, kw_only=True, tag_field="kind", tag="findings"):
    """Findings, and how many there are of each verdict."""

    counts: dict[str, int]
    findings: list[FindingOut]


class WorkingBlockOut(_Closed, frozen=True, kw_only=True, tag_field="kind", tag="working"):
    """A hand calculation by itself."""

    title: str
    binds: str
    steps: list[StepOut]


BlockOut = (
    TextOut | LeadOut | NoteOut | CautionOut | VerbatimOut | ItemsOut | TableOut | FigureOut
    | FindingsOut | WorkingBlockOut
)  # fmt: skip


class SectionOut(_Closed, frozen=True, kw_only=True):
    """A part of a book, or of an answer."""

    id: str
    title: str
    blocks: list[BlockOut]
    sections: list["SectionOut"] | UnsetType = UNSET


class _Head(_Closed, frozen=True, kw_only=True):
    """Which elec wrote it; `format` grows when a field is renamed or changes its meaning."""

    elec: str
    format: int
    cautions: list[str] | UnsetType = UNSET


class AnswerOut(_Head, frozen=True, kw_only=True):
    """What a command answers."""

    id: str
    title: str
    blocks: list[BlockOut]
    sections: list[SectionOut] | UnsetType = UNSET


class BookOut(_Head, frozen=True, kw_only=True):
    """The whole book (`book.json`)."""

    title: str
    subtitle: str
    owner: str
    revision: str
    date: str
    digest: str
    sections: list[SectionOut]


class MistakeOut(_Closed, frozen=True, kw_only=True):
    """Something in the text that cannot be read."""

    message: str
    place: PlaceOut


class MistakesOut(_Head, frozen=True, kw_only=True):
    """In place of an answer, where the text cannot be read."""

    mistakes: list[MistakeOut]


def answer_schema() -> dict[str, Any]:
    """The JSON Schema of all that is written with `--format json`."""
    kinds = (AnswerOut, BookOut, MistakesOut)
    each, parts = msgspec.json.schema_components(kinds, ref_template="#/$defs/{name}")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "What elec answers",
        "anyOf": list(each),
        "$defs": parts,
    }


__all__ = ["AnswerOut", "BookOut", "MistakesOut", "answer_schema"]
