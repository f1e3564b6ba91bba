"""Does every load have the voltage it needs, in every case?"""

from collections.abc import Iterator

from elec.answers.drop.voltages import LoadVoltage, flight_voltages
from elec.check import check
from elec.checks.answer import percent
from elec.checks.compare import compare
from elec.finding import Finding
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
    phase = study.system.title("phases", found.case.phase)
    where = f"{phase}, {found.case.condition}, {found.case.scenario.title}"
    assumed = "" if found.given else " (assumed; its maker's is not given)"
    collapse = (
        f" The sources can deliver {percent(found.served)} of what is asked there: the voltage "
        "runs down."
    )
    return compare(
        study,
        found.equipment,
        at=("equipment", found.equipment),
        value=None if found.numerical else found.lowest_v,
        limit=found.minimum_v,
        rule="at least",
        unit="V",
        digits=1,
        says=lambda volts, least: (
            f"{title} has {volts} at the lowest, in {where}; it works down to {least}{assumed}."
            f"{collapse if found.collapsed else ''}"
        ),
        remedy=("" if found.given else "Give its minimum from its maker. ")
        + "Thicken or shorten its wires, feed it from a bus nearer to the battery, or shed others "
        "before.",
        unknown=f"{title}: the voltage could not be computed in {found.numerical} cases.",
        ask="Look for a source or wire of no resistance, and report it.",
    )
