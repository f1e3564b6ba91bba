"""How far a wire is, as the lists for the bench show it."""

from collections.abc import Iterable

from elec.answers.base.marks import marks
from elec.answers.base.ticked import lost, standing, state_of
from elec.pages.columns import listed
from elec.pages.table import Cell, Value
from elec.study import Study
from elec.wiring.built import built
from elec.wiring.chains import Conductor

SHOWN = {"changed": "changed since: look", "not held": "tick not held: look"}


def tick(study: Study, conductor: Conductor, wanted: str) -> Value:
    """The box of a list: ticked where the wire is as far as the list asks."""
    return "☑" if standing(study, conductor, wanted) == "done" else "☐"


def state_cell(study: Study, conductor: Conductor) -> Value:
    """How far a wire is, empty where nothing is done; or why its tick does not count."""
    how = standing(study, conductor, "planned")
    if how in SHOWN:
        return Cell(value=SHOWN[how], verdict="fail")
    state = state_of(study, conductor)
    return "" if state == "planned" else state


def since(study: Study, conductors: Iterable[Conductor]) -> str:
    """A sentence for the note of a list: which of its ticks do not count any more, and why."""
    every = list(conductors)
    gone = {lost(study)[c.id].entry.name: lost(study)[c.id] for c in every if c.id in lost(study)}
    texts = [f"{name} was {one.said}" for name, one in gone.items()]
    said = f" Changed since it was ticked: {'. '.join(texts)}." if texts else ""
    bare = [c for c in every if standing(study, c, "planned") == "not held"]
    if bare:
        names = dict.fromkeys(built(study).by_conductor[c.id].name for c in bare)
        wires = listed([marks(study)[c.id] for c in bare])
        said += (
            f" The tick of {listed(list(names))} does not say which wire it was given for, and "
            f"counts for nothing: look at {wires}, and tick again what is there."
        )
    return said
