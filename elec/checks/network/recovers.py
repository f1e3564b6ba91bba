"""Does the voltage come back after a dip?"""

from collections.abc import Iterator

from elec.answers.time.recovery import Stay, recovery
from elec.check import check
from elec.checks.answer import amps, answer, count, listed
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
        yield _stays(study, phase, scenario, stay)
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
    elif not worst and found.looked:
        yield answer(
            study,
            "network",
            Verdict.PASS,
            f"In all {found.looked} cases with an alternator the voltage comes back after a dip.",
            at=("feeders",),
            value=float(found.looked),
        )


def _stays(study: Study, phase: str, scenario: str, stay: Stay) -> Finding:
    """The low state: what the pilot sees in it and what brings the voltage back."""
    title = study.system.title("equipment", stay.equipment)
    lower = stay.before_v - stay.after_v
    heavy = [
        f"{study.system.title('equipment', name)} ({amps(current)})" for name, current in stay.spare
    ]
    off = f"Switch off {' or '.join(heavy)}" if heavy else "Switch a large load off"
    return answer(
        study,
        f"{phase}, {scenario}",
        Verdict.ADVISE,
        f"{study.system.title('phases', phase)} by {stay.case.condition}, "
        f"{stay.case.scenario.title}, everything on: two steady states. {title} has "
        f"{stay.before_v:.1f} V; after a dip (a motor, a short that a breaker clears) it may stay "
        f"at {stay.after_v:.1f} V. You would see the voltage stay {lower:.1f} V low and the "
        "battery discharge, with the alternator at its limit and nothing broken.",
        at=("phases", phase),
        remedy=f"{off} until the voltage is back, then on again: put that on the checklist. A "
        "larger alternator does away with it.",
        value=stay.after_v,
        limit=stay.before_v,
        unit="V",
    )
