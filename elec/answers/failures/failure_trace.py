"""What each failure cuts off, by tracing what closed wires and diodes connect; no voltage needed.

In: a netlist's wires in one state of the feeders, and the failures. Out: which equipment and which
alternators each failure kills. An alternator whose field circuit is dead gives nothing; so does in
the end one whose regulator no longer sees the bus that it holds: it gives nothing, or all until
something takes it off. A contactor whose coil is dead opens.
"""

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property, reduce
from operator import or_

import numpy as np
from msgspec import Struct

from elec.answers.failures.failure_list import Failure
from elec.network.circuit import circuit_of
from elec.network.netlist import Array, Netlist
from elec.network.trace import Feeding, Flags, flags_of, masks_of
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.coils import contact_rows


class OpenedRows(Struct, frozen=True, kw_only=True):
    """What failures do to the rows of a netlist: (rows, failures + 1), the last one is none."""

    resistors: Flags
    closed: Flags
    """Contacts that stay closed, where nothing opens them."""
    batteries: Flags
    alternators: Flags
    """Stopped outright, not for want of a field."""
    blind: Flags
    """Alternators whose regulators have lost their sense wires."""

    @property
    def columns(self) -> int:
        """Failures, and the state without one."""
        return int(self.resistors.shape[1])


def opening(netlist: Netlist, failures: Sequence[Failure]) -> OpenedRows:
    """Translate names into rows; a name that several rows have means all of them."""
    rows: dict[str, list[int]] = {}
    for row, branch in enumerate(netlist.resistors):
        rows.setdefault(branch.name, []).append(row)

    def marked(names: list[frozenset[str]]) -> Flags:
        flags = np.zeros((len(netlist.resistors), len(failures) + 1), np.bool_)
        found = [[row for name in some for row in rows.get(name, ())] for some in names]
        columns = np.repeat(np.arange(len(failures)), [len(some) for some in found])
        flags[[row for some in found for row in some], columns] = True
        return flags

    resistors = marked([one.opens for one in failures])

    def named(names: list[str], which: list[frozenset[str]]) -> Flags:
        flags = np.zeros((len(names), len(failures) + 1), np.bool_)
        for column, some in enumerate(which):
            if some:
                flags[:, column] = [name in some for name in names]
        return flags

    stopped = [one.sources for one in failures]
    alternators = [branch.name for branch in netlist.alternators]

    return OpenedRows(
        resistors=resistors,
        closed=marked([one.closes for one in failures]) & ~resistors,
        batteries=named([branch.name for branch in netlist.batteries], stopped),
        alternators=named(alternators, stopped),
        blind=named(alternators, [one.senses for one in failures]),
    )


class Traced(Struct, frozen=True, kw_only=True, dict=True):
    """What is left in one state of the feeders and sources: flags (…, failures + 1)."""

    things: tuple[str, ...]
    """Equipment that circuits feed, then coils as `coil:NAME`."""
    fed: Flags
    """A source feeds the thing, out and back."""
    alternators: Flags
    """Alternators that turn, have their field and see what they hold; rows as in the netlist."""
    astray: Flags
    """Alternators that are off because their regulators see no longer what they hold."""
    untold: Flags
    """(failures + 1,) one of these may run away, and nothing is said to take it off."""
    sources: tuple[str, ...]
    serving: Flags
    """The source feeds at least one thing."""
    adrift: Flags
    """It does, and no wire joins its negative with the main ground."""
    dropped: Flags
    """The resistor is the contact of a coil that nothing feeds any more."""
    fallen_back: Flags
    """The resistor is a resting contact of such a coil: a changeover relay goes back to it."""

    @cached_property
    def steady(self) -> Flags:
        """(failures + 1,) all alternators turn as without a failure, and no contact drops."""
        turning = (self.alternators == self.alternators[:, -1:]).all(axis=0)
        found: Flags = turning & ~self.dropped.any(axis=0)
        return found

    @cached_property
    def moved(self) -> Flags:
        """(failures + 1,) the contacts of some coil drop or fall back."""
        found: Flags = np.asarray((self.dropped | self.fallen_back).any(axis=0))
        return found

    def dead(self, column: int) -> frozenset[str]:
        """The things that nothing feeds in a failure."""
        if column not in self._dead:
            rows = (~self.fed[:, column]).nonzero()[0].tolist()
            self._dead[column] = frozenset(self.things[row] for row in rows)
        return self._dead[column]

    @cached_property
    def _dead(self) -> dict[int, frozenset[str]]:
        """Of every column that was asked."""
        return {}


