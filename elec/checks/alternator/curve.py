"""Is it known what the alternator gives at every engine speed that is flown?"""

from collections.abc import Iterator
from itertools import pairwise

from elec.check import check
from elec.checks.answer import answer, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.model.source import Alternator
from elec.standards import Cite, default
from elec.study import Study
from elec.wiring.sources import alternators
from elec.working import Rule, within


@check(
    "What the alternator gives is known at every engine speed",
    sources=(Cite("engine_manual", "output over speed, cold and hot", "seen"),),
)
def alternator_curve(study: Study) -> Iterator[Finding]:
    """The number on the plate holds at high speed and cold; at taxi speed it may be a third of it.

    Take the curve from the maker, at the engine's speed (times the pulley ratio) and hot, and give
    it as `output:`. The speeds of all phases should lie within it.
    """
    for name, source in alternators(study).items():
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
    unmeant = _unmeant(study, name, source)
    if unmeant is not None:
        return unmeant
    low, high = source.output[0][0], source.output[-1][0]
    speeds = {
        phase: entry.engine.rpm
        for phase, entry in study.document.phases.items()
        if entry.engine is not None and entry.engine.rpm is not None
    }
    span = f"The curve runs from {low:.0f} to {high:.0f} rpm"
    for phase, rpm in speeds.items():
        bounds: tuple[tuple[Rule, float, str], ...] = (
            ("at least", low, "nothing is counted there"),
            ("at most", high, "its last value is counted"),
        )
        for rule, bound, counted in bounds:
            found = compare(
                study, name, at=(*at, "output"), value=rpm, limit=bound, rule=rule, unit="rpm",
                says=f"{span}; {phase} has {rpm:.0f} rpm, so {counted}.",
                remedy="Add a point of the curve at that speed.", otherwise=Verdict.ADVISE,
            )  # fmt: skip
            if found.verdict is not Verdict.PASS:
                return found
    return answer(study, name, Verdict.PASS, f"{span}, and every phase lies within.", at=at)


def _unmeant(study: Study, name: str, source: Alternator) -> Finding | None:
    """A curve that cannot be meant: it falls with speed, or does not fit the rating."""
    curve = source.output or ()
    most = max(amps for _, amps in curve)
    slack = default("output-fall").si * most
    at = ("sources", name, "output")
    for (slow, before), (fast, after) in pairwise(curve):
        if not within(after, before - slack, "at least"):
            return answer(
                study,
                name,
                Verdict.FAIL,
                f"It falls from {before:g} A at {slow:.0f} rpm to {after:g} A at {fast:.0f} rpm; "
                "an alternator gives more, the faster it turns.",
                at=at,
                remedy=f"Was {{{slow:.0f} rpm: {after:g} A, {fast:.0f} rpm: {before:g} A}} meant? "
                "See the maker's curve.",
                value=after,
                limit=before,
                unit="A",
            )
    share = default("alternator-limit-share").si
    if source.rating_a is None:
        return None
    found = compare(
        study,
        name,
        at=at,
        value=most,
        limit=share * source.rating_a,
        unit="A",
        says=f"The curve reaches {most:g} A, its rating is {source.rating_a:g} A; "
        f"{100 * share:.0f} % of it is the most that such a machine gives.",
        remedy="One of the two has a wrong digit or unit: see the plate and the maker's curve.",
    )
    return None if found.verdict is Verdict.PASS else found
