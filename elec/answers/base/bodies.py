"""Batteries as they are on a day: how much they hold, give and take at a temperature and age.

In: sources, temperature. Out: `Body` for each battery, and `Bank`, which turns the currents of many
states at once into the change of their charge.
"""

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from elec.model.source import Battery, LeadAcid, Lithium, Pairs
from elec.network.netlist import Array
from elec.physics.battery import accepted_current_a, rated_share_per_h
from elec.standards import default
from elec.study import Study
from elec.wiring.hand import said
from elec.wiring.limits import limit
from elec.wiring.sources import (
    accepts_a,
    capacity_share,
    charge_efficiency,
    charge_hours,
    cutoff_v,
    held,
    no_charge_below_degc,
    peukert,
    rated_s,
    ratings,
    resistance_ohm,
    rest_curve,
)
from elec.working import Step, computed

Numbers = NDArray[np.intp]

NEVER = 1e9
"""Stands for a voltage or current that no battery reaches."""


class Body(Struct, frozen=True, kw_only=True):
    """A battery at a temperature and age."""

    name: str
    capacity_ah: float
    """What it holds full, aged and at its temperature, at its rated time."""
    rated_h: float
    exponent: float
    ratings: Pairs | None
    """Ratings (hours, Ah), aged and at its temperature, instead of the exponent."""
    rest: Pairs
    resistance_ohm: float
    most_a: float
    """The greatest current it takes."""
    charge_h: float
    efficiency: float
    takes_charge: bool
    """False where it is too cold to be charged."""
    cutoff_v: float | None
    limit_a: float | None
    """Above it the management system opens."""
    start: float
    """State of charge at the start."""

    def rest_v(self, state_of_charge: float) -> float:
        """Rest voltage; the end values beyond the curve."""
        return held(self.rest, state_of_charge)

    def accepted_a(self, state_of_charge: float) -> float:
        """What it takes when enough is offered; 0 where it must not be charged."""
        if not self.takes_charge:
            return 0.0
        return accepted_current_a(
            state_of_charge=state_of_charge,
            capacity_ah=self.capacity_ah,
            most_a=self.most_a,
            charge_h=self.charge_h,
        )


def batteries(study: Study) -> Mapping[str, Battery]:
    """The batteries of the system."""
    return {
        name: source
        for name, source in study.document.sources.items()
        if isinstance(source, LeadAcid | Lithium)
    }


def start_of(battery: Battery) -> float:
    """State of charge at the start; 1 where the builder counts on a share of his own."""
    return default("battery-state-of-charge").si if battery.usable is None else 1.0


def usable_share(study: Study, battery: Battery | None = None) -> float:
    """Share of the nameplate to count on: given, else an aged battery that is not quite full."""
    if battery is not None and battery.usable is not None:
        return battery.usable
    return limit(study, "battery-usable").value * default("battery-state-of-charge").si


def usable_step(study: Study, number: int) -> Step:
    """Working of the share to count on where the builder gives none."""
    most, charged = limit(study, "battery-usable"), default("battery-state-of-charge")
    terms = (
        said(most, most.value, f"a{number}"),
        said(charged, charged.si, f"s{number}"),
    )
    return computed(f"f{number}", "", "share to count on", f"a{number} * s{number}", terms,
                    source=f"{most.source}; {charged.source}")  # fmt: skip


def body(study: Study, name: str, battery: Battery, degc: float) -> Body:
    """A battery at a temperature, as old as it is counted on."""
    left = usable_share(study, battery) / start_of(battery) * capacity_share(battery, degc)
    left = max(left, 1e-6)
    curve = ratings(battery)
    lowest = no_charge_below_degc(battery)
    return Body(
        name=name,
        capacity_ah=left * (battery.capacity_ah if curve is None else curve[-1][1]),
        rated_h=(battery.rate_s or rated_s()) / 3600,
        exponent=peukert(battery),
        ratings=None if curve is None else tuple((h, left * ah) for h, ah in curve),
        rest=rest_curve(study, battery),
        resistance_ohm=resistance_ohm(study, name, battery, degc),
        most_a=accepts_a(battery),
        charge_h=charge_hours(battery),
        efficiency=charge_efficiency(battery),
        takes_charge=lowest is None or degc >= lowest,
        cutoff_v=cutoff_v(study, battery),
        limit_a=battery.limit_a if isinstance(battery, Lithium) else None,
        start=start_of(battery),
    )


class Bank:
    """The batteries on several days; arrays are (days, batteries)."""

    def __init__(self, days: tuple[tuple[Body, ...], ...]) -> None:
        """Begin with the bodies of each day, in the same order of batteries."""
        self.days = days
        self.names = tuple(one.name for one in days[0])

        def rows(key: str, missing: float = np.nan) -> Array:
            return np.array(
                [
                    [missing if getattr(b, key) is None else getattr(b, key) for b in day]
                    for day in days
                ],
                dtype=float,
            )

        self.capacity_ah = rows("capacity_ah")
        self.efficiency = rows("efficiency")
        self.cutoff_v = rows("cutoff_v", -NEVER)
        self.limit_a = rows("limit_a", NEVER)
        self.charge_s = 3600 * rows("charge_h") / self.efficiency
        self.rated_h = rows("rated_h")
        self.exponent = rows("exponent")
        self.curved = [i for i, b in enumerate(days[0]) if b.ratings is not None]

    def slope_per_s(
        self, day: Numbers, amps: Array, pulse: NDArray[np.bool_] | None = None
    ) -> Array:
        """Change of the state of charge in a second.

        Args:
            day: of each row.
            amps: drawn from each battery, (rows, batteries); negative while it is charged.
            pulse: rows in which the starter turns: a battery recovers from seconds of current, so
                that only the charge itself counts, not how quickly it flows.
        """
        return self.on(day).slope_per_s(amps, pulse)

    def on(self, day: Numbers) -> "BankRows":
        """The batteries of rows, for whoever asks more than once: the day of each row."""
        return BankRows(
            bank=self,
            day=day,
            capacity_ah=self.capacity_ah.take(day, axis=0),
            efficiency=self.efficiency.take(day, axis=0),
            rated_h=self.rated_h.take(day, axis=0),
            exponent=self.exponent.take(day, axis=0),
        )


class BankRows(Struct, frozen=True, kw_only=True):
    """The batteries on the day of each of some rows; arrays are (rows, batteries)."""

    bank: Bank
    day: Numbers
    capacity_ah: Array
    efficiency: Array
    rated_h: Array
    exponent: Array

    def slope_per_s(self, amps: Array, pulse: NDArray[np.bool_] | None = None) -> Array:
        """Change of the state of charge in a second; see `Bank.slope_per_s`."""
        capacity, hours, day = self.capacity_ah, self.rated_h, self.day
        given = np.maximum(amps, 0.0)
        over = given * hours / capacity
        drawn = np.where(over <= 1.0, over, over**self.exponent) / hours
        for i in self.bank.curved:
            for row, current in enumerate(amps[:, i]):
                curve = self.bank.days[int(day[row])][i].ratings
                if curve is not None and current > 0:
                    drawn[row, i] = rated_share_per_h(curve=curve, current_a=float(current))
        if pulse is not None and pulse.any():
            drawn = np.where(pulse[:, None], given / capacity, drawn)
        taken = np.maximum(-amps, 0.0) * self.efficiency / capacity
        slope: Array = (taken - drawn) / 3600
        return slope
