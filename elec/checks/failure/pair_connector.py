"""Do a load and its backup pass one connector?"""

from collections.abc import Iterator

from elec.answers.failures.failure_pairs import common
from elec.check import check
from elec.checks.failure._pair import about_pair
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study


@check(
    "A load and its backup do not pass one connector",
    sources=(Cite("ac4313", "11-235a", "seen"),),
    given="backup on equipment",
)
def failure_pair_connector(study: Study) -> Iterator[Finding]:
    """One plug that works loose must not take both.

    Lead one of them through another plug, or without one. Fails where both are essential.
    """
    for found in common(study).values():
        yield about_pair(
            study,
            found,
            [failure.about for failure in found.failures if failure.kind == "connector"],
            "one connector",
            "Lead one of them through another connector, or past it (through: on its circuit).",
        )
