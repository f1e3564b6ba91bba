"""Does an engine that needs electricity get it until the end?"""

from collections.abc import Iterator

from elec.answers.drop.voltages import load_reach
from elec.answers.failures.failure_battery import emptied_min
from elec.answers.loads.margins import SHORT_A, Margin, alone, left_a, the
from elec.answers.loads.sharing import alternators
from elec.answers.time.endurance import batteries, endurance
from elec.answers.time.endurance_limit import flight_min
from elec.check import check
from elec.checks.answer import amps, answer, count, listed, tightened
from elec.checks.compare import judged
from elec.finding import Consequence, Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.units import whole_minutes
from elec.wiring.backup import engine_loads, stand_ins
from elec.wiring.demand import circuit_amps, conditions, demand, modes_of
from elec.wiring.limits import limit
from elec.wiring.sources import has_alternator
from elec.working import within


@check(
    "An engine that stops without electricity has it for the whole flight",
    sources=(
        Cite("trade", "engines that depend on electricity", "seen"),
        Cite("cfr_23", "23.1165", "seen"),
    ),
    limits=("endurance-engine",),
)
def engine_electricity(study: Study) -> Iterator[Finding]:
    """With electronic ignition or injection the battery is fuel: when it is empty, you glide.

    A second alternator that alone carries what stays on after shedding, or a battery that lasts as
    long as the tanks, keeps it running; failing that, land within what the battery gives, and know
    that number.
    """
    about = study.system.about
    at = ("system", "electrically-dependent")
    if not _has_engine(study):
        yield answer(study, "engine", Verdict.PASS, "There is no engine.", at=("phases",))
        return
    if about.electrically_dependent is None:
        yield answer(
            study,
            "engine",
            Verdict.CANNOT_TELL,
            "Whether the engine stops without electricity is not said.",
            at=("system",),
            remedy="Write electrically-dependent: no with magnetos and a mechanical fuel pump or "
            "gravity feed; else yes, and role: engine on what keeps it running.",
            consequence=Consequence.ENGINE,
        )
        return
    if not about.electrically_dependent:
        yield answer(study, "engine", Verdict.PASS, "The engine runs without electricity.", at=at)
        return
    off = _off(study)
    if off:
        yield answer(
            study,
            "engine",
            Verdict.FAIL,
            f"The engine stops with its alternators lost: {listed(off)}.",
            at=at,
            remedy="Never shed what keeps it running, and feed it from a bus that the battery "
            "reaches then (used: emergency on a feeder); or declare what takes over (backup:).",
            consequence=Consequence.ENGINE,
        )
        return
    found = endurance(study)
    rule = limit(study, "endurance-engine")
    if found is None or found.minutes is None or found.unknown:
        yield answer(
            study,
            "engine",
            Verdict.CANNOT_TELL,
            "The engine stops without electricity; how long the battery lasts cannot be told.",
            at=at,
            remedy="Give the missing currents, a battery and phases (battery-endurance).",
        )
        return
    idle = _drawing_nothing(study, found.cruise)
    if idle:
        yield answer(
            study,
            "engine",
            Verdict.CANNOT_TELL,
            f"The engine stops without electricity, and of what keeps it running {listed(idle)} "
            f"{'draws' if len(idle) == 1 else 'draw'} nothing in "
            f"{study.system.title('phases', found.cruise)}, so that how long the battery lasts is "
            "not known.",
            at=("equipment", idle[0], "draw"),
            remedy="Give what it draws, from its label or measured, and when it is on; what draws "
            "nothing has no role: engine.",
            consequence=Consequence.ENGINE,
        )
        return
    flight = flight_min(study)
    lasts = f"the battery alone keeps it running {whole_minutes(found.minutes)} min"
    carried, why = _carried(study, found.cruise)
    least = rule.value / 60
    verdict = judged(found.minutes, flight, "at least", fails=min(least, flight))
    if carried:
        verdict, text = Verdict.PASS, f"{why} Without any, {lasts}."
    elif verdict is Verdict.PASS:
        whole = f"as long as the flight of {flight:.0f} min"
        text = f"{why} Without any, {lasts}, {whole}."
    else:
        text = (
            f"{why} Without any, {lasts} of a flight of {flight:.0f} min; "
            f"{least:.0f} min is the least.{tightened(rule)}"
        )
    if verdict is not Verdict.FAIL and not engine_loads(study):
        yield answer(
            study,
            "engine",
            Verdict.CANNOT_TELL,
            "The engine stops without electricity, and no load is marked role: engine: whether "
            f"what keeps it running is fed until the end is not known. {text}",
            at=at,
            remedy="Write role: engine on what keeps it running: ignition, injection, fuel pump.",
            consequence=Consequence.ENGINE,
        )
        return
    yield answer(
        study,
        "engine",
        verdict,
        text,
        at=at,
        remedy="Fit a second alternator that carries it, or a larger battery, or shed more; plan "
        "every leg so that you can land within that time.",
        value=found.minutes,
        limit=flight if verdict is not Verdict.FAIL else least,
        unit="min",
        working=found.hand,
    )


