"""Is a lithium battery charged while it is too cold?"""

from collections.abc import Iterator

from elec.answers.time.endurance import batteries
from elec.check import check
from elec.checks.answer import UNKNOWN
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.model.source import Lithium
from elec.standards import Cite
from elec.study import Study
from elec.wiring.sources import has_alternator, no_charge_below_degc


@check(
    "A lithium battery is not charged while it is too cold",
    sources=(Cite("trade", "LiFePO4 charging in the cold", "seen"),),
)
def battery_cold_charge(study: Study) -> Iterator[Finding]:
    """Charged below 0 °C, lithium plates out inside the cells: capacity is lost, and safety.

    A good management system locks charging out; the alternator then feeds the loads alone and the
    start is not paid back. Mount it where it stays warm, or warm it before the start. Ask its
    maker, and give `coldest` and `no-charge-below`.
    """
    charged = has_alternator(study)
    for name, battery in batteries(study).items():
        if charged and isinstance(battery, Lithium):
            yield _finding(study, name, battery)


def _finding(study: Study, name: str, battery: Lithium) -> Finding:
    lowest = no_charge_below_degc(battery) or 0.0
    title = study.system.title("sources", name)
    start = f"{title[:1].upper()}{title[1:]}"
    coldest = battery.coldest_degc
    cold = UNKNOWN if coldest is None else f"{coldest:.0f} °C"
    text = f"{start} gets as cold as {cold}; it must not be charged below {lowest:.0f} °C"
    return compare(
        study,
        name,
        at=("sources", name) if coldest is None else ("sources", name, "coldest"),
        value=coldest,
        limit=lowest,
        rule="at least",
        unit="°C",
        otherwise=Verdict.ADVISE,
        says=f"{text}.",
        fault=f"{text}, and is then counted as not charged at all.",
        remedy="Warm it before the start, mount it where it stays warm, and make sure that its "
        "management system locks charging out.",
        unknown=f"{start} must not be charged below {lowest:.0f} °C; how cold it gets is not "
        "given.",
        ask="Give coldest: the lowest temperature that it has in flight.",
    )
