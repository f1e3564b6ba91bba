"""What each case says, word for word: `said` at the end of a file of cases.

`python -m tests.checks.said CHECK …` writes it anew; without a check for all, which takes a minute.
A sentence carries numbers, units and names that no verdict shows. Whoever changes one sees in the
difference which findings read otherwise now.

What stands beside the sentence is kept under `beside`: where in the text it points, the number and
its limit, the last line of the hand calculation, sources that are not those of the whole check,
and what else it finds.
"""

import re
import sys
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import yaml

from elec.finding import Finding, Verdict
from elec.working import Working, renamed
from tests.checks.cases import HERE, Case, cases, finding_of

HEAD = "said:\n"
PLACE = re.compile(r"[^\s(]*system\.yaml(:\d+)*")


def words(case: Case, found: tuple[Finding, ...]) -> str:
    """The sentence, and what helps; places without the line, which any change of the base moves."""
    one = _meant(case, found)
    return PLACE.sub("system.yaml", f"{one.sentence} {one.remedy}".rstrip())


def beside(case: Case, found: tuple[Finding, ...]) -> str:
    """Where it points, its numbers, how they came about, its own sources, and the other findings.

    Seven digits: what differs between libraries lies far behind them.
    """
    one = _meant(case, found)
    parts = [one.place.path]
    if one.value is not None or one.limit is not None:
        parts.append(f"{_digits(one.value)} of {_digits(one.limit)} {one.unit}".rstrip())
    if one.working is not None:
        parts.append(_last_line(one.working))
    if one.consequence.value:
        parts.append(one.consequence.value)
    if one.sources:
        parts.append(f"by {', '.join(one.sources)}")
    others = [f for f in found if f is not one]
    for verdict in Verdict:
        names = [f.about for f in others if f.verdict is verdict]
        if names:
            shown = str(len(names)) if verdict is Verdict.PASS else ", ".join(names)
            parts.append(f"{verdict.value} besides: {shown}")
    return "; ".join(parts)


def _meant(case: Case, found: tuple[Finding, ...]) -> Finding:
    mine = [f for f in found if f.about == case.expect.about]
    return max(mine, key=lambda f: f.verdict == case.expect.verdict)


def _last_line(working: Working) -> str:
    if not working.steps:
        return working.title
    last = working.steps[-1]
    put = {term.symbol: _digits(term.value) for term in last.terms}
    result = f"{_digits(last.result.value)} {last.result.unit}".rstrip()
    formula = [renamed(last.formula, put)] if last.formula else []
    limit = f", {working.rule} {_digits(working.limit.value)}" if working.limit else ""
    return " = ".join([last.result.symbol, *formula, result]) + limit


def _digits(number: float | None) -> str:
    return "?" if number is None else f"{number:.7g}"


def main(asked: Sequence[str]) -> None:
    """Write what the cases of these checks say now, or those of all."""
    now: dict[str, dict[str, str]] = {}
    also: dict[str, dict[str, str]] = {}
    with TemporaryDirectory() as folder:
        for case in cases():
            if not asked or case.check in asked:
                found = finding_of(case, Path(folder))
                now.setdefault(case.check, {})[case.name] = words(case, found)
                also.setdefault(case.check, {})[case.name] = beside(case, found)
    for check, texts in now.items():
        keep(check, texts, also[check])
        sys.stdout.write(f"{check}: {len(texts)} cases\n")


def keep(check: str, texts: dict[str, str], also: dict[str, str]) -> None:
    """Write both at the end of the file of a check."""
    file = HERE / "cases" / f"{check}.yaml"
    written, _, _ = file.read_text(encoding="utf-8").partition(f"\n{HEAD}")
    both = {"said": texts, "beside": also}
    block = yaml.safe_dump(both, allow_unicode=True, width=110, sort_keys=False)
    file.write_text(f"{written.rstrip()}\n{block}", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
