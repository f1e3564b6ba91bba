"""How many slips of meaning nobody remarks; a script: `python -m tests.meaning.run 500`.

Each change of `tests.meaning.changes` is read and checked. It is *refused* where reading stops
with a mistake, *found* where a finding is new or worse, *moved* where only a figure in a finding
differs, or a rating or gauge that elec chose; *unremarked* where none of these is so.
"""

import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from pathlib import Path

from msgspec import Struct

from elec.check import ORDER, run
from elec.finding import Finding, Verdict
from elec.read import read_texts
from elec.sizing.sizing import sizing
from elec.study import Study
from tests.meaning.changes import Change, Slips

SYSTEMS = Path(__file__).parents[2] / "systems"
SEED = 14
SHARES = {"thistledown": 0.7, "foxglove": 0.24, "larkspur": 0.06}
"""How the changes are shared out; the largest system is slow."""
QUIET = (Verdict.PASS, Verdict.ACCEPTED)


class Look(Struct, frozen=True, kw_only=True):
    """What a reader of `elec check` sees of a system, and what was chosen."""

    findings: Mapping[tuple[str, str], Finding]
    chosen: Mapping[str, object]


def look(texts: Mapping[Path, bytes]) -> Look | str:
    """The findings and choices, or the first mistake."""
    reading = read_texts(texts)
    if reading.system is None:
        return f"{len(reading.mistakes)}: {reading.mistakes[0]}"
    study = Study(reading.system)
    found = [f for f in run(study, deep=False) if f.verdict not in QUIET]
    sizes = sizing(study)
    chosen = {name: gauge.awg for name, gauge in sizes.gauges.items()}
    ratings = {name: device.rating_a for name, device in sizes.devices.items()}
    return Look(findings={(f.check, f.about): f for f in found}, chosen={**chosen, **ratings})


def remark(before: Look, after: Look | str) -> tuple[str, str]:
    """How a change is remarked, and by what."""
    if isinstance(after, str):
        return "refused", after
    for key, finding in after.findings.items():
        old = before.findings.get(key)
        if old is None or ORDER.index(finding.verdict) < ORDER.index(old.verdict):
            return "found", f"{finding.verdict} {finding.check} {finding.about}: {finding.sentence}"
    if dict(before.chosen) != dict(after.chosen):
        names = [
            n
            for n in {*before.chosen, *after.chosen}
            if before.chosen.get(n) != after.chosen.get(n)
        ]
        return "moved", f"chosen: {sorted(names)[:4]}"
    told = {key: finding.sentence for key, finding in after.findings.items()}
    if told != {key: finding.sentence for key, finding in before.findings.items()}:
        return "moved", "a figure in a finding, or a finding less"
    return "unremarked", ""


def changes(system: str, count: int, seed: int = SEED) -> Iterator[Change]:
    """So many different changes of a system."""
    slips, seen = Slips(SYSTEMS / system, seed), set[bytes]()
    while len(seen) < count:
        change = slips.draw()
        whole = b"".join(change.texts.values())
        if whole not in seen:
            seen.add(whole)
            yield change


def main() -> None:
    """Print every change with its remark, and the counts."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    only = sys.argv[2:] or list(SHARES)
    totals: Counter[str] = Counter()
    kinds: Counter[tuple[str, str]] = Counter()
    for system in only:
        slips = Slips(SYSTEMS / system, SEED)
        before = look({SYSTEMS / system / n: t.encode() for n, t in slips.texts.items()})
        assert isinstance(before, Look)
        for change in changes(system, round(count * SHARES[system])):
            try:
                how, what = remark(before, look(change.texts))
            except Exception as error:  # noqa: BLE001 - a fault of elec is counted, not hidden
                how, what = "fault", f"{type(error).__name__}: {error}"
            totals[how] += 1
            kinds[how, f"{change.kind}, {change.about}"] += 1
            print(
                f"{how:10} {system:12} {change.kind:26} {change.about}: {change.words} | {what}",
                flush=True,
            )
    print(dict(totals))
    for (how, kind), number in sorted(kinds.items()):
        if how == "unremarked":
            print(f"{number:4} {kind}")


if __name__ == "__main__":
    main()
