"""One case of a netlist as text for a general circuit simulator.

In: a netlist, its values, the number of a case. Out: a SPICE deck that asks for the operating
point, so that anyone may check the voltages with a simulator that shares nothing with ours.

Alternators, diodes and loads are behavioural sources with the very laws that `elec.network.devices`
states. Node k of `Netlist.nodes()` is called `n<k>`, the reference `0`: names of a builder may hold
characters that mean something in a deck. Comments tell the names.
"""

import math
from collections.abc import Iterator

from elec.network.devices import SMALLEST_MINIMUM_V, SMALLEST_OHM
from elec.network.elimination import LEAK_S
from elec.network.netlist import Branch, Law, Netlist, Values

OPTIONS = (
    ".options reltol=1e-9 abstol=1e-9 vntol=1e-9 gmin=1e-12 itl1=500 "
    f"rshunt={1 / LEAK_S!r} filetype=binary"
)
"""A simulator's usual tolerance is a thousandth of the voltage: too loose for a comparison."""


def spice_nodes(netlist: Netlist) -> dict[str, str]:
    """Name of each node in the deck.

    >>> spice_nodes(Netlist(reference="ground", resistors=(Branch(name="w", a="bus", b="ground"),)))
    {'ground': '0', 'bus': 'n1'}
    """
    return {name: f"n{k}" if k else "0" for k, name in enumerate(netlist.nodes())}


def to_spice(netlist: Netlist, values: Values, case: int) -> str:
    """Write one case as a SPICE deck.

    Args:
        netlist: The topology.
        values: Numbers of every element in every case.
        case: Which case, counted from 0.

    Returns:
        The deck, from title to `.end`. Elements that are open, off or failed are left out; a
        resistor of 0 Ω in every case is a source of 0 V. `.nodeset` starts the terminals a of
        sources and loads at the highest source, as our own search does; it binds nothing.
    """
    names = spice_nodes(netlist)
    lines = [f"* Operating point of case {case}"]
    lines += [f"* {node}: {_plain(name)}" for name, node in names.items()]
    for kind in (_resistors, _batteries, _alternators, _diodes, _loads):
        lines += kind(netlist, values, case, names)
    lines.append(_nodeset(netlist, values, case, names))
    return "\n".join([*lines, OPTIONS, ".op", ".end", ""])


def _plain(text: str) -> str:
    return " ".join(text.split())


def _nodeset(netlist: Netlist, values: Values, case: int, names: dict[str, str]) -> str:
    connected = values.battery_resistance_ohm[:, case] < math.inf
    working = values.alternator_limit_a[:, case] > 0.0
    highest = max(
        values.battery_emf_v[connected, case].max(initial=0.0),
        values.alternator_setpoint_v[working, case].max(initial=0.0),
    )
    groups = (netlist.batteries, netlist.alternators, netlist.loads)
    hot = dict.fromkeys(names[branch.a] for group in groups for branch in group)
    hot.pop("0", None)
    return ".nodeset " + " ".join(f"v({node})={float(highest)!r}" for node in hot)


def _ends(branch: Branch, names: dict[str, str]) -> tuple[str, str]:
    return names[branch.a], names[branch.b]


def _voltage(a: str, b: str) -> str:
    if b == "0":
        return f"V({a})"
    return f"(-V({b}))" if a == "0" else f"V({a},{b})"


def _resistors(netlist: Netlist, values: Values, case: int, names: dict[str, str]) -> Iterator[str]:
    for k, branch in enumerate(netlist.resistors):
        a, b = _ends(branch, names)
        ohm = float(values.resistance_ohm[k, case])
        if a == b or math.isinf(ohm):
            continue
        if (values.resistance_ohm[k] == 0.0).all():
            yield f"Vr{k} {a} {b} 0"
        else:
            yield f"Rr{k} {a} {b} {max(ohm, SMALLEST_OHM)!r}"


def _batteries(netlist: Netlist, values: Values, case: int, names: dict[str, str]) -> Iterator[str]:
    for k, branch in enumerate(netlist.batteries):
        a, b = _ends(branch, names)
        ohm = float(values.battery_resistance_ohm[k, case])
        if a != b and math.isfinite(ohm):
            yield f"Vb{k} b{k} {b} {float(values.battery_emf_v[k, case])!r}"
            yield f"Rb{k} b{k} {a} {max(ohm, SMALLEST_OHM)!r}"


def _alternators(
    netlist: Netlist, values: Values, case: int, names: dict[str, str]
) -> Iterator[str]:
    for k, branch in enumerate(netlist.alternators):
        a, b = _ends(branch, names)
        limit = float(values.alternator_limit_a[k, case])
        setpoint = float(values.alternator_setpoint_v[k, case])
        droop = max(float(values.alternator_droop_ohm[k, case]), SMALLEST_OHM)
        if a != b and limit > 0.0 and math.isfinite(droop):
            wish = f"max(({setpoint!r}-{_voltage(a, b)})/{droop!r},0)"
            give = wish if math.isinf(limit) else f"min({wish},{limit!r})"
            yield f"Ba{k} {b} {a} I={give}"


def _diodes(netlist: Netlist, values: Values, case: int, names: dict[str, str]) -> Iterator[str]:
    for k, branch in enumerate(netlist.diodes):
        a, b = _ends(branch, names)
        forward = float(values.diode_forward_v[k, case])
        ohm = max(float(values.diode_resistance_ohm[k, case]), SMALLEST_OHM)
        if a != b and math.isfinite(ohm):
            yield f"Bd{k} {a} {b} I=max(({_voltage(a, b)}-{forward!r})/{ohm!r},0)"


def _loads(netlist: Netlist, values: Values, case: int, names: dict[str, str]) -> Iterator[str]:
    for k, (branch, law) in enumerate(zip(netlist.loads, netlist.load_laws, strict=True)):
        a, b = _ends(branch, names)
        demand = float(values.load_value[k, case])
        least = max(float(values.load_minimum_v[k, case]), SMALLEST_MINIMUM_V)
        if a == b or demand == 0.0 or math.isinf(demand):
            continue
        across = _voltage(a, b)
        if law == Law.RESISTANCE:
            yield f"Rl{k} {a} {b} {max(demand, SMALLEST_OHM)!r}"
        elif law == Law.POWER:
            tail = f"{across}*{demand / least**2!r}"
            yield f"Bl{k} {a} {b} I={across}>{least!r} ? {demand!r}/{across} : {tail}"
        else:
            tail = f"{across}*{demand / least!r}"
            yield f"Bl{k} {a} {b} I={across}>{least!r} ? {demand!r} : {tail}"
