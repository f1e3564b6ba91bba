"""What stays live with everything switched off?"""

from collections.abc import Iterator

from elec.answers.heat.hot import Hot, hot_wires
from elec.check import check
from elec.checks.answer import answer, run_length, tightened
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.limits import limit
from elec.working import within


@check(
    "What stays live with everything off is protected small and beside the battery",
    sources=(Cite("cfr_23", "23.1361", "memory"),),
    limits=("always-hot-rating",),
)
def feeder_hot(study: Study) -> Iterator[Finding]:
    """After a crash every wire that is still live can light the fuel, so these have to be few.

    A clock or a light may stay live behind 5 A or less, fused right at the battery. Everything
    else gets its switch or relay beside the battery.
    """
    for found in hot_wires(study):
        if found.length_m > 0:
            yield _finding(study, found)


def _finding(study: Study, found: Hot) -> Finding:
    most = limit(study, "always-hot-rating")
    verdict, text = _judged(study, found, most.value)
    return answer(
        study,
        found.chain,
        verdict,
        text + tightened(most),
        at=chains(study).by_name[found.chain].path,
        remedy=(
            "Write the rating."
            if verdict is Verdict.CANNOT_TELL
            else f"Protect it with {most.value:g} A or less beside the battery, or put a switch or "
            "relay there."
        ),
        value=found.rating_a,
        limit=most.value,
        unit="A",
    )


def _judged(study: Study, found: Hot, most_a: float) -> tuple[Verdict, str]:
    place = found.place.replace("-", " ")
    span = f"{run_length(study, found.length_m)} of wire stay live with everything off"
    if not found.beyond:
        return Verdict.PASS, f"{span}, all of it at {place} beside {found.battery}."
    if not found.device:
        return (
            Verdict.FAIL,
            f"{span}, leave {place}, and no device beside {found.battery} protects them.",
        )
    if found.rating_a is None:
        return Verdict.CANNOT_TELL, f"{span}, and the rating of its device is not known."
    if not found.beside:
        return Verdict.FAIL, f"{span}; the {found.device} is not beside {found.battery}."
    if within(found.rating_a, most_a):
        return Verdict.PASS, f"{span}, behind a {found.device} beside {found.battery}."
    return (
        Verdict.FAIL if found.load else Verdict.ADVISE,
        f"{span}, behind a {found.device}; {most_a:g} A is the most for what stays live.",
    )
