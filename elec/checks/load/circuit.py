"""Does a circuit feed every load?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, listed, passes
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains


@check(
    "Every load is fed by a circuit",
    sources=(Cite("trade", "list of loads = list of breakers", "memory"),),
)
def load_circuit(study: Study) -> Iterator[Finding]:
    """A load without a circuit has no wire, no breaker and no part in any sum.

    Add it under `feeds` of a circuit, or take its `draw` away if it is fed over signal wires.
    """
    fed = chains(study).feeds
    for name, entry in study.document.equipment.items():
        if entry.draw is None and not entry.modes:
            continue
        circuits = fed.get(name, ())
        title = study.system.title("equipment", name)
        yield answer(
            study,
            name,
            passes(bool(circuits)),
            f"{title} is fed by {listed(circuits)}."
            if circuits
            else f"{title} has a draw, and no circuit feeds it.",
            at=("equipment", name),
            remedy=f"Add a circuit: {name}: {{bus: main, breaker: auto, feeds: {name}}}.",
        )
