"""What do the heavy cables lose while the starter turns?"""

from collections.abc import Iterator

from elec.answers.drop.drops import FeederDrop, feeder_drops
from elec.check import check
from elec.checks.answer import amps
from elec.checks.compare import compare
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.limits import limit


@check(
    "The starter gets its voltage through the battery cables",
    sources=(Cite("ac4313", "table 11-6", "memory"),),
    limits=("drop-intermittent",),
)
def feeder_cranking(study: Study) -> Iterator[Finding]:
    """Each volt lost in the battery, starter and ground cables is a volt less at the starter.

    Cranking lasts seconds, so each cable may lose what an intermittent load may. The engine's own
    ground strap counts like the rest. Take a thicker cable, or bring the battery nearer.
    """
    for found in feeder_drops(study).values():
        if found.cranks:
            yield _finding(study, found)


def _finding(study: Study, found: FeederDrop) -> Finding:
    chain = chains(study).by_name[found.chain]
    untold, carries = found.cranking_v is None, amps(found.cranking_a)
    return compare(
        study,
        found.chain,
        at=chain.path,
        value=found.cranking_v,
        limit=None if untold else found.cranking_limit_v,
        unit="V",
        says=lambda lost, allowed: (
            f"{chain.title}: {lost} lost at {carries} while cranking; {allowed} is allowed for so "
            "short a time."
        ),
        remedy="Take a thicker cable, or bring battery and starter together.",
        unknown=f"{chain.title} carries {carries} while cranking; what it loses cannot be told: "
        f"{found.why}.",
        ask="Give the missing length.",
        named=(limit(study, "drop-intermittent"),),
    )
