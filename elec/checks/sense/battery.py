"""Do the figures of a battery fit one another?

Several pairs of figures in one sentence; none of them is the number of the finding.
"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, passes, tightened
from elec.finding import Finding, Verdict
from elec.model.source import LeadAcid, Lithium
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import Limit, limit

HOUR_S = 3600.0
SLACK = 0.01
RATES_H = (1.0, 2.0, 3.0, 5.0, 8.0, 10.0, 20.0, 24.0, 100.0)
"""Discharge times at which capacities are stated: common practice, from memory."""


@check(
    "The figures of a battery fit one another",
    sources=(
        Cite("trade", "watt-hours a kilogram and discharge times of batteries", "memory"),
        Cite("elec", "sense of the input", "judgement"),
    ),
    limits=("battery-wh-kg-least", "battery-wh-kg-most", "battery-bms-least", "battery-bms-most"),
)
def sense_battery(study: Study) -> Iterator[Finding]:
    """Endurance and start stand on capacity, its rate and the limit of the management system.

    Held against each other are capacity and mass (a lead-acid battery has 20 to 45 Wh/kg, lithium
    iron phosphate 60 to 150), a management system's limit and the capacity, and the rate and the
    discharge times in use. One figure that does not fit is likely mistyped or another battery's.
    """
    for name, battery in study.document.sources.items():
        if isinstance(battery, LeadAcid | Lithium):
            odd = tuple(_odd(study, battery))
            yield answer(
                study,
                name,
                passes(not odd, Verdict.ADVISE),
                f"{study.system.title('sources', name)}: {'; '.join(t for _, t in odd)}."
                if odd
                else f"{study.system.title('sources', name)}: its figures fit one another.",
                at=("sources", name, *((odd[0][0],) if odd else ())),
                remedy="Read capacity, rate and mass off the maker's sheet again, and their units.",
            )


def _odd(study: Study, battery: LeadAcid | Lithium) -> Iterator[tuple[str, str]]:
    """(key, what does not fit) of each pair of figures."""
    hours = battery.rate_s / HOUR_S if battery.rate_s is not None else None
    if hours is not None and all(abs(hours / usual - 1) > SLACK for usual in RATES_H):
        yield "rate", f"a capacity over {hours:g} h is unusual; 1, 5, 10 and 20 h are in use"
    watt_hours = battery.capacity_ah * study.system.about.nominal_v * 6 / 7
    if battery.mass_kg:
        # lithium packs have three to five times what lead has
        times = 1.0 if isinstance(battery, LeadAcid) else 3.0
        yield from (
            ("mass", text)
            for text in _outside(
                (limit(study, "battery-wh-kg-least"), limit(study, "battery-wh-kg-most")),
                watt_hours / battery.mass_kg / times,
                times,
                f"{battery.capacity_ah:g} Ah and {battery.mass_kg:.2g} kg make",
                "Wh/kg",
            )
        )
    if isinstance(battery, Lithium) and battery.limit_a is not None:
        yield from (
            ("limit", text)
            for text in _outside(
                (limit(study, "battery-bms-least"), limit(study, "battery-bms-most")),
                battery.limit_a / battery.capacity_ah,
                1.0,
                f"a limit of {battery.limit_a:g} A on {battery.capacity_ah:g} Ah is",
                "A per Ah",
            )
        )


def _outside(
    limits: tuple[Limit, Limit], value: float, times: float, what: str, unit: str
) -> Iterator[str]:
    least, most = limits
    if not (least.allows(value) and most.allows(value)):
        usual = f"{least.value * times:g} to {most.value * times:g} are made"
        yield f"{what} {value * times:.3g} {unit}; {usual}{tightened(least)}{tightened(most)}"
