"""Is it known what the alternator gives at every engine speed that is flown?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.model.source import Alternator
from elec.standards import Cite
from elec.study import Study


@check(
    "What the alternator gives is known at every engine speed",
    sources=(Cite("engine_manual", "output over speed, cold and hot", "seen"),),
)
def alternator_curve(study: Study) -> Iterator[Finding]:
    """The number on the plate holds at high speed and cold; at taxi speed it may be a third of it.

    Take the curve from the maker, at the engine's speed (times the pulley ratio) and hot, and give
    it as `output:`. The speeds of all phases should lie within it.
    """
    for name, source in study.document.sources.items():
        if isinstance(source, Alternator):
            yield _finding(study, name, source)


def _finding(study: Study, name: str, source: Alternator) -> Finding:
    at = ("sources", name)
    remedy = (
        "Take the curve from its maker, hot, and give output: {1000 rpm: 12 A, 2500 rpm: 37 A}."
    )
    if source.output is None:
        rated = source.rating_a
        text = (
            f"Rated {rated:g} A; what it gives at low engine speed is not given, so 85 % of it is "
            "counted at any speed."
            if rated is not None
            else "Neither rating nor output is given, so no margin can be worked out."
        )
        return answer(study, name, Verdict.CANNOT_TELL, text, at=at, remedy=remedy)
    silent = [phase for phase, entry in study.document.phases.items() if entry.engine is None]
    if silent:
        return answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"The engine speed of {listed(silent)} is not given.",
            at=("phases", silent[0]),
            remedy="Give engine: 2350 rpm, cranking or stopped in every phase.",
        )
    low, high = source.output[0][0], source.output[-1][0]
    speeds = {
        phase: entry.engine.rpm
        for phase, entry in study.document.phases.items()
        if entry.engine is not None and entry.engine.rpm is not None
    }
    outside = [phase for phase, rpm in speeds.items() if not low <= rpm <= high]
    span = f"The curve runs from {low:.0f} to {high:.0f} rpm"
    if outside:
        worst = outside[0]
        counted = "nothing is counted there" if speeds[worst] < low else "its last value is counted"
        return answer(
            study,
            name,
            Verdict.ADVISE,
            f"{span}; {worst} has {speeds[worst]:.0f} rpm, so {counted}.",
            at=(*at, "output"),
            remedy="Add a point of the curve at that speed.",
            value=speeds[worst],
            limit=low if speeds[worst] < low else high,
            unit="rpm",
        )
    return answer(study, name, Verdict.PASS, f"{span}, and every phase lies within.", at=at)
