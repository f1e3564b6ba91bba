"""What stays live with everything switched off?"""

import math
from collections.abc import Iterator

from msgspec.structs import replace

from elec.answers.heat.hot import Hot, hot_wires
from elec.check import ORDER, check
from elec.checks.answer import answer, run_length, tightened
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.limits import limit


@check(
    "What stays live with everything off is protected small and beside the battery",
    sources=(Cite("cfr_23", "23.1361", "memory"),),
    limits=("always-hot-rating",),
)
def feeder_hot(study: Study) -> Iterator[Finding]:
    """After a crash every wire that is still live can light the fuel, so these have to be few.

    A clock or a light may stay live behind 5 A or less, fused right at the battery. Everything
    else gets its switch or relay beside the battery. A feeder that is live from both ends, or from
    two batteries, needs that at each: chafed, it is fed by all of them.
    """
    by_chain: dict[str, list[Hot]] = {}
    for found in hot_wires(study):
        if found.length_m:
            by_chain.setdefault(found.chain, []).append(found)
    for every in by_chain.values():
        yield _worst(study, every)


def _worst(study: Study, every: list[Hot]) -> Finding:
    """Of all that feeds a chain the worst, with what each does."""
    findings = [_finding(study, found) for found in every]
    worst = min(findings, key=lambda one: (ORDER.index(one.verdict), -(one.value or math.inf)))
    if len(findings) == 1:
        return worst
    texts = [
        f"Fed from {_end(study, found)}: {finding.sentence}"
        for found, finding in zip(every, findings, strict=True)
    ]
    return replace(worst, sentence=" ".join(texts))


def _end(study: Study, found: Hot) -> str:
    """The end that is live, and the battery behind it."""
    end, battery = study.system.end_title(found.end), study.system.end_title(found.battery)
    return end if found.end == found.battery else f"{end} ({battery})"


def _finding(study: Study, found: Hot) -> Finding:
    most = limit(study, "always-hot-rating")
    at = chains(study).by_name[found.chain].path
    span = f"{run_length(study, found.length_m)} of wire stay live with everything off"
    remedy = (
        f"Protect it with {most.value:g} A or less beside the battery, or put a switch or relay "
        "there."
    )
    plain = _plain(found, span)
    if plain is not None:
        verdict, text = plain
        return answer(
            study, found.chain, verdict, text + tightened(most), at=at, remedy=remedy,
            value=found.rating_a, limit=most.value, unit="A",
        )  # fmt: skip
    return compare(
        study,
        found.chain,
        at=at,
        value=found.rating_a,
        limit=most,
        unit="A",
        says=f"{span}, behind a {found.device} beside {found.battery}.",
        fault=f"{span}, behind a {found.device}; {most.value:g} A is the most for what stays live.",
        remedy=remedy,
        otherwise=Verdict.FAIL if found.load else Verdict.ADVISE,
        unknown=f"{span}, and the rating of its device is not known.{tightened(most)}",
        ask="Write the rating.",
    )


def _plain(found: Hot, span: str) -> tuple[Verdict, str] | None:
    """What is so whatever the rating of the device; None where the rating decides."""
    place = found.place.replace("-", " ")
    if not found.beyond:
        return Verdict.PASS, f"{span}, all of it at {place} beside {found.battery}."
    if not found.device:
        return (
            Verdict.FAIL,
            f"{span}, leave {place}, and no device beside {found.battery} protects them.",
        )
    if found.rating_a is not None and not found.beside:
        return Verdict.FAIL, f"{span}; the {found.device} is not beside {found.battery}."
    return None
