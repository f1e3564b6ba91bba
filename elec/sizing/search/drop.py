"""What wires, contacts and devices lose in the search.

In: gauges as they stand, greatest currents. Out: drops and their limits.
"""

from collections.abc import Iterator, Mapping

from elec.physics.drop import contacts_drop_v
from elec.sizing.devices import allowed_drop_v, drop_limit_v
from elec.sizing.feeder_current import rated
from elec.sizing.search.heat import SearchHeat
from elec.wiring.chains import Chain, Row
from elec.wiring.circuit_model import Sizes, part_ohm
from elec.wiring.demand import circuit_amps
from elec.wiring.limits import limit
from elec.wiring.wires import lost_v


class SearchDrop(SearchHeat):
    """Drops at the gauges of the search."""

    def _lost_v(self, conductor: str, awg: str, amps: float) -> float:
        length = self.runs[conductor].length_m
        if length is None:
            return 0.0  # the finding about this wire says cannot tell
        return lost_v(self._wire(conductor, awg), length, self.careful(conductor, awg), amps)

    def drops(self, chain: Chain, gauges: Mapping[str, str]) -> Iterator[tuple[float, float]]:
        """Drop and limit of each load of a circuit, or of a feeder or ground as a whole."""
        if chain.kind == "wire":
            return
        if chain.kind == "circuit":
            if chain.name not in self.limits_v:
                self.limits_v[chain.name] = tuple(
                    drop_limit_v(self.study, load).volts for load in chain.loads
                )
            for load, most in zip(chain.loads, self.limits_v[chain.name], strict=True):
                yield self._circuit_drop(chain, load, gauges), most
            return
        for crank, allowed in (
            (False, limit(self.study, "feeder-drop").value * self.study.system.about.nominal_v),
            (True, allowed_drop_v(self.study, intermittent=True)),
        ):
            lost, least = 0.0, 0.0 if crank else self._rated_a(chain)
            for conductor in chain.conductors():
                found = self.work.currents.get(conductor.id, {})
                amps = max(
                    (a for (p, _), a in found.items() if (p in self.cranking) == crank), default=0.0
                )
                amps = max(amps, least)
                lost += self._lost_v(conductor.id, gauges[conductor.id], amps)
            yield lost, allowed

    def _rated_a(self, chain: Chain) -> float:
        found = rated(self.study, chain, self.work.devices)
        return 0.0 if found is None else found.current_a

    def _circuit_drop(self, chain: Chain, load: str, gauges: Mapping[str, str]) -> float:
        lost, feeds = 0.0, 0.0
        for row in chain.rows:
            if row.equipment != load:
                continue
            part = 0.0
            for conductor in row.conductors:
                if conductor is None:
                    continue
                amps = self.most_a[conductor.id]
                part += self._lost_v(conductor.id, gauges[conductor.id], amps)
            part += self._parts_drop(chain, row)
            if row.role == "feed":
                feeds = max(feeds, part)
            else:
                lost = max(lost, part)
        return lost + feeds

    def passes(self, chain: Chain) -> None:
        """Let contacts, switch and device of a circuit carry the most that its wires carry."""
        self.chain_a[chain.name] = max(
            (self.most_a[c.id] * c.parallel for c in chain.conductors()), default=0.0
        )
        self.parts_v.pop(chain.name, None)

    def _parts_drop(self, chain: Chain, row: Row) -> float:
        """What contacts, switch and device of a row lose; no gauge changes it."""
        known = self.parts_v.setdefault(chain.name, {})
        key = tuple(part.id for part in row.parts)
        if key not in known:
            if chain.name not in self.chain_a:
                self.chain_a[chain.name] = max(
                    (circuit_amps(self.study, chain.loads, p, c, "peak") for p, c in self.moments),
                    default=0.0,
                )
            sizes = self._rated(chain)
            known[key] = sum(
                contacts_drop_v(
                    current_a=self.chain_a[chain.name],
                    resistance_ohm=part_ohm(self.study, chain, part, sizes),
                )
                for part in row.parts
                if part.inlet != part.outlet
            )
        return known[key]

    def _rated(self, chain: Chain) -> Sizes:
        """What is known of the device of one chain."""
        device = self.work.devices.get(chain.name)
        rating = device.rating_a if device else None
        return Sizes(
            gauges={},
            ratings={} if rating is None else {chain.name: rating},
            families={} if device is None else {chain.name: device.family},
        )
