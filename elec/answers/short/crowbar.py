"""The loop of an overvoltage trip: what a fired crowbar drives, and when its breaker opens.

In: the least short-circuit current at the end of the field circuit, the band of its device. Out:
`CrowbarLoop` by alternator. Careful: hot wires, and the battery as low as a short counts it, though
the voltage is high when it fires.
"""

import math
from collections.abc import Mapping

from msgspec import Struct

from elec.answers.short.damage_working import opening
from elec.answers.short.fault import faults
from elec.model.source import Alternator
from elec.physics.fault import crowbar_current_a
from elec.physics.protection import greatest_opening_time_s
from elec.sizing.devices import Device, band_of
from elec.sizing.sizing import sizing
from elec.standards import NotCovered
from elec.study import Study, analysis
from elec.wiring.hand import assumed, where
from elec.working import Term, Working, leading_to


class CrowbarLoop(Struct, frozen=True, kw_only=True):
    """What happens once it has fired; None where that is not known, then `unknown` says why."""

    alternator: str
    circuit: str
    device: Device | None = None
    current_a: float | None = None
    opens_s: float | None = None
    """The longest that the device takes; infinite where it need not open at all."""
    unknown: str = ""
    working: Working | None = None


@analysis
def crowbars(study: Study) -> Mapping[str, CrowbarLoop]:
    """The overvoltage loop of every alternator that has a crowbar."""
    return {
        name: _loop(study, name, source)
        for name, source in study.document.sources.items()
        if isinstance(source, Alternator) and source.crowbar is not None
    }


def _loop(study: Study, name: str, source: Alternator) -> CrowbarLoop:
    circuit = source.field_circuit or ""
    found = CrowbarLoop(alternator=name, circuit=circuit)
    device, fault = sizing(study).devices.get(circuit), faults(study)[circuit]
    if device is None:
        return _untold(found, "the field circuit has no device that could open")
    if fault.least_a is None or device.rating_a is None:
        return _untold(found, fault.unknown or device.unknown)
    ohm = next(step for step in fault.least.steps if step.result.symbol == "Ik")
    drop = _drop(study, name, source)
    try:
        fired = crowbar_current_a.step(short_a=ohm, source_v=ohm.terms[0], drop_v=drop)
        band = band_of(device.kind, device.family, device.rating_a)
    except NotCovered as error:
        return _untold(found, str(error))
    amps = min(fired.result.value, fault.least_a)
    opens_s = greatest_opening_time_s(band=band, multiple=amps / device.rating_a)
    current = fired.term if amps == fired.result.value else fault.least.steps[-1].term
    steps = tuple(
        dict.fromkeys(
            (
                *fault.least.steps,
                *leading_to(fired, opening(current, device, band, opens_s)),
            )
        )
    )
    return CrowbarLoop(
        alternator=name,
        circuit=circuit,
        device=device,
        current_a=amps,
        opens_s=opens_s,
        working=Working(
            title=f"Overvoltage loop of {study.system.title('sources', name)}",
            steps=steps if math.isfinite(opens_s) else steps[:-1],
        ),
    )


def _untold(found: CrowbarLoop, why: str) -> CrowbarLoop:
    return CrowbarLoop(alternator=found.alternator, circuit=found.circuit, unknown=why)


def _drop(study: Study, name: str, source: Alternator) -> Term:
    """What the crowbar keeps: given, or the usual."""
    given = source.crowbar.drop_v if source.crowbar is not None else None
    if given is None:
        return assumed("crowbar-drop")
    return Term(
        symbol="U", value=given, unit="V", meaning="what the fired crowbar keeps",
        origin=where(study, "sources", name, "crowbar", "drop"),
    )  # fmt: skip


__all__ = ["CrowbarLoop", "crowbars"]
