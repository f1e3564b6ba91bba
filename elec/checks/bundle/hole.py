"""Does the bundle fit through the holes and tubes on its way?"""

from collections.abc import Iterator

from elec.answers.connect.holes import ROOM, Opening, Passage, passages
from elec.check import check
from elec.checks.answer import apart, listed
from elec.checks.compare import compare
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit


@check(
    "Every bundle fits through the holes and tubes it passes",
    sources=(
        Cite("ac4313", "11-115", "seen"),
        Cite("ac4313", "11-249", "seen"),
        Cite("mil_w_22759", "wire diameters", "memory"),
    ),
    limits=tuple(ROOM.values()),
    given="holes or conduit on ways",
)
def bundle_hole(study: Study) -> Iterator[Finding]:
    """A bundle that rubs on an edge wears through; a hole too small is found out late.

    A hole without grommet needs air all round, a tube a quarter more than the bundle. Drill before
    the covering, fit a grommet, or lead part of the wires another way. Spares need room too.
    Where one bundle of a way has holes of its own, every other has to have as many.
    """
    for found in passages(study).values():
        for number, opening in enumerate(found.openings, 1):
            yield _finding(study, found, number, opening)
        for bundle, needed_m in found.unholed.items():
            yield _untold(study, found, bundle, needed_m)


def _finding(study: Study, found: Passage, number: int, opening: Opening) -> Finding:
    same = sum(o.kind != "tube" for o in found.openings)
    hole = f"hole {number}" if same > 1 else "hole"
    several = f"{opening.bundles} bundles side by side"
    made = "a bundle" if opening.bundles == 1 else several
    _, needed = apart(opening.given_m * 1000, opening.needed_m * 1000, "mm", 1)
    return compare(
        study,
        f"{found.title}, {'tube' if opening.kind == 'tube' else hole}",
        at=("ways", found.way, "conduit" if opening.kind == "tube" else "holes"),
        value=None if found.unknown else opening.given_m * 1000,
        limit=None if found.unknown else opening.needed_m * 1000,
        rule="at least",
        unit="mm",
        digits=1,
        says=lambda given, needed: (
            f"{opening.wires} wires and cores make {made} of about "
            f"{opening.passing_m * 1000:.1f} mm; the {opening.kind} has {given} and needs {needed}."
        ),
        remedy=f"Fit a grommet and write grommet: yes, or open the hole to {needed}."
        if opening.kind == "bare hole"
        else f"Make it {needed}, or lead part of the wires another way (via).",
        unknown=f"The diameter of {listed(found.unknown)} is not published, so whether the bundle "
        "fits is not known.",
        ask="Write the gauge into the cable's type, or measure the bundle.",
        named=(limit(study, ROOM[opening.kind]),),
        working=None if found.unknown else lambda: opening.working,
    )


def _untold(study: Study, found: Passage, bundle: str, needed_m: float | None) -> Finding:
    asks = "" if needed_m is None else f" With a grommet it needs {needed_m * 1000:.1f} mm."
    return compare(
        study,
        f"{found.title}, bundle {bundle}",
        at=("ways", found.way, "holes"),
        value=None,
        limit=None,
        unit="mm",
        says="",
        unknown=f"Where bundle {bundle} passes is not known: another bundle of this way has more "
        "holes of its own.",
        ask=f"Write the hole that it passes with bundle: {bundle}, or leave bundle out where all "
        f"pass one.{asks}",
    )
