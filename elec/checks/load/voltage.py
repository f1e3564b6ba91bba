"""Does every load have the voltage it needs, in every case?"""

from collections.abc import Iterator

from elec.analyses.voltages import LoadVoltage, flight_voltages
from elec.check import check
from elec.checks.answer import answer, apart, passes, percent
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Every load has the voltage it needs in every case",
    sources=(
        Cite("cs_vla", "1351(a)(1)", "seen"),
        Cite("textbook", "nodal equations", "computed"),
    ),
)
def load_voltage(study: Study) -> Iterator[Finding]:
    """The network is solved for every phase, by day and night, with each source lost in turn.

    Named is the worst case. A load below its minimum shuts down just when it is needed. Give the
    maker's `minimum`; shorten or thicken its wire, feed it from another bus, or shed others first.
    A load that is on while its bus is off is load-essential's question.
    """
    for found in flight_voltages(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: LoadVoltage) -> Finding:
    title = study.system.title("equipment", found.equipment)
    at = ("equipment", found.equipment)
    if found.numerical:
        return answer(
            study,
            found.equipment,
            Verdict.CANNOT_TELL,
            f"{title}: the voltage could not be computed in {found.numerical} cases.",
            at=at,
            remedy="Look for a source or wire of no resistance, and report it.",
            limit=found.minimum_v,
            unit="V",
        )
    good = found.lowest_v >= found.minimum_v * (1 - 1e-9)
    volts, least = apart(found.lowest_v, found.minimum_v, "V", 1)
    minimum = least if found.given else f"{least} (assumed; its maker's is not given)"
    phase = study.system.title("phases", found.case.phase)
    where = f"{phase}, {found.case.condition}, {found.case.scenario.title}"
    collapse = ""
    if found.collapsed:
        collapse = (
            f" The sources can deliver {percent(found.served)} of what is asked there: the voltage "
            "runs down."
        )
    return answer(
        study,
        found.equipment,
        passes(good),
        f"{title} has {volts} at the lowest, in {where}; it works down to {minimum}.{collapse}",
        at=at,
        remedy=("" if found.given else "Give its minimum from its maker. ")
        + "Thicken or shorten its wires, feed it from a bus nearer to the battery, or shed others "
        "before.",
        value=found.lowest_v,
        limit=found.minimum_v,
        unit="V",
    )
