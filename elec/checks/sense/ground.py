"""Does a load return to a ground that is near?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import length
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit
from elec.wiring.ways import distances


@check(
    "Loads return to a ground that is near them",
    sources=(Cite("elec", "sense of the input", "judgement"),),
    limits=("ground-detour",),
)
def sense_ground(study: Study) -> Iterator[Finding]:
    """A return that passes a ground on its way to another one was often meant for the first.

    It costs wire and drop, and a load whose ground name is mistyped passes every other check. Where
    it is meant so (quiet audio grounds, a pair kept apart) accept it so.
    """
    for name, entry in study.document.equipment.items():
        ground = study.document.grounds.get(entry.ground or "")
        if ground is None or entry.place == ground.place:
            continue
        reach = distances(study, entry.place)
        far = reach.get(ground.place)
        others = {
            other: there
            for other, spot in study.document.grounds.items()
            if other != entry.ground and (there := reach.get(spot.place)) is not None
        }
        if far is not None and others:
            near = min(others, key=lambda other: others[other])
            yield _finding(study, name, entry.ground or "", far, (near, others[near]))


def _finding(
    study: Study, name: str, ground: str, far_m: float, nearest: tuple[str, float]
) -> Finding:
    near, near_m = nearest
    rule = limit(study, "ground-detour")
    extra = far_m - near_m
    titles = {g: study.system.title("grounds", g) for g in (ground, near)}
    head = f"{study.system.title('equipment', name)} returns to {titles[ground]}"
    there = f"{length(study, near_m)} away" if near_m else "at its own place"
    return compare(
        study,
        name,
        at=("equipment", name, "ground"),
        value=extra,
        limit=rule,
        unit="m",
        says=f"{head}, {length(study, far_m)} away.",
        fault=f"{head}, {length(study, far_m)} away, though {titles[near]} is {there}.",
        remedy="See whether the right ground is named; accept it where it is meant so.",
        otherwise=Verdict.ADVISE,
    )
