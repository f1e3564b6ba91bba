"""A starter's main circuit and the cable of its battery, which go without a device.

In: chains, demand, batteries. Out: which chains these are, and the most that a short drives there.
"""

from elec.model.source import LeadAcid, Lithium
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.demand import demand
from elec.wiring.sources import battery_resistance, open_circuit_v

Cranking = frozenset[str]
"""The phases in which a starter turns."""


def starts_only(study: Study, chain: Chain, cranking: Cranking) -> bool:
    """Whether all that a circuit feeds is on while the engine is cranked, and only then."""
    if chain.kind != "circuit":
        return False
    found = demand(study).loads
    return bool(cranking) and all(
        load in found and all(phase in cranking for phase in found[load].phases)
        for load in chain.loads
    )


def feeds_starter(study: Study, chain: Chain, cranking: Cranking) -> bool:
    """Whether it joins a battery with the bus that a starter's main circuit hangs on."""
    if chain.kind != "feeder":
        return False
    sources = study.document.sources
    ends = (chain.source_end, chain.far_end)
    battery = any(isinstance(sources.get(end), LeadAcid | Lithium) for end in ends)
    return battery and any(
        other.device is None and other.source_end in ends and starts_only(study, other, cranking)
        for other in chains(study).of("circuit")
    )


def drivers(study: Study, chain: Chain, cranking: Cranking) -> tuple[float, float] | None:
    """What drives a short in one of these chains without a device on the way: volts and ohms.

    Full batteries, those of several cables side by side at the highest voltage. What comes through
    a device is left out: that opens. None for other chains, and where no battery is there.
    """
    if chain.device is not None:
        return None
    sources = study.document.sources
    if starts_only(study, chain, cranking):
        cables = [
            other
            for other in chains(study).of("feeder")
            if other.device is None and chain.source_end in (other.source_end, other.far_end)
        ]
    elif feeds_starter(study, chain, cranking):
        cables = [chain]
    else:
        return None
    names = {end for cable in cables for end in (cable.source_end, cable.far_end)}
    found = {n: s for n in names if isinstance(s := sources.get(n), LeadAcid | Lithium)}
    ohms = [battery_resistance(study, n, s).result.value for n, s in found.items()]
    if not ohms or min(ohms) <= 0:
        return None
    return max(open_circuit_v(study, s, 1.0) for s in found.values()), 1 / sum(1 / r for r in ohms)
