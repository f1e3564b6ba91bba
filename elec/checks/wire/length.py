"""Is the length of every wire known?"""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.check import check
from elec.checks.answer import answer, count, length, run_length, sentence
from elec.finding import Finding, Verdict
from elec.model.route import Sensor
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.runs import runs
from elec.wiring.ways import from_place_m
from elec.working import within


@check(
    "The length of every wire is known",
    sources=(Cite("ac4313", "11-118", "seen"), Cite("elec", "wire length", "judgement")),
)
def wire_length(study: Study) -> Iterator[Finding]:
    """Without its length no drop, no short-circuit current and no shopping list holds for a wire.

    Measure the way along the structure with a string, give it as `length:` of the way, or give
    both places a station. Slack for two more terminations and a drip loop is added by elec.
    A wire that would end up with no length at all is a mistake in the text, so that it fails. One
    of a given length that is less than the ways that it lies in does not reach: advised. A
    magnetometer with coordinates of its own needs equipment of its name, to which wires lead.
    """
    for chain in chains(study).by_name.values():
        missing = [c for c in chain.conductors() if runs(study)[c.id].length_m is None]
        for conductor in missing:
            yield _unknown(study, chain, conductor)
        known = [c for c in chain.conductors() if c not in missing]
        if known:
            yield _known(study, chain, known)
        for conductor in known:
            if conductor.length_m is not None:
                yield from _reaches(study, chain, conductor, conductor.length_m)
    for name, sensor in study.document.sensors.items():
        if sensor.kind == "magnetometer" and sensor.spotted:
            yield from _reached(study, name, sensor)


def _reached(study: Study, name: str, sensor: Sensor) -> Iterator[Finding]:
    """A magnetometer is wired; where no equipment has its name, no wire is led to its own spot."""
    beyond = from_place_m(study, sensor)
    if name in study.document.equipment or (beyond is not None and within(beyond, 0.0)):
        return
    away = "at a distance that is not known" if beyond is None else f"{length(study, beyond)} away"
    yield answer(
        study,
        name,
        Verdict.CANNOT_TELL,
        f"{study.system.title('sensors', name)}: no equipment has its name, so its wires are "
        f"counted as far as {study.system.title('places', sensor.place)}, {away}.",
        at=("sensors", name),
        remedy=f"Name its equipment {name}, too, or give it a place of its own.",
    )


def _reaches(study: Study, chain: Chain, conductor: Conductor, given_m: float) -> Iterator[Finding]:
    legs = [leg.length_m for leg in runs(study)[conductor.id].legs]
    ways_m = [length_m for length_m in legs if length_m is not None]
    if len(ways_m) < len(legs) or within(given_m, sum(ways_m), "at least"):
        return
    yield answer(
        study,
        marks(study)[conductor.id],
        Verdict.ADVISE,
        f"{chain.title}: {length(study, given_m)} are given; the ways that it lies in are "
        f"{run_length(study, sum(ways_m))} long, without slack: cut so, it does not reach.",
        at=chain.path,
        remedy="Measure its way again: give a longer length, or leave it out; elec adds the ways "
        "and slack.",
        value=given_m,
        limit=sum(ways_m),
        unit="m",
    )


def _unknown(study: Study, chain: Chain, conductor: Conductor) -> Finding:
    return answer(
        study,
        marks(study)[conductor.id],
        Verdict.CANNOT_TELL,
        f"{chain.title}: {runs(study)[conductor.id].why}.",
        at=chain.path,
        remedy=sentence(runs(study)[conductor.id].ask),
    )


def _known(study: Study, chain: Chain, known: list[Conductor]) -> Finding:
    lengths = (runs(study)[c.id].length_m for c in known)
    found = [length_m for length_m in lengths if length_m is not None]
    shortest, longest = min(found), max(found)
    span = run_length(study, longest)
    if run_length(study, shortest) != span:
        span = f"{run_length(study, shortest)} to {span}"
    return answer(
        study,
        chain.name,
        Verdict.PASS if shortest else Verdict.FAIL,
        f"{count(len(known), 'wire')} of {chain.title}: {span}, slack included.",
        at=chain.path,
        remedy="Give the length along the structure.",
        value=longest,
        unit="m",
    )
