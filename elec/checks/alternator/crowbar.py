"""Does the breaker of the field circuit open once the overvoltage trip has fired?"""

import math
from collections.abc import Iterator

from elec.answers.loads.sharing import alternators
from elec.answers.short.crowbar import CrowbarLoop, crowbars
from elec.check import check
from elec.checks.answer import amps, percent
from elec.checks.compare import compare
from elec.checks.device._words import class_words, curve_sources
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit
from elec.working import within

LOOP = (
    Cite("elec", "overvoltage loop", "computed"),
    Cite("trade", "overvoltage set point", "memory"),
)


@check(
    "A crowbar opens the breaker of the field circuit",
    sources=LOOP,
    limits=("overvoltage-opens", "voltage-most"),
    given="crowbar on alternators",
)
def alternator_crowbar(study: Study) -> Iterator[Finding]:
    """A crowbar shorts the field circuit where it ends; only its breaker ends that, for good.

    Long or thin field wires let through so little that the breaker takes long, and the crowbar
    burns out with the alternator running away. Counted is the worst: hot wires, a low battery. Take
    a thicker or shorter field wire, a smaller breaker, or a nearer ground; keep the voltage at
    which it fires above all that the regulator holds, and below what equipment does not survive.
    """
    for name, loop in crowbars(study).items():
        yield _finding(study, name, loop)


def _finding(study: Study, name: str, loop: CrowbarLoop) -> Finding:
    source, most = alternators(study)[name], limit(study, "overvoltage-opens")
    trips = source.crowbar.trips_v if source.crowbar else None
    holds = max(source.setpoints())
    fires = f"fires at {trips:g} V" if trips is not None else "fires at a voltage that is not said"
    early = trips is not None and within(trips, holds)
    high = limit(study, "voltage-most")
    most_v = high.value * study.system.about.nominal_v
    late = trips is not None and not within(trips, most_v)
    device = loop.device
    says, never = "", ""
    if device is not None:
        driven = amps(loop.current_a)
        head = f"It {fires} and drives {driven} through the {device.label} ({class_words(device)})"
        says = f"{head}, which has opened after "
        if loop.opens_s is not None and not math.isfinite(loop.opens_s):
            never = f"{head}, which need not open at that at all."
        if early:
            never = (
                f"It {fires}, and its regulator may hold {holds:g} V: it opens the field in flight."
            )
        if late:
            nominal = f"{percent(high.value)} of {study.system.about.nominal_v:g} V"
            never = f"It {fires}, more than {nominal}: what is on is destroyed before."
    return compare(
        study,
        name,
        at=("sources", name, "crowbar"),
        value=loop.opens_s,
        limit=most,
        unit="s",
        besides=None if trips is None else not (early or late),
        says=lambda opens, asked: f"{says}{opens} at the latest; {asked} is allowed.",
        fault=never,
        remedy="Let it fire some 2 V above the set-point."
        if early or late
        else "Take a thicker or shorter field wire, a smaller breaker or a nearer ground; let it "
        "fire some 2 V above the set-point.",
        unknown=f"What it drives cannot be told: {loop.unknown}.",
        ask="Give what is missing (lengths, a battery, the voltage at which it fires: "
        "crowbar: {trips: 16.2 V}).",
        named=(high,) if late else (),
        working=lambda: loop.working,
        sources=(*map(str, LOOP), *(curve_sources(device) if device is not None else ())),
    )
