"""Does a single failure stop the engine, or take an essential load?"""

from collections.abc import Iterator

from elec.answers.failures.changing_over import hands
from elec.answers.failures.failure_reach import halted, own, parted, reach
from elec.answers.failures.failures import Effect, decisive
from elec.check import check
from elec.checks.answer import amps, answer, count, listed, sentence
from elec.finding import Consequence, Finding, Verdict
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.backup import engine_loads, stand_ins
from elec.wiring.chains import chains
from elec.wiring.demand import demand

MOVING = ("source", "device", "switch", "feeder", "connector")
"""Kinds that fail in service: they move, heat, wear or are plugged."""


@check(
    "No single fault stops the engine, and no source, device, switch, feeder or connector takes "
    "an essential load",
    sources=(Cite("cfr_23_64", "23.2525(b)", "seen"), Cite("cfr_23", "23.1309", "memory")),
    given="essential on equipment",
)
def failure_single(study: Study) -> Iterator[Finding]:
    """One thing fails in cruise: what you need to land must go on, at once or after changing over.

    Whatever stops the engine for good fails (`electrically-dependent: yes`, `role: engine` on the
    equipment that keeps it running), be it a breaker, a plug or a loose ground; what stops it until
    a hand changes over is told as advice, with what that hand moves: over the runway is no time for
    it. A source, device, switch, feeder or connector that takes an essential load which nothing
    backs up fails, too. Give its bus a second feeder, or declare what takes over (`backup:` on the
    equipment). What is left (a bus bar, a ground point, a load's own circuit) is told in one line
    where the engine depends on electricity; elec failures lists it for every system. Cut bundles:
    see failure-pair-bundle.
    """
    essential = [
        name
        for name, entry in study.document.equipment.items()
        if (entry.essential or entry.role == "engine")
        and not entry.passive
        and name in chains(study).feeds
    ]
    effects = decisive(study)
    depends = study.system.about.electrically_dependent
    if depends and not engine_loads(study):
        yield _which(study)
    if not essential or not effects:
        return
    every = [e for e in effects if not parted(study, e.failure)]
    effects = tuple(e for e in every if e.taken)
    wrong = [effect for effect in effects if _fails(study, effect)]
    yield from (_taken(study, effect) for effect in wrong)
    stops = [effect for effect in every if halted(study, effect) and effect not in wrong]
    yield from (_halted(study, effect) for effect in stops)
    hit = {name for effect in wrong for name in effect.taken}
    waits = {name for effect in stops for name in halted(study, effect)}
    unknown = [name for name in essential if not demand(study).loads[name].known]
    if not all(effect.solved or effect.failure.branches for effect in decisive(study)):
        unknown = [name for name in essential if name not in hit]
    yield from (_unknown(study, name) for name in unknown if name not in hit)
    sound = [name for name in essential if name not in {*hit, *waits, *unknown}]
    yield from (_sound(study, name, effects) for name in sound)
    told = [*wrong, *stops]
    rest = [effect for effect in effects
            if effect not in told and reach(study, effect) is not Consequence.ENGINE]  # fmt: skip
    if depends and rest:
        yield _rest(study, rest)


def _fails(study: Study, effect: Effect) -> bool:
    """What stops the engine, and what moves and takes more than its own load."""
    if effect.failure.kind == "way":
        return False
    if reach(study, effect) is Consequence.ENGINE:
        return True
    return effect.failure.kind in MOVING and not own(effect)


def _which(study: Study) -> Finding:
    return answer(
        study,
        "engine",
        Verdict.CANNOT_TELL,
        "The engine stops without electricity; which equipment keeps it running is not said.",
        at=("system", "electrically-dependent"),
        remedy="Write role: engine on its controllers, ignitions, injectors and pumps, and backup: "
        "where one takes over for another.",
        consequence=Consequence.ENGINE,
    )


def _names(study: Study, names: tuple[str, ...]) -> str:
    return listed(study.system.title("equipment", name) for name in names)


def _taken(study: Study, effect: Effect) -> Finding:
    failure, weight = effect.failure, reach(study, effect)
    low = [name for name in effect.taken if name not in effect.dead]
    how = "too little voltage" if len(low) == len(effect.taken) else "no supply"
    engine = weight is Consequence.ENGINE
    taken = tuple(n for n in effect.taken if not engine or n in engine_loads(study))
    more = len(effect.taken) - len(taken)
    waiting = " The engine stops until somebody changes over." if halted(study, effect) else ""
    return answer(
        study,
        failure.about,
        Verdict.FAIL,
        f"{'The engine stops. ' if engine else ''}"
        f"{sentence(failure.title)[:-1]}: {_overload(study, effect)}{_names(study, taken)} "
        f"{'has' if len(taken) == 1 else 'have'} {how}, and nothing takes over"
        f"{f'; {more} more essential loads go with it' if more else ''}."
        f"{waiting}",
        at=failure.path,
        remedy=_remedy(effect),
        consequence=Consequence.ENGINE if waiting else weight,
    )


