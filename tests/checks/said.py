"""What each case says, word for word: `said` at the end of a file of cases.

`python -m tests.checks.said CHECK …` writes it anew; without a check for all, which takes a minute.
A sentence carries numbers, units and names that no verdict shows. Whoever changes one sees in the
difference which findings read otherwise now.
"""

import re
import sys
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import yaml

from elec.finding import Finding
from tests.checks.cases import HERE, Case, cases, finding_of

HEAD = "said:\n"
PLACE = re.compile(r"[^\s(]*system\.yaml(:\d+)*")


def words(case: Case, found: tuple[Finding, ...]) -> str:
    """The sentence, and what helps; places without the line, which any change of the base moves."""
    mine = [f for f in found if f.about == case.expect.about]
    one = max(mine, key=lambda f: f.verdict == case.expect.verdict)
    return PLACE.sub("system.yaml", f"{one.sentence} {one.remedy}".rstrip())


def main(asked: Sequence[str]) -> None:
    """Write what the cases of these checks say now, or those of all."""
    now: dict[str, dict[str, str]] = {}
    with TemporaryDirectory() as folder:
        for case in cases():
            if not asked or case.check in asked:
                text = words(case, finding_of(case, Path(folder)))
                now.setdefault(case.check, {})[case.name] = text
    for check, texts in now.items():
        keep(check, texts)
        sys.stdout.write(f"{check}: {len(texts)} cases\n")


def keep(check: str, texts: dict[str, str]) -> None:
    """Write it at the end of the file of a check."""
    file = HERE / "cases" / f"{check}.yaml"
    written, _, _ = file.read_text(encoding="utf-8").partition(f"\n{HEAD}")
    block = yaml.safe_dump({"said": texts}, allow_unicode=True, width=110, sort_keys=False)
    file.write_text(f"{written.rstrip()}\n{block}", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
