"""How warm wires get in the search, and what they may carry.

In: gauges as they stand, loading of bundles. Out: allowed currents, temperatures, starts and shorts
that a wire bears.
"""

from elec.physics.damage import adiabatic_k, short_time_current_a
from elec.physics.heat import (
    ampacity_a,
    bundle_factor,
    careful_temperature_degc,
    conductor_temperature_degc,
)
from elec.sizing.chosen import Moment
from elec.sizing.feeder_devices import RESERVE
from elec.sizing.search.state import SearchState
from elec.standards import NotCovered
from elec.wiring.chains import Chain, Conductor
from elec.wiring.limits import limit
from elec.wiring.surroundings import loading
from elec.wiring.wires import bare_ohm

STARTS = 3
"""Attempts in a row that a starter's wires shall bear without cooling (our judgement)."""


class SearchHeat(SearchState):
    """Heat of wires at the gauges of the search."""

    def _free(self, conductor: str, awg: str, ambient_degc: float) -> float:
        key = (self.kinds[conductor].name, awg, ambient_degc)
        if key not in self.free_a:
            wire = self._wire(conductor, awg)
            self.free_a[key] = ampacity_a(
                free_air_b=wire.free_air_b,
                free_air_m=wire.free_air_m,
                ambient_degc=ambient_degc,
                rated_degc=self.rated[conductor],
                bundle_factor=1.0,
                altitude_factor=self.altitude,
            )
        return self.free_a[key]

    def _load_bundles(self) -> None:
        """How much of each bundle's capacity is in use in its worst moment."""
        work = self.work
        self.factors.clear()
        if not self.still_a:
            self._count_circuits()
        for key, bundle in self.where.bundles.items():
            ambient = bundle.ambient.value
            capacity = sum(self._free(m, work.gauges[m], ambient) for m in self.inside[key])
            best: float = 0.0
            when: Moment = ("", "day")
            for moment, still in self.still_a[key]:
                amps = still + sum(
                    work.currents.get(m, {}).get(moment, 0.0) for m in self.moving[key]
                )
                if amps > best:
                    best, when = amps, moment
            work.loading[key] = loading(best, capacity, bundle.wires)
            work.moments[key] = when

    def _count_circuits(self) -> None:
        """What circuits and signal wires carry in each bundle, which no solution changes."""
        solved = {
            c.id for x in self.chains if x.kind in ("feeder", "ground") for c in x.conductors()
        }
        lasting = [moment for moment in self.moments if moment[0] not in self.cranking]
        currents = self.work.currents
        for key, bundle in self.where.bundles.items():
            self.inside[key] = [m for m in bundle.members if m in self.conductors]
            self.moving[key] = [m for m in self.inside[key] if m in solved]
            here = [currents[m] for m in self.inside[key] if m not in solved and m in currents]
            self.still_a[key] = [
                (moment, sum(found.get(moment, 0.0) for found in here)) for moment in lasting
            ]

    def _factor(self, key: str) -> float:
        """The bundle factor of a bundle at its loading."""
        if key not in self.factors:
            self.factors[key] = bundle_factor(
                wires=self.where.bundles[key].wires, loading=self.work.loading.get(key, 0.0)
            )
        return self.factors[key]

    def allowed(self, conductor: str, awg: str) -> tuple[float, str]:
        """The current that a gauge may carry in the hottest spot of its run, and that spot."""
        least, spot = float("inf"), ""
        for key in self.where.of.get(conductor, ()):
            bundle = self.where.bundles[key]
            amps = self._free(conductor, awg, bundle.ambient.value) * self._factor(key)
            if amps < least:
                least, spot = amps, key
        return least, spot

    def _tight(self, conductor: str, awg: str) -> bool:
        """Whether a wire uses so much of what it may carry on a way that it is pointed out."""
        carried = self.lasting(conductor) * RESERVE
        return any(
            carried
            > self.tight * self._free(conductor, awg, bundle.ambient.value) * self._factor(key)
            for key in self.where.of.get(conductor, ())
            if (bundle := self.where.bundles[key]).leg is not None
        )

    def _start_heats(self, conductor: str, awg: str) -> bool:
        """Whether starts in a row, with no heat lost meanwhile, bring a wire to its rating.

        For a short time the copper alone takes up the heat: I = K·S/√t (IEC 60949, adiabatic form).
        """
        if not self.cranking:
            return False
        for (phase, _), amps in self.work.currents.get(conductor, {}).items():
            if phase not in self.cranking or amps <= 0:
                continue
            rated, warmest = self.rated[conductor], self.warmest[conductor]
            if warmest >= rated:
                return True
            most = short_time_current_a(
                adiabatic_k=adiabatic_k(start_degc=warmest, limit_degc=rated),
                area_mm2=self._wire(conductor, awg).copper_mm2,
                duration_s=STARTS * self.study.document.phases[phase].lasts_s,
            )
            if amps * RESERVE > most:
                return True
        return False

    def _short_heats(self, chain: Chain, free: list[Conductor], awg: str) -> bool:
        """Whether a short damages a starter's cable sooner than it can be switched off.

        Nothing protects it. Its own wires alone hold the current back, cold; copper alone takes the
        heat: both on the careful side of what `bare` finds in the solved short.
        """
        driving = self.drivers.get(chain.name)
        if driving is None:
            return False
        volts, ohms = driving
        wires = [c for c in free if c.role == "feed"]
        for wire in wires:
            ohms += bare_ohm(self._wire(wire.id, awg), self.runs[wire.id].length_m or 0.0)
        for wire in wires:
            start, damaged = self.temperature(wire.id, awg), self.kinds[wire.id].damaged_degc
            most = short_time_current_a(
                adiabatic_k=adiabatic_k(start_degc=start, limit_degc=damaged),
                area_mm2=self._wire(wire.id, awg).copper_mm2,
                duration_s=limit(self.study, "unprotected-bears").value,
            )
            if volts / ohms / wire.parallel > most:
                return True
        return False

    def temperature(self, conductor: str, awg: str) -> float:
        """The warmest that a conductor gets at its greatest lasting current, at most its rating."""
        keys = self.where.of.get(conductor, ())
        amps = self.lasting(conductor)
        state = (conductor, awg, amps, tuple([self._factor(key) for key in keys]))
        if state not in self.warm_degc:
            self.warm_degc[state] = self._warmest(conductor, awg, amps, keys)
        return self.warm_degc[state]

    def _warmest(self, conductor: str, awg: str, amps: float, keys: tuple[str, ...]) -> float:
        wire = self._wire(conductor, awg)
        warmest = 20.0
        for key in keys:
            try:
                here = conductor_temperature_degc(
                    current_a=amps,
                    free_air_b=wire.free_air_b,
                    free_air_m=wire.free_air_m,
                    ambient_degc=self.where.bundles[key].ambient.value,
                    bundle_factor=self._factor(key),
                    altitude_factor=self.altitude,
                )
            except NotCovered:
                here = self.rated[conductor]
            warmest = max(warmest, here)
        return min(warmest, self.rated[conductor])

    def careful(self, conductor: str, awg: str) -> float:
        """The warmest by the circular's estimate; its rating where it carries more than allowed."""
        keys, amps = self.where.of.get(conductor, ()), self.lasting(conductor)
        state = (conductor, awg, amps, tuple([self._factor(key) for key in keys]))
        if state not in self.careful_degc:
            self.careful_degc[state] = self._careful(conductor, awg, amps, keys)
        return self.careful_degc[state]

    def _careful(self, conductor: str, awg: str, amps: float, keys: tuple[str, ...]) -> float:
        wire, rated, warmest = self._wire(conductor, awg), self.rated[conductor], 20.0
        for key in keys:
            around = self.where.bundles[key].ambient.value
            allowed = ampacity_a(
                free_air_b=wire.free_air_b,
                free_air_m=wire.free_air_m,
                ambient_degc=around,
                rated_degc=rated,
                bundle_factor=self._factor(key),
                altitude_factor=self.altitude,
            )
            if amps > allowed or around >= rated:
                return rated
            here = careful_temperature_degc(
                current_a=amps, allowed_current_a=allowed, ambient_degc=around, rated_degc=rated
            )
            warmest = max(warmest, here)
        return warmest

    def _temperatures(self) -> dict[str, float]:
        if not self.work.loading:
            self._load_bundles()
        return {name: self.temperature(name, self.work.gauges[name]) for name in self.conductors}
