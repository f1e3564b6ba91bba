"""What a changeover relay does whose contacts are welded: in either position, and bridged.

In: the list of failures, tracing. Out: `Weld` records. A weld shows only later: when what its bus
is stuck on dies (`then_lost`), or with every switch off (`live`). Sources are joined where closed
wires lead from one to the other; what a diode lets through one way joins none.
"""

from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.failures.failure_list import Failure, failures
from elec.answers.failures.failure_states import CHANGED
from elec.answers.failures.failure_sweep import Sweep
from elec.answers.failures.failures import worst_condition
from elec.answers.heat.hot import live_buses, opens
from elec.answers.time.endurance import cruise_phase
from elec.model.source import LeadAcid, Lithium
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, Scenario, closed
from elec.wiring.chains import Part, chains


class Weld(Struct, frozen=True, kw_only=True):
    """One position in which a relay is stuck."""

    failure: Failure
    relay: str
    then_lost: Mapping[str, tuple[str, ...]]
    """Bus or source that it is stuck on → what is lost with that, and not lost with a sound relay;
    at once or after changing over, the fewer."""
    joined: tuple[str, ...]
    """Sources that are joined through it, and are not without it."""
    live: tuple[str, ...]
    """Buses that stay live with every switch off, and do not with a sound relay."""


POSITIONS = ("pulled-in", "at-rest", "bridged")
"""Where the contacts of a relay that changes over may be stuck."""


def position(weld: Failure) -> str:
    """In which of them it is stuck; empty for a contact that only closes."""
    word = weld.id.rpartition(":")[2]
    return word if word in POSITIONS else ""


@analysis
def welds(study: Study) -> tuple[Weld, ...]:
    """Every position of every relay that changes feeders over."""
    every = [one for one in failures(study) if one.closes and position(one)]
    if not every or not study.document.phases:
        return ()
    later = _later(study, every)
    return tuple(
        Weld(
            failure=one,
            relay=str(one.path[1]),
            then_lost=later[one.id],
            joined=_joined(study, one),
            live=live_with(study, one.closes, one.opens),
        )
        for one in every
    )


def _later(study: Study, every: list[Failure]) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
    """Weld → what dies first → what is lost then."""
    by_id = {one.id: one for one in failures(study)}
    wanted: list[tuple[str, str]] = []
    which: list[Failure] = []
    for one in every:
        for end in dict.fromkeys(
            chain.source_end
            for chain in chains(study).of("feeder")
            for part in chain.parts()
            if part.id in one.closes
        ):
            dead = by_id.get(f"bus:{end}") or by_id.get(f"source:{end}")
            if dead is not None:
                wanted.append((one.id, end))
                which += [dead, replace(dead, opens=dead.opens | one.opens, closes=one.closes,
                                        branches=False)]  # fmt: skip
    sweep = Sweep(
        study, (cruise_phase(study),), (NORMAL, CHANGED), ("momentary",), worst_condition(study),
        which=tuple(which),
    )  # fmt: skip
    found: dict[str, dict[str, tuple[str, ...]]] = {one.id: {} for one in every}
    for at, (weld, end) in enumerate(wanted):
        more = _lost(sweep, 2 * at + 1) - _lost(sweep, 2 * at)
        if more:
            order = (name for name in study.document.equipment if name in more)
            found[weld][end] = tuple(order)
    return found


def _lost(sweep: Sweep, column: int) -> frozenset[str]:
    phase = sweep.cases[0].phase
    return min((sweep.dead(phase, state, column) for state in (NORMAL, CHANGED)), key=len)


def live_with(
    study: Study, closes: frozenset[str], opened: frozenset[str] = frozenset()
) -> tuple[str, ...]:
    """Buses that batteries keep live with every switch off because some contacts are closed."""

    def stuck(part: Part) -> bool:
        return part.id in opened or (opens(part) and part.id not in closes)

    found: dict[str, None] = {}
    for name, source in study.document.sources.items():
        if isinstance(source, LeadAcid | Lithium):
            sound = live_buses(study, name)
            more = (end for end in live_buses(study, name, opening=stuck) if end not in sound)
            found |= dict.fromkeys(more)
    return tuple(name for name in study.document.buses if name in found)


def _joined(study: Study, weld: Failure) -> tuple[str, ...]:
    sources = study.document.sources
    found: set[str] = set()
    for state in (NORMAL, CHANGED):
        before = _groups(study, state, None)
        for group in _groups(study, state, weld):
            if sum(bool(group & other & sources.keys()) for other in before) > 1:
                found |= group & sources.keys()
    return tuple(name for name in sources if name in found)


def _groups(study: Study, state: Scenario, weld: Failure | None) -> list[set[str]]:
    """Sources and buses in groups that closed feeders join."""
    groups = [{name} for name in (*study.document.sources, *study.document.buses)]
    for a, b in _closed(study, state, weld):
        first = next(group for group in groups if a in group)
        second = next(group for group in groups if b in group)
        if first is not second:
            first |= second
            groups.remove(second)
    return groups


def _closed(study: Study, state: Scenario, weld: Failure | None) -> Iterator[tuple[str, str]]:
    for chain in chains(study).of("feeder"):
        parts = {part.id for part in chain.parts()}
        runs = closed(study.document.feeders[int(chain.path[1])], state)
        if weld is not None:
            runs = bool(parts & weld.closes) or (runs and not parts & weld.opens)
        if runs and all(part.kind != "diode" for part in chain.parts()):
            yield chain.source_end, chain.far_end


__all__ = ["Weld", "live_with", "welds"]
