"""Do the figures of batteries and alternators go together?"""

from collections.abc import Iterator

from elec import units
from elec.check import check
from elec.checks.answer import amps, percent
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.model.source import Alternator, LeadAcid, Lithium
from elec.standards import Cite
from elec.study import Study
from elec.wiring.demand import cells_factor
from elec.wiring.limits import limit


@check(
    "The figures of batteries and alternators go together",
    sources=(Cite("elec", "sense of the input", "judgement"),),
    limits=("output-share", "battery-ohm-hours-least", "battery-ohm-hours-most"),
)
def sense_source(study: Study) -> Iterator[Finding]:
    """A decimal point or a unit in a source moves every current and every fault of the system.

    A battery's internal resistance falls as its capacity grows: their product lies near 0.2 Ω·Ah
    at 12 V. An alternator gives about its rating.
    """
    for name, source in study.document.sources.items():
        if isinstance(source, LeadAcid | Lithium):
            yield _battery(study, name, source)
        elif isinstance(source, Alternator):
            yield from _alternator(study, name, source)


def _battery(study: Study, name: str, source: LeadAcid | Lithium) -> Finding:
    least, most = (limit(study, f"battery-ohm-hours-{end}") for end in ("least", "most"))
    title = study.system.title("sources", name)
    cells = cells_factor(study.system.about.nominal_v)
    ohm = source.resistance_ohm
    product, text = None, ""
    if ohm is not None:
        product = ohm * source.capacity_ah / cells
        shown = units.show(ohm, "ohm") if ohm >= 1.0 else f"{ohm * 1e3:.3g} mΩ"
        text = f"{title}: {shown} with {source.capacity_ah:g} Ah, {product:.2g} Ω·Ah for each 12 V"
    little = product is not None and not least.allows(product)
    return compare(
        study,
        name,
        at=("sources", name) if ohm is None else ("sources", name, "resistance"),
        value=product,
        limit=None if product is None else least.value if little else most.value,
        rule=least.bound if little else most.bound,
        unit="Ω·Ah",
        otherwise=Verdict.ADVISE,
        says=f"{text}.",
        fault=f"{text}; {least.value:g} to {most.value:g} are usual. "
        "Is one of them a digit or a unit off?",
        remedy="Look at both on its maker's sheet (mΩ, Ah); accept it where they stand so.",
        unknown=f"{title}: its internal resistance is not given, so it cannot be held against its "
        "capacity.",
        ask="Give resistance: from its maker's sheet, or measured.",
        named=(least, most),
    )


def _alternator(study: Study, name: str, source: Alternator) -> Iterator[Finding]:
    rated = source.rated_a()
    if rated is None or not source.output:
        return
    reached, most = (
        max(current for _, current in (*source.output, *(source.cold_output or ()))),
        limit(study, "output-share"),
    )
    text = (
        f"{study.system.title('sources', name)}: its output reaches {amps(reached)}, its rating is "
        f"{amps(rated)}"
    )
    yield compare(
        study,
        name,
        at=("sources", name, "output"),
        value=reached,
        limit=most.value * rated,
        rule=most.bound,
        unit="A",
        otherwise=Verdict.ADVISE,
        says=f"{text}.",
        fault=f"{text}; {percent(most.value)} of it at most is usual. "
        "Is one of them a digit or a unit off?",
        remedy="Look at both on its maker's sheet; accept it where they stand so.",
        named=(most,),
    )
