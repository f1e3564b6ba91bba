"""How much of the nameplate is counted on?"""

from collections.abc import Iterator

from elec.answers.base.bodies import batteries, usable_share
from elec.check import check
from elec.checks.answer import answer, percent
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.model.source import Battery
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit


@check(
    "No more of a battery's nameplate is counted on than an aged battery gives",
    sources=(Cite("cap562", "4.1", "seen"),),
    limits=("battery-usable",),
)
def battery_usable(study: Study) -> Iterator[Finding]:
    """A battery stays in use until it holds 80 % of its plate, and is rarely quite full.

    Who counts on all of it plans with a battery that exists on its first day only. Leave `usable`
    out, or give what a capacity test of yours showed, up to 80 %. The capacity itself holds at a
    discharge time (aircraft batteries 1 h, others mostly 20 h): give it as `rate`.
    """
    for name, battery in batteries(study).items():
        yield _finding(study, name, battery)


def _finding(study: Study, name: str, battery: Battery) -> Finding:
    most = limit(study, "battery-usable")
    share = usable_share(study, battery)
    said = f"{percent(share)} of {battery.capacity_ah:g} Ah is counted on"
    if most.allows(share) and battery.rate_s is None:
        return answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"{said}; at which discharge time it has them is not given, and 1 h is assumed. A 20 h "
            "battery would last about a quarter shorter.",
            at=("sources", name),
            remedy="Read it off the battery or its sheet, and give rate: 1 h or rate: 20 h.",
            value=share,
            limit=most.value,
        )
    return compare(
        study,
        name,
        at=("sources", name, "usable"),
        value=share,
        limit=most,
        otherwise=Verdict.ADVISE,
        says=f"{said}; {percent(most.value)} is the most for a battery that ages.",
        remedy=f"Leave usable out ({percent(usable_share(study))} is then counted), or "
        f"write {percent(most.value)} or less.",
    )
