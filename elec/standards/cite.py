"""Where a number was published: documents, citations, and the decorator that cites a formula.

In: `documents.toml`. Out: `Cite` records that findings and pages print.
"""

from collections.abc import Callable, Iterable
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from msgspec import Struct

Function = TypeVar("Function", bound=Callable[..., Any])

DATA = Path(__file__).parent / "data"

REMARKS = {
    "seen": "",
    "computed": "computed",
    "quoted": "as quoted by others",
    "memory": "from memory, not checked",
    "judgement": "our judgement",
}
"""What a page says about a number, by how it was got; from the surest to the least sure."""


class Publication(Struct, frozen=True, kw_only=True):
    """A published document; `certainty` says how its numbers got here."""

    key: str
    short: str
    title: str
    edition: str = ""
    year: str = ""
    publisher: str = ""
    certainty: str = ""


@cache
def documents() -> dict[str, Publication]:
    """Give every document that elec cites, by key."""
    import tomllib

    text = (DATA.parent / "documents.toml").read_text(encoding="utf-8")
    return {
        key: Publication(key=key, **{name: str(value) for name, value in entry.items()})
        for key, entry in tomllib.loads(text).items()
    }


class Cite(Struct, frozen=True):
    """A place in a document: `Cite("ac4313", "table 11-9")`.

    `certainty` is how this number was got: `seen` in the document's text, `computed` from it,
    `quoted` by others, from `memory` of it, or `judgement`; empty where the document as a whole is
    meant.
    """

    document: str
    where: str = ""
    certainty: str = ""

    def __str__(self) -> str:
        """Give the printed form, which always says how the number was got.

        >>> str(Cite("ac4313", "table 11-9", "seen"))
        'AC 43.13-1B table 11-9'
        >>> str(Cite("mil_w_5088", "figure 3", "quoted"))
        'MIL-W-5088L figure 3 (as quoted by others)'
        """
        return f"{self.place} ({self.remark})" if self.remark else self.place

    @property
    def place(self) -> str:
        """The document and the place in it, without the remark: for messages, not for numbers."""
        return f"{documents()[self.document].short} {self.where}".strip()

    @property
    def remark(self) -> str:
        """What to print beside the number; empty where the document's text was seen."""
        return REMARKS.get(self.certainty, "")


def source(
    document: str, where: str = "", certainty: str = "seen"
) -> Callable[[Function], Function]:
    """Attach a citation to a formula; several may be stacked, the first one written leads."""

    def attach(function: Function) -> Function:
        earlier = vars(function).get("cites", ())
        vars(function)["cites"] = (Cite(document, where, certainty), *earlier)
        return function

    return attach


@cache
def cited(*functions: Callable[..., Any]) -> str:
    """What a working prints as the source of a step that formulas compute: all their citations."""
    every = (cite for function in functions for cite in cites(function))
    return "; ".join(dict.fromkeys(str(cite) for cite in every))


def place_of(formula: Callable[..., Any]) -> str:
    """The place of a formula that leads its citations, without the remark: for messages."""
    return cites(formula)[0].place


def least_sure(some: Iterable[Cite]) -> Cite:
    """The citation of which the least is sure: what a whole is worth that rests on all of them."""
    order = tuple(REMARKS)
    return max(some, key=lambda cite: order.index(cite.certainty or "seen"))


def cites(function: Callable[..., Any]) -> tuple[Cite, ...]:
    """Give the citations attached to a formula, in the order written."""
    found: tuple[Cite, ...] = vars(function).get("cites", ())
    return found
