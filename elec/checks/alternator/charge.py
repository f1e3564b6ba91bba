"""Does an alternator bear loads and charge together when a battery is low?"""

from collections.abc import Iterator

from elec.answers.loads.recharging import ChargeAsked, Recharging, recharging
from elec.answers.loads.sharing import alternators
from elec.answers.time.endurance import cruise_phase
from elec.check import check
from elec.checks.answer import amps, answer, apart, listed
from elec.checks.compare import judged
from elec.finding import Consequence, Finding, Verdict
from elec.model.source import Lithium
from elec.standards import Cite, default
from elec.study import Study
from elec.working import within


@check(
    "Charging a low battery on top of the loads is no more than the alternator is rated for",
    sources=(
        Cite("trade", "LiFePO4 charging", "memory"),
        Cite("elec", "recharging", "judgement"),
    ),
    given="accepts on batteries",
)
def alternator_charge(study: Study) -> Iterator[Finding]:
    """A low lithium battery takes all that it is given, and an alternator then runs at its limit.

    Lead-acid slows down by itself within minutes; lithium takes its full current almost to the
    end, and an alternator that gives all it can for half an hour gets hotter than it was made for.
    Its loads and what the batteries `accept` should stay within its rating, or its `limit` hold
    it there. Where it gives less than is asked, the battery takes longer. A management system or
    charger that lets less in helps, or no take-off with a battery just jump-started.
    """
    found = recharging(study)
    if found is None or not _asks(study, found):
        return
    for name in alternators(study):
        every = [one for one in found.asked if one.alternator == name]
        if any(one.charge_a > 0 or one.can_a is None for one in every):
            yield _finding(study, found, name, every)


def _asks(study: Study, found: Recharging) -> bool:
    """Whether a battery is charged that says what it accepts, or keeps on taking it."""
    sources = study.document.sources
    return any(
        name not in found.unknown or isinstance(sources[name], Lithium) for name in found.takes_a
    )


def _finding(study: Study, found: Recharging, name: str, every: list[ChargeAsked]) -> Finding:
    worst = max(every, key=lambda one: one.asked_a)
    at = ("sources", name)
    silent = [n for n in found.unknown if isinstance(study.document.sources[n], Lithium)]
    phase = study.system.title("phases", worst.phase)
    low = f"batteries charged from {default('recharging-charge').value:g} %"
    asks = (
        f"{phase}, {worst.condition}, {low}: loads ask {amps(worst.loads_a)} of it, charging "
        f"{amps(worst.charge_a)} more"
    )
    text, remedy, limit = "", "", worst.rated_a
    if silent:
        title = listed(study.system.title("sources", one) for one in silent)
        text = f"What {title} accepts is not given: a low one may take all that is left."
        remedy = "Give accepts: 20 A, the greatest charging current by its maker or its charger."
    elif worst.rated_a is None:
        text, remedy = f"{asks}; its rating is not given.", "Give rating, or output over speed."
    elif not all(one.solved for one in every):
        text, remedy = "The network has no solution with low batteries.", "See network-solved."
    elif any(one.can_a is None for one in every):
        text = f"{asks}; what it gives at that engine speed is not known."
        remedy = "Give its output over engine speed, and the speed of every phase."
    if text or worst.rated_a is None:
        return answer(study, name, Verdict.CANNOT_TELL, text, at=at, remedy=remedy,
                      value=worst.asked_a, limit=limit, unit="A")  # fmt: skip
    return _judged(study, name, every, worst, asks, rated=worst.rated_a)


def _judged(
    study: Study,
    name: str,
    every: list[ChargeAsked],
    worst: ChargeAsked,
    asks: str,
    *,
    rated: float,
) -> Finding:
    own = alternators(study)[name].limit_a
    asked, most = apart(worst.asked_a, rated, "A", 1)
    over = judged(worst.asked_a, rated) is Verdict.FAIL
    cruise = [one for one in every if one.phase == cruise_phase(study) and one.short]
    verdict = Verdict.PASS
    if over and own is not None and within(own, rated):
        text = f"{asks}, {asked} together; its own limit holds it at {amps(own)}, rated {most}."
    elif over:
        verdict = Verdict.FAIL
        text = f"{asks}, {asked} together; it is rated {most}, and runs at its limit meanwhile."
    else:
        text = f"{asks}, {asked} together; it is rated {most}."
        verdict = Verdict.ADVISE if cruise else Verdict.PASS
    return answer(
        study,
        name,
        verdict,
        text + _short(study, every),
        at=("sources", name),
        remedy="Let a management system or charger let less in (accepts), give the alternator a "
        "limit that it bears for long, shed load meanwhile, or charge a flat battery on the "
        "ground.",
        value=worst.asked_a,
        limit=rated,
        unit="A",
        consequence=Consequence.HEAT if verdict is Verdict.FAIL else Consequence.OTHER,
    )


def _short(study: Study, every: list[ChargeAsked]) -> str:
    """In which phases it gives all it can, and what the battery gets then."""
    short: dict[str, list[ChargeAsked]] = {}
    for one in every:
        if one.short:
            short.setdefault(one.phase, []).append(one)
    worst = [max(some, key=lambda one: one.asked_a) for some in short.values()]
    each = [
        f"{study.system.title('phases', one.phase)} ({amps(one.can_a)} of {amps(one.asked_a)})"
        for one in worst
    ]
    return f" In {listed(each)} it gives all it can, and charging takes longer." if each else ""
