"""Does a source reach every bus?"""

from collections.abc import Iterator

from elec.answers.drop.voltages import bus_reach, load_reach
from elec.check import check
from elec.checks.answer import answer, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "A source reaches every bus and every load in normal operation",
    sources=(Cite("textbook", "connected networks", "computed"),),
)
def network_reached(study: Study) -> Iterator[Finding]:
    """A bus that nothing feeds is a feeder forgotten, or one written the wrong way round.

    A diode lets current through in the direction of its feeder only. Add the feeder, turn it
    round, or say when it is `used`.
    """
    for name, found in bus_reach(study).items():
        title = study.system.title("buses", name)
        where = f" in {study.system.title('phases', found.case.phase)}" if found.case else ""
        yield answer(
            study,
            name,
            passes(found.case is None),
            f"A source reaches {title} in every phase."
            if found.case is None
            else f"No source reaches {title}{where}, with all well.",
            at=("buses", name),
            remedy="Add a feeder that leads to it; see its direction, diode, and when it is used.",
        )
    for name, lost in load_reach(study).items():
        normal = [r.case for r in lost if r.case is not None and r.case.scenario.name == "normal"]
        buses = bus_reach(study)
        if normal and all(reach.case is None for reach in buses.values()):
            yield answer(
                study,
                name,
                Verdict.FAIL,
                f"No source reaches {study.system.title('equipment', name)} in "
                f"{study.system.title('phases', normal[0].phase)}, with all well.",
                at=("equipment", name),
                remedy="See its circuit, its return and the ground it hangs on.",
            )
