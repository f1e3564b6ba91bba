"""What a check answers: a place in the builder's text, a verdict, a finding.

In: nothing. Out: the frozen records that every later room shares.
"""

import shlex
from collections.abc import Callable, Sequence
from enum import StrEnum
from functools import cached_property

from msgspec import Struct, field

from elec.working import Working


class Place(Struct, frozen=True, kw_only=True):
    """A spot in the builder's text; line and column count from 1, 0 means unknown."""

    file: str = ""
    line: int = 0
    column: int = 0
    path: str = ""

    def __lt__(self, other: "Place") -> bool:
        """In the order of the text."""
        here = self.file, self.line, self.column, self.path
        return here < (other.file, other.line, other.column, other.path)

    def __str__(self) -> str:
        """Give `file:line`, or the path where no line is known."""
        return f"{self.file}:{self.line}" if self.line else self.path or self.file


def quoted(name: str) -> str:
    """A name as one word for the command line, the way every hint prints it.

    >>> quoted("panel to belly"), quoted("landing-light")
    ('"panel to belly"', 'landing-light')
    """
    safe = " ".join("".join(c if c.isprintable() else "\ufffd" for c in name).split())
    if any(c in safe for c in '"$`\\!'):
        return shlex.quote(safe)
    plain = safe and all(c.isalnum() or c in "-_.,:/" for c in safe)
    return safe if plain else f'"{safe}"'


class Verdict(StrEnum):
    """The answer of a check about one thing, worst first."""

    FAIL = "fail"
    ADVISE = "advise"
    CANNOT_TELL = "cannot-tell"
    ACCEPTED = "accepted"
    PASS = "pass"  # noqa: S105 - a verdict


SIGNS = {"fail": "✗", "advise": "⚠", "cannot-tell": "?", "accepted": "☑", "pass": "✓"}
"""The sign of each verdict, worst first; with its word it says in grey what the colour says."""
AGAINST = frozenset({Verdict.FAIL, Verdict.ADVISE, Verdict.ACCEPTED})
"""Verdicts that speak against a thing, whether or not the builder lives with it."""


class Consequence(StrEnum):
    """What happens where a finding comes true, worst first; of one verdict the worst stands first.

    An engine that stops ends the flight wherever it is; an essential bus takes what the landing
    needs; heat may become fire, but a pilot can switch off; all else can wait for the ground (our
    judgement, after the order of hazards in 14 CFR 23.1309).
    """

    ENGINE = "engine stops"
    BUS = "essential bus lost"
    HEAT = "fire or heat"
    OTHER = ""


class Mistake(Struct, frozen=True, kw_only=True):
    """Something in the builder's text that cannot be read; nothing is computed."""

    place: Place
    message: str

    def __str__(self) -> str:
        """Give `file:line:column: path: message`."""
        spot = f"{self.place.file}:{self.place.line}:{self.place.column}: "
        return spot + (f"{self.place.path}: " if self.place.path else "") + self.message


class Mistaken(ValueError):  # noqa: N818 - it names what is so, not a fault of the program
    """A text that cannot be read; `mistakes` has all of them."""

    def __init__(self, mistakes: Sequence[Mistake], summary: str) -> None:
        """Keep the reader's mistakes."""
        super().__init__("\n".join([*map(str, mistakes), summary]))
        self.mistakes = tuple(mistakes)
        self.summary = summary


class Finding(Struct, frozen=True, kw_only=True, dict=True):
    """A check's answer about one thing.

    `value` and `limit` are in `unit`; either is None where the check compares no numbers.
    `sentence` says what is so; `remedy` what to do about it, in the builder's terms (empty for
    a pass); `sources` name the published documents; `working` leads to the number.
    """

    check: str
    about: str
    verdict: Verdict
    sentence: str
    place: Place = field(default_factory=Place)
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    remedy: str = ""
    sources: tuple[str, ...] = ()
    made: Working | Callable[[], Working | None] | None = None
    """The working, or what makes it: most are never looked at."""
    consequence: Consequence = Consequence.OTHER
    """What happens where it comes true, by which findings of one verdict are put in order."""
    reason: str = ""
    """Why the builder accepted it; only with the verdict `accepted`."""
    cause: bool = False
    """Whether it spoils the numbers of others, so that it stands first."""
    follows: str = ""
    """The check whose failure it follows from: it is gone once that is set right."""

    @cached_property
    def working(self) -> Working | None:
        """How the number came about, made when somebody first asks."""
        return self.made() if callable(self.made) else self.made

    def _content(self) -> tuple[object, ...]:
        names = (name for name in self.__struct_fields__ if name != "made")
        return (*(getattr(self, name) for name in names), self.working)

    def __eq__(self, other: object) -> bool:
        """By content: a working that is made later is the same as one that is there."""
        return isinstance(other, Finding) and self._content() == other._content()

    def __hash__(self) -> int:
        return hash(self._content())
