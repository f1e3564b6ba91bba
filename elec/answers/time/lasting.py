"""The battery's time as a function of its charge and of the currents: for many cases at once.

In: the endurance of the system. Out: `Lasting`, whose two sums take arrays. The first is the
published ampere-minute sum; the second keeps the charge balance of the simulation.
"""

from collections.abc import Mapping
from itertools import pairwise

import numpy as np
from msgspec import Struct

from elec.answers.time.endurance import Endurance, Sample, batteries, peukert, rated_s
from elec.model.source import Battery
from elec.network.netlist import Array
from elec.physics.battery import peukert_exponent
from elec.standards import default
from elec.study import Study
from elec.wiring.cases import NORMAL, Scenario, scenarios, unshed
from elec.wiring.sources import ratings

SMALLEST_A = 1e-6


class Lasting(Struct, frozen=True, kw_only=True):
    """What the time on the battery depends on.

    Currents are those out of the batteries: until shedding, in the landing, after shedding (in a
    system without an alternator all three are the one of the cruise).
    """

    states: tuple[tuple[str, Scenario], ...]
    """(phase, scenario) of the three currents, counted steady in `condition`."""
    condition: str
    charge_ampere_minutes: Mapping[str, float]
    """Battery → the charge that it is counted on for."""
    recognition_min: float
    landing_min: float
    first_min: float
    """How long the first stage of the simulation lasted, how long what came after, and how long
    the landing at its end."""
    rest_min: float
    last_min: float
    first_share: float
    """Part of a full charge that each took."""
    rest_share: float
    last_share: float
    exponent: float
    """Peukert's, of the battery that suffers most by a high current; 1 below the rated one."""

    def hand_min(self, capacity: Array, drawn_a: Array) -> Array:
        """The ampere-minute sum.

        Args:
            capacity: of each battery over its usual one, (batteries, cases).
            drawn_a: the three currents, (3, cases).
        """
        each = np.array(list(self.charge_ampere_minutes.values()))
        charge = each @ capacity
        first, landing, shed = np.maximum(drawn_a, SMALLEST_A)
        after = charge - self.recognition_min * first
        rest = np.maximum(0.0, (after - self.landing_min * landing) / shed)
        whole = self.recognition_min + self.landing_min + rest
        cut = self.recognition_min + after / landing
        time = np.where(after < self.landing_min * landing, cut, whole)
        found: Array = np.where(after <= 0, charge / first, time)
        return found

    def simulated_min(self, capacity: Array, drawn: Array) -> Array:
        """The simulation's time by its own charge balance: the same share is gone at the end.

        Args:
            capacity: of each battery over its usual one, (batteries, cases).
            drawn: the three currents over their usual ones, (3, cases).
        """
        each = np.array(list(self.charge_ampere_minutes.values()))
        filled = (each / each.sum()) @ capacity
        ratio = np.maximum(drawn, SMALLEST_A) / filled
        first = self.first_share * ratio[0] ** self.exponent
        rest = self.rest_share * ratio[2] ** self.exponent
        last = self.last_share * ratio[1] ** self.exponent
        whole = self.first_share + self.rest_share + self.last_share
        if whole <= 0:
            # Ended at once, by a voltage: no charge is drawn, and no more of it would help.
            return np.zeros_like(filled)

        def part(charge: Array, share: Array, minutes: float) -> Array:
            """How much of a stage a charge carries."""
            carried = np.where(share > 0, charge / np.maximum(share, 1e-12), 0.0)
            return minutes * np.maximum(0.0, carried)

        middle = part(whole - first - last, rest, self.rest_min)
        cut = np.minimum(self.last_min, part(whole - first, last, self.last_min))
        late = self.first_min + middle + cut
        early = part(np.full_like(first, whole), first, self.first_min)
        found: Array = np.where(first >= whole, early, late)
        return found


def lasting(study: Study, found: Endurance) -> Lasting | None:
    """Take the endurance apart; None where one of its answers is missing."""
    if found.minutes is None or found.longest:
        return None
    states = _states(study, found)
    pairs = next((s.terms for s in found.hand.steps if s.result.symbol == "Q"), ())
    charges = [60 * f.value * c.value for f, c in zip(pairs[::2], pairs[1::2], strict=True)]
    seen_min = found.seen_s / 60
    end = found.samples[-1]
    first_min = min(seen_min, end.time_s / 60)
    start, seen = found.samples[0].state_of_charge, _charge_at(found.samples, 60 * first_min)
    last_min = found.landing_min
    begun = _charge_at(found.samples, end.time_s - 60 * last_min)
    return Lasting(
        states=states,
        condition=found.condition,
        charge_ampere_minutes=dict(zip(found.batteries, charges, strict=True)),
        recognition_min=seen_min,
        landing_min=default("landing-time").value if found.alternator else 0.0,
        first_min=first_min,
        rest_min=end.time_s / 60 - first_min - last_min,
        last_min=last_min,
        first_share=start - seen,
        rest_share=seen - begun,
        last_share=begun - end.state_of_charge,
        exponent=_exponent(study, found),
    )


def _states(study: Study, found: Endurance) -> tuple[tuple[str, Scenario], ...]:
    if not found.alternator:
        return ((found.cruise, NORMAL),) * 3
    emergency = next(s for s in scenarios(study) if s.emergency)
    return (
        (found.cruise, unshed(study)),
        (found.landing, emergency),
        (found.cruise, emergency),
    )


def _charge_at(samples: tuple[Sample, ...], time_s: float) -> float:
    times = [s.time_s for s in samples]
    return float(np.interp(time_s, times, [s.state_of_charge for s in samples]))


def _exponent(study: Study, found: Endurance) -> float:
    carried = {name: batteries(study)[name] for name in found.batteries}
    rated = {name: b.capacity_ah / ((b.rate_s or rated_s()) / 3600) for name, b in carried.items()}
    last_a = found.samples[-1].current_a
    if last_a <= sum(rated.values()):
        return 1.0
    part = last_a / sum(rated.values())
    return max(_local(b, part * rated[name]) for name, b in carried.items())


def _local(battery: Battery, current_a: float) -> float:
    """The exponent of a battery near a current: from the builder's ratings about it, else given."""
    given = ratings(battery)
    if given is None:
        return peukert(battery)
    steps = [
        (
            charge / hours,
            peukert_exponent(
                first_h=hours,
                first_a=charge / hours,
                second_h=hours_more,
                second_a=more / hours_more,
            ),
        )
        for (hours, charge), (hours_more, more) in pairwise(given)
    ]
    return next((k for amps, k in reversed(steps) if current_a <= amps), steps[0][1])


__all__ = ["Lasting", "lasting"]
