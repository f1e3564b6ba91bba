"""Does an engine that needs electricity get it until the end?"""

from collections.abc import Iterator

from elec.analyses.endurance import endurance
from elec.analyses.endurance_limit import flight_min
from elec.analyses.limits import limit
from elec.check import check
from elec.checks.answer import answer, count, tightened
from elec.finding import Consequence, Finding, Verdict
from elec.standards import Cite
from elec.study import Study


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

    A second alternator, or a battery that lasts as long as the tanks, keeps it running; failing
    that, land within what the battery gives, and know that number.
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
    found = endurance(study)
    second = sum(s.kind == "alternator" for s in study.document.sources.values())
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
    flight = flight_min(study)
    lasts = f"The battery alone keeps it running {found.minutes:.0f} min"
    if second > 1:
        verdict, text = Verdict.PASS, f"{count(second, 'alternator')} feed it. {lasts}."
    elif found.minutes >= flight:
        verdict, text = Verdict.PASS, f"{lasts}, as long as the flight of {flight:.0f} min."
    else:
        enough = found.minutes * 60 >= rule.value
        verdict = Verdict.ADVISE if enough else Verdict.FAIL
        text = (
            f"One alternator feeds it. {lasts} of a flight of {flight:.0f} min; "
            f"{rule.value / 60:.0f} min is the least.{tightened(rule)}"
        )
    yield answer(
        study,
        "engine",
        verdict,
        text,
        at=at,
        remedy="Fit a second alternator or a larger battery, or shed more; plan every leg so that "
        "you can land within that time.",
        value=found.minutes,
        limit=flight if verdict is not Verdict.FAIL else rule.value / 60,
        unit="min",
        working=found.hand,
    )


def _has_engine(study: Study) -> bool:
    """Whether something turns: an alternator, or a phase with an engine that is not stopped."""
    phases = study.document.phases.values()
    turns = any(phase.engine is not None and phase.engine.state != "stopped" for phase in phases)
    return turns or any(s.kind == "alternator" for s in study.document.sources.values())