def _halted(study: Study, effect: Effect) -> Finding:
    """The engine stops, and a hand can end it."""
    failure, names = effect.failure, halted(study, effect)
    moved = hands(study)
    by = f"the pilot {moved.words}" if moved.words else "the pilot changes over"
    unsaid = f" No switch is given of {listed(moved.unsaid)}." if moved.unsaid else ""
    has, it = ("has", "it has") if len(names) == 1 else ("have", "they have")
    how = "no supply" if set(names) & {*effect.lost} else "too little voltage"
    known = effect.solved and all(demand(study).loads[name].known for name in names)
    enough = "" if known else "; whether enough cannot be told, for a current is not known"
    return answer(
        study,
        failure.about,
        Verdict.ADVISE,
        f"The engine stops until somebody changes over. {sentence(failure.title)[:-1]}: "
        f"{_overload(study, effect)}{_names(study, names)} {has} {how} until {by}. Then {it} "
        f"voltage again{enough}.{unsaid} Whether the engine starts by itself is not computed.",
        at=failure.path,
        remedy="Let the second feed take over without a hand: through a diode, or by a relay that "
        "falls back (changeover:); or declare what takes over meanwhile (backup:, on another bus). "
        "Else put this hand into the emergency list, and try it with the engine running on the "
        "ground.",
        consequence=Consequence.ENGINE,
    )


def _overload(study: Study, effect: Effect) -> str:
    """What opens first for carrying too much."""
    texts = [
        f"{amps(trip.amps)} open the {sizing(study).devices[trip.device].label} of "
        f"{trip.device.replace('-', ' ')}"
        for trip in effect.trips
    ]
    return f"{', then '.join(texts)}; " if texts else ""


def _remedy(effect: Effect) -> str:
    if effect.failure.kind == "ground":
        return (
            "Lead the return of one of each pair to another ground point with its own way back, or "
            "give a block a second wire (second:)."
        )
    if effect.failure.kind == "bus":
        return "Hang what takes over on another bus."
    if own(effect):
        return "Fit what takes over, on a circuit of its own, and declare it (backup:)."
    return (
        "Lead a second feeder to their bus that does not pass it (used: emergency), or declare "
        "what takes over (backup: on the equipment)."
    )


def _unknown(study: Study, name: str) -> Finding:
    runs = [one.failure.title for one in decisive(study) if one.untold]
    return answer(
        study,
        name,
        Verdict.CANNOT_TELL,
        f"Nothing cuts {study.system.title('equipment', name)} off for good, but whether it keeps "
        "enough voltage cannot be told: "
        + (
            f"{listed(runs, most=3)} may let an alternator run away."
            if runs
            else "a current is not known, or a case has no solution."
        ),
        at=("equipment", name),
        remedy="Say what takes the alternator off: overvoltage-protection, or if-open: off of its "
        "sense wire (alternator-sense)."
        if runs
        else "Give its current as draw; see also what network-solved says.",
    )


def _sound(study: Study, name: str, effects: tuple[Effect, ...]) -> Finding:
    title = study.system.title("equipment", name)
    backups = stand_ins(study).get(name, ())
    passive = [e for e in effects if name in e.taken and not own(e)]
    text = f"No source, device, switch, feeder or connector takes {title}"
    text += f"; {_names(study, backups)} would take over" if backups else ", but in its own circuit"
    if passive:
        text += f". These do: {listed(effect.failure.title for effect in passive)}"
    return answer(study, name, Verdict.PASS, f"{text}.", at=("equipment", name))


def _rest(study: Study, rest: list[Effect]) -> Finding:
    """What takes essential loads and not the engine, in one line."""
    alone = tuple(dict.fromkeys(n for e in rest if own(e) for n in e.taken))
    shared = [e for e in rest if not own(e)]
    texts = []
    if alone:
        texts.append(
            f"Nothing backs up {count(len(alone), 'essential load')}: each goes with its own "
            "breaker, switch or wire."
        )
    if shared:
        titles = listed((e.failure.title for e in shared), most=4)
        texts.append(f"Several go at once with: {titles}.")
    return answer(
        study,
        "the rest",
        Verdict.ADVISE,
        f"The engine runs on without them. {' '.join(texts)}",
        at=rest[0].failure.path,
        remedy="See that you can land without them (elec failures lists each); inspect bars and "
        "ground points every year.",
    )
