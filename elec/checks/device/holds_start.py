"""Does every device that the starter's current passes stay closed until the engine runs?"""

import math
from collections.abc import Iterator

from elec.answers.time.cranking import Crank, cranks, start_current
from elec.check import check
from elec.checks.answer import amps, answer
from elec.checks.compare import compare
from elec.checks.device._words import class_words, curve_sources
from elec.finding import Finding, Verdict
from elec.sizing.devices import Device, StartCurrent
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.units import show
from elec.wiring.chains import Chain, chains
from elec.working import within


@check(
    "Every device that the starter's current passes stays closed until the engine runs",
    sources=(Cite("elec", "switch-on against opening time", "computed"),),
    given="a starter on equipment",
)
def device_holds_start(study: Study) -> Iterator[Finding]:
    """A limiter in the battery's cable carries the start, though the starter is not its own load.

    Put to the network are the first turn, as long as it lasts, and the turning after it, as long as
    the starter is on (`on: {start: 4 s}`). What the first turn uses up of the time in which the
    device may open is taken off. Take a larger or a slower one that the wire still bears, or lead
    the starter's cable off before it.
    """
    found: dict[str, list[tuple[float, Finding]]] = {}
    for one in cranks(study):
        for chain in chains(study).by_name.values():
            carried = start_current(one, chain)
            for device in _devices(study, chain):
                most, rating_a = max(carried.first_a, carried.turning_a), device.rating_a
                if rating_a is not None and not within(most, rating_a * device.warmth):
                    opens_s = carried.opens_s(device, rating_a) if _solved(one) else None
                    left_s = -math.inf if opens_s is None else opens_s - carried.turns_s
                    pair = left_s, _finding(study, chain, device, carried, opens_s)
                    found.setdefault(f"{device.chain} {device.at_far_end}", []).append(pair)
    for every in found.values():
        yield min(every, key=lambda pair: pair[0])[1]
    if cranks(study) and not found:
        starter = cranks(study)[0].starter
        yield answer(
            study,
            starter,
            Verdict.PASS,
            "While it turns no device carries more than it holds lastingly.",
            at=("equipment", starter),
        )


def _solved(one: Crank) -> bool:
    return one.first.computed and one.turning.computed


def _devices(study: Study, chain: Chain) -> Iterator[Device]:
    for name in (chain.name, *([chain.far.name] if chain.far is not None else [])):
        if name in sizing(study).devices:
            yield sizing(study).devices[name]


def _finding(
    study: Study, chain: Chain, device: Device, carried: StartCurrent, opens_s: float | None
) -> Finding:
    title = "" if chain.kind == "circuit" else f"{chain.title}: "
    first = f"{amps(carried.first_a)} for {show(carried.first_s, 's')} in the first turn"
    turns = show(carried.turns_s, "s")
    what = f"{first}, {amps(carried.turning_a)} after it, {turns} in all"
    slow = "need never open"
    if opens_s is not None and opens_s < 1e9:
        slow = f"opens after {show(opens_s, 's')} at the earliest"
    return compare(
        study,
        device.chain,
        at=chain.path,
        value=carried.turns_s if opens_s is not None else None,
        limit=opens_s,
        unit="s",
        says=f"{title}{device.label} ({class_words(device)}): while the starter turns it carries "
        f"{what}; it {slow}, the warmth at the device counted.",
        remedy="Take a larger or slower one that the wire still bears, or lead the starter's cable "
        "off before it.",
        unknown=f"{title}while the starter turns it carries {what}; whether the {device.label} "
        f"({class_words(device)}) holds that is not known.",
        ask="Compare with the curve of the device you bought.",
        sources=curve_sources(device) if opens_s is not None else (),
    )
