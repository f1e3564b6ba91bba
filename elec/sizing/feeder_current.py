"""The current at which the main wires between a source and its bus are judged.

The rated current of a generator, or a battery's five-minute rate where no device ends that earlier
(FAA-H-8083, voltage drop). In: sources, feeders. Out: amperes and what they are.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.sizing.devices import Device
from elec.study import Study
from elec.wiring.chains import Chain
from elec.wiring.sources import five_minute_a, has_alternator


class Rated(Struct, frozen=True, kw_only=True):
    """A current for which a feeder is to be good, and what it is."""

    current_a: float
    meaning: str
    origin: str


def rated(study: Study, chain: Chain, devices: Mapping[str, Device]) -> Rated | None:
    """The rated current of the source at an end of a feeder; None where there is none.

    A feeder for an emergency alone is no main wire, and where nothing generates (a glider) no bus
    asks for five-minute currents: there what it carries counts. So it does behind a fusible link of
    no rating: what it opens at is not known, but it is there to melt before the wire behind it, and
    no five minutes at hundreds of amperes pass a wire four gauges thinner.
    """
    generates = has_alternator(study)
    if chain.kind != "feeder" or not generates:
        return None
    if study.document.feeders[int(chain.path[1])].used == "emergency":
        return None
    for end in (chain.source_end, chain.far_end):
        source = study.document.sources.get(end)
        if source is None or source.kind == "external-power":
            continue
        title, where = study.system.title("sources", end), str(study.system.where("sources", end))
        if source.kind == "alternator":
            amps = source.rated_a()
            words = f"the rated current of {title}"
            return None if amps is None else Rated(current_a=amps, meaning=words, origin=where)
        if any(d.kind == "link" and d.rating_a is None for d in _own(chain, devices)):
            return None
        amps = five_minute_a(source)
        ratings = [device.rating_a for device in _own(chain, devices)]
        device_a = min((a for a in ratings if a is not None), default=amps)
        if device_a < amps:
            words = f"its device's rating, below the five-minute rate of {title}"
            return Rated(current_a=device_a, meaning=words, origin=f"device of {chain.title}")
        return Rated(current_a=amps, meaning=f"the five-minute rate of {title}", origin=where)
    return None


def _own(chain: Chain, devices: Mapping[str, Device]) -> list[Device]:
    """The devices at both ends of a feeder."""
    ends = [chain.name, *([chain.far.name] if chain.far is not None else [])]
    return [devices[name] for name in ends if name in devices]
