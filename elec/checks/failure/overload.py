"""Does what is left after a single failure carry more than it may?"""

from collections.abc import Iterator

from elec.answers.failures.failure_cascade import Overheated, Trip
from elec.answers.failures.failure_currents import holds_a
from elec.answers.failures.overload import Overload, Overloads, overloads, worst_of_feeders
from elec.answers.heat.heat import heat
from elec.check import check
from elec.checks.answer import amps, answer, listed, sentence
from elec.finding import Finding, Verdict
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.demand import demand
from elec.working import unrounded, within


@check(
    "No single failure overloads what is left",
    sources=(
        Cite("cfr_23_64", "23.2525(b)", "seen"),
        Cite("elec", "overload after a single failure", "computed"),
    ),
)
def failure_overload(study: Study) -> Iterator[Finding]:
    """When one feeder opens, another takes over its load, and may open too: then nothing is left.

    Every single failure is solved in every phase but those in which the starter turns, with all
    loads that may be on at one moment, at once and after changing over; devices that carry more
    than they surely hold open, until it settles. Take a larger device and a thicker wire for what
    takes over.
    """
    done = overloads(study)
    found = [one for one in done.found if one.carried]
    unsolved = [one for one in done.found if not one.solved and not one.failure.branches]
    if not found and not unsolved:
        return
    worst, asked = worst_of_feeders(study, found), _asked(study, done)
    beyond = [one for one in found if one.trips or one.hot]
    for chain in chains(study).of("feeder"):
        if chain.conductors():
            most = worst.get(chain.name)
            yield _finding(study, chain, most, (beyond, unsolved), asked)


def _asked(study: Study, done: Overloads) -> str:
    """Where it was looked for, and where not."""

    def names(phases: tuple[str, ...]) -> str:
        return listed((study.system.title("phases", name) for name in phases), most=len(phases))

    text = f" Asked by {done.condition} in {names(done.asked)}"
    if done.also:
        other = "day" if done.condition == "night" else "night"
        text += f", and by {other} in {names(done.also)}"
    if done.not_asked:
        text += f"; not in {names(done.not_asked)}, while the starter turns"
    return f"{text}."


def _phase(study: Study, one: Overload) -> str:
    return f"{study.system.title('phases', one.phase)} by {one.condition}"


def _when(study: Study, worst: Overload | None) -> str:
    return f" ({_phase(study, worst)})" if worst is not None else ""


def _finding(
    study: Study,
    chain: Chain,
    worst: Overload | None,
    of: tuple[list[Overload], list[Overload]],
    asked: str,
) -> Finding:
    beyond, unsolved = of
    most = worst.carried.get(chain.name) if worst else None
    verdict, text, limit = _judged(study, chain, beyond)
    over = most is not None and limit is not None and not within(most, limit)
    if verdict is Verdict.PASS and over:  # with or without a failure
        verdict = Verdict.FAIL
        text = (
            f"It carries {amps(most)} after a single failure{_when(study, worst)}; "
            f"{amps(limit)} is the most that it surely holds or may carry."
        )
    unknown = [n for n in chains(study).feeds if n in demand(study).loads
               and not demand(study).loads[n].known]  # fmt: skip
    if verdict is Verdict.PASS and unknown:
        names = listed(study.system.title("equipment", name) for name in unknown)
        verdict = Verdict.CANNOT_TELL
        text = f"What it carries after a failure cannot be told: no current is given for {names}."
    elif verdict is Verdict.PASS and unsolved:
        verdict = Verdict.CANNOT_TELL
        text = (
            f"What it carries after a failure cannot be told: with {unsolved[0].failure.title}, "
            f"{_phase(study, unsolved[0])}, the network has no solution, or a current is not known."
        )
    return answer(
        study,
        chain.name,
        verdict,
        (text or f"It carries {amps(most)} at most after any single failure{_when(study, worst)}.")
        + asked,
        at=chain.path,
        remedy=(
            "Give the missing currents; see also what network-solved says."
            if verdict is Verdict.CANNOT_TELL
            else "Take a larger device and a thicker wire, so that it holds this; or shed what it "
            "need not carry (shed: at once)."
        ),
        value=most,
        limit=limit,
        unit="A",
    )


def _amps(one: tuple[Trip | Overheated, Overload]) -> float:
    return unrounded(one[0].amps)


def _judged(study: Study, chain: Chain, found: list[Overload]) -> tuple[Verdict, str, float | None]:
    keys = {chain.name} | ({chain.far.name} if chain.far else set())
    last_first = found[::-1]
    trips = [(trip, effect) for effect in last_first for trip in effect.trips
             if trip.device in keys]  # fmt: skip
    if trips:
        trip, effect = max(trips, key=_amps)
        device = sizing(study).devices[trip.device]
        text = (
            f"{sentence(effect.failure.title)[:-1]}, {_phase(study, effect)}: then "
            f"{amps(trip.amps)} run through its {device.label}, which surely holds "
            f"{amps(trip.holds_a)}; it opens."
        )
        return Verdict.FAIL, text, trip.holds_a
    names = {c.id for c in chain.conductors()}
    hot = [(wire, effect) for effect in last_first for wire in effect.hot
           if wire.conductor in names]  # fmt: skip
    if hot:
        wire, effect = max(hot, key=_amps)
        text = (
            f"{sentence(effect.failure.title)[:-1]}, {_phase(study, effect)}: then "
            f"{amps(wire.amps)} run through its wire, AWG "
            f"{sizing(study).gauges[wire.conductor].awg}, which may carry {amps(wire.allowed_a)}."
        )
        return Verdict.FAIL, text, wire.allowed_a
    own = (sizing(study).devices.get(key) for key in keys)
    limits = [holds_a(one) for one in own if one is not None and one.rating_a is not None]
    limits += [heat(study)[name].allowed_a for name in names if name in heat(study)]
    return Verdict.PASS, "", min(limits, default=None)
