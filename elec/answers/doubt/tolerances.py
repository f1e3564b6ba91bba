"""Every number that the results rest on and that may be off, and by how much.

In: loads, sources, the solved network's elements. Out: `Inputs`: each uncertain number once, with
the elements that it moves. What is given wins; else the default of its basis, named.
"""

from collections.abc import Iterator, Mapping
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict
from numpy.typing import NDArray

from elec.answers.base.points import points
from elec.model.load import Equipment
from elec.model.source import Alternator, LeadAcid, Lithium
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.basis import Spread, draw_spread, spread_of
from elec.wiring.chains import Chain, chains, known_ohm
from elec.wiring.circuit_model import LoadPort

Kind = Literal[
    "load",
    "coil",
    "output",
    "set-point",
    "capacity",
    "resistance",
    "rest voltage",
    "wires",
    "diode",
]
Index = NDArray[np.intp]


class Input(Spread, frozen=True, kw_only=True):
    """One number that may be off, and how far."""

    name: str
    """Its own for good: its samples depend on nothing else."""
    title: str
    kind: Kind
    path: tuple[str | int, ...]
    group: str
    """Inputs of one group are ranked together."""


class Inputs(Struct, frozen=True, kw_only=True):
    """All of them, and for each element of the netlist the input that moves it; -1: none."""

    every: tuple[Input, ...]
    load: Index
    resistor: Index
    battery_v: Index
    battery_resistance: Index
    diode: Index
    alternator_v: Index
    alternator_output: Index
    capacity: Mapping[str, int]
    """Battery → the input of its capacity."""
    port: Mapping[tuple[str, str], int]
    """(equipment, mode) → the input of its draw; a coil's mode is `coil`."""


@analysis
def inputs(study: Study) -> Inputs:
    """Every uncertain input of the solved network."""
    return _Inputs(study).run()


class _Inputs:
    def __init__(self, study: Study) -> None:
        self.study = study
        self.document = study.document
        self.every: dict[str, Input] = {}
        self.place: dict[str, int] = {}

    def run(self) -> Inputs:
        model = points(self.study).model
        netlist = model.netlist
        twins = _twins(self.document.equipment)
        load = [self._load(port, twins) for port in model.ports]
        parts = _parts(self.study)
        batteries = [b.name for b in netlist.batteries]
        alternators = [b.name for b in netlist.alternators]
        return Inputs(
            load=_index(load),
            resistor=_index([self._resistor(b.name, parts) for b in netlist.resistors]),
            battery_v=_index([self._battery(name, "rest voltage") for name in batteries]),
            battery_resistance=_index([self._battery(name, "resistance") for name in batteries]),
            diode=_index([self._diode(b.name) for b in netlist.diodes]),
            alternator_v=_index([self._alternator(name, "set-point") for name in alternators]),
            alternator_output=_index([self._alternator(name, "output") for name in alternators]),
            capacity={
                name: self._battery(name, "capacity")
                for name in batteries
                if isinstance(self.document.sources[name], LeadAcid | Lithium)
            },
            port={(p.equipment, p.mode): i for p, i in zip(model.ports, load, strict=True)},
            every=tuple(self.every.values()),
        )

    def _add(self, one: Input) -> int:
        if one.name not in self.every:
            self.place[one.name] = len(self.every)
            self.every[one.name] = one
        return self.place[one.name]

    # -- loads -----------------------------------------------------------------------------------

    def _load(self, port: LoadPort, twins: Mapping[str, tuple[str, ...]]) -> int:
        if port.mode == "coil" and port.equipment in self.document.switches:
            title = f"{self.study.system.title('switches', port.equipment)} coil current"
            path = ("switches", port.equipment, "coil")
            return self._plain(
                f"coil:{port.equipment}", title, "coil", key="tolerance-coil", path=path
            )
        if port.mode == "field" and port.equipment in self.document.sources:
            source = self.document.sources[port.equipment]
            title = f"field of {self.study.system.title('sources', port.equipment)}, current"
            name, at = f"field:{port.equipment}", ("sources", port.equipment)
            spread = spread_of(self.study, source.basis, None, at)
            return self._add(self._of_basis(name, title, "load", spread, at))
        if port.mode == "tap":
            chain = chains(self.study).by_name[port.equipment]
            spread = spread_of(self.study, None, None, chain.path)
            return self._add(
                self._of_basis(port.name, f"{chain.title}, current", "load", spread, chain.path)
            )
        entry = self.document.equipment[port.equipment]
        own = ("modes", port.mode) if port.mode in entry.modes else ()
        path = ("equipment", port.equipment, *own)
        same = twins[port.equipment]
        titles = [self.study.system.title("equipment", name) for name in same]
        name = f"load:{same[0]}:{port.mode}"
        title = f"{_joined(titles)}{' ' + port.mode if port.mode else ''} current"
        spread = draw_spread(self.study, port.equipment, port.mode)
        return self._add(self._of_basis(name, title, "load", spread, path))

    def _of_basis(
        self, name: str, title: str, kind: Kind, spread: Spread, path: tuple[str | int, ...]
    ) -> Input:
        """An input whose spread follows from where its figure comes from."""
        return Input(name=name, title=title, kind=kind, path=path, group=name, **asdict(spread))

    def _plain(
        self,
        name: str,
        title: str,
        kind: Kind,
        *,
        key: str,
        path: tuple[str | int, ...],
        group: str = "",
    ) -> int:
        """An input whose spread is a default of its own, uniform."""
        usual = default(key)
        return self._add(
            Input(
                name=name,
                title=title,
                kind=kind,
                tolerance=usual.si,
                shape="uniform",
                basis="assumed",
                origin=usual.origin,
                path=path,
                group=group or name,
            )
        )

    # -- sources ---------------------------------------------------------------------------------

    def _battery(self, name: str, what: Kind) -> int:
        source = self.document.sources[name]
        title = f"{self.study.system.title('sources', name)} {what}"
        path = ("sources", name)
        if what == "capacity" and isinstance(source, LeadAcid | Lithium):
            spread = spread_of(self.study, source.basis, source.tolerance, path)
            return self._add(self._of_basis(f"{what}:{name}", title, what, spread, path))
        key = "tolerance-rest-voltage" if what == "rest voltage" else "tolerance-battery-resistance"
        return self._plain(f"{what}:{name}", title, what, key=key, path=path)

    def _alternator(self, name: str, what: Kind) -> int:
        source = self.document.sources[name]
        title = f"{self.study.system.title('sources', name)} {what}"
        path = ("sources", name)
        if what == "output" and isinstance(source, Alternator):
            spread = spread_of(self.study, source.basis, source.tolerance, path)
            return self._add(self._of_basis(f"{what}:{name}", title, what, spread, path))
        return self._plain(f"{what}:{name}", title, what, key="tolerance-setpoint", path=path)

    # -- wires, contacts, devices ----------------------------------------------------------------

    def _resistor(self, name: str, parts: Mapping[str, str]) -> int:
        chain = chains(self.study).by_name.get(name.partition("/")[0])
        key = parts.get(name, "tolerance-contact-resistance")
        group, title, path = self._way(chain)
        return self._plain(f"resistor:{name}", title, "wires", key=key, path=path, group=group)

    def _diode(self, name: str) -> int:
        if "#" in name and "/" not in name:
            return -1  # the battery model's own valves are no parts
        chain = chains(self.study).by_name.get(name.partition("/")[0])
        title = f"forward voltage of the diode in {chain.title if chain else name}"
        path = chain.path if chain else ("feeders",)
        return self._plain(f"diode:{name}", title, "diode", key="tolerance-diode", path=path)

    def _way(self, chain: Chain | None) -> tuple[str, str, tuple[str | int, ...]]:
        if chain is None:
            return "wires:", "contacts and bonds of the structure", ("grounds",)
        title = f"wires and contacts of {chain.title}"
        return f"wires:{chain.name}", title, chain.path


