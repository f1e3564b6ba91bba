"""What a check is, and the register of all checks.

In: a study. Out: findings, worst first, with what the builder has accepted marked so. A check is
one function in one file `elec/checks/<subject>/<what>.py`; its id is `<subject>-<what>`. Checks
compare; they compute nothing.
"""

import importlib
import pkgutil
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from functools import cache
from inspect import cleandoc

from msgspec import Struct
from msgspec.structs import replace

from elec.finding import Consequence, Finding, Verdict
from elec.model.system import System
from elec.standards import Cite, NotCovered
from elec.study import Study
from elec.wiring.limits import published

Function = Callable[[Study], Iterable[Finding]]
Meant = Callable[[Study], System]
"""The system as it was probably meant, where a check fails because something cannot be meant."""

ORDER = (Verdict.FAIL, Verdict.ADVISE, Verdict.CANNOT_TELL, Verdict.ACCEPTED, Verdict.PASS)
OPEN = (Verdict.FAIL, Verdict.ADVISE, Verdict.CANNOT_TELL)


class Check(Struct, frozen=True, kw_only=True):
    """One question put to the system."""

    id: str
    title: str
    why: str
    """Why it matters and what to do; the function's docstring."""
    sources: tuple[Cite, ...]
    """Where the rule stands, and where its limits do."""
    limits: tuple[str, ...]
    """Keys of the limits it compares with, which a builder may tighten."""
    function: Function
    printed: tuple[str, ...]
    """The sources as findings print them."""
    deep: bool
    """True where it follows whole flights through time and takes long."""
    heats: bool
    """True where its finding is heat or fire where it comes true, unless it says worse."""
    given: str
    """What it goes by that a builder may leave out: it then says nothing, which is no pass."""
    meant: Meant | None
    """Given where its failure spoils the numbers of other checks: it then stands first."""


_REGISTER: dict[str, Check] = {}


def check(
    title: str,
    *,
    sources: Iterable[Cite],
    limits: Iterable[str] = (),
    deep: bool = False,
    heats: bool = False,
    given: str = "",
    meant: Meant | None = None,
) -> Callable[[Function], Function]:
    """Enter a function of the study into the register under the name of its folder and file.

    Args:
        title: what is so when it passes, as a sentence without a full stop.
        sources: where the rule was published; those of the limits are added.
        limits: keys of `elec.wiring.limits` that it compares with.
        deep: whether it takes long, and the quick answer leaves it to the book.
        heats: whether it speaks of heat or fire.
        given: the key without which it says nothing.
        meant: the system with what cannot be meant set right; what is open only until then follows.
    """

    def enter(function: Function) -> Function:
        _, _, subject, what = function.__module__.split(".")
        name = f"{subject}-{what}".replace("_", "-")
        if name in _REGISTER:
            raise ValueError(f"two checks are called {name}")
        keys = tuple(limits)
        every = tuple(dict.fromkeys([*sources, *(published(key).cite for key in keys)]))
        _REGISTER[name] = Check(
            id=name,
            title=title,
            why=cleandoc(function.__doc__ or ""),
            sources=every,
            limits=keys,
            function=function,
            printed=tuple(dict.fromkeys(str(cite) for cite in every)),
            deep=deep,
            heats=heats,
            given=given,
            meant=meant,
        )
        return function

    return enter


@cache
def checks() -> tuple[Check, ...]:
    """Every check, found by walking `elec.checks`, in order of id."""
    room = importlib.import_module("elec.checks")  # by name: the register lies below the checks
    for found in pkgutil.walk_packages(room.__path__, "elec.checks."):
        importlib.import_module(found.name)
    return tuple(_REGISTER[name] for name in sorted(_REGISTER))


@cache
def _modules() -> Mapping[str, str]:
    """The id of every check and the module it stands in, without importing it."""
    room = importlib.import_module("elec.checks")
    names = [found.name for found in pkgutil.walk_packages(room.__path__, "elec.checks.")]
    parts = {name: name.split(".")[2:] for name in names}
    return {
        "-".join(two).replace("_", "-"): name
        for name, two in parts.items()
        if len(two) == 2 and not two[1].startswith("_")
    }


def ids() -> tuple[str, ...]:
    """The id of every check, in order."""
    return tuple(sorted(_modules()))


def ask(study: Study, name: str) -> tuple[Finding, ...]:
    """Put one check to the system.

    Returns:
        Its findings as `run` gives them; those of no other check are computed.

    Raises:
        KeyError: there is no such check.
    """
    found = list(_findings(study, name))
    others = set(_modules()) - {name}
    return worst_first(_accepted(study, found, others))


def verdict_of(study: Study, about: str, *names: str) -> Verdict | None:
    """What the findings of some checks say about one thing, for whoever prints its numbers.

    Args:
        study: the run.
        about: the thing, as its findings and `accept` name it.
        names: the ids of the checks.

    Returns:
        The worst of their verdicts; None where they say nothing about it.
    """
    found = [verdict for name in names for verdict in study.result(_judged(name)).get(about, ())]
    return min(found, key=ORDER.index, default=None)


@cache
def _judged(name: str) -> Callable[[Study], Mapping[str, list[Verdict]]]:
    """The analysis that gives the verdicts of one check by what they are about."""

    def judged(study: Study) -> Mapping[str, list[Verdict]]:
        found: dict[str, list[Verdict]] = {}
        for finding in ask(study, name):
            found.setdefault(finding.about, []).append(finding.verdict)
        return found

    return judged


