"""What alternators, diodes and loads do at a voltage: their laws, states and companions.

In: the circuit and the values of every case. Out: cleaned values, the linear companion of each
element at a guess, which states contradict the voltages, and the currents that the laws give.

A companion is a conductance g and a source j with i = g·v - j, i from a to b. Formulas:

- battery: i = (v - E)/R;
- alternator: delivers (Vset - v)/r, never below 0 nor above its limit;
- diode: i = (v - Vf)/r where v > Vf, else 0;
- load: i(v) by its law (`elec.model.laws`) down to its minimum voltage, below that v·i(Vmin)/Vmin;
  a linear one has a conductance at every voltage.

Newton's companion of i(v) at v0 has g = e·i(v0)/v0, e the law's elasticity, and j = (e - 1)·i(v0):
the tangent. The secant has g = i(v0)/v0 and j = 0: always positive, so its solution exists, and
repeated secants go downhill in co-content (the network's sum of ∫i dv), because a law whose
elasticity is 1 at most is less steep in v² than any secant that touches it.
"""

from enum import IntEnum

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from elec.model.laws import Law
from elec.network.circuit import Topology
from elec.network.netlist import Array, Flags, Values
from elec.network.supply import supplied_loads

SMALLEST_OHM = 1e-6
"""A smaller resistance in series is taken as this: below it, 1 µA is lost in rounding at 14 V."""
SMALLEST_MINIMUM_V = 1e-3
"""A load's minimum voltage is taken as this at least, so that its tail has a finite slope."""
LARGEST_A = 1e9
"""Stands for an unlimited alternator."""

DEAD_PART = 1e-4
DEAD_A = 1e-7
"""A load with less than both these (part of the highest source; A) is reached by no source."""
STATE_TOLERANCE = 1e-12
"""A state is kept while the voltage contradicts it by less than this part of the highest source."""


class Regulation(IntEnum):
    """What an alternator does."""

    OFF = 0
    REGULATING = 1
    LIMITED = 2


_OFF, _REGULATING, _LIMITED = (int(state) for state in Regulation)  # an enum's members are slow


class Devices(Struct, frozen=True, kw_only=True):
    """The values of every element, cleaned, in (elements, cases)."""

    wire_s: Array
    emf_v: Array
    battery_s: Array
    setpoint_v: Array
    droop_s: Array
    limit_a: Array
    limited_v: Array
    """Below this voltage the alternator is at its limit."""
    forward_v: Array
    diode_s: Array
    laws: tuple[Law, ...]
    """The laws that occur and are not linear."""
    amount: Array
    """(laws, loads, cases): what each load takes by each of them; 0 for other laws and when off."""
    load_s: Array
    """Of linear loads; 0 for others and when off."""
    minimum_v: Array
    highest_v: Array
    """(cases,) the highest voltage of any source."""
    unsupplied: Flags
    """Loads that are on, but that no source reaches; they count as off."""

    def take(self, cases: NDArray[np.intp]) -> "Devices":
        """Only these cases."""
        arrays = {name: getattr(self, name).take(cases, axis=-1) for name in _ARRAYS}
        return Devices(laws=self.laws, **arrays)

    def without_wires(self) -> "Devices":
        """All but the resistors."""
        return replace(self, wire_s=self.wire_s[:0])

    def scaled(self, factor: Array) -> "Devices":
        """With all but linear demands times a factor, one a case or one a load and case."""
        return replace(self, amount=self.amount * factor)

    def bent(self) -> Flags:
        """Which loads are on and not linear, (loads, cases)."""
        flags: Flags = np.logical_or.reduce(self.amount > 0.0, axis=0)
        return flags


_ARRAYS = tuple(name for name in Devices.__struct_fields__ if name != "laws")