def _parts(study: Study) -> Mapping[str, str]:
    """Resistor → key of its default tolerance, where it is no contact."""
    wires = dict.fromkeys(sizing(study).gauges, "tolerance-wire-resistance")
    return {**wires, **dict(_devices(study))}


def _devices(study: Study) -> Iterator[tuple[str, str]]:
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            entry = study.document.switches.get(part.name)
            given = entry is not None and entry.resistance_ohm is not None
            if part.protection is not None:
                given = part.protection.resistance_ohm is not None
                yield part.id, "tolerance-device-resistance"
            if given or part.kind == "bond":
                yield part.id, "tolerance-data-sheet"
        if known_ohm(study, chain) is not None:
            for conductor in chain.conductors():
                yield conductor.id, "tolerance-data-sheet"


def _twins(equipment: Mapping[str, Equipment]) -> Mapping[str, tuple[str, ...]]:
    """Each piece of equipment → all of its type, itself among them.

    Of one type are those whose ids differ in their last word alone (`landing-left`,
    `landing-right`) and whose draws, basis and tolerance are the same: what is off in one is off
    in all.
    """
    found: dict[tuple[object, ...], list[str]] = {}
    keys: dict[str, tuple[object, ...]] = {}
    for name, entry in equipment.items():
        stem = name.rpartition("-")[0] or name
        modes = tuple((m, repr(e.draw), e.basis, e.tolerance) for m, e in entry.modes.items())
        key = (stem, repr(entry.draw), entry.basis, entry.tolerance, modes)
        keys[name] = key
        found.setdefault(key, []).append(name)
    return {name: tuple(found[key]) for name, key in keys.items()}


def _joined(titles: list[str]) -> str:
    return titles[0] if len(titles) == 1 else f"{', '.join(titles[:-1])} and {titles[-1]}"


def _index(places: list[int]) -> Index:
    return np.asarray(places, np.intp)


__all__ = ["Input", "Inputs", "Kind", "inputs"]
