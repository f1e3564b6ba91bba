"""Do you notice that the battery is being drained?"""

import math
from collections.abc import Iterator

from elec.answers.time.alone import LONGEST_S
from elec.answers.time.warning import Warned, warned
from elec.check import check
from elec.checks.answer import answer, apart, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite, default
from elec.study import Study
from elec.wiring.demand import cells_factor
from elec.wiring.limits import Limit, limit
from elec.wiring.sources import has_alternator
from elec.working import within


@check(
    "A low-voltage warning tells in time that nothing charges the battery",
    sources=(
        Cite("ac4313", "11-35", "seen"),
        Cite("retrofit", "endurance form", "seen"),
        Cite("elec", "low-voltage warning", "judgement"),
    ),
    limits=("low-voltage-14", "low-voltage-28", "warning-time"),
)
def battery_warning(study: Study) -> Iterator[Finding]:
    """The endurance counts from the moment you see the failure, and nobody watches an ammeter.

    A light or a tone below 13 V (26 V in a 28 V system) says at once that the alternator is gone,
    where the battery is lead-acid. A lithium battery holds more than that until much of it is
    empty, so that the moment at which the warning comes on is worked out: with a full battery, in
    cruise. It fails where that is later than the five minutes that the published endurance sum
    counts on, and where it is lit in cruise with everything well. Set it between what the bus has
    with the alternator and without it. Give the voltage as `warning` on the bus it watches.
    Without an alternator any warning does.
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
    if not has_alternator(study):
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
    found = warned(study)
    if not rule.allows(given[best]) or found is None:
        return _low(study, best, given[best], rule)
    lit = [bus for bus, volts in given.items() if not within(volts, found.before_v.get(bus, volts))]
    if lit:
        return compare(
            study,
            lit[0],
            at=("buses", lit[0], "warning"),
            value=given[lit[0]],
            limit=found.before_v[lit[0]],
            unit="V",
            digits=1,
            says=lambda least, volts: (
                f"The warning of {study.system.title('buses', lit[0])} is lit in cruise with all "
                f"well: the bus has {volts} there, it comes on below {least}. Nobody heeds it then."
            ),
            remedy=_set(study, found, lit[0]),
        )
    return _when(study, found.bus, given[found.bus], found)


def _low(study: Study, bus: str, given_v: float, rule: Limit) -> Finding:
    _, least = apart(given_v, rule.value, "V", 1)
    return compare(
        study,
        bus,
        at=("buses", bus, "warning"),
        value=given_v,
        limit=rule,
        unit="V",
        digits=1,
        says=lambda volts, least: (
            f"The warning of {study.system.title('buses', bus)} comes on below {volts}; a lost "
            f"alternator shows at {least} already."
        ),
        remedy=f"Set it to {least}.",
    )


def _when(study: Study, bus: str, given_v: float, found: Warned) -> Finding:
    rule = limit(study, "warning-time")
    minutes, most = found.lit_s / 60, rule.value / 60
    when = "at once" if minutes < 0.5 else f"{minutes:.0f} min late"
    if found.lit_s > LONGEST_S:
        when = "never, or only when all is empty,"
    text = (
        f"The warning of {study.system.title('buses', bus)}, at {given_v:g} V, comes on {when} "
        f"when the alternator is lost in {study.system.title('phases', found.phase)} by "
        f"{found.condition} with a full battery"
    )
    return compare(
        study,
        bus,
        at=("buses", bus, "warning"),
        value=minutes,
        limit=most,
        rule=rule.bound,
        unit="min",
        says=f"{text}.",
        fault=f"{text}; {most:g} min are allowed. Until then nothing is shed.",
        remedy=_set(study, found, bus),
        named=(rule,),
    )


def _set(study: Study, found: Warned, bus: str) -> str:
    """The voltage between the bus with and without the alternator, where there is room."""
    low, high = found.after_v[bus], found.before_v[bus]
    if math.isnan(low):
        return f"Set it below {high:.1f} V, which the bus has with the alternator; then it is dead."
    room_v = default("warning-room-14").value * cells_factor(study.system.about.nominal_v)
    between = math.ceil(10 * low + 0.5) / 10
    if not within(high - room_v, between):
        return (
            f"Set it to {between:.1f} V: the bus has {high:.1f} V with the alternator and "
            f"{low:.1f} V soon after its loss."
        )
    return (
        f"The bus has {high:.1f} V with the alternator and {low:.1f} V soon after its loss: too "
        "near for a warning by voltage. Have one by the alternator's current or its own lamp."
    )
