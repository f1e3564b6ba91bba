"""Do you notice that the battery is being drained?"""

from collections.abc import Iterator

from elec.analyses.demand import cells_factor
from elec.analyses.limits import limit
from elec.check import check
from elec.checks.answer import answer, apart, listed, passes, tightened
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "A low-voltage warning tells that nothing charges the battery",
    sources=(Cite("ac4313", "11-35", "seen"),),
    limits=("low-voltage-14", "low-voltage-28"),
)
def battery_warning(study: Study) -> Iterator[Finding]:
    """The endurance counts from the moment you see the failure, and nobody watches an ammeter.

    A light or a tone below 13 V (26 V in a 28 V system) says at once that the alternator is gone.
    Give the voltage as `warning` on the bus it watches. Without an alternator any warning does.
    """
    given = {name: bus.warning_v for name, bus in study.document.buses.items() if bus.warning_v}
    if not study.document.buses:
        return
    if not given:
        yield answer(
            study,
            "warning",
            Verdict.CANNOT_TELL,
            "No bus says at which voltage its low-voltage warning comes on.",
            at=("buses",),
            remedy="Fit one if there is none, and give warning: 13 V (26 V) on the bus it watches.",
        )
        return
    yield _finding(study, {name: volts for name, volts in given.items() if volts is not None})


def _finding(study: Study, given: dict[str, float]) -> Finding:
    high = cells_factor(study.system.about.nominal_v) > 1
    rule = limit(study, "low-voltage-28" if high else "low-voltage-14")
    best = max(given, key=lambda name: given[name])
    title = study.system.title("buses", best)
    if not any(s.kind == "alternator" for s in study.document.sources.values()):
        names = listed(study.system.title("buses", name) for name in given)
        return answer(
            study,
            best,
            Verdict.PASS,
            f"A warning watches {names}, at {given[best]:g} V; nothing charges in flight.",
            at=("buses", best, "warning"),
            value=given[best],
            unit="V",
        )
    volts, least = apart(given[best], rule.value, "V", 1)
    return answer(
        study,
        best,
        passes(rule.allows(given[best]), Verdict.FAIL),
        f"The warning of {title} comes on below {volts}; a lost alternator shows at {least} "
        f"already.{tightened(rule)}",
        at=("buses", best, "warning"),
        remedy=f"Set it to {least}.",
        value=given[best],
        limit=rule.value,
        unit="V",
    )