def invalid_cases(circuit: Topology, values: Values) -> Flags:
    """Which cases hold a number that no element can have (NaN, negative, infinite demand)."""
    positive = (
        values.resistance_ohm,
        values.battery_resistance_ohm,
        values.alternator_droop_ohm,
        values.alternator_limit_a,
        values.diode_resistance_ohm,
        values.load_value,
        values.load_minimum_v,
    )
    finite = (values.battery_emf_v, values.alternator_setpoint_v, values.diode_forward_v)
    off_at_nothing = np.isfinite(circuit.netlist.off_values())
    endless = np.isposinf(values.load_value[off_at_nothing])
    bad: Flags = np.logical_or.reduce(endless, axis=0)
    for array in positive:
        bad |= ~(array >= 0.0).all(axis=0)
    for array in finite:
        bad |= ~np.isfinite(array).all(axis=0)
    return bad


def _conductance(resistance_ohm: Array) -> Array:
    return 1.0 / np.maximum(resistance_ohm, SMALLEST_OHM)


def devices_of(circuit: Topology, values: Values) -> Devices:
    """Clean the values: resistances become conductances, loads are split by law."""
    demand = values.load_value
    asked = np.isfinite(demand) & (demand > 0.0)
    live = asked & supplied_loads(
        circuit,
        np.isfinite(values.resistance_ohm),
        np.isfinite(values.battery_resistance_ohm),
        values.alternator_limit_a > 0.0,
    )

    amount, load_s = _split(circuit, demand, live)
    limit = np.minimum(values.alternator_limit_a, LARGEST_A)
    droop_s = _conductance(values.alternator_droop_ohm)
    battery_s = _conductance(values.battery_resistance_ohm)
    wire_s = _conductance(values.resistance_ohm)
    wire_s[circuit.link] = 0.0
    emf = np.where(battery_s > 0.0, np.abs(values.battery_emf_v), 0.0).max(axis=0, initial=0.0)
    regulated = np.where(limit > 0.0, values.alternator_setpoint_v, 0.0).max(axis=0, initial=0.0)
    return Devices(
        laws=_bent_laws(circuit),
        wire_s=wire_s,
        emf_v=values.battery_emf_v,
        battery_s=battery_s,
        setpoint_v=values.alternator_setpoint_v,
        droop_s=droop_s,
        limit_a=limit,
        limited_v=values.alternator_setpoint_v - limit / droop_s,
        forward_v=values.diode_forward_v,
        diode_s=_conductance(values.diode_resistance_ohm),
        amount=amount,
        load_s=load_s,
        minimum_v=np.maximum(values.load_minimum_v, SMALLEST_MINIMUM_V),
        highest_v=np.maximum(emf, regulated),
        unsupplied=asked & ~live,
    )


def _bent_laws(circuit: Topology) -> tuple[Law, ...]:
    return tuple(law for law in circuit.laws if not law.linear)


def _split(circuit: Topology, demand: Array, live: Flags) -> tuple[Array, Array]:
    """Amounts of loads by each law that is not linear, and conductances of those that are."""
    laws = _bent_laws(circuit)
    amount, load_s = np.zeros((len(laws), *demand.shape)), np.zeros(demand.shape)
    for law, rows in circuit.laws.items():
        mine = live & rows[:, None]
        with np.errstate(divide="ignore"):
            if law.linear:
                at_one_volt = law.currents_a(demand, 1.0)
                np.copyto(load_s, np.minimum(at_one_volt, 1.0 / SMALLEST_OHM), where=mine)
            else:
                np.copyto(amount[laws.index(law)], law.amount(demand), where=mine)
    return amount, load_s


class Guess(Struct, kw_only=True):
    """What is believed of every case while the solution is sought."""

    regulation: NDArray[np.int8]
    conducting: Flags
    load_v: Array
    """The voltage at which each load's companion touches its law."""

    def take(self, cases: NDArray[np.intp]) -> "Guess":
        """Only these cases."""
        return Guess(
            regulation=self.regulation.take(cases, axis=1),
            conducting=self.conducting.take(cases, axis=1),
            load_v=self.load_v.take(cases, axis=1),
        )


