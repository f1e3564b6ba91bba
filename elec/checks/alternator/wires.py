"""Does every terminal of an alternator that needs a wire have one?"""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.check import check
from elec.checks.answer import answer, listed, run_length
from elec.finding import Finding, Verdict
from elec.model.source import INSIDE, Alternator
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.runs import runs
from elec.wiring.sources import alternators


@check(
    "The field terminal of every alternator has its wire",
    sources=(Cite("elec", "completeness of the input", "judgement"),),
)
def alternator_wires(study: Study) -> Iterator[Finding]:
    """A wire that stands in no list is neither cut nor protected nor rung out.

    The field circuit ends at the regulator; from there a wire of its own leads to the field
    terminal, which makers mark F. Say where it begins: `field-wire: regulator`; or
    `field-wire: inside` where the maker has put the regulator into the machine. The device of the
    field circuit protects it, too.
    """
    for name, source in alternators(study).items():
        yield _finding(study, name, source)


def _finding(study: Study, name: str, source: Alternator) -> Finding:
    verdict, text, remedy = _judged(study, name, source)
    key = "field-circuit" if source.field_wire is None else "field-wire"
    return answer(study, name, verdict, text, at=("sources", name, key), remedy=remedy)


def _sits(study: Study, loads: list[str]) -> Iterator[str]:
    """Where each of them is."""
    for load in loads:
        place = study.system.title("places", study.document.equipment[load].place)
        yield f"{study.system.title('equipment', load)} sits at {place}"


def _judged(study: Study, name: str, source: Alternator) -> tuple[Verdict, str, str]:
    if source.field_circuit is None:
        text = "No field circuit is given, as for permanent magnets, so that no wire leads to F."
        return Verdict.PASS, text, ""
    fed = chains(study).by_name[source.field_circuit].loads
    titles = listed(study.system.title("equipment", load) for load in fed)
    if source.field_wire is None:
        text = f"How {titles} on {source.field_circuit} reaches the field is not said."
        say = f"Write field-wire: {fed[0]}; or field-wire: inside where no wire leads to it."
        return Verdict.CANNOT_TELL, text, say
    if source.field_wire.from_ == INSIDE:
        apart = [load for load in fed if study.document.equipment[load].place != source.place]
        if apart:
            text = f"Its regulator is said to be inside, and {listed(_sits(study, apart))}."
            say = f"Write field-wire: {apart[0]}, or place: {source.place} at {apart[0]}."
            return Verdict.FAIL, text, say
        return Verdict.PASS, f"{titles} sits in the machine: no wire leads to the field.", ""
    for wire in chains(study).by_name[source.field_circuit].conductors():
        if (wire.b.name, wire.b.contact) == (name, "F"):
            metres = runs(study)[wire.id].length_m
            long = "" if metres is None else f", {run_length(study, metres)}"
            text = f"{marks(study)[wire.id]} leads from {wire.a.label} to F{long}."
            return Verdict.PASS, text, ""
    raise AssertionError(name)
