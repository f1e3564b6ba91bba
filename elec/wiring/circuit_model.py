"""Chains → netlist.

Every wire, contact, device, source and load as a one-port, with its values in every case.

In: chains, lengths, and the sizes chosen so far. Out: a `Netlist` and `Values` for the solver.
Where a length or a current is not known a stand-in is used and named, so that whatever rests on it
can say so.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct, field

from elec.model.load import Draw, Equipment
from elec.model.phase import uses
from elec.model.source import ExternalPower
from elec.model.system import Condition
from elec.model.wiring import Circuit
from elec.network.devices import SMALLEST_OHM
from elec.network.netlist import Array, Branch, Netlist, Values
from elec.standards import (
    Default,
    breaker_resistance_ohm,
    default,
    fuse_resistance_ohm,
)
from elec.standards.table import NotCovered
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, Case, Count, Scenario, closed, exclusive_groups
from elec.wiring.chains import (
    STRUCTURE,
    Chain,
    Conductor,
    Part,
    bond_ohm,
    bonded_grounds,
    chains,
    field_end,
    ground_node,
    known_ohm,
    main_ground,
)
from elec.wiring.coils import CONTACTS, coil_loads, held
from elec.wiring.demand import (
    LoadDemand,
    ModeShare,
    cells_factor,
    conditions,
    demand,
    five_minute_shares,
)
from elec.wiring.runs import runs
from elec.wiring.sources import battery_resistance, open_circuit_v, output_a
from elec.wiring.taps import ThinDraw, taps
from elec.wiring.wires import crimped_ohm, size_of

CELL_JOINT_OHM = 1e-5
"""Slope of the valve that keeps charging and discharging apart in the battery model; no physical
part."""


class Sizes(Struct, frozen=True, kw_only=True):
    """What has been chosen or given.

    Gauge by conductor, rating by chain, conductor temperature by conductor.
    """

    gauges: Mapping[str, str]
    ratings: Mapping[str, float] = field(default_factory=dict)
    families: Mapping[str, str] = field(default_factory=dict)
    temperatures_degc: Mapping[str, float] = field(default_factory=dict)


class LoadPort(Struct, frozen=True, kw_only=True):
    """One load element of the netlist.

    A mode of a piece of equipment, a coil, an alternator field, or what a thin wire carries.
    """

    name: str
    equipment: str
    mode: str
    draw: Draw


class Model(Struct, frozen=True, kw_only=True):
    """The netlist, its values, and what stands in for unknown numbers."""

    netlist: Netlist
    values: Values
    ports: tuple[LoadPort, ...]
    stand_ins: tuple[str, ...]
    """Conductors whose length is not known; a short wire stands in."""


LoadRows = tuple[list[LoadPort], list[Branch], list[Array], list[float]]
"""Loads of a netlist: what each is, where it hangs, its value in each case, its least voltage."""


class _Netlist:
    """Collects one-ports in order."""

    def __init__(self, count: int) -> None:
        self.count = count
        self.resistors: list[Branch] = []
        self.ohms: list[float | Array] = []
        """Of each resistor: the same in every case, or one number a case."""
        self.diodes: list[Branch] = []
        self.forward: list[float] = []
        self.slope: list[float | Array] = []

    def resistor(self, name: str, a: str, b: str, ohm: float | Array) -> None:
        self.resistors.append(Branch(name=name, a=a, b=b))
        self.ohms.append(ohm)

    def diode(self, name: str, a: str, b: str, forward_v: float, slope_ohm: float | Array) -> None:
        self.diodes.append(Branch(name=name, a=a, b=b))
        self.forward.append(forward_v)
        self.slope.append(slope_ohm)


def build(
    study: Study,
    found: tuple[Case, ...],
    sizes: Sizes,
    *,
    warming: bool = False,
    outputs: bool = False,
) -> Model:
    """The netlist and its values in the given cases.

    With `warming`, loads that pulse count by their root mean square in place of their peak. With
    `outputs`, thin wires that come out of a lamp or a box are there, too, joined to its supply as
    if nothing in it held a current back: the careful side of a short in them.
    """
    return _Builder(study, found, sizes, warming=warming, outputs=outputs).build()


class _Builder:
    def __init__(
        self,
        study: Study,
        found: tuple[Case, ...],
        sizes: Sizes,
        *,
        warming: bool,
        outputs: bool,
    ) -> None:
        self.outputs = outputs
        self.study = study
        self.document = study.document
        self.cases = found
        self.sizes = sizes
        self.net = _Netlist(len(found))
        self.stand_ins: list[str] = []
        self.factor = cells_factor(study.system.about.nominal_v)
        self._scenarios: list[Scenario] = [case.scenario for case in found]
        self._distinct = tuple({id(s): s for s in self._scenarios}.values())
        self._when: list[Moment] = [
            (c.phase, c.condition, "warming" if warming and c.count == "momentary" else c.count)
            for c in found
        ]
        self._alone: Literal["alone", "alone warming"] = "alone warming" if warming else "alone"
        self._instead = [(i, c.instead) for i, c in enumerate(found) if c.instead]
        self._emergencies = [(i, s) for i, s in enumerate(self._scenarios) if s.emergency]

    def build(self) -> Model:
        self._chains()
        self._contacts()
        self._structure()
        batteries, emf, ohm = self._batteries()
        alternators, setpoint, droop, limit = self._alternators()
        kept = _built_loads(self.study)
        asked = self.cases, self._alone
        if asked not in kept:
            kept[asked] = self._loads()
        ports, branches, amounts, least = kept[asked]
        count = len(self.cases)

        def stacked(rows: Sequence[float | Array]) -> Array:
            table = np.empty((len(rows), count))
            for line, row in zip(table, rows, strict=True):
                line[:] = row
            return table

        main = main_ground(self.study)
        netlist = Netlist(
            reference=ground_node(main),
            resistors=tuple(self.net.resistors),
            batteries=tuple(batteries),
            alternators=tuple(alternators),
            diodes=tuple(self.net.diodes),
            loads=tuple(branches),
            load_laws=tuple(port.draw.by for port in ports),
        )
        values = Values(
            resistance_ohm=stacked(self.net.ohms),
            battery_emf_v=stacked(emf),
            battery_resistance_ohm=stacked(ohm),
            alternator_setpoint_v=stacked(setpoint),
            alternator_droop_ohm=stacked(droop),
            alternator_limit_a=stacked(limit),
            diode_forward_v=stacked(self.net.forward),
            diode_resistance_ohm=stacked(self.net.slope),
            load_value=stacked(amounts),
            load_minimum_v=stacked(least),
        )
        return Model(
            netlist=netlist, values=values, ports=tuple(ports), stand_ins=tuple(self.stand_ins)
        )

    # -- wires and devices -----------------------------------------------------------------------

    def _chains(self) -> None:
        passed: set[str] = set()  # a connector on the way of a thin wire stands in two of them
        for chain in chains(self.study).by_name.values():
            if chain.kind == "cable" or (chain.kind == "wire" and not self._thin(chain)):
                continue
            done = passed if chain.kind == "wire" else set()
            for conductor in chain.conductors():
                self._conductor(chain, conductor)
            for row in chain.rows:
                for part in row.parts:
                    if part.id not in done:
                        done.add(part.id)
                        self._part(chain, part)

    def _thin(self, chain: Chain) -> bool:
        """Whether a signal wire is one that a source feeds; its load is one of `_taps`."""
        if not chain.hot or (chain.output and not self.outputs):
            return False
        start = chain.rows[0].parts[0]
        if chain.output and start.kind == "equipment":
            self.net.resistor(f"{chain.name}/inside", self._supply(chain, start), start.outlet, 0.0)
        return True

    def _supply(self, chain: Chain, start: Part) -> str:
        """Where what a thin wire comes out of is fed itself."""
        if start.name in chains(self.study).feeds:
            return f"{start.name}#feed"
        before = (chains(self.study).by_name[name] for name in chain.guards)
        return next(p.inlet for one in before for p in one.ends() if p.name == start.name)

    def _conductor(self, chain: Chain, conductor: Conductor) -> None:
        name, a, b = conductor.id, conductor.a.outlet, conductor.b.inlet
        measured = known_ohm(self.study, chain)
        if measured is not None:
            self.net.resistor(name, a, b, measured)
            return
        length = runs(self.study)[name].length_m
        if length is None:
            self.stand_ins.append(name)
            length = default("within-place-length").si
        temperature = self.sizes.temperatures_degc.get(name, default("hot-resistance").value)
        wire = size_of(self.study, conductor, self.sizes.gauges[name])
        self.net.resistor(name, a, b, crimped_ohm(wire, length, temperature))

    def _part(self, chain: Chain, part: Part) -> None:
        if part.inlet == part.outlet:
            return
        if part.kind == "diode":
            key = f"{part.name}-forward-voltage"
            self.net.diode(
                part.id, part.inlet, part.outlet, default(key).value, default("diode-resistance").si
            )
            return
        ohm = part_ohm(self.study, chain, part, self.sizes)
        if chain.kind == "feeder" and part.kind in ("switch", "contactor", "changeover"):
            feeder = self.document.feeders[int(chain.path[1])]
            shut = np.array([closed(feeder, s) for s in self._scenarios])
            self.net.resistor(part.id, part.inlet, part.outlet, np.where(shut, ohm, np.inf))
            return
        self.net.resistor(part.id, part.inlet, part.outlet, ohm)

    def _contacts(self) -> None:
        """From the contact where the wire ends to the inside of the equipment."""
        ohm = default("connector-contact-resistance").si
        seen: set[str] = set()
        for name, entry in self.document.equipment.items():
            circuits = chains(self.study).feeds.get(name, ())
            for circuit in circuits:
                chain = chains(self.study).by_name[circuit]
                guarded = any(part.kind == "diode" for part in chain.parts())
                for row in chain.rows:
                    for part in row.parts:
                        if part.kind != "equipment" or part.name != name or part.id in seen:
                            continue
                        seen.add(part.id)
                        self._contact(entry, part, row.role, 1 if guarded else len(circuits), ohm)

    def _contact(self, entry: Equipment, part: Part, role: str, circuits: int, ohm: float) -> None:
        connector = part.contact.rpartition(".")[0]
        # never 0 Ω: what is open in another case that is solved beside it counts as this, too
        through = ohm if connector in entry.connectors else SMALLEST_OHM
        outlet = part.outlet if role != "feed" else self._field_node(part)
        inside = f"{part.name}#{'feed' if role == 'feed' else 'return'}"
        if role == "feed" and circuits > 1:
            self.net.resistor(f"{part.id}/contact", outlet, f"{part.id}#in", through)
            self.net.diode(
                f"{part.id}/inside",
                f"{part.id}#in",
                inside,
                default("schottky-forward-voltage").value,
                default("diode-resistance").si,
            )
            return
        self.net.resistor(f"{part.id}/contact", outlet, inside, through)

    def _field_node(self, part: Part) -> str:
        """Where what a contact feeds hangs: of a regulator at the end of its field wire."""
        for chain in map(chains(self.study).by_name.get, chains(self.study).feeds[part.name]):
            found = field_end(self.study, chain.name, part.name) if chain is not None else None
            if found is not None:
                return f"{found[0]}.F"
        return part.outlet

    def _structure(self) -> None:
        """In a metal airframe the ground points of its structure are bonded to it."""
        for name in bonded_grounds(self.study):
            ohm = bond_ohm(self.study, name)
            self.net.resistor(f"bond:{name}", ground_node(name), STRUCTURE, ohm)

    # -- sources ---------------------------------------------------------------------------------

    def _batteries(self) -> tuple[list[Branch], list[Array], list[Array]]:
        branches: list[Branch] = []
        emf: list[Array] = []
        ohms: list[Array] = []
        count = len(self.cases)
        for name, source in self.document.sources.items():
            if source.kind == "alternator":
                continue
            lost = np.array([name in s.lost for s in self._scenarios])
            if source.kind == "external-power":
                branches.append(Branch(name=name, a=f"{name}#cell", b=f"{name}.-"))
                emf.append(np.full(count, source.voltage_v))
                ohms.append(self._external_ohm(source))
                self.net.diode(f"{name}#out", f"{name}#cell", f"{name}.+", 0.0, CELL_JOINT_OHM)
                continue
            resistance = battery_resistance(self.study, name, source).result.value
            cell = f"{name}#cell"
            branches.append(Branch(name=name, a=cell, b=f"{name}.-"))
            full = open_circuit_v(self.study, source, 1.0)
            aged = open_circuit_v(self.study, source, default("battery-state-of-charge").si)
            low = open_circuit_v(self.study, source, default("recharging-charge").si)
            emergency = np.array([s.emergency for s in self._scenarios])
            empty = np.array([s.low for s in self._scenarios])
            emf.append(np.where(empty, low, np.where(emergency, aged, full)))
            ohms.append(np.where(lost, np.inf, resistance))
            self.net.diode(f"{name}#discharge", cell, f"{name}.+", 0.0, CELL_JOINT_OHM)
            accepted = source.capacity_ah / default("charge-acceptance-hours").value
            over = max(demand(self.study).highest_v - full, 0.5 * self.factor)
            slope = np.where(empty, CELL_JOINT_OHM, over / accepted)
            self.net.diode(f"{name}#charge", f"{name}.+", cell, 0.0, slope)
        return branches, emf, ohms

    def _external_ohm(self, source: ExternalPower) -> Array:
        """Its resistance where it is plugged in and nothing has failed; open elsewhere."""
        plugged = uses(source.in_, list(self.document.phases))
        given = source.resistance_ohm
        ohm = default("external-power-resistance").si if given is None else given
        return np.array(
            [ohm if c.phase in plugged and c.scenario == NORMAL else np.inf for c in self.cases],
            dtype=float,
        )

    def _alternators(self) -> tuple[list[Branch], list[Array], list[Array], list[Array]]:
        branches: list[Branch] = []
        rows: tuple[list[Array], list[Array], list[Array]] = ([], [], [])
        count = len(self.cases)
        for name, source in self.document.sources.items():
            if source.kind != "alternator":
                continue
            branches.append(Branch(name=name, a=f"{name}.+", b=f"{name}.-"))
            droop = source.droop_ohm
            rows[0].append(np.full(count, source.setpoint_v))
            rows[1].append(
                np.full(count, default("regulator-droop").si if droop is None else droop)
            )
            hot = default("hot-day").value
            limits = {
                phase: output_a(self.study, name, source, phase, hot) or 0.0
                for phase in self.document.phases
            }
            rows[2].append(
                np.array(
                    [
                        limits[c.phase] if has_field(self.study, name, c) else 0.0
                        for c in self.cases
                    ],
                    dtype=float,
                )
            )
        return branches, *rows

    # -- loads -----------------------------------------------------------------------------------

    def _loads(self) -> LoadRows:
        ports: list[LoadPort] = []
        branches: list[Branch] = []
        amounts: list[Array] = []
        least: list[float] = []
        for name, load in demand(self.study).loads.items():
            if name not in chains(self.study).feeds:
                continue
            for mode, draw in draws_of(load).items():
                ports.append(
                    LoadPort(
                        name=f"{name}:{mode}" if mode else name,
                        equipment=name,
                        mode=mode,
                        draw=draw,
                    )
                )
                branches.append(Branch(name=ports[-1].name, a=f"{name}#feed", b=f"{name}#return"))
                amounts.append(self._amounts(name, mode, draw))
                least.append(default("law-holds-to-14").value * self.factor)
        for extra in (*self._coils(), *self._fields(), *self._taps()):
            port, branch, amount, lowest = extra
            ports.append(port)
            branches.append(branch)
            amounts.append(amount)
            least.append(lowest)
        return ports, branches, amounts, least

    def _amounts(self, name: str, mode: str, draw: Draw) -> Array:
        values = mode_amounts(self.study)[name, mode]
        off = draw.by.off
        amounts = np.array([values[when] for when in self._when], dtype=float)
        equipment = self.document.equipment
        for case, instead in self._instead:
            if equipment[name].exclusive in {equipment[one].exclusive for one in instead}:
                phase, condition, _ = self._when[case]
                alone = values[phase, condition, self._alone]
                amounts[case] = alone if name in instead else off
        for case, scenario in self._emergencies:
            if sheds(self.study, name, scenario):
                amounts[case] = off
        if name in coil_loads(self.study):
            may = {id(s): held(self.study, name, s) for s in self._distinct}
            amounts[[not may[id(s)] for s in self._scenarios]] = off
        return amounts

    def _coils(self) -> Iterable[tuple[LoadPort, Branch, Array, float]]:
        """Coils of which nobody says how they are fed: as from the side that feeds the contact."""
        main = ground_node(main_ground(self.study))
        done: set[str] = set()
        for chain in chains(self.study).by_name.values():
            for part in chain.parts():
                entry = self.document.switches.get(part.name)
                if (
                    entry is None
                    or entry.coil is None
                    or entry.coil.draw is None
                    or entry.coil.load is not None
                    or part.name in done
                    or not part.inlet.endswith(".in")
                ):
                    continue
                done.add(part.name)
                draw = entry.coil.draw
                off = draw.by.off
                amount = np.array(
                    [draw.value if self._energised(chain, c) else off for c in self.cases]
                )
                name = f"coil:{part.name}"
                hold = contactor_hold_v(self.study)
                yield (
                    LoadPort(name=name, equipment=part.name, mode="coil", draw=draw),
                    Branch(name=name, a=part.inlet, b=main),
                    amount,
                    hold,
                )

    def _fields(self) -> Iterable[tuple[LoadPort, Branch, Array, float]]:
        """The field of an alternator that has failed and is still switched on.

        While it works its rating is net of its field (SAE J56). A field that a circuit feeds as a
        load of its own is that load.
        """
        for name, source in self.document.sources.items():
            if source.kind != "alternator" or source.field_a is None:
                continue
            circuit = self.document.circuits.get(source.field_circuit or "")
            if circuit is not None and self._draws_current(circuit):
                continue
            amount = np.array(
                [
                    source.field_a
                    if name in c.scenario.lost and not c.scenario.emergency and self._turns(c.phase)
                    else 0.0
                    for c in self.cases
                ]
            )
            port = f"field:{name}"
            node = f"{name}.+" if circuit is None else circuit.bus
            draw = Draw.steady(source.field_a)
            yield (
                LoadPort(name=port, equipment=name, mode="field", draw=draw),
                Branch(name=port, a=node, b=f"{name}.-"),
                amount,
                default("law-holds-to-14").value * self.factor,
            )

    def _taps(self) -> Iterable[tuple[LoadPort, Branch, Array, float]]:
        """What thin wires carry whose current is given.

        A sense wire, and any other from a bus, while its bus is live; a warning lamp while its
        alternator gives nothing; the light of a starter while that turns.
        """
        main = ground_node(main_ground(self.study))
        for name, tap in taps(self.study).items():
            if tap.amps_a is None:
                continue
            chain = chains(self.study).by_name[name]
            start, *_, end = chain.rows[0].parts
            comes_out = chain.output and start.kind == "equipment"
            node = self._supply(chain, start) if comes_out else end.inlet
            amount = np.array([tap.amps_a * self._lit(tap, chain, case) for case in self.cases])
            port = f"tap:{name}"
            yield (
                LoadPort(name=port, equipment=name, mode="tap", draw=Draw.steady(tap.amps_a)),
                Branch(name=port, a=node, b=main),
                amount,
                default("law-holds-to-14").value * self.factor,
            )

    def _lit(self, tap: ThinDraw, chain: Chain, case: Case) -> float:
        """For which part of a case a thin wire carries its current."""
        box = self.document.equipment.get(chain.output)
        shedding = box is not None and case.scenario.emergency
        if shedding and sheds(self.study, chain.output, case.scenario):
            return 0.0
        if tap.alternator:
            gives = tap.alternator not in case.scenario.lost and self._turns(case.phase)
            return 0.0 if gives else 1.0
        if not tap.behind:
            return 1.0
        found = demand(self.study).loads
        loads = chains(self.study).by_name[tap.behind].loads
        shares = [
            mode.counted if case.count == "steady" else float(mode.share > 0)
            for load in loads
            if load in found
            for mode in found[load].active(case.phase, case.condition)
        ]
        return min(1.0, max(shares, default=0.0))

    def _draws_current(self, circuit: Circuit) -> bool:
        fed = {feed.split(".")[0] for feed in circuit.feeds}
        return any(
            load in fed and draws_of(found) for load, found in demand(self.study).loads.items()
        )

    def _turns(self, phase: str) -> bool:
        engine = self.document.phases[phase].engine
        return engine is None or engine.state == "running"

    def _energised(self, chain: Chain, case: Case) -> bool:
        if chain.kind == "feeder":
            return closed(self.document.feeders[int(chain.path[1])], case.scenario)
        found = demand(self.study).loads
        return any(
            mode.counted > 0 or case.count != "steady"
            for load in chain.loads
            if load in found
            for mode in found[load].active(case.phase, case.condition)
        )


Moment = tuple[str, Condition, Count | Literal["alone", "warming", "alone warming"]]
"""`alone` is `momentary` with this load on, of its exclusive group; `warming` has the root mean
square of what pulses in place of its peak."""


@analysis
def _built_loads(study: Study) -> dict[tuple[tuple[Case, ...], str], LoadRows]:
    """The loads of the cases asked for so far: gauges and devices do not change them."""
    del study
    return {}


@analysis
def mode_amounts(study: Study) -> Mapping[tuple[str, str], Mapping[Moment, float]]:
    """What each mode of each load is counted with, in its law's unit: by phase, condition, count.

    A load that is off has the value of its law for that.
    """
    found = demand(study)
    amounts: dict[tuple[str, str], dict[Moment, float]] = {}
    every = {
        name: [
            (mode, draw, draw.by.off, amounts.setdefault((name, mode), {}))
            for mode, draw in draws_of(load).items()
        ]
        for name, load in found.loads.items()
    }
    for condition in conditions(study):
        for phase in study.document.phases:
            groups = exclusive_groups(study, phase, condition)
            longest = _longest_of_groups(study, phase, condition)
            for name, load in found.loads.items():
                running = {m.mode: m for m in load.active(phase, condition) if m.share > 0}
                most = _greatest(tuple(running.values()), found.highest_a)
                group = study.document.equipment[name].exclusive
                most_of_all = group is None or groups.get(group, ("",))[0] == name
                lasts = group is None or longest.get(group) == name
                times = five_minute_shares(load.active(phase, condition))
                parts = {m.mode: part for m, part in times}
                for mode, draw, off, values in every[name]:
                    now = running.get(mode)
                    on = now if now is not None and now is most else None
                    peak = on.peak.value if on and on.peak else off
                    heat = on.heating.value if on and on.heating else off
                    values[phase, condition, "alone"] = peak
                    values[phase, condition, "alone warming"] = heat
                    values[phase, condition, "momentary"] = peak if most_of_all else off
                    values[phase, condition, "warming"] = heat if most_of_all else off
                    values[phase, condition, "steady"] = draw.shared(now.counted if now else 0.0)
                    part = parts.get(mode, 0.0) if lasts else 0.0
                    values[phase, condition, "lasting"] = draw.shared(part)
    return amounts


def draws_of(load: LoadDemand) -> Mapping[str, Draw]:
    """The modes of a load whose current is known."""
    return {m.mode: m.draw for modes in load.phases.values() for m in modes if m.draw is not None}


def _greatest(modes: tuple[ModeShare, ...], amps: Callable[[Draw], float]) -> ModeShare | None:
    known = [(amps(m.peak), m) for m in modes if m.peak is not None]
    return max(known, key=lambda pair: pair[0])[1] if known else None


def _longest_of_groups(study: Study, phase: str, condition: Condition) -> Mapping[str, str]:
    """Exclusive group → the load that draws most of it over the worst five minutes."""
    found = demand(study)
    best: dict[str, tuple[float, str]] = {}
    for name, load in found.loads.items():
        group = study.document.equipment[name].exclusive
        if group is None:
            continue
        modes = five_minute_shares(load.active(phase, condition))
        amps = sum(found.highest_a(m.draw) * p for m, p in modes if m.draw is not None)
        if amps > best.get(group, (0.0, ""))[0]:
            best[group] = (amps, name)
    return {group: name for group, (_, name) in best.items()}


def sheds(study: Study, name: str, scenario: Scenario) -> bool:
    """Whether the pilot has switched this load off in an emergency.

    What feeds the field of a lost alternator is switched off with it, unless it is never shed.
    """
    entry = study.document.equipment[name]
    if entry.essential or entry.shed == "never":
        return False
    if field_loads(study).get(name) in scenario.lost:
        return True
    if entry.shed is None:
        return False
    return entry.shed == "at once" or float(entry.shed) <= scenario.after_s


@analysis
def field_loads(study: Study) -> Mapping[str, str]:
    """Equipment that a field circuit feeds (a regulator, a field) → its alternator."""
    return {
        load: name
        for name, source in study.document.sources.items()
        if source.kind == "alternator" and source.field_circuit
        for load in chains(study).by_name[source.field_circuit].loads
        if load in demand(study).loads
    }


def has_field(study: Study, alternator: str, case: Case) -> bool:
    """Whether an alternator is not lost, and what feeds its field is on: else it gives nothing."""
    if alternator in case.scenario.lost:
        return False
    found = demand(study).loads
    return not any(
        (case.scenario.emergency and sheds(study, load, case.scenario))
        or not any(m.share > 0 for m in found[load].active(case.phase, case.condition))
        for load, fed in field_loads(study).items()
        if fed == alternator
    )


def contactor_hold_v(study: Study) -> float:
    """Where a contactor drops out, for the voltage of the system."""
    return default("contactor-hold-14").value * cells_factor(study.system.about.nominal_v)


def usual_minimum(study: Study) -> Default:
    """The least voltage of equipment where none is given, for the voltage of the system."""
    high = cells_factor(study.system.about.nominal_v) > 1
    return default("equipment-minimum-28" if high else "equipment-minimum-14")


def usual_minimum_v(study: Study) -> float:
    """The same in volts."""
    return usual_minimum(study).value


def minimum_v(study: Study, entry: Equipment) -> float:
    """The least voltage at which a load works: given, else usual; of a coil where it drops out."""
    if entry.minimum_v is not None:
        return entry.minimum_v
    equipment = study.document.equipment
    if any(equipment.get(load) is entry for load in coil_loads(study)):
        return contactor_hold_v(study)
    return usual_minimum_v(study)


USUAL = {
    "connector": "connector-contact",
    "contactor": "contactor",
    "relay": "relay",
    "shunt": "contactor",
}
"""Kind of part or switch → whose default resistance counts; a switch's where not listed."""


