"""Why a case has no operating point in which all demand is met: which load, and what it could have.

In: a netlist, its values, the number of a collapsed case. Out: the loads that fall short, weakest
first, each with what it needs and what can be delivered to it, all others served.

Seen from a load's terminals the rest of the network is, close to an operating point, a voltage V
behind a resistance R (Thevenin). Through R no more than V²/4R can be had, at half of V. (Maximum
power transfer; any textbook of circuit theory.) Other loads beside it count in R with
their negative slope, and an alternator that reaches its limit on the way raises it, so that what
can really be delivered, found by trying, may be less.
"""

import math

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec import units
from elec.model.laws import Law
from elec.network.circuit import Topology, circuit_of
from elec.network.devices import (
    Devices,
    devices_of,
    load_companion,
    source_companion,
)
from elec.network.netlist import Array, Index, Netlist, State, Values
from elec.network.operating import PointSearch
from elec.network.reduced import Reduced
from elec.network.served import served_fraction
from elec.network.solve import solve


class Shortfall(Struct, frozen=True, kw_only=True):
    """A load that does not get what it needs."""

    load: str
    law: Law
    demand: float
    """In the unit of the law."""
    minimum_v: float
    voltage_v: float
    """What is left across it when nothing drops out and loads below their minimum only dwindle."""
    open_v: float
    """Voltage at its terminals with this load off and all others on; NaN if they fall short too."""
    source_ohm: float
    """Resistance of the network behind that voltage."""
    deliverable: float
    """The most it can have, in that unit, while all others get what they ask; 0 if they cannot."""

    @property
    def matched_w(self) -> float:
        """V²/4R: the most power through the resistance, whatever the load's minimum voltage."""
        return self.open_v**2 / (4.0 * self.source_ohm)

    def __str__(self) -> str:
        """In words."""
        unit = self.law.unit
        asks = f"{self.load} needs {_shown(self.demand)} {unit} at {self.minimum_v:.3g} V or more"
        if math.isnan(self.open_v):
            return f"{asks}; without it the others still fall short"
        source = f"{self.open_v:.4g} V behind {units.show(self.source_ohm, 'ohm')}"
        most = f"; V²/4R = {_shown(self.matched_w)} W" if self.law.power_stays else ""
        return f"{asks}; {source} can deliver {_shown(self.deliverable)} {unit} there{most}"


def _shown(number: float) -> str:
    return f"{number:.0f}" if number >= 100.0 else f"{number:.3g}"


class Collapse(Struct, frozen=True, kw_only=True):
    """Why one case collapses."""

    served: float
    """The fraction of the demand of all but linear loads that can be met, scaled alike."""
    limited: tuple[str, ...]
    """Alternators at their limit."""
    short: tuple[Shortfall, ...]
    """Loads below their minimum voltage, the weakest (least part of its minimum) first."""

    @property
    def cause(self) -> Shortfall | None:
        """The load that falls short by most while the others could be served without it."""
        alone = [x for x in self.short if not math.isnan(x.open_v)]
        return max(alone, key=lambda x: 1.0 - x.deliverable / x.demand, default=None)


def collapse(netlist: Netlist, values: Values, case: int, most: int = 8) -> Collapse | None:
    """Explain a case; None where it has an operating point.

    Args:
        netlist: The topology.
        values: As they were solved.
        case: Which case, counted from 0.
        most: Look closely at no more than this many of the weakest loads.
    """
    one = values.take(slice(case, case + 1))
    answer = solve(netlist, one, served=True)
    if answer.state[0] != State.COLLAPSED:
        return None
    low = np.flatnonzero(answer.starved[:, 0] & [not law.linear for law in netlist.load_laws])
    part = answer.load_v[low, 0] / one.load_minimum_v[low, 0]
    weakest = low[np.argsort(part, kind="stable")[:most]]
    names = zip(netlist.alternators, answer.alternator_limited[:, 0], strict=True)
    return Collapse(
        served=float(answer.served[0]),
        limited=tuple(branch.name for branch, limited in names if limited),
        short=_shortfalls(netlist, one, weakest, answer.load_v[weakest, 0]),
    )


def _shortfalls(
    netlist: Netlist, one: Values, weakest: Index, voltage_v: Array
) -> tuple[Shortfall, ...]:
    count = len(weakest)
    if not count:
        return ()
    each = one.take(np.zeros(count, np.intp))
    circuit = circuit_of(netlist, (one.resistance_ohm == 0.0).all(axis=1))
    this = np.zeros(each.load_value.shape, np.bool_)
    this[weakest, np.arange(count)] = True
    with np.errstate(all="ignore"):
        devices = devices_of(circuit, each)
        spared = devices.scaled(np.where(this, 0.0, 1.0))
        open_v, source_ohm = _thevenin(circuit, spared, weakest)
        part = served_fraction(circuit, devices, this)
    return tuple(
        Shortfall(
            load=netlist.loads[load].name,
            law=netlist.load_laws[load],
            demand=float(one.load_value[load, 0]),
            minimum_v=float(one.load_minimum_v[load, 0]),
            voltage_v=float(voltage_v[k]),
            open_v=float(open_v[k]),
            source_ohm=float(source_ohm[k]),
            deliverable=float(part[k] * one.load_value[load, 0]),
        )
        for k, load in enumerate(weakest)
    )


def _thevenin(circuit: Topology, devices: Devices, ports: Index) -> tuple[Array, Array]:
    """Voltage at a load's port and resistance behind it, one port a case; NaN if unsolved."""
    cases = np.arange(len(ports))
    point = PointSearch(circuit, devices, strict=True).run()
    held = np.flatnonzero(point.settled)
    found_v, found_ohm = np.full(len(ports), np.nan), np.full(len(ports), np.nan)
    if len(held):
        settled = PointSearch(circuit, devices.take(held)).run()
        across = settled.node_v[circuit.loads.a] - settled.node_v[circuit.loads.b]
        guess = replace(settled.guess, load_v=across)
        there = devices.take(held)
        reduced = Reduced(circuit, there)
        reduced.lend()
        source_s, _ = source_companion(there, guess)
        load_s, _ = load_companion(there, across, np.zeros(len(held), np.bool_))
        ampere = np.zeros_like(load_s)
        ampere[ports[held], cases[: len(held)]] = 1.0
        lift = reduced.linear((source_s, np.zeros_like(source_s)), (load_s, ampere)).load_v
        found_v[held] = across[ports[held], cases[: len(held)]]
        found_ohm[held] = lift[ports[held], cases[: len(held)]]
    return found_v, found_ohm
