"""What is lost between a source and its bus?"""

from collections.abc import Iterator

from elec.answers.drop.drops import FeederDrop, feeder_drops
from elec.check import check
from elec.checks.answer import amps, percent
from elec.checks.compare import compare
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.limits import limit


@check(
    "Feeders and grounds lose little of the voltage",
    sources=(Cite("faa_h_8083", "voltage drop", "seen"),),
    limits=("feeder-drop",),
)
def feeder_drop(study: Study) -> Iterator[Finding]:
    """What the main wires lose is missing at every load, and the regulator does not see it.

    Of the nominal voltage 2 % may go between a source and its bus, and on the ground wires back: at
    the rated current of the generator or the five-minute rate of the battery (less where the
    feeder's device opens before; behind a fusible link, which melts far below it, what it
    carries), and never at less than the greatest lasting current. Take a
    thicker gauge, or bring source and bus together.
    """
    for found in feeder_drops(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: FeederDrop) -> Finding:
    chain = chains(study).by_name[found.chain]
    rule = limit(study, "feeder-drop")
    what = f", {found.rated}" if found.rated else ""
    untold = found.lost_v is None
    return compare(
        study,
        found.chain,
        at=chain.path,
        value=found.lost_v,
        limit=found.limit_v,
        unit="V",
        says=lambda lost, allowed: (
            f"{chain.title}: {lost} lost at {amps(found.current_a)}{what}; {allowed} is allowed, "
            f"{percent(rule.value)} of the nominal voltage."
        ),
        remedy="Take the next thicker gauge, or shorten it.",
        unknown=f"{chain.title}: what it loses cannot be told: {found.why}.",
        ask="Give the missing length.",
        named=(rule,),
        working=None if untold else lambda: found.working,
    )
