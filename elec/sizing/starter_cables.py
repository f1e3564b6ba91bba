"""A starter: which load it is, what it draws, and its cables, which go without a device.

In: chains, demand, batteries. Out: the starter and its first turn; which chains its main circuit
and the cable of its battery are, and the most that a short drives there.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.model.source import LeadAcid, Lithium
from elec.model.system import Condition
from elec.sizing.order import cranking
from elec.standards import default
from elec.study import Study, analysis
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


STARTER_A = 20.0
"""A motor that draws less turns no engine: usual are 100 to 300 A (our judgement)."""
STARTER_WORDS = ("starter", "starter-motor", "cranking-motor")


def named_starter(name: str) -> bool:
    """Whether a load is called a starter; its contactor or coil is none."""
    return name.endswith(STARTER_WORDS)


def starter_of(study: Study, phase: str) -> str | None:
    """The load that turns the engine in a phase of cranking.

    The one that is called a starter; else the motor that draws most of those that are on while
    engines are turned and never else. None where there is none, or its current is not known: no
    other load stands in for it.
    """
    return _starters(study).get(phase)


@analysis
def _starters(study: Study) -> Mapping[str, str | None]:
    """Phase → its starter."""
    return {phase: _starter(study, phase) for phase in study.document.phases}


def _starter(study: Study, phase: str) -> str | None:
    found, turning = demand(study), cranking(study)
    amps: dict[str, float] = {}
    for name, load in found.loads.items():
        draws = [m.draw for m in load.phases.get(phase, ()) if m.draw is not None]
        if draws:
            amps[name] = max(found.highest_a(draw) for draw in draws)
    named = {name: a for name, a in amps.items() if named_starter(name)}
    entries = study.document.equipment
    motors = {
        name: a
        for name, a in amps.items()
        if entries[name].character == "motor"
        and a >= STARTER_A
        and turning.issuperset(found.loads[name].phases)
    }
    every = named or motors
    return max(every, key=lambda name: every[name], default=None)


class FirstTurn(Struct, frozen=True, kw_only=True):
    """What a starter draws while its rotor still stands."""

    running_a: float
    factor: float
    """Times the running current."""
    lasts_s: float
    turns_s: float
    """How long the starter turns, the first turn counted."""
    assumed: bool
    """Whether factor and time are defaults."""


def first_turn(study: Study, starter: str, phase: str, condition: Condition) -> FirstTurn:
    """The first turn of a starter: its `inrush:`, else a default."""
    found = demand(study)
    modes = found.loads[starter].active(phase, condition)
    turns_s = max((m.time_s for m in modes), default=0.0)
    usual_a = max((found.highest_a(m.draw) for m in modes if m.draw is not None), default=0.0)
    given = study.document.equipment[starter].inrush
    factor = default("starter-first-turn-factor").value
    lasts_s = default("starter-first-turn-time").si
    if given is not None:
        factor, lasts_s = given.factor or 1.0, given.lasts_s
        if given.current_a is not None:
            factor = given.current_a / usual_a if usual_a > 0 else 1.0
    return FirstTurn(
        running_a=usual_a,
        factor=factor,
        lasts_s=lasts_s,
        turns_s=turns_s,
        assumed=given is None,
    )
