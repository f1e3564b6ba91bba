"""One case of a netlist as text for a general circuit simulator.

In: a netlist, its values, the number of a case. Out: a SPICE deck that asks for the operating
point, so that anyone may check the voltages with a simulator that shares nothing with ours.

Alternators, diodes and loads are behavioural sources, the former two as `elec.network.devices`
states, loads with the formula of their law. Node k of `Netlist.nodes()` is called `n<k>`, the
reference `0`: names of a builder may hold characters that mean something in a deck. A comment
behind each element tells its name.
"""

import math
from collections.abc import Iterable, Iterator

import numpy as np

from elec.network.circuit import circuit_of
from elec.network.devices import SMALLEST_MINIMUM_V, SMALLEST_OHM, devices_of
from elec.network.elimination import LEAK_S
from elec.network.netlist import Branch, Flags, Netlist, Solution, Values

OPTIONS = (
    ".options reltol=1e-9 abstol=1e-9 vntol=1e-9 gmin=1e-12 itl1=500 "
    f"rshunt={1 / LEAK_S!r} filetype=binary"
)
"""A simulator's usual tolerance is a thousandth of the voltage: too loose for a comparison."""

_WIDTH = 96


def spice_nodes(netlist: Netlist) -> dict[str, str]:
    """Name of each node in the deck.

    >>> spice_nodes(Netlist(reference="ground", resistors=(Branch(name="w", a="bus", b="ground"),)))
    {'ground': '0', 'bus': 'n1'}
    """
    return {name: f"n{k}" if k else "0" for k, name in enumerate(netlist.nodes())}


def to_spice(
    netlist: Netlist,
    values: Values,
    case: int,
    head: Iterable[str] = ("One operating point",),
    guess: Solution | None = None,
) -> str:
    """Write one case as a SPICE deck.

    Args:
        netlist: The topology.
        values: Numbers of every element in every case.
        case: Which case, counted from 0.
        head: Title, then further lines of comment.
        guess: A solution of these values to start from.

    Returns:
        The deck, from title to `.end`. Elements that are open, off or failed are left out, and so
        are loads that no source reaches, as in our own solution: the millivolts between two grounds
        are no supply. A resistor of 0 Ω in every case is a source of 0 V. `.nodeset` is where the
        simulator starts; it binds nothing: the guess, or else the highest source at the terminals a
        of sources and loads, where our own search starts.
    """
    names = spice_nodes(netlist)
    lines = [f"* {' ' * (len(line) - len(line.lstrip()))}{_plain(line)}".rstrip() for line in head]
    lines += ["*", "* Nodes", *(f"*   {node:>5}  {_plain(name)}" for name, node in names.items())]
    one = values.take(slice(case, case + 1))
    link = (values.resistance_ohm == 0.0).all(axis=1)
    off = _unsupplied(netlist, one, link)
    kinds: tuple[tuple[str, Iterator[tuple[str, str]]], ...] = (
        ("Wires, contacts, switches and devices", _resistors(netlist, one, link, names)),
        ("Batteries: electromotive force and resistance", _batteries(netlist, one, names)),
        ("Alternators: set-point, slope, limit", _alternators(netlist, one, names)),
        ("Diodes: forward voltage and slope", _diodes(netlist, one, names)),
        ("Loads, each with its law and a tail below its least voltage",
         _loads(netlist, one, off, names)),
    )  # fmt: skip
    for title, written in kinds:
        lines += ["*", f"* {title}"]
        lines += [f"{text:<{_WIDTH - 36}} ; {_plain(name)}" for text, name in written]
    left = [branch.name for branch, unfed in zip(netlist.loads, off, strict=True) if unfed]
    lines += [f"* left out, no source reaches it: {_plain(name)}" for name in left]
    start = _highest(netlist, one, names) if guess is None else _from(netlist, guess, case, link)
    lines += ["*", ".nodeset " + " ".join(f"v({node})={volts!r}" for node, volts in start.items())]
    return "\n".join([*lines, OPTIONS, ".op", ".end", ""])


def _plain(text: str) -> str:
    return " ".join(text.split())


def _unsupplied(netlist: Netlist, one: Values, link: Flags) -> Flags:
    """(loads,) those that are on, but that no source reaches."""
    with np.errstate(all="ignore"):
        flags: Flags = devices_of(circuit_of(netlist, link), one).unsupplied[:, 0]
    return flags


