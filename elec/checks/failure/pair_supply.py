"""Are a load and its backup fed on their own?"""

from collections.abc import Iterator

from elec.answers.failures.failure_pairs import common
from elec.check import check
from elec.checks.failure._pair import about_pair
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study

SUPPLY = ("source", "device", "switch", "feeder", "bus")


@check(
    "A load and its backup do not hang on one bus, feeder, device, switch or source",
    sources=(Cite("cfr_23_64", "23.2525(b)", "seen"),),
    given="backup on equipment",
)
def failure_pair_supply(study: Study) -> Iterator[Finding]:
    """A backup that dies with what it backs up is none.

    Asked is what one failure of the supply leaves, at once or after changing over. Feed them from
    two buses that are fed on their own. Fails where both are essential.
    """
    for found in common(study).values():
        yield about_pair(
            study,
            found,
            [failure.about for failure in found.failures if failure.kind in SUPPLY],
            "one bus, feeder, device, switch or source",
            "Feed one of them from another bus, behind its own device and switch.",
        )
