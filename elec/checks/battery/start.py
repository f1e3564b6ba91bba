"""What does cranking do to the loads that are on?"""

from collections.abc import Iterator

from elec.analyses.sizing import cranking
from elec.analyses.voltages import LoadVoltage, cranking_voltages
from elec.check import check
from elec.checks.answer import answer, apart, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite, default
from elec.study import Study


@check(
    "What is on while the starter turns keeps enough voltage",
    sources=(
        Cite("sae_j537", "voltage while cranking", "quoted"),
        Cite("do_160", "section 16", "memory"),
    ),
)
def battery_start(study: Study) -> Iterator[Finding]:
    """The starter pulls the bus down for seconds; boxes restart, an engine computer misfires.

    What must ride through (ignition, engine computer, display) needs its minimum voltage even
    then; that fails. Anything else is advice: leave it off in the start phase.
    """
    turning = cranking(study)
    if not turning:
        if any(s.kind == "alternator" for s in study.document.sources.values()):
            yield _silent(study)
        return
    for found in cranking_voltages(study).values():
        yield _finding(study, found)


def _silent(study: Study) -> Finding:
    amps, time = default("crank-current"), default("crank-time")
    return answer(
        study,
        "start",
        Verdict.CANNOT_TELL,
        "No phase has engine: cranking, so what the starter does to the voltage is not worked out.",
        at=("phases",),
        remedy="Add a phase such as start: {lasts: 15 s, engine: cranking}, and the starter as a "
        f"load in it; usual are {amps.value:g} A for {time.value:g} s ({amps.cite.remark}).",
    )


def _finding(study: Study, found: LoadVoltage) -> Finding:
    entry = study.document.equipment[found.equipment]
    title = study.system.title("equipment", found.equipment)
    if found.numerical:
        return answer(
            study,
            found.equipment,
            Verdict.CANNOT_TELL,
            f"{title}: the voltage while the starter turns could not be computed.",
            at=("equipment", found.equipment),
            remedy="Look for a source or wire of no resistance, and report it.",
            limit=found.minimum_v,
            unit="V",
        )
    good = found.lowest_v >= found.minimum_v
    volts, least = apart(found.lowest_v, found.minimum_v, "V", 1)
    minimum = f"{least}" if found.given else f"{least} (assumed)"
    verdict = passes(good, Verdict.FAIL if entry.essential else Verdict.ADVISE)
    return answer(
        study,
        found.equipment,
        verdict,
        f"{title} keeps {volts} while the starter turns; it works down to {minimum}.",
        at=("equipment", found.equipment),
        remedy=("Give its minimum from its maker. " if not found.given else "")
        + "Leave it off in that phase (on:), feed it from a battery that does not crank, or take "
        "thicker battery cables.",
        value=found.lowest_v,
        limit=found.minimum_v,
        unit="V",
    )