def _off(study: Study) -> list[str]:
    """What keeps the engine running and is off after the loss of alternators, as are its backups.

    Switched off by the pilot, or on a bus that no source reaches after he has changed over.
    """
    why = {}
    for name in sorted({*engine_loads(study), *stand_ins(study)}):
        shed = study.document.equipment[name].shed
        dead = [
            reach.case.scenario.title
            for reach in load_reach(study).get(name, ())
            if reach.case is not None
            and (reach.case.scenario.lost or reach.case.scenario.emergency)
        ]
        title = study.system.title("equipment", name)
        if shed not in (None, "never"):
            why[name] = f"{title} is switched off then (shed: {_when(shed)})"
        elif dead:
            why[name] = f"no source reaches {title} ({dead[0]})"
    return [
        why[name]
        for name in study.document.equipment
        if name in engine_loads(study)
        and name in why
        and all(other in why for other in stand_ins(study).get(name, ()))
    ]


def _when(shed: str | float | None) -> str:
    return f"{float(shed) / 60:g} min" if isinstance(shed, float) else str(shed)


def _drawing_nothing(study: Study, cruise: str) -> list[str]:
    """Loads given as 0 A of what keeps the engine running; all of it where nothing of it draws."""
    found = [
        name
        for name, load in demand(study).loads.items()
        if study.document.equipment[name].role == "engine" and load.known
    ]
    drawn = [circuit_amps(study, (n,), cruise, c) for n in found for c in conditions(study)]
    if not any(amps > 0 for amps in drawn):
        return found
    every = {n: [draw for _, draw, _ in modes_of(study.document.equipment[n])] for n in found}
    return [n for n, draws in every.items() if all(d is not None and d.amount == 0 for d in draws)]


def _has_engine(study: Study) -> bool:
    """Whether something turns: an alternator, or a phase with an engine that is not stopped."""
    phases = study.document.phases.values()
    turns = any(phase.engine is not None and phase.engine.state != "stopped" for phase in phases)
    return turns or has_alternator(study)


def _carried(study: Study, cruise: str) -> tuple[bool, str]:
    """Whether, whichever alternator fails, another alone carries what stays on; in words."""
    names = tuple(alternators(study))
    if len(names) < 2:
        return False, f"{count(len(names), 'alternator')} feeds it."
    least = {name: _least(study, name, cruise) for name in names}
    holds = [name for name, margin in least.items() if margin is not None and _lasts(study, margin)]
    for lost in names:
        left = [name for name in names if name != lost]
        if not any(name in holds for name in left):
            said = " ".join(_falls_short(study, name, least[name]) for name in left)
            return False, said
    others = [margin for name, margin in least.items() if name in holds and margin is not None]
    tightest = min(others, key=left_a)
    return True, (
        f"Whichever alternator fails, another alone carries what stays on after shedding: "
        f"{the(study, tightest.sources)} has {amps(tightest.spare_a)} left."
    )


def _least(study: Study, name: str, cruise: str) -> Margin | None:
    """By day or night, whichever leaves less; None where it cannot be told."""
    found = [
        margin
        for margin in alone(study)
        if margin.sources == (name,)
        and margin.phase == cruise
        and margin.share.situation == "alone, shed"
        and margin.share.solved
        and margin.spare_a is not None
    ]
    return min(found, key=left_a, default=None)


def _lasts(study: Study, margin: Margin) -> bool:
    """Nothing is drawn on its side; any battery elsewhere would give what they do to the end."""
    if not margin.can_a:  # its field is shed or dead, so that it carries nothing
        return False
    elsewhere_a = margin.share.others_a
    if margin.short or elsewhere_a <= SHORT_A:
        return not margin.short
    times = [emptied_min(study, name, elsewhere_a) for name in batteries(study)]
    return within(min(times), flight_min(study), "at least")


def _falls_short(study: Study, name: str, margin: Margin | None) -> str:
    title = the(study, (name,))
    start = f"{title[:1].upper()}{title[1:]} alone"
    if margin is None:
        return f"What {title} carries alone cannot be told."
    share = margin.share
    drawn = max(0.0, share.drawn_a) + max(0.0, share.others_a)
    return (
        f"{start}, loads shed, gives {amps(share.given_a)} of "
        f"{amps(share.given_a + drawn)}; {amps(drawn)} come out of the battery."
    )
