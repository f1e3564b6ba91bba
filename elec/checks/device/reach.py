"""Can what is essential be reset or given a new fuse in flight?"""

from collections.abc import Iterator

from elec.answers.failures.at_hand import (
    Needed,
    PairReach,
    SpareFuses,
    enough,
    fitted_fuses,
    fuses,
    needed,
    not_said,
    pair_reach,
    spare_fuses,
)
from elec.check import check
from elec.checks.answer import answer, listed, passes, sentence
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.working import within

PLACES = (Cite("cfr_23", "23.1357(d)", "seen"),)
SPARES = (Cite("cfr_91", "91.205(c)", "seen"), Cite("cfr_23", "23.1357(e)", "seen"))


@check(
    "Breakers and fuses that something essential hangs on alone are within reach in flight, and "
    "so are spare fuses",
    sources=(*PLACES, *SPARES),
    given="essential on equipment",
)
def device_reach(study: Study) -> Iterator[Finding]:
    """A breaker behind the seat cannot be reset, and a blown fuse without a spare stays blown.

    Asked are the breaker or fuse of each essential load that nothing backs up, and of the only
    feeder of an essential bus; of a load and its backup, one of the two. Say `reach: yes` or
    `reach: no` on the places they sit in, and `spare-fuses: {5 A: 3}` under `system:`. By night
    carry one set or three of each kind; by day one of each kind, or half of those fitted where that
    is more. The two rules bind certified aeroplanes; yours may be bound to them by its operating
    limitations. Reset or replace once
    only, and only what you need to land.
    """
    for one in needed(study):
        if one.reach is not None:
            yield _within(study, one)
    for pair in pair_reach(study):
        if pair.reach is not None:
            yield _either(study, pair)
    if not_said(study):
        yield _not_said(study, not_said(study))
    if fuses(study):
        yield _spares(study)


def _within(study: Study, one: Needed) -> Finding:
    where = study.system.title("places", one.place)
    lost = listed(one.feeds)
    if one.reach:
        text = f"The {one.device.label} of {lost} is within reach ({where})."
    else:
        text = (
            f"The {one.device.label} of {lost} is out of reach ({where}): once open in flight, it "
            "stays open, and nothing takes over."
        )
    return answer(
        study,
        one.chain.name,
        passes(bool(one.reach), Verdict.ADVISE),
        text,
        at=one.chain.path,
        remedy="Put it where you reach it strapped in, or declare what takes over (backup:); or "
        "accept this with the reason why you can land without it.",
        sources=tuple(str(cite) for cite in PLACES),
    )


def _either(study: Study, one: PairReach) -> Finding:
    devices = listed(f"the {device}" for device in one.devices)
    text = sentence(
        f"{one.pair.title}: of {devices} one is within reach"
        if one.reach
        else f"{one.pair.title}: neither can be reset in flight, for {devices} are out of reach"
    )
    return answer(
        study,
        one.pair.about,
        passes(bool(one.reach), Verdict.ADVISE),
        text,
        at=one.pair.path,
        remedy="Put one of them where you reach it strapped in; or accept this with the reason why "
        "you can land without both.",
        sources=tuple(str(cite) for cite in PLACES),
    )


def _not_said(study: Study, places: tuple[str, ...]) -> Finding:
    names = listed(study.system.title("places", place) for place in places)
    return answer(
        study,
        "places",
        Verdict.CANNOT_TELL,
        f"Not said whether you reach breakers and fuses in flight at: {names}.",
        at=("places", places[0]) if places[0] in study.document.places else ("system",),
        remedy="Write reach: yes or reach: no on each of these places.",
        sources=tuple(str(cite) for cite in PLACES),
    )


def _spares(study: Study) -> Finding:
    found = spare_fuses(study)
    fitted = ", ".join(
        f"{rating:g} A {family} ({n})" for (family, rating), n in fitted_fuses(study).items()
    )
    unrated = any(fuse.rating_a is None for fuse in fuses(study))
    if found is None or unrated:
        return answer(
            study,
            "spare fuses",
            Verdict.CANNOT_TELL,
            "The rating of a fuse within reach is not known."
            if unrated
            else f"Not said which spare fuses are carried; fitted within reach: {fitted}.",
            at=("system", "spare-fuses"),
            remedy="Write that rating."
            if unrated
            else "Write spare-fuses: {5 A: 3} under system, or {} where none is carried.",
            sources=tuple(str(cite) for cite in SPARES),
        )
    if unclear := [one for one in found if one.unclear]:
        return _which(study, unclear, fitted)
    return _compared(study, found, fitted)


def _which(study: Study, unclear: list[SpareFuses], fitted: str) -> Finding:
    """Spares of a rating that fuses of two classes have."""
    first = unclear[0]
    return answer(
        study,
        "spare fuses",
        Verdict.CANNOT_TELL,
        f"Of which class the spare fuses of {first.rating_a:g} A are is not said, and none fits in "
        f"place of another; fitted within reach: {fitted}.",
        at=("system", "spare-fuses"),
        remedy=f"Write the class before the rating: {{{first.family} {first.rating_a:g} A: "
        f"{first.unclear}}}.",
        sources=tuple(str(cite) for cite in SPARES),
    )


def _rule(*, night: bool) -> str:
    """Which rule asks for how many."""
    half = f"one of each kind, or half of those fitted where that is more ({SPARES[1]})"
    if not night:
        return f"By day, asked are {half}."
    return f"By night, asked are one set or three of each kind ({SPARES[0]}); always {half}."


def _compared(study: Study, found: tuple[SpareFuses, ...], fitted: str) -> Finding:
    night = "night" in study.system.about.conditions
    pairs = tuple(zip(found, enough(found, night=night), strict=True))
    short = [(one, least) for one, least in pairs if not within(one.carried, least, "at least")]
    missing = "; ".join(
        f"{one.label}: {least} asked, {one.carried} carried" for one, least in short
    )
    wanted = listed(f"{one.label} ({least})" for one, least in pairs)
    return compare(
        study,
        "spare fuses",
        at=("system", "spare-fuses"),
        value=float(sum(min(one.carried, least) for one, least in pairs)),
        limit=float(sum(least for _, least in pairs)),
        rule="at least",
        otherwise=Verdict.FAIL if night else Verdict.ADVISE,
        says=f"Enough spare fuses are carried; fitted within reach: {fitted}. {_rule(night=night)}",
        fault=f"Too few spare fuses: {missing}. Fitted within reach: {fitted}. "
        f"{_rule(night=night)}",
        remedy=f"Carry {wanted} where you reach them, and write them under spare-fuses.",
        sources=tuple(str(cite) for cite in SPARES),
    )
