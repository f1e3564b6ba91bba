"""What stays live when every switch is open, and how each source is taken off.

In: chains, sizing. Out: `Hot` wires and `Isolation` by source. Live is what a battery reaches
without passing a switch, contactor or changeover.
"""

import math
from collections.abc import Callable, Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from elec.model.source import LeadAcid, Lithium
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains
from elec.wiring.limits import limit
from elec.wiring.runs import runs

OPENING = ("switch", "contactor", "changeover")


def opens(part: Part) -> bool:
    """Whether it is open with everything off; the resting contact of a relay is closed."""
    return part.kind in OPENING and not part.resting


class Hot(Struct, frozen=True, kw_only=True):
    """The part of one chain that stays live with everything open, fed from one of its ends."""

    chain: str
    end: str
    """Source or bus at the end that feeds it."""
    battery: str
    place: str
    """Where the battery is."""
    beyond: bool
    """Whether a live wire leaves that place."""
    length_m: float
    device: str
    """Label of the device that protects the live part, its own or one nearer to the battery; empty
    where none does."""
    rating_a: float | None
    beside: bool
    """Whether that device sits at the battery's place."""
    load: str
    """What it feeds, for a circuit; empty for a feeder."""


class LiveGuard(Struct, frozen=True, kw_only=True):
    """What lets no more into a live wire than its rating."""

    label: str
    rating_a: float | None


class Isolation(Struct, frozen=True, kw_only=True):
    """How one source is taken off."""

    source: str
    openers: tuple[Part, ...]
    """Switches, contactors, changeovers next to it on every way out."""
    away: tuple[Part, ...]
    """Those that are at another place."""
    live: tuple[str, ...]
    """Buses at other places that it keeps live with everything open."""
    by: str = ""
    """For an alternator: what stops it by its field."""


@analysis
def hot_wires(study: Study) -> tuple[Hot, ...]:
    """Every chain of which a part stays live, once for each battery and end that feeds it.

    What two batteries feed from one end alike stands there once.
    """
    found: dict[tuple[str, str], list[Hot]] = {}
    for name in _batteries(study):
        for chain, conductors, backwards in _live(study, name):
            made = _hot(study, name, chain, conductors, backwards=backwards)
            alike = found.setdefault((made.chain, made.end), [])
            if all(replace(one, battery=made.battery) != made for one in alike):
                alike.append(made)
    order = dict.fromkeys(chain for chain, _ in found)
    return tuple(
        hot for name in order for (chain, _), every in found.items() if chain == name
        for hot in every
    )  # fmt: skip


def _batteries(study: Study) -> Iterator[str]:
    for name, source in study.document.sources.items():
        if isinstance(source, LeadAcid | Lithium):
            yield name


def live_buses(
    study: Study,
    battery: str,
    less_a: float = -math.inf,
    opening: Callable[[Part], bool] = opens,
    without: str = "",
) -> tuple[str, ...]:
    """Buses that a battery reaches past no switch, itself first.

    With `less_a` only past no device beside it, either, that has so much or less; with `opening`
    other parts are open than switches that are off, and `without` a feeder.
    """
    found = [battery]
    for here in found:
        for chain, there in _onwards(study, here, opening):
            guard = _beside(study, battery, chain)
            if (
                chain.name != without
                and there not in found
                and (guard is None or _size(guard) > less_a)
            ):
                found.append(there)
    return tuple(found)


def _onwards(
    study: Study, here: str, opening: Callable[[Part], bool] = opens
) -> Iterator[tuple[Chain, str]]:
    """Feeders that a live end feeds past no switch, each with its other end."""
    for chain, there in _joining(study).get(here, ()):
        if not any(opening(part) for part in chain.parts()):
            yield chain, there


@analysis
def _joining(study: Study) -> Mapping[str, tuple[tuple[Chain, str], ...]]:
    """End → the feeders that it can feed, each with its other end; a diode lets through one way."""
    found: dict[str, list[tuple[Chain, str]]] = {}
    for chain in chains(study).of("feeder"):
        found.setdefault(chain.source_end, []).append((chain, chain.far_end))
        if chain.far_end != chain.source_end and not any(p.kind == "diode" for p in chain.parts()):
            found.setdefault(chain.far_end, []).append((chain, chain.source_end))
    return {end: tuple(here) for end, here in found.items()}


def _size(guard: LiveGuard) -> float:
    return math.inf if guard.rating_a is None else guard.rating_a


def _beside(study: Study, battery: str, chain: Chain) -> LiveGuard | None:
    """The smaller of a feeder's devices at the place of a battery."""
    place = study.document.sources[battery].place
    found = [
        LiveGuard(label=sized.label, rating_a=sized.rating_a)
        for name, part in (
            (chain.name, chain.device),
            (chain.far_device.rated if chain.far_device else "", chain.far_device),
        )
        if part is not None and part.place == place
        for sized in (sizing(study).devices.get(name),)
        if sized is not None
    ]
    return min(found, key=_size, default=None)


def _guard(study: Study, battery: str, end: str) -> LiveGuard | None:
    """What guards a live bus on every way from the battery: the least device beside it does.

    Where several ways lead to the bus, their devices together; None where one has none.
    """
    beside, steps = _guards(study)[battery]
    for before in steps:
        if end in before:
            continue
        ways = [
            beside[chain.name]
            for here in before
            for chain, there in _onwards(study, here)
            if there not in before and end in _beyond(study, there, before)
        ]
        rated = [guard.rating_a for guard in ways]
        return LiveGuard(
            label=" and ".join(guard.label for guard in ways),
            rating_a=None if None in rated else sum(filter(None, rated)),
        )
    return None


