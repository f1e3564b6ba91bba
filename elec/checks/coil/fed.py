"""Does a circuit feed the coil of every contactor and relay, and does it turn it on and off?"""

from collections.abc import Iterator

from elec.answers.connect.coils import CoilPath, coil_paths, never_open
from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "The coil of every contactor and relay is fed, and can be turned on and off",
    sources=(
        Cite("elec", "completeness of the input", "judgement"),
        Cite("trade", "coils of contactors and relays", "memory"),
    ),
)
def coil_fed(study: Study) -> Iterator[Finding]:
    """A contactor without a control wire is in no wire list, and nobody can close it.

    Say how its coil is fed: `coil: {draw: 0.8 A, switch: master-switch}`. Where you say no more,
    its feed is a jumper from its own line post, and the switch takes the other end to ground, as
    master contactors are commonly wired: the wire to the panel then carries no more than the coil
    lets through, even where it is chafed to ground. Chafed so it closes the contactor, and the
    switch no longer opens it. A coil that only its own contact feeds never pulls in.
    """
    for found in coil_paths(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: CoilPath) -> Finding:
    verdict, text, remedy = _judged(study, found)
    where: tuple[str | int, ...] = ("switches", found.switch, "coil")
    if found.switch not in study.document.switches:
        where = found.contacts[0][0].path
    return answer(study, found.switch, verdict, text, at=where, remedy=remedy)


def _judged(study: Study, found: CoilPath) -> tuple[Verdict, str, str]:
    say = (
        f"Say at {found.switch} how: coil: {{draw: 0.8 A, switch: {found.switch}-switch}}, with "
        "what yours draws; bus: where it is not fed from its own post; or coil: {load: NAME} where "
        "a load of your own is this coil."
    )
    if found.coil is None or found.coil.load is None:
        text = (
            f"{found.title}: how its coil is fed is not said; its wires and its switch are in no "
            "list, and what their failure takes is not known."
        )
        return Verdict.CANNOT_TELL, text, say
    if found.circuit is None:
        return Verdict.FAIL, f"{found.title}: no circuit feeds its coil, {found.coil.load}.", say
    if not found.starts:
        text = (
            f"{found.title}: its coil is fed from {found.begins}, which no battery reaches while "
            f"its own contact is open ({found.stuck_in}): it cannot be turned on."
        )
        live = "Feed it from the side that is live before: leave bus: out for its own line post."
        return Verdict.FAIL, text, live
    if never_open(study, found):
        text = f"{found.title}: no switch stands in the circuit of its coil, so nobody can open it."
        return Verdict.FAIL, text, f"Name the switch: coil: {{switch: {found.switch}-switch}}."
    return Verdict.PASS, _described(found), ""


def _described(found: CoilPath) -> str:
    names = listed(part.label for part in found.openers)
    how = f"through {names}" if found.openers else "for as long as that is live"
    if found.ground_side and found.openers:
        how = f"and {found.openers[-1].label} takes it to ground"
        if len(found.openers) > 1:
            how += f", through {listed(part.label for part in found.openers[:-1])}"
    chosen = f" Chosen: {listed(found.chosen)}." if found.chosen else ""
    return f"{found.title}: its coil is fed from {found.begins}, {how}.{chosen}"
