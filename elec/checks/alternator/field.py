"""Is it clear what an alternator's field draws, and is that said once?"""

import math
from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, listed, tightened
from elec.finding import Finding, Verdict
from elec.model.source import Alternator
from elec.standards import Cite
from elec.study import Study
from elec.wiring.circuit_model import draws_of, field_loads
from elec.wiring.demand import demand
from elec.wiring.limits import limit
from elec.wiring.sources import alternators
from elec.working import within


@check(
    "What an alternator's field draws is said once",
    sources=(
        Cite("elec", "alternator", "judgement"),
        Cite("trade", "alternator limit", "seen"),
    ),
    limits=("field-share",),
)
def alternator_field(study: Study) -> Iterator[Finding]:
    """The field of an alternator that has failed and is still switched on empties the battery.

    What the circuit named as `field-circuit` feeds (a regulator, or the field) is a load like any
    other and counts all the time; `field:` then counts for nothing. `field:` alone counts while the
    alternator is dead, for ratings are net of the field. One with permanent magnets has neither.
    """
    for name, source in alternators(study).items():
        yield _finding(study, name, source)


def _finding(study: Study, name: str, source: Alternator) -> Finding:
    at = ("sources", name, "field" if source.field_a is not None else "field-circuit")
    every = [load for load, fed in field_loads(study).items() if fed == name]
    fed = [load for load in every if draws_of(demand(study).loads[load])]
    names = listed(study.system.title("equipment", load) for load in fed)
    rule = limit(study, "field-share")
    rated_a = source.rated_a()
    most = math.inf if rated_a is None else rule.value * rated_a
    if source.field_a is not None and not within(source.field_a, most):
        text = f"Its field is given as {source.field_a:g} A; {most:.1f} A would be much for it."
        text += tightened(rule)
        remedy = (
            f"Was {source.field_a / 100:g} A, or mA, meant? Measure it, or see the maker's data."
        )
        return answer(study, name, Verdict.FAIL, text, at=at, remedy=remedy,
                      value=source.field_a, limit=most, unit="A")  # fmt: skip
    if source.field_a is not None and fed:
        text = (
            f"Its field is given twice: field: {source.field_a:g} A, and {names} on "
            f"{source.field_circuit}, which counts."
        )
        return answer(study, name, Verdict.ADVISE, text, at=at, remedy="Leave out field:.")
    if source.field_circuit and not fed and source.field_a is None:
        text = f"{source.field_circuit} feeds its field; what that draws is not known."
        remedy = "Give field: 2 A as the maker has it, or the draw of what the circuit feeds."
        return answer(study, name, Verdict.CANNOT_TELL, text, at=at, remedy=remedy)
    if fed:
        text = f"{names} on {source.field_circuit} counts for its field."
    elif source.field_a is not None:
        text = f"Its field draws {source.field_a:g} A, counted while it is dead and switched on."
    else:
        text = "No field is given, as for permanent magnets: none is counted."
    return answer(study, name, Verdict.PASS, text, at=("sources", name))