def _highest(netlist: Netlist, one: Values, names: dict[str, str]) -> dict[str, float]:
    connected = np.isfinite(one.battery_resistance_ohm)
    working = one.alternator_limit_a > 0.0
    highest = max(
        one.battery_emf_v[connected].max(initial=0.0),
        one.alternator_setpoint_v[working].max(initial=0.0),
    )
    groups = (netlist.batteries, netlist.alternators, netlist.loads)
    hot = dict.fromkeys(names[branch.a] for group in groups for branch in group)
    hot.pop("0", None)
    return dict.fromkeys(hot, float(highest))


def _from(netlist: Netlist, guess: Solution, case: int, link: Flags) -> dict[str, float]:
    """Voltages of a solution; none at nodes of 0 V sources, where ngspice 39 keeps some of it."""
    names = spice_nodes(netlist)
    linked = zip(netlist.resistors, link, strict=True)
    bound = {end for branch, joined in linked if joined for end in (branch.a, branch.b)}
    voltage = zip(guess.nodes, guess.voltage_v[:, case].tolist(), strict=True)
    return {
        names[node]: volts
        for node, volts in voltage
        if math.isfinite(volts) and names[node] != "0" and node not in bound
    }


def _ends(branch: Branch, names: dict[str, str]) -> tuple[str, str]:
    return names[branch.a], names[branch.b]


def _voltage(a: str, b: str) -> str:
    if b == "0":
        return f"V({a})"
    return f"(-V({b}))" if a == "0" else f"V({a},{b})"


def _resistors(
    netlist: Netlist, one: Values, link: Flags, names: dict[str, str]
) -> Iterator[tuple[str, str]]:
    for k, branch in enumerate(netlist.resistors):
        a, b = _ends(branch, names)
        ohm = float(one.resistance_ohm[k, 0])
        if a == b or math.isinf(ohm):
            continue
        if link[k]:
            yield f"Vr{k} {a} {b} 0", branch.name
        else:
            yield f"Rr{k} {a} {b} {max(ohm, SMALLEST_OHM)!r}", branch.name


def _batteries(netlist: Netlist, one: Values, names: dict[str, str]) -> Iterator[tuple[str, str]]:
    for k, branch in enumerate(netlist.batteries):
        a, b = _ends(branch, names)
        ohm = float(one.battery_resistance_ohm[k, 0])
        if a != b and math.isfinite(ohm):
            yield f"Vb{k} b{k} {b} {float(one.battery_emf_v[k, 0])!r}", branch.name
            yield f"Rb{k} b{k} {a} {max(ohm, SMALLEST_OHM)!r}", f"{branch.name}, its resistance"


def _alternators(netlist: Netlist, one: Values, names: dict[str, str]) -> Iterator[tuple[str, str]]:
    for k, branch in enumerate(netlist.alternators):
        a, b = _ends(branch, names)
        limit = float(one.alternator_limit_a[k, 0])
        setpoint = float(one.alternator_setpoint_v[k, 0])
        droop = max(float(one.alternator_droop_ohm[k, 0]), SMALLEST_OHM)
        if a != b and limit > 0.0 and math.isfinite(droop):
            wish = f"max(({setpoint!r}-{_voltage(a, b)})/{droop!r},0)"
            give = wish if math.isinf(limit) else f"min({wish},{limit!r})"
            yield f"Ba{k} {b} {a} I={give}", branch.name


def _diodes(netlist: Netlist, one: Values, names: dict[str, str]) -> Iterator[tuple[str, str]]:
    for k, branch in enumerate(netlist.diodes):
        a, b = _ends(branch, names)
        forward = float(one.diode_forward_v[k, 0])
        ohm = max(float(one.diode_resistance_ohm[k, 0]), SMALLEST_OHM)
        if a != b and math.isfinite(ohm):
            yield f"Bd{k} {a} {b} I=max(({_voltage(a, b)}-{forward!r})/{ohm!r},0)", branch.name


def _loads(
    netlist: Netlist, one: Values, off: Flags, names: dict[str, str]
) -> Iterator[tuple[str, str]]:
    for k, (branch, law) in enumerate(zip(netlist.loads, netlist.load_laws, strict=True)):
        a, b = _ends(branch, names)
        demand = float(one.load_value[k, 0])
        least = max(float(one.load_minimum_v[k, 0]), SMALLEST_MINIMUM_V)
        if a == b or demand == 0.0 or math.isinf(demand) or off[k]:
            continue
        across = _voltage(a, b)
        current = law.formula(across, repr(demand)).replace(" ", "")
        if law.resistor:
            yield f"Rl{k} {a} {b} {max(demand, SMALLEST_OHM)!r}", branch.name
        elif law.linear:
            yield f"Bl{k} {a} {b} I={current}", branch.name
        else:
            tail = f"{across}*{law.current_a(demand, least) / least!r}"
            yield f"Bl{k} {a} {b} I={across}>{least!r} ? {current} : {tail}", branch.name
