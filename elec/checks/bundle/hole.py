"""Does the bundle fit through the holes and tubes on its way?"""

from collections.abc import Iterator

from elec.analyses.holes import Opening, Passage, passages
from elec.check import check
from elec.checks.answer import answer, apart, listed, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Every bundle fits through the holes and tubes it passes",
    sources=(
        Cite("ac4313", "11-115", "seen"),
        Cite("ac4313", "11-249", "seen"),
        Cite("mil_w_22759", "wire diameters", "memory"),
    ),
    limits=("grommet-clearance", "grommet-room", "conduit-ratio"),
    given="holes or conduit on ways",
)
def bundle_hole(study: Study) -> Iterator[Finding]:
    """A bundle that rubs on an edge wears through; a hole too small is found out late.

    A hole without grommet needs air all round, a tube a quarter more than the bundle. Drill before
    the covering, fit a grommet, or lead part of the wires another way. Spares need room too.
    """
    for found in passages(study).values():
        for number, opening in enumerate(found.openings, 1):
            yield _finding(study, found, number, opening)


def _finding(study: Study, found: Passage, number: int, opening: Opening) -> Finding:
    tube = opening.kind == "tube"
    same = sum(o.kind != "tube" for o in found.openings)
    about = f"{found.title}, {'tube' if tube else f'hole {number}' if same > 1 else 'hole'}"
    path = ("ways", found.way, "conduit") if tube else ("ways", found.way, "holes")
    if found.unknown:
        return answer(
            study,
            about,
            Verdict.CANNOT_TELL,
            f"The diameter of {listed(found.unknown)} is not published, so whether the bundle fits "
            "is not known.",
            at=path,
            remedy="Write the gauge into the cable's type, or measure the bundle.",
        )
    given, needed = apart(opening.given_m * 1000, opening.needed_m * 1000, "mm", 1)
    thick = f"{opening.passing_m * 1000:.1f} mm"
    return answer(
        study,
        about,
        passes(opening.given_m >= opening.needed_m * (1 - 1e-9)),
        f"{opening.wires} wires and cores make a bundle of about {thick}; the {opening.kind} has "
        f"{given} and needs {needed}.",
        at=path,
        remedy=_remedy(opening, needed),
        value=opening.given_m * 1000,
        limit=opening.needed_m * 1000,
        unit="mm",
        working=lambda: found.working,
    )


def _remedy(opening: Opening, needed: str) -> str:
    if opening.kind == "bare hole":
        return f"Fit a grommet and write grommet: yes, or open the hole to {needed}."
    return f"Make it {needed}, or lead part of the wires another way (via)."
