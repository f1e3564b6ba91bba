"""Which single faults stop the engine, or take an essential bus.

In: a study. Out: `SingleFault` records, by tracing what is cut off in cruise, at once or after
changing over, whichever is less; `solved_faults` adds what the voltages of all phases say.
"""

from collections.abc import Iterator, Mapping, Set

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.failures.failure_double import taken
from elec.answers.failures.failure_list import Failure, failures, ground_lost
from elec.answers.failures.failure_reach import parted
from elec.answers.failures.failure_states import CHANGED
from elec.answers.failures.failure_sweep import Sweep
from elec.answers.failures.failures import worst_condition, worst_effects
from elec.answers.time.endurance import cruise_phase
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.backup import engine_loads
from elec.wiring.cases import NORMAL
from elec.wiring.chains import chains, main_ground

SEVERAL = 2
"""So many essential loads of a bus at once count as the bus; of a bus with one, that one."""


class SingleFault(Struct, frozen=True, kw_only=True):
    """One single fault and what it takes."""

    failure: Failure
    bus: str
    """The essential bus that it takes; empty where it stops the engine."""
    loads: tuple[str, ...]
    """What is gone and nothing takes over for."""

    @property
    def id(self) -> str:
        """`ground:panel-block main`, `device:ecu engine`."""
        return f"{self.failure.id} {self.bus or 'engine'}"

    @property
    def kind(self) -> str:
        """`feed`, `ground` or `way`: what kind of change can cure it."""
        return self.failure.kind if self.failure.kind in ("ground", "way") else "feed"


@analysis
def counted(study: Study) -> tuple[Failure, ...]:
    """The single failures that are looked at.

    Those of the list, but for a way cut whole whose bundles no hole takes together; and a ground
    with a source on it, lost with all that hangs on it, as the main ground is in the list: nothing
    leads on from there by which it could be loose alone.
    """
    main = main_ground(study)
    with_source = {
        source.ground
        for source in study.document.sources.values()
        if source.ground not in (None, main)
    }
    lost = [ground_lost(study, str(name)) for name in study.document.grounds if name in with_source]
    return (*(one for one in failures(study) if one.powers and not parted(study, one)), *lost)


@analysis
def faults(study: Study) -> tuple[SingleFault, ...]:
    """Every single fault that stops the engine or takes an essential bus, by what it cuts off."""
    if not study.document.phases or not chains(study).feeds:
        return ()
    every = counted(study)
    phase = cruise_phase(study)
    sweep = Sweep(
        study, (phase,), (NORMAL, CHANGED), ("momentary",), worst_condition(study), which=every
    )
    healthy = taken(sweep, sweep.healthy)
    return tuple(
        fault
        for column, failure in enumerate(every)
        for fault in _faults(study, failure, taken(sweep, column) - healthy)
    )


def solved_faults(study: Study) -> tuple[SingleFault, ...]:
    """The same with voltages, by the worst of all phases of flight, and those of `faults`."""
    solved = (
        fault
        for effect in worst_effects(study)
        if not parted(study, effect.failure)
        for fault in _faults(study, effect.failure, frozenset(effect.taken))
    )
    return tuple({fault.id: fault for fault in (*faults(study), *solved)}.values())


def untold(study: Study) -> int:
    """Of how many failures the voltages are not known: only what they cut off counts there."""
    return sum(not (one.solved or one.failure.branches) for one in worst_effects(study))


def _faults(study: Study, failure: Failure, gone: Set[str]) -> Iterator[SingleFault]:
    engine = [name for name in study.document.equipment if name in gone & engine_loads(study)]
    if engine:
        yield SingleFault(failure=failure, bus="", loads=tuple(engine))
    for bus, held in essential_loads(study).items():
        lost = tuple(name for name in held if name in gone)
        if failure.id != f"bus:{bus}" and len(lost) >= min(SEVERAL, len(held)) > 0:
            own = len(lost) == 1 and failure.branches
            if not own:
                yield SingleFault(failure=failure, bus=bus, loads=lost)


@analysis
def essential_loads(study: Study) -> Mapping[str, tuple[str, ...]]:
    """Essential bus → the essential loads that hang on it: of those marked so, else of all."""
    equipment, circuits = study.document.equipment, study.document.circuits
    marked = [name for name, bus in study.document.buses.items() if bus.essential]
    return {
        bus: tuple(
            load
            for load, names in chains(study).feeds.items()
            if equipment[load].essential
            and any(circuits[n].bus == bus for n in names if n in circuits)
        )
        for bus in marked or study.document.buses
    }


def sized_like(study: Study, other: Study) -> Study:
    """A study that has the sizes of another one: what is cut off does not depend on them."""
    done = sizing(other)
    gauge = next(iter(done.gauges.values()), None)
    if gauge is None:
        return study
    conductors = [c.id for chain in chains(study).by_name.values() for c in chain.conductors()]
    gauges = {name: done.gauges.get(name, gauge) for name in conductors}
    warm = {name: done.temperatures_degc.get(name, 20.0) for name in conductors}
    study.keep(sizing, replace(done, gauges=gauges, temperatures_degc=warm))
    return study


__all__ = [
    "SingleFault", "counted", "essential_loads", "faults", "sized_like", "solved_faults", "untold",
]  # fmt: skip
