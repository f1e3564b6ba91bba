"""What a feeder would carry if it alone had to feed what lies behind it.

In: demand, feeders. Out: amperes by feeder. A feeder that stands by behind a diode or a switch
carries nothing while all is well; chosen by that, its device would open the moment it is needed.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.model.system import Condition
from elec.model.wiring import Feeder
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains
from elec.wiring.demand import circuit_amps, conditions, demand


class Duty(Struct, frozen=True, kw_only=True):
    """The most that hangs on a feeder's far bus at one moment, in a phase longer than a start."""

    current_a: float
    phase: str
    loads: tuple[str, ...]


@analysis
def duties(study: Study) -> Mapping[str, Duty]:
    """Every feeder that leads to a bus."""
    found: dict[str, Duty] = {}
    made: dict[tuple[str, bool], Duty] = {}
    for chain in chains(study).of("feeder"):
        feeder = study.document.feeders[int(chain.path[1])]
        if chain.far_end not in study.document.buses or feeder.used == "never":
            continue
        key = (chain.far_end, feeder.used == "emergency")
        if key not in made:
            made[key] = _duty(study, *key)
        found[chain.name] = made[key]
    return found


def _duty(study: Study, bus: str, emergency: bool) -> Duty:
    loads = tuple(
        load
        for here in _buses_behind(study, bus)
        for chain in _circuits_on(study).get(here, ())
        for load in chain.loads
        if not (emergency and study.document.equipment[load].shed == "at once")
    )
    loads = tuple(dict.fromkeys(loads))
    behind = [
        chain
        for here in _buses_behind(study, bus)
        for chain in _circuits_on(study).get(here, ())
        if _coil_amps(study)[chain.name]
    ]
    most, phase = 0.0, ""
    for name, entry in study.document.phases.items():
        if entry.engine is not None and entry.engine.state == "cranking":
            continue
        for condition in conditions(study):
            amps = circuit_amps(study, loads, name, condition)
            amps += sum(coil_amps(study, chain, name, condition) for chain in behind)
            if amps > most:
                most, phase = amps, name
    return Duty(current_a=most, phase=phase, loads=loads)


def coil_amps(study: Study, chain: Chain, phase: str, condition: Condition) -> float:
    """What the coils of a circuit's contacts draw while one of its loads is on."""
    found = demand(study)
    running = any(
        load in found.loads and found.loads[load].active(phase, condition) for load in chain.loads
    )
    return _coil_amps(study)[chain.name] if running else 0.0


@analysis
def _coil_amps(study: Study) -> Mapping[str, float]:
    """Circuit → what the coils of all its contacts draw together."""
    found, switches = demand(study), study.document.switches
    amps: dict[str, float] = {}
    for chain in chains(study).of("circuit"):
        coils = {
            part.name: coil
            for part in chain.parts()
            if part.name in switches
            and (said := switches[part.name].coil) is not None
            and said.load is None
            and (coil := said.draw) is not None
        }
        amps[chain.name] = sum(found.highest_a(coil) for coil in coils.values())
    return amps


@analysis
def _circuits_on(study: Study) -> Mapping[str, list[Chain]]:
    found: dict[str, list[Chain]] = {}
    for chain in chains(study).of("circuit"):
        found.setdefault(chain.source_end, []).append(chain)
    return found


@analysis
def _feeders_from(study: Study) -> Mapping[str, list[Feeder]]:
    found: dict[str, list[Feeder]] = {}
    for feeder in study.document.feeders:
        if feeder.used != "never" and feeder.to in study.document.buses:
            found.setdefault(feeder.from_, []).append(feeder)
    return found


def _buses_behind(study: Study, bus: str) -> tuple[str, ...]:
    """A bus and all that feeders lead to from it."""
    found, queue = {bus: None}, [bus]
    while queue:
        for feeder in _feeders_from(study).get(queue.pop(), ()):
            if feeder.to not in found:
                found[feeder.to] = None
                queue.append(feeder.to)
    return tuple(found)