def first_guess(devices: Devices) -> Guess:
    """Alternators regulate, diodes block, every load sees the highest source."""
    alive = devices.limit_a > 0.0
    return Guess(
        regulation=np.where(alive, _REGULATING, _OFF).astype(np.int8),
        conducting=np.zeros(devices.diode_s.shape, np.bool_),
        load_v=np.broadcast_to(devices.highest_v, devices.minimum_v.shape).copy(),
    )


def lowest_guess(devices: Devices, conducting: Flags) -> Guess:
    """Alternators at their limit, every load at its minimum voltage, as after a dip."""
    limited = np.where(devices.limit_a > 0.0, _LIMITED, _OFF)
    return Guess(
        regulation=limited.astype(np.int8),
        conducting=conducting.copy(),
        load_v=np.zeros_like(devices.minimum_v),
    )


def source_companion(devices: Devices, guess: Guess) -> tuple[Array, Array]:
    """Conductance and source of alternators, then diodes."""
    regulating = guess.regulation == _REGULATING
    limited = guess.regulation == _LIMITED
    alternator_s = np.where(regulating, devices.droop_s, 0.0)
    alternator_a = alternator_s * devices.setpoint_v + np.where(limited, devices.limit_a, 0.0)
    diode_s = np.where(guess.conducting, devices.diode_s, 0.0)
    return (
        np.concatenate((alternator_s, diode_s)),
        np.concatenate((alternator_a, diode_s * devices.forward_v)),
    )


def load_companion(devices: Devices, load_v: Array, secant: Flags) -> tuple[Array, Array]:
    """Conductance and source of loads at `load_v`: secants for marked cases, else tangents."""
    touch = np.maximum(load_v, devices.minimum_v)
    passive = secant | (load_v < devices.minimum_v)
    current, rise = _currents(devices, touch)
    conductance = devices.load_s + np.where(passive, current, rise) / touch
    source = np.where(passive, 0.0, rise - current)
    return conductance, source


def _currents(devices: Devices, touch: Array) -> tuple[Array, Array]:
    """Current of all but linear loads at a voltage, and its elasticity times the current."""
    total, rise = np.zeros_like(touch), np.zeros_like(touch)
    for law, amount in zip(devices.laws, devices.amount, strict=True):
        current = law.currents_a(_values(law, amount), touch)
        total += current
        rise += law.elasticities(touch) * current
    return total, rise


def _values(law: Law, amount: Array) -> Array:
    if not law.inverse:
        return amount
    with np.errstate(divide="ignore"):
        values: Array = law.amount(amount)
    return values


def contradictions(
    devices: Devices, guess: Guess, alternator_v: Array, diode_v: Array
) -> tuple[NDArray[np.int8], Flags]:
    """What the voltages say of alternators and diodes; equal to the guess where it holds.

    An alternator passes from off to limited, or back, by way of regulating: one pivot at a time.
    """
    slack = STATE_TOLERANCE * devices.highest_v
    above, below = devices.setpoint_v + slack, devices.setpoint_v - slack
    off = np.where(guess.regulation == _OFF, alternator_v >= below, alternator_v > above)
    edge = np.where(guess.regulation == _LIMITED, slack, -slack)
    limited = alternator_v < devices.limited_v + edge
    said = np.where(limited, _LIMITED, _REGULATING)
    said = np.where(off, _OFF, said)
    resting = guess.regulation != _REGULATING
    said = np.where(resting & (said != guess.regulation), _REGULATING, said)
    said = np.where(devices.limit_a <= 0.0, _OFF, said)
    margin = np.where(guess.conducting, -slack, slack)
    return said.astype(np.int8), diode_v > devices.forward_v + margin


def idle(devices: Devices, diode_v: Array) -> Flags:
    """Diodes that carry next to no current, whether they conduct or not."""
    slack = 2.0 * STATE_TOLERANCE * devices.highest_v
    return np.abs(diode_v - devices.forward_v) <= slack


def load_current(devices: Devices, load_v: Array) -> Array:
    """Current of each load by its law."""
    touch = np.maximum(load_v, devices.minimum_v)
    tail = np.minimum(load_v / devices.minimum_v, 1.0)
    return devices.load_s * load_v + _currents(devices, touch)[0] * tail
