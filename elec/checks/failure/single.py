"""Does a single failure take an essential load?"""

from collections.abc import Iterator

from elec.analyses.backup import stand_ins
from elec.analyses.chains import chains
from elec.analyses.demand import demand
from elec.analyses.failures import Effect, decisive
from elec.analyses.sizing import sizing
from elec.check import check
from elec.checks.answer import amps, answer, listed, sentence
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study

MOVING = ("source", "device", "switch", "feeder", "connector")
"""Kinds that fail in service: they move, heat, wear or are plugged."""


@check(
    "No single source, device, switch, feeder or connector takes an essential load",
    sources=(Cite("cfr_23_64", "23.2525(b)", "seen"), Cite("cfr_23", "23.1309", "memory")),
)
def failure_single(study: Study) -> Iterator[Finding]:
    """One thing fails in cruise: what you need to land must go on, at once or after changing over.

    A source, device, switch, feeder or connector that takes an essential load which nothing backs
    up fails. Give its bus a second feeder, or declare what takes over (`backup:` on the equipment).
    What lies in a load's own circuit always takes it, and a bus bar, a ground point or a cut bundle
    (a way that has several is none, but each that `bundled:` names is) takes much at once. These
    are named only where the engine depends on electricity (`electrically-dependent`); elec failures
    lists them for every system.
    """
    essential = [
        name
        for name, entry in study.document.equipment.items()
        if entry.essential and not entry.passive and name in chains(study).feeds
    ]
    effects = decisive(study)
    if not essential or not effects:
        return
    depends = study.system.about.electrically_dependent
    shared = [e for e in effects if e.taken and not _own(e) and not _apart(study, e)]
    wrong = [effect for effect in shared if depends or effect.failure.kind in MOVING]
    yield from (_taken(study, effect) for effect in wrong)
    hit = {name for effect in wrong for name in effect.taken}
    unknown = [name for name in essential if not demand(study).loads[name].known]
    if not all(effect.solved or effect.failure.branches for effect in effects):
        unknown = [name for name in essential if name not in hit]
    yield from (_unknown(study, name) for name in unknown if name not in hit)
    sound = [name for name in essential if name not in hit and name not in unknown]
    yield from (_sound(study, name, effects) for name in sound)
    if depends:
        yield from _alone(study, effects)


def _own(effect: Effect) -> bool:
    """Whether it lies in the circuit of the one load that it takes."""
    return effect.failure.branches and len(effect.taken) == 1


def _apart(study: Study, effect: Effect) -> bool:
    """Whether it cuts a way with several bundles: not all of them fail at once."""
    failure = effect.failure
    whole = failure.kind == "way" and len(failure.path) == 2
    return whole and study.document.ways[int(failure.path[1])].bundles > 1


def _names(study: Study, names: tuple[str, ...]) -> str:
    return listed(study.system.title("equipment", name) for name in names)


def _taken(study: Study, effect: Effect) -> Finding:
    failure = effect.failure
    moving = failure.kind in MOVING
    low = [name for name in effect.taken if name not in effect.dead]
    how = "too little voltage" if len(low) == len(effect.taken) else "no supply"
    return answer(
        study,
        failure.about,
        Verdict.FAIL if moving else Verdict.ADVISE,
        f"{sentence(failure.title)[:-1]}: {_overload(study, effect)}{_names(study, effect.taken)} "
        f"{'has' if len(effect.taken) == 1 else 'have'} {how}, and nothing takes over.",
        at=failure.path,
        remedy=_remedy(effect),
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
    if effect.failure.kind in ("bus", "ground", "way"):
        return (
            "Put what backs these up elsewhere and declare it (backup: on the equipment); or "
            "accept this with the reason, such as a bar that is inspected every year."
        )
    return (
        "Lead a second feeder to their bus that does not pass it (used: emergency), or declare "
        "what takes over (backup: on the equipment)."
    )


def _unknown(study: Study, name: str) -> Finding:
    return answer(
        study,
        name,
        Verdict.CANNOT_TELL,
        f"Nothing cuts {study.system.title('equipment', name)} off, but whether it keeps enough "
        "voltage cannot be told: a current is not known, or a case has no solution.",
        at=("equipment", name),
        remedy="Give its current as draw; see also what network-solved says.",
    )


def _sound(study: Study, name: str, effects: tuple[Effect, ...]) -> Finding:
    title = study.system.title("equipment", name)
    backups = stand_ins(study).get(name, ())
    passive = [e for e in effects if name in e.taken and not _own(e) and not _apart(study, e)]
    text = f"No source, device, switch, feeder or connector takes {title}"
    text += f"; {_names(study, backups)} would take over" if backups else ", but in its own circuit"
    if passive:
        text += f". These do: {listed(effect.failure.title for effect in passive)}"
    return answer(study, name, Verdict.PASS, f"{text}.", at=("equipment", name))


def _alone(study: Study, effects: tuple[Effect, ...]) -> Iterator[Finding]:
    """Essential loads without a backup, in a system whose engine needs electricity."""
    names = tuple(dict.fromkeys(n for e in effects if _own(e) for n in e.taken))
    if names:
        yield answer(
            study,
            "own circuits",
            Verdict.ADVISE,
            f"The engine needs electricity, and these have no backup: {_names(study, names)}. "
            "Each is lost with its own breaker, switch, wire or plug.",
            at=("equipment", names[0]),
            remedy="Declare what takes over (backup: on the equipment). If the engine runs and "
            "you can land without them, accept this with that reason.",
        )
