"""Does the device open when a motor is held fast?"""

import math
import re
from collections.abc import Iterator

from elec.answers.short.ratings import smaller
from elec.check import check
from elec.checks.answer import amps, answer, listed
from elec.checks.compare import compare
from elec.checks.device._words import class_words, curve_sources
from elec.finding import Finding, Verdict
from elec.model.load import Equipment
from elec.sizing.devices import Device, longest_s
from elec.sizing.picking import least_for_stall
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.units import show
from elec.wiring.chains import Chain, chains
from elec.wiring.limits import limit

MOTORS = frozenset({"actuator", "blower", "compressor", "fan", "motor", "pump", "servo", "winch"})
"""Words by which a load is a motor where its `character:` is not said (our judgement)."""


@check(
    "The breaker or fuse of a motor opens when it is held fast",
    sources=(Cite("elec", "motors held fast", "judgement"),),
    limits=("stall-opens",),
    given="character motor or stall on equipment that a device feeds",
)
def device_opens_stall(study: Study) -> Iterator[Finding]:
    """A jammed pump or flap takes several times its current until something opens, or burns.

    Give what it takes then: `stall: 14 A`, from its sheet or measured for a second. The device has
    to open within a minute, in its longest time. Where it does not, take a smaller rating that
    still starts the motor (`auto` does, from 2 A on, but for what keeps the engine running),
    or a motor that bears it (`bears-stall: yes`, by its maker's word). A
    pump, fan or servo is asked by its name, too, where its character is not said. The wire is
    judged by device-in-time, the start by device-holds-inrush.
    """
    silent = []
    for chain in chains(study).of("circuit"):
        device = sizing(study).devices.get(chain.name)
        for load in chain.loads:
            entry = study.document.equipment[load]
            if device is None or not _turns(load, entry):
                pass
            elif entry.bears_stall:
                title = study.system.title("equipment", load)
                text = f"{title[:1].upper()}{title[1:]} bears to be held fast, its maker says."
                at = ("equipment", load, "bears-stall")
                yield answer(study, load, Verdict.PASS, text, at=at)
            elif entry.stall_a is None:
                silent.append(load)
            elif device.rating_a is not None:
                yield _finding(study, chain, device, load, entry.stall_a)
    if silent:
        yield _unsaid(study, silent)


def _turns(load: str, entry: Equipment) -> bool:
    """Whether it is a motor: by its character, by what is said of it held fast, or by its name."""
    said = entry.character == "motor" or entry.stall_a is not None or entry.bears_stall
    return said or _named(load, entry)


def _named(load: str, entry: Equipment) -> bool:
    """Whether its name says that it is a motor, and nothing about it says otherwise."""
    words = re.split(r"[\s-]+", f"{load} {entry.name or ''}".casefold())
    return entry.character == "electronic" and bool(MOTORS & set(words))


def _unsaid(study: Study, silent: list[str]) -> Finding:
    """One line for all motors of which nobody says it."""
    titles = listed(study.system.title("equipment", load) for load in silent)
    return answer(
        study,
        "motors",
        Verdict.CANNOT_TELL,
        f"What {titles} {'takes' if len(silent) == 1 else 'take'} when held fast is not given: "
        "whether the device opens before the motor burns cannot be told.",
        at=("equipment", silent[0]),
        remedy="Give stall: 14 A on each (and character: motor), from its sheet or measured for a "
        "second; bears-stall: yes where its maker lets it be held fast.",
    )


def _finding(study: Study, chain: Chain, device: Device, load: str, stall_a: float) -> Finding:
    at, title = ("equipment", load, "stall"), study.system.title("equipment", load)
    longest = None if device.rating_a is None else longest_s(device, device.rating_a, stall_a)
    head = f"Held fast, {title} takes {amps(stall_a)}; its {device.label} ({class_words(device)}) "
    if longest is not None and math.isinf(longest):
        return answer(
            study, load, Verdict.ADVISE, f"{head}need never open at that current.", at=at,
            remedy=_remedy(study, chain, device), sources=curve_sources(device),
        )  # fmt: skip
    opens = "" if longest is None else show(float(f"{longest:.2g}"), "s")
    return compare(
        study,
        load,
        at=at,
        value=longest,
        limit=limit(study, "stall-opens"),
        unit="s",
        otherwise=Verdict.ADVISE,
        says=f"{head}opens within {opens}.",
        remedy=lambda: _remedy(study, chain, device),
        unknown=""
        if longest is not None
        else f"No time-current curve of class {device.family} is known, so whether the "
        f"{device.label} of {chain.title} opens when {title} is held fast is not known.",
        ask="Compare with the curve of the device you bought.",
        sources=curve_sources(device) if longest is not None else (),
    )


def _remedy(study: Study, chain: Chain, device: Device) -> str:
    """A smaller rating where one passes all that is asked of a device; else the motor alone."""
    bears = "a motor that bears it: bears-stall: yes, by its maker's word."
    fit = smaller(study, chain, device, least_for_stall(study, chain))
    if fit is not None:
        return f"Take {fit.words}, which holds and starts it, or {bears}"
    return f"Take {bears} No smaller rating of its class passes all that is asked of a device."
