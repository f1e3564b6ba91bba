"""Does a contactor of its own switch the starter?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import amps, answer
from elec.finding import Finding, Verdict
from elec.sizing.order import cranking
from elec.sizing.starter_cables import STARTER_A, named_starter, starter_of
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.demand import demand

OPENS = ("switch", "changeover")


@check(
    "A contactor of its own switches the starter",
    sources=(Cite("trade", "starter circuits", "memory"),),
    given="a starter on equipment",
)
def switch_starter(study: Study) -> Iterator[Finding]:
    """A starter with nothing to open its cable turns as soon as its bus is live, propeller and all.

    A panel switch does not do, either: it takes some hundred amperes through the panel, in cables
    that no device protects, and welds. Let a button close a contactor near the battery
    (`contactor: starter-contactor` in its circuit). A solenoid built onto the starter is such a
    contactor: write it under `switches:` with `kind: contactor` and the starter's place.
    """
    turning = {starter_of(study, phase) for phase in cranking(study)}
    named = {name for name in demand(study).loads if named_starter(name)}
    for load in sorted(named.union(name for name in turning if name is not None)):
        for circuit in chains(study).feeds.get(load, ()):
            yield _finding(study, load, chains(study).by_name[circuit])


def _finding(study: Study, load: str, chain: Chain) -> Finding:
    title = study.system.title("equipment", load)
    verdict, text = _judged(study, load, title, chain)
    return answer(
        study,
        chain.name,
        verdict,
        text,
        at=chain.path,
        remedy="Let a contactor near the battery switch it, and a button the coil of that: "
        f"circuits: {chain.name}: {{contactor: starter-contactor}}. A solenoid built onto the "
        "starter is such a contactor: switches: {starter-contactor: {kind: contactor}} with the "
        "place of the starter.",
    )


def _judged(study: Study, load: str, title: str, chain: Chain) -> tuple[Verdict, str]:
    parts = [part for row in (chain, *_alone_before(study, chain)) for part in row.parts()]
    closed = next((part for part in parts if part.kind == "contactor"), None)
    if closed is not None:
        return Verdict.PASS, f"{title}: {closed.label or closed.name} switches it."
    hand = next((part for part in parts if part.kind in OPENS), None)
    if hand is None:
        return Verdict.FAIL, (
            f"{title}: nothing opens its circuit, so it turns as soon as "
            f"{study.system.title('buses', chain.source_end)} is live."
        )
    entry = demand(study).loads[load]
    draws = [m.draw for modes in entry.phases.values() for m in modes if m.draw is not None]
    most = max((demand(study).highest_a(draw) for draw in draws), default=None)
    through = f"{title}: no contactor; all of its current runs through {hand.label or hand.name}"
    if most is None:
        return Verdict.CANNOT_TELL, f"{through}, and what it draws is not known."
    if most < STARTER_A:
        return Verdict.PASS, f"{through}, {amps(most)}, less than starters of engines draw."
    return Verdict.ADVISE, f"{through}: {amps(most)} and more in its first turn."


def _alone_before(study: Study, chain: Chain) -> tuple[Chain, ...]:
    """The feeder of a bus that has but one, where nothing but this circuit hangs on that bus."""
    bus = chain.source_end
    into = [c for c in chains(study).of("feeder") if bus in (c.source_end, c.far_end)]
    on_it = [c for c in chains(study).of("circuit") if c.source_end == bus]
    return tuple(into) if len(into) == 1 and on_it == [chain] else ()
