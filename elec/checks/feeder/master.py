"""Can every source be taken off, close to it?"""

from collections.abc import Iterator

from elec.answers.heat.hot import Isolation, isolations
from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Every battery and alternator can be taken off close to it",
    sources=(Cite("cfr_23", "23.1361", "memory"), Cite("cfr_23", "23.1351(c)", "seen")),
)
def feeder_master(study: Study) -> Iterator[Finding]:
    """With smoke in the cockpit, and after a forced landing, one hand has to make it all dead.

    Put a contactor (or a switch) beside each battery in every wire that leaves it. An alternator
    stops when its field is switched off: name that circuit as `field-circuit`.
    """
    for found in isolations(study):
        yield _finding(study, found)


def _finding(study: Study, found: Isolation) -> Finding:
    alternator = study.document.sources[found.source].kind == "alternator"
    verdict, text, remedy = _alternator(found) if alternator else _battery(study, found)
    return answer(study, found.source, verdict, text, at=("sources", found.source), remedy=remedy)


def _alternator(found: Isolation) -> tuple[Verdict, str, str]:
    if found.by or found.openers:
        by = found.by or listed(part.label for part in found.openers)
        return Verdict.PASS, f"Taken off by {by}.", ""
    text = "Neither a switch in its cable nor its field circuit is given, so whether it can be "
    return (
        Verdict.CANNOT_TELL,
        text + "taken off is not known.",
        "Name the circuit that feeds its field as field-circuit, with a switch or breaker in it.",
    )


def _battery(study: Study, found: Isolation) -> tuple[Verdict, str, str]:
    place = study.document.sources[found.source].place.replace("-", " ")
    remedy = f"Put a contactor at {place} into every wire that leaves the battery."
    if found.live:
        buses = listed(study.system.title("buses", bus) for bus in found.live)
        return Verdict.FAIL, f"No switch stands between it and {buses}.", remedy
    if not found.openers:
        return Verdict.FAIL, "No switch takes it off.", remedy
    if found.away:
        names = listed(f"{p.label} at {p.place.replace('-', ' ')}" for p in found.away)
        return (
            Verdict.ADVISE,
            f"Taken off by {names}, not beside it at {place}: the wires up to there stay live.",
            remedy + " Where weight forbids it, the fuse at the battery's own terminal has to do.",
        )
    return Verdict.PASS, f"Taken off beside it by {listed(p.label for p in found.openers)}.", ""
