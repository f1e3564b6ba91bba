"""Do a load and its backup hang on one ground point?"""

from collections.abc import Iterator

from elec.answers.failures.failure_pairs import common
from elec.check import check
from elec.checks.failure._pair import about_pair
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study


@check(
    "A load and its backup do not hang on one ground point",
    sources=(Cite("ac4313", "11-186e", "seen"), Cite("casa_21_99", "section 2 chapter 13", "seen")),
    given="backup on equipment",
)
def failure_pair_ground(study: Study) -> Iterator[Finding]:
    """One loose nut must not take both.

    Compared are the points that both return to, and points further on that both need, but for the
    main ground. Give one of them another (`ground:`). Fails where both are essential.
    """
    for found in common(study).values():
        beyond = [failure.path[1] for failure in found.failures if failure.kind == "ground"]
        names = dict.fromkeys((*found.grounds, *map(str, beyond)))
        yield about_pair(
            study,
            found,
            [study.system.title("grounds", name) for name in names],
            "ground point but the main one",
            "Give one of them another ground point (ground:) with its own wire to the main ground.",
        )