def run(
    study: Study, *, deep: bool = True, only: Collection[str] | None = None
) -> tuple[Finding, ...]:
    """Put every check to the system.

    Args:
        study: the system.
        deep: False leaves out the checks that follow whole flights through time.
        only: the ids of the checks to put; None: all.

    Returns:
        All findings, worst first, within a verdict in order of check and of the builder's text.
        Findings that the builder accepted carry the verdict `accepted` and his reason; an
        acceptance that matches nothing fails.
    """
    found: list[Finding] = []
    asked = [one for one in checks() if deep or not one.deep]
    asked = [one for one in asked if only is None or one.id in only]
    for one in asked:
        found += _findings(study, one.id)
    left_out = {one.id for one in checks()} - {one.id for one in asked}
    for one in asked:
        if one.meant and any(f.check == one.id and f.verdict is Verdict.FAIL for f in found):
            found = _following(one, Study(one.meant(study)), asked, found)
    return worst_first(_accepted(study, found, left_out))


def _following(
    cause: Check, meant: Study, asked: Iterable[Check], found: list[Finding]
) -> list[Finding]:
    """The findings, with what is open only because of a cause marked so, and the cause itself."""
    still = {(f.check, f.about, f.verdict) for one in asked for f in _findings(meant, one.id)}
    made = []
    for one in found:
        if one.check == cause.id and one.verdict is Verdict.FAIL:
            made.append(replace(one, cause=True))
        elif (
            one.verdict in OPEN
            and not one.cause
            and (one.check, one.about, one.verdict) not in still
        ):
            first = f"This follows from {cause.id}: set that right first."
            made.append(replace(one, follows=cause.id, remedy=f"{first} {one.remedy}".strip()))
        else:
            made.append(one)
    return made


def silent(findings: Iterable[Finding], *, deep: bool) -> tuple[tuple[str, str], ...]:
    """Checks that were put and found nothing to judge, with what they go by.

    Empty where it is a kind of thing that this system does not have; else the keys that are not
    given, so that nobody takes silence for a pass.
    """
    spoken = {finding.check for finding in findings}
    asked = (one for one in checks() if deep or not one.deep)
    return tuple((one.id, one.given) for one in asked if one.id not in spoken)


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """By verdict; what is open by its consequence, too; else in the order given.

    What spoils the numbers of others stands before all of its verdict, what follows from it behind.
    """
    verdicts = {verdict: place for place, verdict in enumerate(ORDER)}
    weights = {consequence: place for place, consequence in enumerate(Consequence)}
    closed = (Verdict.PASS, Verdict.ACCEPTED)
    return tuple(
        sorted(
            findings,
            key=lambda f: (
                verdicts[f.verdict],
                (not f.cause) + bool(f.follows),
                0 if f.verdict in closed else weights[f.consequence],
            ),
        )
    )  # fmt: skip


def _findings(study: Study, name: str) -> tuple[Finding, ...]:
    """What a check says, asked once in a study."""
    return study.result(_asked(name))


@cache
def _asked(name: str) -> Callable[[Study], tuple[Finding, ...]]:
    """The analysis that puts one check to a system."""
    importlib.import_module(_modules()[name])
    one = _REGISTER[name]
    return lambda study: tuple(_said(study, one))


def _said(study: Study, one: Check) -> Iterator[Finding]:
    """What a check says. What no document covers silences the rest of this check alone."""
    try:
        for finding in one.function(study):
            yield _signed(one, finding)
    except NotCovered as beyond:
        yield _signed(
            one,
            Finding(
                check=one.id,
                about="system",
                verdict=Verdict.CANNOT_TELL,
                place=study.system.where("system"),
                sentence=f"{one.title}: that cannot be told. {beyond.name.capitalize()} "
                f"{beyond.value} is not covered by {beyond.source} ({beyond.range}).",
                remedy="Correct that value if it is a slip; else ask the maker of the part.",
            ),
        )


def _signed(one: Check, finding: Finding) -> Finding:
    """The finding with its check and sources in it, and what heats marked so."""
    weight = finding.consequence
    if weight is Consequence.OTHER and one.heats:
        weight = Consequence.HEAT
    return replace(
        finding, check=one.id, sources=finding.sources or one.printed, consequence=weight
    )


def _accepted(study: Study, findings: list[Finding], left_out: set[str]) -> Iterator[Finding]:
    used: set[int] = set()
    for finding in findings:
        if finding.verdict in OPEN:
            for index, entry in enumerate(study.document.accept):
                if (entry.check, entry.about) == (finding.check, finding.about):
                    used.add(index)
                    finding = replace(finding, verdict=Verdict.ACCEPTED, reason=entry.reason)  # noqa: PLW2901
        yield finding
    for index, entry in enumerate(study.document.accept):
        if index not in used and entry.check not in left_out:
            yield Finding(
                check=entry.check,
                about=entry.about,
                verdict=Verdict.FAIL,
                place=study.system.where("accept", index),
                sentence=f"This acceptance matches no finding: {entry.check} says nothing "
                f"against {entry.about}.",
                remedy="Take it out of accept, or correct the names; "
                "elec check --all lists every finding.",
            )
