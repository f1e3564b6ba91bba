"""A case as text for a general circuit simulator, so that anyone may check the solution.

In: a study and which case. Out: a SPICE deck with the builder's names and elec's own answer in
comments.
"""

from collections.abc import Iterator

import numpy as np

from elec.answers.base.points import Points, points
from elec.cautions import SHORT
from elec.network.collapse import collapse
from elec.network.netlist import State
from elec.network.spice import to_spice
from elec.study import Study
from elec.wiring.cases import Case

COUNTED = {
    "momentary": "everything on at once that may be",
    "steady": "each load with its share of the time",
}


def full_title(case: Case) -> str:
    """`cruise, night, all well; everything on at once that may be`."""
    return f"{case.title}; {COUNTED[case.count]}"


def spice_deck(study: Study, case: Case) -> str:
    """The deck of one case; see `elec.network.spice.to_spice`."""
    found = points(study)
    number = found.cases.index(case)
    head = [f"{study.system.about.name}: {full_title(case)}", *_about(found), ""]
    head += _answer(study, found, number)
    model = found.model
    return to_spice(model.netlist, model.values, number, head, guess=found.solution)


def _about(found: Points) -> Iterator[str]:
    yield "A direct-current operating point, written by elec for a general circuit simulator."
    yield "Run it with ngspice:  ngspice -b THIS-FILE"
    yield f"elec is {SHORT}: the makers' data, local rules and licensed practice come"
    yield "first. Resistances and laws are explained in docs/method.md. The simulator starts from"
    yield "elec's own answer (.nodeset), which it may leave: take that line out to let it search."
    if found.model.stand_ins:
        yield f"Length not known, a short wire stands in: {', '.join(found.model.stand_ins)}"


def _answer(study: Study, found: Points, case: int) -> Iterator[str]:
    """What elec makes of the case, to compare with."""
    solution, netlist = found.solution, found.model.netlist
    if solution.state[case] == State.NUMERICAL:
        yield "elec could not compute this case."
        return
    yield "elec's own answer:"
    for name in study.document.buses:
        volts = (
            float(solution.voltage_v[found.nodes[name], case]) if name in found.nodes else np.nan
        )
        title = study.system.title("buses", name)
        said = f"{volts:.9f} V" if np.isfinite(volts) else "no source reaches it"
        yield f"  {title}: {said}"
    for k, branch in enumerate(netlist.batteries):
        amps = float(solution.battery_a[k, case])
        does = "takes" if amps > 0 else "delivers"
        yield f"  {branch.name} {does} {abs(amps):.9f} A"
    for k, branch in enumerate(netlist.alternators):
        limited = ", its limit" if solution.alternator_limited[k, case] else ""
        yield f"  {branch.name} delivers {float(solution.alternator_a[k, case]):.9f} A{limited}"
    why = collapse(netlist, found.model.values, case)
    if why is not None:
        yield f"  The demand cannot be met; {why.served:.1%} of it could. Loads below their least"
        yield "  voltage are counted on their tails:"
        yield from (f"    {short}" for short in why.short)
