"""Which contacts can be closed one after the other while one supply is in place of one battery.

In: the netlist, chains. Out: `SupplyState` in the order of trying: nothing closed, each contact by
itself, then those that only come alive behind another; last each diode with the contact of its own
feeder closed and its far side alone alive, for an open contact hides a diode that lets back. A
contact with a coil closes where its coil has a voltage already.
"""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct

from elec.answers.base.points import Points
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Chain, Part, chains
from elec.wiring.circuit_model import part_ohm
from elec.wiring.coils import CONTACTS, moved_by
from elec.wiring.ends import end_text

CELL_WAYS = ("charge", "discharge", "out")
"""Diodes inside the model of a battery."""


class FeederContact(Struct, frozen=True, kw_only=True):
    """A contact in feeders: all poles of a switch, or one throw of a changeover."""

    key: str
    title: str
    switch: str
    """Its name under `switches:`."""
    poles: Mapping[str, float]
    """Names of its poles in the netlist, and what each has when it is closed, Ω."""
    nodes: tuple[str, ...]
    """One of them has to be live: where its coil is fed, else either of its sides."""
    emergency: bool
    by_hand: bool
    """Without a coil: it closes whatever is live."""


class SupplyState(Struct, frozen=True, kw_only=True):
    """What is closed while the supply feeds in at one battery's leads."""

    battery: str
    closed: tuple[FeederContact, ...]
    live: frozenset[str]
    """The nodes that a voltage reaches."""


def contacts(study: Study) -> tuple[FeederContact, ...]:
    """Every contact of the feeders, those for an emergency last."""
    found: dict[str, list[tuple[Chain, Part]]] = {}
    for chain in chains(study).of("feeder"):
        for part in chain.parts():
            if part.kind in CONTACTS and not part.resting:
                own = f"{part.name} {chain.name}" if part.kind == "changeover" else part.name
                found.setdefault(own, []).append((chain, part))
    made = [_contact(study, key, poles) for key, poles in found.items()]
    return tuple(sorted(made, key=lambda one: one.emergency))


def _contact(study: Study, key: str, poles: Sequence[tuple[Chain, Part]]) -> FeederContact:
    chain, part = poles[0]
    entry = study.document.switches.get(part.name)
    coil = entry.coil if entry is not None else None
    load = coil.load if coil is not None else None
    end = study.system.end_title(chain.source_end)
    throw = f" on {end}" if part.kind == "changeover" else ""
    sides = [node for _, pole in poles for node in (pole.inlet, pole.outlet)]
    return FeederContact(
        key=key,
        title=moved_by(study, part.name) or f"{part.label or end_text(study, part)}{throw}",
        switch=part.name,
        poles={pole.id: part_ohm(study, one, pole, sizing(study).sizes()) for one, pole in poles},
        nodes=(f"{load}#feed",) if load else (part.inlet,) if coil else tuple(sides),
        emergency=all(
            study.document.feeders[int(one.path[1])].used == "emergency" for one, _ in poles
        ),
        by_hand=coil is None,
    )


def supply_states(study: Study, at: Points, battery: str) -> Iterator[SupplyState]:
    """What can be closed with the supply at a battery: nothing, one contact, those behind it."""
    every = contacts(study)
    resting = {part.id: part.name for chain in chains(study).of("feeder")
               for part in chain.parts() if part.resting}  # fmt: skip
    ways = _Ways(at, every, resting)
    level = [SupplyState(battery=battery, closed=(), live=ways.reached(battery, ()))]
    tried: set[str] = set()
    seen: list[SupplyState] = []
    while level:
        yield from level
        seen += level
        fresh: dict[str, SupplyState] = {}
        for state in level:
            for one in every:
                used = one.key in tried or one.switch in {c.switch for c in state.closed}
                if not used and one.key not in fresh and state.live.intersection(one.nodes):
                    closed = (*state.closed, one)
                    live = ways.reached(battery, closed)
                    fresh[one.key] = SupplyState(battery=battery, closed=closed, live=live)
        tried |= fresh.keys()
        level = list(fresh.values())
    yield from _against_diodes(study, every, ways, seen)


def _against_diodes(
    study: Study, every: Sequence[FeederContact], ways: "_Ways", seen: Sequence[SupplyState]
) -> Iterator[SupplyState]:
    """A voltage behind each diode and none before it, the contacts of its feeder closed."""
    done = {frozenset(one.key for one in state.closed) for state in seen}
    for chain in chains(study).of("feeder"):
        poles = {part.id for part in chain.parts()}
        own = [one for one in every if poles & one.poles.keys()]
        for diode in (part for part in chain.parts() if part.kind == "diode" and own):
            for state in seen:
                more = [one for one in own if one not in state.closed]
                closed = (*state.closed, *more)
                key = frozenset(one.key for one in closed)
                if key in done or len({one.switch for one in closed}) < len(closed):
                    continue
                live = ways.reached(state.battery, closed)
                behind = diode.outlet in live and diode.inlet not in live
                if behind and all(c.by_hand or state.live.intersection(c.nodes) for c in more):
                    done.add(key)
                    yield SupplyState(battery=state.battery, closed=closed, live=live)
                    break


class _Ways:
    """What is joined to what on the positive side, contacts aside."""

    def __init__(
        self, at: Points, every: Sequence[FeederContact], resting: Mapping[str, str]
    ) -> None:
        netlist, ohms = at.model.netlist, at.model.values.resistance_ohm
        poles = {pole for one in every for pole in one.poles}
        self.always: dict[str, list[str]] = {}
        self._beyond: dict[str, frozenset[str]] = {}
        self.poles: dict[str, tuple[str, str]] = {}
        self.resting: list[tuple[str, str, str]] = []
        """Relay and both sides of each contact that is closed while nothing moves it."""
        for row, branch in enumerate(netlist.resistors):
            if branch.name in poles:
                self.poles[branch.name] = (branch.a, branch.b)
            elif branch.name in resting:
                self.resting.append((resting[branch.name], branch.a, branch.b))
            elif np.isfinite(ohms[row]).any():
                self._join(branch.a, branch.b)
                self._join(branch.b, branch.a)
        cells = {f"{one.name}#{way}" for one in netlist.batteries for way in CELL_WAYS}
        for branch in netlist.diodes:
            if branch.name not in cells:
                self._join(branch.a, branch.b)

    def _join(self, a: str, b: str) -> None:
        self.always.setdefault(a, []).append(b)

    def reached(self, battery: str, closed: Sequence[FeederContact]) -> frozenset[str]:
        """The nodes that a voltage at a battery's lead reaches."""
        shut: dict[str, list[str]] = {}
        for one in closed:
            for pole in one.poles:
                a, b = self.poles[pole]
                shut.setdefault(a, []).append(b)
                shut.setdefault(b, []).append(a)
        moved = {one.switch for one in closed}
        for relay, a, b in self.resting:
            if relay not in moved:
                shut.setdefault(a, []).append(b)
                shut.setdefault(b, []).append(a)
        found: set[str] = set()
        fresh = {f"{battery}.+"}
        while fresh:
            found = found.union(*map(self._without, fresh))
            fresh = {b for a in shut.keys() & found for b in shut[a]} - found
        return frozenset(found)

    def _without(self, start: str) -> frozenset[str]:
        """What a node reaches with every contact open, found once."""
        if start not in self._beyond:
            found, todo = {start}, [start]
            while todo:
                more = set(self.always.get(todo.pop(), ())) - found
                found |= more
                todo += more
            self._beyond[start] = frozenset(found)
        return self._beyond[start]
