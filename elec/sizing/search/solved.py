"""What feeders and grounds carry by the solved network, and the devices of feeders.

In: gauges as they stand. Out: currents of every conductor, devices from the loads up.
"""

import math
from collections.abc import Mapping
from functools import cached_property

import numpy as np
from msgspec.structs import replace

from elec.network.solve import solve
from elec.sizing.after_failure import after_failure_a, left_to_elec
from elec.sizing.chosen import Moment, Solved
from elec.sizing.devices import StartCurrent
from elec.sizing.feeder_devices import AFTER_FAILURE, CHARGING, feeder_device
from elec.sizing.order import ground_wires
from elec.sizing.picking import circuit_device, with_twins
from elec.sizing.search.drop import SearchDrop
from elec.sizing.starter_cables import first_turn, starter_of
from elec.wiring.cases import cases
from elec.wiring.chains import Chain, Conductor
from elec.wiring.charging import charging_a
from elec.wiring.circuit_model import Sizes, build
from elec.wiring.demand import circuit_amps

MORE = 1.001
"""Less than that above what is counted is rounding of the solver, not another current."""


class SearchSolved(SearchDrop):
    """The network at the gauges of the search."""

    solved: Solved | None = None

    @cached_property
    def beside_a(self) -> dict[str, dict[Moment, float]]:
        """What each of two wires of a ground carries with both in place; sized for it alone."""
        return {}

    def _feeders(self, gauges: Mapping[str, str]) -> None:
        """Let the network say what feeders and grounds carry, and choose their devices.

        Circuits carry what the network says where that is more than what is counted: constant
        power at a low bus, coils, returns that share a contact.
        """
        solved = tuple(c for c in cases(self.study) if c.count == "momentary")
        model = build(self.study, solved, self._sizes(gauges), warming=True)
        solution = solve(model.netlist, model.values)
        self.solved = Solved(cases=solved, model=model, solution=solution)
        self.after_a = after_failure_a(
            self.study, model, solved, solution.resistor_a, self.cranking
        )
        self.charge_a = charging_a(self.study, self._sizes(gauges), left_to_elec(self.study))
        amps = np.abs(solution.resistor_a)
        amps[np.isnan(amps)] = 0.0  # a case without a solution is another check's to tell
        place = {b.name: i for i, b in enumerate(model.netlist.resistors)}
        when: dict[Moment, list[int]] = {}
        for i, case in enumerate(solved):
            when.setdefault((case.phase, case.condition), []).append(i)
        most = {moment: amps[:, at].max(axis=1).tolist() for moment, at in when.items()}
        lasting = {m: amps for m, amps in most.items() if m[0] not in self.cranking}
        for chain in self.chains:
            if chain.kind in ("feeder", "ground"):
                twin = [place[c.id] for c in self._beside_ground(chain)]
                for conductor in chain.conductors():
                    row = place[conductor.id]
                    own = {m: a[row] for m, a in most.items()}
                    self.work.currents[conductor.id] = own
                    if twin:
                        self.beside_a[conductor.id] = own
                        self.work.currents[conductor.id] = {
                            m: amps + sum(most[m][one] for one in twin) for m, amps in own.items()
                        }
                    self.lasting_a.pop(conductor.id, None)
            elif chain.kind == "circuit":
                self._solved_circuit(chain, lasting, place)
        self.still_a.clear()
        with_twins(self.study, self.work.devices)
        self._feeder_devices()

    def _beside_ground(self, chain: Chain) -> tuple[Conductor, ...]:
        """The other one of two wires of a ground point: when it is off, this one carries all."""
        name = chain.ground or chain.seconds
        if not name or self.study.document.grounds[name].second is None:
            return ()
        return tuple(
            conductor
            for other in ground_wires(self.study)[name]
            if other.name != chain.name
            for conductor in other.conductors()
        )

    def _solved_circuit(
        self, chain: Chain, lasting: Mapping[Moment, list[float]], place: Mapping[str, int]
    ) -> None:
        work = self.work
        for conductor in chain.conductors():
            loads, row = self.loads_on[conductor.id], place[conductor.id]
            found = dict(work.counted[conductor.id])
            for moment, amps in lasting.items():
                solved = amps[row]
                if solved > found[moment] * MORE + 1e-6:
                    found[moment] = solved
                    peak = solved * self._peak_ratio(loads, moment)
                    self.most_a[conductor.id] = max(self.most_a[conductor.id], peak)
            work.currents[conductor.id] = found
            self.lasting_a.pop(conductor.id, None)
        self.passes(chain)
        if chain.device is None or chain.device.id not in place:
            return
        through = max((a[place[chain.device.id]] for a in lasting.values()), default=0.0)
        cap = self.capped.get(chain.name, math.inf)
        work.devices[chain.name] = circuit_device(self.study, chain, through, cap)

    def _peak_ratio(self, loads: tuple[str, ...], moment: Moment) -> float:
        """The most that loads take at any instant over what warms: 1 where none of them pulses."""
        heat = circuit_amps(self.study, loads, *moment)
        return circuit_amps(self.study, loads, *moment, "peak") / heat if heat > 0 else 1.0

    def _feeder_devices(self) -> None:
        """Choose them from the loads up, since each opens after those behind it."""
        devices = self.work.devices
        feeders = [
            c for c in self.chains if c.kind == "feeder" and (c.device or c.far_device) is not None
        ]
        for _ in feeders:
            before = dict(devices)
            for chain in feeders:
                load = max((self.lasting(c.id) for c in chain.conductors()), default=0.0)
                others = [
                    (max((found.get(c.id, 0.0) for c in chain.conductors()), default=0.0), why)
                    for found, why in ((self.after_a, AFTER_FAILURE), (self.charge_a, CHARGING))
                ]
                start = self._start_of(chain)
                behind = [devices[n] for n in self.behind[chain.name] if n in devices]
                if chain.device is not None:
                    devices[chain.name] = feeder_device(
                        self.study, chain, load, behind, others, start=start,
                        most_a=self._given_bears(chain),
                    )  # fmt: skip
                if chain.far is not None:
                    far = feeder_device(self.study, chain.far, load, (), others, start=start)
                    devices[chain.far.name] = replace(far, chain=chain.name, at_far_end=True)
            if devices == before:
                return

    def _given_bears(self, chain: Chain) -> float:
        """What the wires of a chain bear whose gauge the builder gave."""
        given = [c.id for c in chain.conductors() if c.id in self.fixed]
        bears = [self.allowed(name, self.work.gauges[name]) for name in given]
        return min((amps for amps, spot in bears if spot), default=math.inf)

    def _start_of(self, chain: Chain) -> StartCurrent | None:
        """What a feeder carries while the starter turns; its first turn as if the battery held."""
        found = []
        for phase, condition in self.moments:
            starter = starter_of(self.study, phase) if phase in self.cranking else None
            if starter is None:
                continue
            turn = first_turn(self.study, starter, phase, condition)
            carried = (self.work.currents.get(c.id, {}) for c in chain.conductors())
            amps = max((a.get((phase, condition), 0.0) for a in carried), default=0.0)
            found.append(
                StartCurrent(
                    first_a=amps * max(1.0, turn.factor),
                    first_s=turn.lasts_s,
                    turning_a=amps,
                    turns_s=turn.turns_s,
                )
            )
        return max(found, key=lambda one: (one.turning_a, one.turns_s), default=None)

    def _sizes(self, gauges: Mapping[str, str]) -> Sizes:
        work = self.work
        return Sizes(
            gauges=gauges,
            ratings={n: d.rating_a for n, d in work.devices.items() if d.rating_a is not None},
            families={n: d.family for n, d in work.devices.items()},
            temperatures_degc=self._temperatures(),
        )
