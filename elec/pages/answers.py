"""What the command line answers, as sections of blocks like those of the book."""

from collections.abc import Iterable, Mapping, Sequence

from elec import units
from elec.check import ORDER, Check, checks
from elec.finding import Finding, quoted
from elec.pages.document import (
    Block,
    FindingList,
    Items,
    Paragraph,
    Section,
    TableBlock,
    WorkingBlock,
)
from elec.pages.table import Column, Table
from elec.study import Study


def headline(study: Study) -> str:
    """What the system is, in one line: its name, its voltage and how much there is of it."""
    document = study.document
    coaxial = sum(cable.service is not None for cable in document.cables.values())
    counted = [
        _count(len(document.circuits), "circuit", "circuits"),
        _count(len(document.equipment), "piece of equipment", "pieces of equipment"),
    ]
    if coaxial:
        counted.append(_count(coaxial, "coaxial cable", "coaxial cables"))
    nominal = units.show(document.system.nominal_v, "v")
    return f"{document.system.name}, {nominal}: {', '.join(counted)}"


def findings_answer(
    study: Study,
    findings: Iterable[Finding],
    left_out: Sequence[str] = (),
    *,
    hidden: int = 0,
    not_given: Sequence[tuple[str, str]] = (),
) -> Section:
    """The answer to "is it sound?": the headline, every finding, and what was not asked or shown.

    Args:
        study: the run.
        findings: what is listed.
        left_out: checks that were not put.
        hidden: how many open findings are not listed.
        not_given: checks that found nothing to judge, with the keys that they go by.
    """
    listed = tuple(findings)
    nothing = "Nothing fails." if hidden else "No check says anything about it."
    blocks: list[Block] = [FindingList(findings=listed) if listed else Paragraph(text=nothing)]
    if hidden:
        blocks.append(Paragraph(text=f"Not listed here: {hidden} that do not fail.", kind="note"))
    if text := not_given_words(not_given):
        blocks.append(Paragraph(text=text, kind="note"))
    blocks.append(Paragraph(text=asked_words(left_out), kind="note"))
    return Section(id="check", title=headline(study), blocks=tuple(blocks), new_page=False)


def asked_words(left_out: Sequence[str] = ()) -> str:
    """How many checks were asked and which not, on every page that counts findings.

    The plain check leaves out what follows whole flights; the book asks it, and so counts more.
    """
    every = len(checks())
    if left_out:
        they = "It follows" if len(left_out) == 1 else "They follow"
        return (
            f"Not asked here: {', '.join(left_out)}. {they} whole flights through time; add "
            f"--deep, or see the book. So {every - len(left_out)} of {every} checks were asked; "
            "the book counts more findings."
        )
    deep = ", ".join(one.id for one in checks() if one.deep)
    return (
        f"All {every} checks were asked, also what follows whole flights through time ({deep}), "
        "which elec check asks with --deep alone: without it, it counts fewer findings."
    )


def not_given_words(silent: Sequence[tuple[str, str]]) -> str:
    """Which checks found nothing to judge, and what they go by; empty where there is none."""
    by_keys: dict[str, list[str]] = {}
    for name, keys in silent:
        by_keys.setdefault(keys, []).append(name)
    listed = "; ".join(f"{keys} ({', '.join(names)})" for keys, names in by_keys.items())
    count = _count(len(silent), "check", "checks")
    return f"{count} had nothing to judge, which is no pass. Not given: {listed}." if silent else ""


def why_answer(findings: Iterable[Finding]) -> Section:
    """Findings about one thing, each with its hand calculation."""
    blocks: list[Block] = []
    for finding in findings:
        blocks.append(FindingList(findings=(finding,)))
        if finding.working is not None:
            blocks.append(WorkingBlock(working=finding.working))
        else:
            blocks.append(Paragraph(text=_without_working(finding)))
    return Section(id="why", title="", blocks=tuple(blocks), new_page=False)


def _without_working(finding: Finding) -> str:
    """Why there is nothing to follow by hand."""
    if finding.unit == "min":  # a time that has no hand calculation was simulated
        return (
            "Found by following flights in small steps, too many for a hand; elec flight shows "
            "them over time."
        )
    return "There is no hand calculation of it."


def check_answer(name: str, findings: Sequence[Finding]) -> Section:
    """What a check says: the hand calculation of a single finding, else all to choose from."""
    if len(findings) == 1:
        return why_answer(findings)
    if not findings:
        said = f"{name} has nothing to judge in this system, which is no pass."
        lead = Paragraph(text=said, kind="lead")
        return Section(id="why", title="", blocks=(lead,), new_page=False)
    about = quoted(findings[0].about)
    said = (
        f"{name} says {len(findings)} things of this system. One of them worked out: its name "
        f"behind that of the check, such as elec why SYSTEM {name} {about}."
    )
    blocks: list[Block] = [Paragraph(text=said, kind="lead")]
    blocks += [FindingList(findings=(one,)) for one in findings]
    return Section(id="why", title="", blocks=tuple(blocks), new_page=False)


def why(study: Study, again: str, asked: Mapping[str, str]) -> tuple[str, ...]:
    """Commands that show how an answer was worked out, one for each check that has something.

    Args:
        study: the run.
        again: the command that asks for findings; empty: there is none.
        asked: check → what it should be about; empty: its worst finding.
    """
    found = []
    for one in checks():
        if one.id not in asked or not again:
            continue
        findings = sorted(one.function(study), key=lambda f: ORDER.index(f.verdict))
        chosen = [f for f in findings if f.about == asked[one.id]] or findings
        if chosen:
            found.append(f"{again} {one.id} {quoted(chosen[0].about)}")
    return tuple(found)


def tables_answer(
    study: Study,
    name: str,
    tables: Iterable[Table],
    leads: Iterable[str] = (),
    why: Sequence[str] = (),
) -> Section:
    """The answer in sentences under the headline, the tables that it comes from, how to go on."""
    blocks: list[Block] = [Paragraph(text=text) for text in leads]
    blocks += [TableBlock(table=table) for table in tables]
    if why:
        head = "What stands behind it, with limits, sources and where it is written:"
        blocks += [Paragraph(text=head), Items(items=tuple(why))]
    return Section(id=name, title=headline(study), blocks=tuple(blocks), new_page=False)


def checks_table(checks: Iterable[Check]) -> Table:
    """Every check: what it asks, after which document, and which limits a builder may tighten."""
    return Table(
        id="checks",
        title="Checks",
        columns=(
            Column(key="check", head="Check"),
            Column(key="asks", head="What must be so"),
            Column(key="sources", head="Sources", importance=2),
            Column(key="limits", head="Limits", importance=3),
        ),
        rows=tuple(
            (
                check.id,
                check.title,
                "; ".join(str(cite) for cite in check.sources),
                ", ".join(check.limits),
            )
            for check in checks
        ),
    )


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
