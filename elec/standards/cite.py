"""Where a number was published: documents, citations, and the decorator that cites a formula.

In: `documents.toml`. Out: `Cite` records that findings and pages print.
"""

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from elec.record import dataclass

Function = TypeVar("Function", bound=Callable[..., Any])

DATA = Path(__file__).parent / "data"

REMARKS = {
    "seen": "",
    "computed": "computed",
    "memory": "from memory, not checked against the document",
    "judgement": "our judgement",
}
"""What a page says about a number, by how it was got."""


@dataclass(frozen=True, kw_only=True)
class Document:
    """A published document; `certainty` says how its numbers got here."""

    key: str
    short: str
    title: str
    edition: str = ""
    year: str = ""
    publisher: str = ""
    certainty: str = ""


@cache
def documents() -> dict[str, Document]:
    """Give every document that elec cites, by key."""
    import tomllib

    text = (DATA.parent / "documents.toml").read_text(encoding="utf-8")
    return {
        key: Document(key=key, **{name: str(value) for name, value in entry.items()})
        for key, entry in tomllib.loads(text).items()
    }


@dataclass(frozen=True)
class Cite:
    """A place in a document: `Cite("ac4313", "table 11-9")`.

    `certainty` is how this number was got: `seen` in the document's text, `computed` from it,
    from `memory` of it, or `judgement`; empty where the document as a whole is meant.
    """

    document: str
    where: str = ""
    certainty: str = ""

    def __str__(self) -> str:
        """Give the printed form.

        >>> str(Cite("ac4313", "table 11-9"))
        'AC 43.13-1B table 11-9'
        """
        return f"{documents()[self.document].short} {self.where}".strip()

    @property
    def remark(self) -> str:
        """What to print beside the number; empty where the document's text was seen."""
        return REMARKS.get(self.certainty, "")

    @property
    def full(self) -> str:
        """The printed form with the remark in brackets, where there is one."""
        return f"{self} ({self.remark})" if self.remark else str(self)


def source(
    document: str, where: str = "", certainty: str = "seen"
) -> Callable[[Function], Function]:
    """Attach a citation to a formula; several may be stacked, the first one written leads."""

    def attach(function: Function) -> Function:
        earlier = vars(function).get("cites", ())
        vars(function)["cites"] = (Cite(document, where, certainty), *earlier)
        return function

    return attach


def cites(function: Callable[..., Any]) -> tuple[Cite, ...]:
    """Give the citations attached to a formula, in the order written."""
    found: tuple[Cite, ...] = vars(function).get("cites", ())
    return found
