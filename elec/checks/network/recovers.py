"""Does the voltage come back after a dip?"""

from collections.abc import Iterator

from elec.analyses.recovery import Stay, recovery
from elec.check import check
from elec.checks.answer import answer, count, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "The voltage comes back after a dip",
    sources=(Cite("textbook", "nodal equations", "computed"),),
)
def network_recovers(study: Study) -> Iterator[Finding]:
    """Boxes that keep their power draw more current at a lower voltage.

    With little left over from the alternator there can be two states: the usual one, and a low one
    in which the alternator gives all it can and the battery drains, although nothing has failed. A
    start, a flap motor or a short that a breaker clears can push the system from one into the
    other. Switch something large off until the voltage is back, and note that in the checklist; a
    larger alternator does away with it.
    """
    found = recovery(study)
    worst: dict[tuple[str, str], Stay] = {}
    for stay in found.stays:
        key = (stay.case.phase, stay.case.scenario.name)
        if key not in worst or stay.after_v < worst[key].after_v:
            worst[key] = stay
    for (phase, scenario), stay in worst.items():
        yield answer(
            study,
            f"{phase}, {scenario}",
            Verdict.ADVISE,
            f"{study.system.title('phases', phase)}, {stay.case.condition}, "
            f"{stay.case.scenario.title}, with everything on at once: {stay.load} has "
            f"{stay.before_v:.2f} V, but after a dip it may stay at {stay.after_v:.2f} V, with the "
            "alternator at its limit and the battery draining.",
            at=("phases", phase),
            remedy="Switch a large load off after a dip until the voltage is back; put it into "
            "the checklist, or fit a larger alternator.",
            value=stay.after_v,
            limit=stay.before_v,
            unit="V",
        )
    if found.unknown:
        titles = dict.fromkeys(case.title for case in found.unknown)
        yield answer(
            study,
            "network",
            Verdict.CANNOT_TELL,
            f"{count(len(found.unknown), 'case')} could not be computed: {listed(titles, 3)}.",
            at=("feeders",),
            remedy="See network-solved.",
        )
    elif not worst:
        yield answer(
            study,
            "network",
            Verdict.PASS,
            f"In all {found.looked} cases with an alternator the voltage comes back after a dip.",
            at=("feeders",),
            value=float(found.looked),
        )