def part_ohm(study: Study, chain: Chain, part: Part, sizes: Sizes) -> float:
    """Resistance of a device, switch, contactor, shunt, connector contact or ground's joint."""
    if part.kind == "bond":
        return study.document.grounds[part.name].resistance_ohm or 0.0
    entry = study.document.switches.get(part.name)
    if entry is not None and entry.resistance_ohm is not None and part.kind != "connector":
        return entry.resistance_ohm
    if part.protection is not None:
        if part.protection.resistance_ohm is not None:
            return part.protection.resistance_ohm
        name = part.rated or chain.name
        return device_ohm(part.kind, sizes.ratings.get(name), sizes.families.get(name))
    return usual_resistance(study, part).si


def usual_resistance(study: Study, part: Part) -> Default:
    """The default resistance of a part: by the `kind` of its switch, else by where it is named."""
    entry = study.document.switches.get(part.name) if part.kind in CONTACTS else None
    kind = part.kind if entry is None or entry.kind is None else entry.kind
    return default(f"{USUAL.get(kind, 'switch')}-resistance")


def device_ohm(kind: str, rating_a: float | None, family: str | None) -> float:
    """Resistance of a protective device; that of a bolted joint where none is published."""
    if rating_a is None:
        return default("joint-resistance").si
    try:
        if kind == "breaker":
            return breaker_resistance_ohm(rating_a)[0]
        if kind == "fuse" and family is not None:
            return fuse_resistance_ohm(family, rating_a)[0] + default("blade-holder").si
    except NotCovered:
        pass
    return default("joint-resistance").si