class Tracer:
    """Traces one state of the feeders, whichever alternators turn."""

    def __init__(
        self, study: Study, netlist: Netlist, resistance_ohm: Array, opened: OpenedRows
    ) -> None:
        """Walk the network once.

        Args:
            study: the run.
            netlist: the topology.
            resistance_ohm: of every resistor in this state, without any failure.
            opened: what the failures open.
        """
        self._study, self._netlist, self._opened = study, netlist, opened
        self._every = (1 << opened.columns) - 1
        self._healthy = 1 << (opened.columns - 1)
        wires = (np.isfinite(resistance_ohm)[:, None] & ~opened.resistors) | opened.closed
        self._rows = contact_rows(study, netlist)
        self._resting = contact_rows(study, netlist, resting=True)
        link = (resistance_ohm == 0.0) & ~opened.resistors.any(axis=1)
        moved = (*self._rows.values(), *self._resting.values())
        link[[row for rows in moved for row in rows]] = False
        self._wires, self._circuit = wires, circuit_of(netlist, link)
        self._feeding = self._whole = Feeding(self._circuit, wires)
        self._things = {name: (f"{name}#feed", f"{name}#return") for name in chains(study).feeds}
        self._things |= {b.name: (b.a, b.b) for b in netlist.loads if b.name.startswith("coil:")}

    def trace(self, batteries: Flags, alternators: Flags) -> Traced:
        """What is fed with these batteries connected and these alternators turning (rows)."""
        self._feeding = self._whole
        on = self._sources(batteries, alternators)
        names = [branch.name for branch in self._netlist.alternators]
        dropped = dict.fromkeys(self._rows, 0)
        astray, untold = dict.fromkeys(names, 0), 0
        while True:
            starved = {name: on[name] & ~self._field(name, on) & self._every for name in names}
            lost = {name: self._astray(name, on) & ~starved[name] for name in names}
            untold |= _any(self._untold(name, lost[name], on) for name in names)
            astray = {name: astray[name] | lost[name] for name in names}
            starved = {name: starved[name] | lost[name] for name in names}
            on = {name: mask & ~starved.get(name, 0) for name, mask in on.items()}
            fell = {coil: self._unheld(coil, on) & ~gone for coil, gone in dropped.items()}
            if not any(starved.values()) and not any(fell.values()):
                break
            if any(fell.values()):
                dropped = {coil: gone | fell[coil] for coil, gone in dropped.items()}
                closed = self._wires & ~self._of(self._rows, dropped)
                closed |= self._fallen_back(dropped)
                self._feeding = Feeding(self._circuit, closed)
        columns = self._opened.columns
        by_source = {name: self._by_source(name, on) for name in self._things}
        serving = {name: _any(found[name] for found in by_source.values()) for name in on}
        return Traced(
            things=tuple(self._things),
            fed=flags_of([_any(found.values()) for found in by_source.values()], columns),
            alternators=flags_of([on[name] for name in names], columns),
            astray=flags_of(astray.values(), columns),
            untold=flags_of([untold], columns)[0],
            sources=tuple(on),
            serving=flags_of(serving.values(), columns),
            adrift=flags_of(
                (serving[name] & ~self._feeding.grounded(name) for name in on), columns
            ),
            dropped=self._of(self._rows, dropped),
            fallen_back=self._fallen_back(dropped),
        )

    def _unheld(self, coil: str, on: dict[str, int]) -> int:
        """In which failures a coil is dead that is fed without any."""
        fed = _any(self._by_source(coil, on).values())
        return self._every & ~fed if fed & self._healthy else 0

    def _of(self, rows: Mapping[str, list[int]], dropped: dict[str, int]) -> Flags:
        """These contacts of coils that have dropped out, (resistors, failures + 1)."""
        flags = np.zeros_like(self._wires)
        for coil, mask in dropped.items():
            if mask:
                flags[rows[coil]] = flags_of([mask], self._opened.columns)
        return flags & ~self._opened.closed

    def _fallen_back(self, dropped: dict[str, int]) -> Flags:
        """The resting contacts that close so, where they are not what fails."""
        found: Flags = self._of(self._resting, dropped) & ~self._opened.resistors
        return found

    def _sources(self, batteries: Flags, alternators: Flags) -> dict[str, int]:
        """Source → the failures in which it works, fields not asked yet."""
        on: dict[str, int] = {}
        for branches, working, stopped in (
            (self._netlist.batteries, batteries, self._opened.batteries),
            (self._netlist.alternators, alternators, self._opened.alternators),
        ):
            for branch, connected, mask in zip(branches, working, masks_of(stopped), strict=True):
                on[branch.name] = self._every & ~mask if connected else 0
        return on

    def _by_source(self, thing: str, on: dict[str, int]) -> dict[str, int]:
        """Source → the failures in which it feeds a thing."""
        a, b = self._things[thing]
        return {name: mask & self._feeding.between(name, a, b) for name, mask in on.items()}

    def _field(self, alternator: str, on: dict[str, int]) -> int:
        """In which failures an alternator has its field; always where its circuit is not known.

        A field that is dead without any failure is a matter of its own, and not counted here.
        """
        source = self._study.document.sources[alternator]
        circuit = source.field_circuit if source.kind == "alternator" else None
        loads = chains(self._study).by_name[circuit].loads if circuit else ()
        mask = self._every
        for load in loads:
            mask &= _any(self._by_source(load, on).values())
        return mask if mask & self._healthy else self._every

    def _sensed(self, alternator: str) -> tuple[str, int]:
        """The bus that its wire takes to the regulator, and the failures in which that is open."""
        source = self._study.document.sources[alternator]
        names = [branch.name for branch in self._netlist.alternators]
        blind = masks_of(self._opened.blind)[names.index(alternator)]
        return source.senses() if source.kind == "alternator" else "", blind

    def _elsewhere(self, alternator: str, bus: str, on: dict[str, int]) -> int:
        """In which failures another source feeds a bus."""
        return _any(
            mask & self._feeding.reaches(name, bus)
            for name, mask in on.items()
            if name != alternator
        )

    def _astray(self, alternator: str, on: dict[str, int]) -> int:
        """In which failures a working alternator's regulator no longer sees what it holds.

        Its wire is open, or the bus is no longer joined to it. One that holds on by its output does
        so but where it is shown the voltage of something else. Without any failure it is a matter
        of its own, and not counted here.
        """
        bus, blind = self._sensed(alternator)
        if not bus:
            return 0
        sees = self._feeding.reaches(alternator, bus)
        if not sees & self._healthy:
            return 0
        source = self._study.document.sources[alternator]
        tap = source.sense if source.kind == "alternator" else None
        if tap is not None and tap.if_open == "holds":
            gone = ~sees & ~blind & self._elsewhere(alternator, bus, on)
        else:
            gone = ~sees | blind
        return on[alternator] & gone & self._every

    def _untold(self, alternator: str, lost: int, on: dict[str, int]) -> int:
        """In which of these failures it may give all it can, and nothing is said to take it off."""
        source = self._study.document.sources[alternator]
        if source.kind != "alternator" or source.taken_off() or not lost:
            return 0
        bus, blind = self._sensed(alternator)
        if source.sense is not None and source.sense.if_open == "off":
            return lost & ~blind & self._elsewhere(alternator, bus, on)
        return lost


def _any(masks: Iterable[int]) -> int:
    return reduce(or_, masks, 0)
