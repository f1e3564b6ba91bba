"""Do the figures of batteries and alternators go together?"""

from collections.abc import Iterator

from elec.analyses.demand import cells_factor
from elec.analyses.limits import Limit, limit
from elec.check import check
from elec.checks.answer import amps, answer, percent, tightened
from elec.finding import Finding, Verdict
from elec.model.source import Alternator, LeadAcid, Lithium
from elec.standards import Cite
from elec.study import Study


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
    at = ("sources", name, "resistance")
    if source.resistance_ohm is None:
        return answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"{title}: its internal resistance is not given, so it cannot be held against its "
            "capacity.",
            at=("sources", name),
            remedy="Give resistance: from its maker's sheet, or measured.",
        )
    cells = cells_factor(study.system.about.nominal_v)
    product = source.resistance_ohm * source.capacity_ah / cells
    text = (
        f"{title}: {source.resistance_ohm * 1e3:.3g} mΩ with {source.capacity_ah:g} Ah, "
        f"{product:.2g} Ω·Ah for each 12 V"
    )
    good = least.allows(product) and most.allows(product)
    return answer(
        study,
        name,
        Verdict.PASS if good else Verdict.ADVISE,
        f"{text}."
        if good
        else f"{text}; {least.value:g} to {most.value:g} are usual. "
        f"Is one of them a digit or a unit off?{_tight(least, most)}",
        at=at,
        remedy="Look at both on its maker's sheet (mΩ, Ah); accept it where they stand so.",
        value=product,
        limit=least.value if product < least.value else most.value,
        unit="Ω·Ah",
    )


def _tight(*limits: Limit) -> str:
    return "".join(tightened(one) for one in limits)


def _alternator(study: Study, name: str, source: Alternator) -> Iterator[Finding]:
    title = study.system.title("sources", name)
    rated = source.rated_a()
    if rated is None:
        return
    asked = []
    curve = max((a for _, a in source.output or ()), default=None)
    if curve is not None:
        asked.append(("output", curve, limit(study, "output-share"), "its output reaches"))
    for key, value, most, words in asked:
        good = most.allows(value / rated)
        text = f"{title}: {words} {amps(value)}, its rating is {amps(rated)}"
        yield answer(
            study,
            name if key == "output" else f"{name} {key}",
            Verdict.PASS if good else Verdict.ADVISE,
            f"{text}."
            if good
            else f"{text}; {percent(most.value)} of it at most is usual. "
            f"Is one of them a digit or a unit off?{tightened(most)}",
            at=("sources", name, key),
            remedy="Look at both on its maker's sheet; accept it where they stand so.",
            value=value,
            limit=most.value * rated,
            unit="A",
        )