@analysis
def _guards(
    study: Study,
) -> Mapping[str, tuple[Mapping[str, LiveGuard], tuple[tuple[str, ...], ...]]]:
    """Battery → the devices beside it by feeder; what is live before those of each size."""
    found = {}
    for battery in _batteries(study):
        beside = {
            chain.name: guard
            for chain in chains(study).of("feeder")
            for guard in (_beside(study, battery, chain),)
            if guard is not None
        }
        sizes = sorted({_size(guard) for guard in beside.values()})
        found[battery] = (beside, tuple(live_buses(study, battery, most) for most in sizes))
    return found


def _beyond(study: Study, start: str, without: tuple[str, ...]) -> list[str]:
    """Live ends beyond one, not by way of some."""
    found = [start]
    for here in found:
        found += [there for _, there in _onwards(study, here) if there not in (*found, *without)]
    return found


def _live(study: Study, battery: str) -> Iterator[tuple[Chain, tuple[Conductor, ...], bool]]:
    """(chain, live conductors, fed from its far end); a feeder of both ends where both feed it.

    An end feeds it that is live without it, or what would be fed by its other end feeds itself.
    """
    live = live_buses(study, battery)
    for chain in chains(study).by_name.values():
        if chain.kind == "feeder":
            ends = (chain.source_end, chain.far_end)
            if not set(ends) & set(live):
                continue
            without = live_buses(study, battery, without=chain.name)
            for end, backwards in zip(ends, (False, True), strict=True):
                conductors = tuple(until_open(chain, backwards=backwards))
                if end in without and conductors:
                    yield chain, conductors, backwards
        elif chain.kind == "circuit" and chain.source_end in live:
            conductors = tuple(until_open(chain, backwards=False))
            if conductors:
                yield chain, conductors, False


def until_open(chain: Chain, *, backwards: bool = False) -> Iterator[Conductor]:
    """Conductors from the live end to the first switch, over all feed rows.

    From the far end no farther than to a diode, which lets nothing back.
    """
    done: set[str] = set()
    for row in chain.rows:
        if row.role != "feed":
            continue
        parts = row.parts[::-1] if backwards else row.parts
        wires = row.conductors[::-1] if backwards else row.conductors
        for part, wire in zip(parts, wires, strict=False):
            if opens(part) or (backwards and part.kind == "diode"):
                break
            if wire is not None and wire.id not in done:
                done.add(wire.id)
                yield wire


def _hot(
    study: Study, battery: str, chain: Chain, wires: tuple[Conductor, ...], *, backwards: bool
) -> Hot:
    place = study.document.sources[battery].place
    device = chain.far_device if backwards else chain.device
    sized = sizing(study).devices.get(device.rated or chain.name) if device is not None else None
    own = LiveGuard(label=sized.label, rating_a=sized.rating_a) if sized is not None else None
    beside = device is not None and device.place == place
    before = _guard(study, battery, chain.far_end if backwards else chain.source_end)
    if before is not None and (own is None or not beside or _better(study, before, own)):
        own, beside = before, True
    return Hot(
        chain=chain.name,
        end=chain.far_end if backwards else chain.source_end,
        battery=battery,
        place=place,
        beyond=any(end.place != place for wire in wires for end in (wire.a, wire.b)),
        length_m=sum(runs(study)[wire.id].length_m or 0.0 for wire in wires if not wire.stub),
        device=own.label if own is not None else "",
        rating_a=own.rating_a if own is not None else None,
        beside=beside,
        load=chain.loads[0] if chain.kind == "circuit" and chain.loads else "",
    )


def _better(study: Study, before: LiveGuard, own: LiveGuard) -> bool:
    """Whether what lies before a device guards better; one that is not known may do as well."""
    most = limit(study, "always-hot-rating").value if own.rating_a is None else own.rating_a
    return _size(before) <= most


@analysis
def isolations(study: Study) -> tuple[Isolation, ...]:
    """How every battery and alternator is taken off."""
    found = []
    for name, source in study.document.sources.items():
        if source.kind == "alternator":
            found.append(_alternator(study, name))
        elif source.kind != "external-power":
            found.append(_battery(study, name))
    return tuple(found)


def _battery(study: Study, name: str) -> Isolation:
    place = study.document.sources[name].place
    live = live_buses(study, name)
    openers = _openers(study, live)
    elsewhere = [
        bus
        for bus in live[1:]
        if bus in study.document.buses and study.document.buses[bus].place != place
    ]
    return Isolation(
        source=name,
        openers=openers,
        away=tuple(part for part in openers if part.place != place),
        live=tuple(elsewhere),
    )


def _openers(study: Study, live: tuple[str, ...]) -> tuple[Part, ...]:
    found: dict[str, Part] = {}
    for chain in chains(study).of("feeder"):
        if chain.source_end in live or chain.far_end in live:
            for part in chain.parts():
                if opens(part):
                    found.setdefault(part.name, part)
    return tuple(found.values())


def _alternator(study: Study, name: str) -> Isolation:
    source = study.document.sources[name]
    openers = _openers(study, (name,))
    by = ""
    field = source.field_circuit if source.kind == "alternator" else None
    if field is not None and field in study.document.circuits:
        circuit = study.document.circuits[field]
        if circuit.switch is not None:
            by = f"switch {study.system.title('switches', circuit.switch)} in its field"
        elif circuit.breaker is not None:
            by = f"the breaker of {field} in its field"
    return Isolation(source=name, openers=openers, away=(), live=(), by=by)
