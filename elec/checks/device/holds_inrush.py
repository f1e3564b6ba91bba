"""Does the device stay closed while its loads are switched on?"""

import math
from collections.abc import Iterator

from elec.answers.short.ratings import greater
from elec.check import check
from elec.checks.answer import amps, answer, listed
from elec.checks.compare import compare
from elec.checks.device._words import class_words, curve_sources
from elec.finding import Finding, Verdict
from elec.sizing.devices import Device
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.units import show
from elec.wiring.chains import Chain, chains

SURGING = ("lamp", "motor")
"""Loads that surely draw more at switch-on than in use."""


@check(
    "Every breaker and fuse stays closed while its loads are switched on",
    sources=(Cite("elec", "switch-on against opening time", "computed"),),
    given="inrush on equipment that a device feeds",
)
def device_holds_inrush(study: Study) -> Iterator[Finding]:
    """A cold lamp draws some ten times its current for a moment, a motor five times for longer.

    The device must take longer to open than that lasts. Take the next rating if the wire allows
    it, or a slower class. Without the figures nobody can tell: give `inrush:` on the equipment.
    """
    for chain in chains(study).of("circuit"):
        device = sizing(study).devices.get(chain.name)
        if device is None or device.rating_a is None:
            continue
        silent = _silent(study, chain)
        if silent:
            yield _unsaid(study, chain, device, silent)
        elif device.inrush_a is not None and device.inrush_s is not None:
            yield _finding(
                study,
                chain,
                device,
                rating_a=device.rating_a,
                inrush_a=device.inrush_a,
                inrush_s=device.inrush_s,
            )


def _silent(study: Study, chain: Chain) -> list[str]:
    equipment = study.document.equipment
    return [
        load
        for load in chain.loads
        if equipment[load].character in SURGING and equipment[load].inrush is None
    ]


def _unsaid(study: Study, chain: Chain, device: Device, silent: list[str]) -> Finding:
    kind = study.document.equipment[silent[0]].character
    usual = "{factor: 8, lasts: 50 ms}" if kind == "lamp" else "{factor: 5, lasts: 200 ms}"
    titles = listed(study.system.title("equipment", load) for load in silent)
    return answer(
        study,
        chain.name,
        Verdict.CANNOT_TELL,
        f"{titles}: a {kind} draws more at switch-on than in use, and how much is not given; "
        f"whether the {device.label} holds cannot be told.",
        at=("equipment", silent[0]),
        remedy=f"Ask the maker or measure; usual is inrush: {usual} (from memory).",
    )


def _finding(
    study: Study, chain: Chain, device: Device, *, rating_a: float, inrush_a: float, inrush_s: float
) -> Finding:
    held = device.holds_inrush(rating_a)
    surge = f"{amps(inrush_a)} for {show(inrush_s, 's')}"
    least = held[1] if held is not None else math.inf
    slow = f"opens after {show(least, 's')} at the earliest" if least < 1e9 else "need never open"
    return compare(
        study,
        chain.name,
        at=(*chain.path, device.kind),
        value=inrush_s if held else None,
        limit=least if held else None,
        unit="s",
        says=f"{device.label} ({class_words(device)}): at switch-on the loads take {surge}; it "
        f"{slow} at that current, the warmth at the device counted.",
        remedy=lambda: _remedy(study, chain, device),
        unknown=f"No time-current curve of class {device.family} covers {inrush_a / rating_a:.1f} "
        f"times its rating, so whether the {device.label} holds {surge} is not known.",
        ask="Compare with the curve of the device you bought.",
        sources=curve_sources(device) if held else (),
    )


def _remedy(study: Study, chain: Chain, device: Device) -> str:
    fit = greater(study, chain, device)
    if fit is not None:
        return f"Take {fit.words}, or a slower class."
    return "Take a slower class, or switch the loads on one after the other."
