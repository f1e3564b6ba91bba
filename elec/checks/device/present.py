"""Does every circuit and thin wire have its protective device at the source end?

What may go without a device is decided in `answers.short.bare`; no number is judged here.
"""

import math
from collections.abc import Iterator

from elec.answers.heat.heat import heat
from elec.answers.short.bare import bare
from elec.answers.short.damage import every_bears
from elec.answers.short.shorts import shorts
from elec.check import check
from elec.checks.answer import amps, answer, listed
from elec.checks.device._words import named
from elec.checks.feeder._bare import LIMITS, about_bare
from elec.finding import Finding, Verdict
from elec.sizing.sizing import guarding, sizing
from elec.standards import Cite
from elec.study import Study
from elec.units import show
from elec.wiring.chains import Chain, Part, chains, is_live, unfed_lamp


@check(
    "Every circuit has a protective device at its source end, or may go without",
    sources=(Cite("ac4313", "11-47", "seen"), Cite("cfr_23", "23.1357(a)", "quoted")),
    limits=LIMITS,
    heats=True,
)
def device_present(study: Study) -> Iterator[Finding]:
    """Without a breaker or fuse a shorted wire glows until the battery is empty, in the bundle.

    The device belongs at the source end, close to the bus. Only the starter's main circuit goes
    without, and stubs of a few inches, as far as they bear a short until somebody acts. A reason
    under `unprotected:` alone makes nothing safe. The thin wire of a regulator's sense, of a lamp
    or a light has its own small fuse, or the device of what it comes out of.
    """
    for chain in chains(study).by_name.values():
        if chain.kind == "circuit":
            yield _circuit(study, chain)
        elif chain.kind in ("wire", "cable"):
            yield from _signal(study, chain)


def _circuit(study: Study, chain: Chain) -> Finding:
    entry = study.document.circuits[chain.name]
    if chain.device is not None:
        device = sizing(study).devices[chain.name]
        return answer(
            study,
            chain.name,
            Verdict.PASS,
            f"{device.label} at {study.system.end_title(chain.source_end)}.",
            at=chain.path,
        )
    if chain.guards:
        before = [
            f"{sizing(study).devices[name].label} of {name.replace('-', ' ')}"
            for name in chain.guards
        ]
        return answer(
            study,
            chain.name,
            Verdict.PASS,
            f"It hangs alone behind the {listed(before)}, which guard its wire.",
            at=chain.path,
        )
    if entry.unprotected:
        found = bare(study)[chain.name]
        return about_bare(study, chain, found, entry.unprotected, "breaker: auto")
    return answer(
        study,
        chain.name,
        Verdict.FAIL,
        "No breaker or fuse protects its wire.",
        at=chain.path,
        remedy="Write breaker: auto (or fuse: auto) and elec chooses the rating.",
    )


def _signal(study: Study, chain: Chain) -> Iterator[Finding]:
    """A thin wire carries the full short-circuit current of its source."""
    if chain.kind == "wire" and chain.hot:
        yield _thin(study, chain)
    elif chain.kind == "wire" and unfed_lamp(study, chain):
        title = study.system.title("equipment", chain.rows[0].parts[0].name)
        yield answer(
            study,
            chain.name,
            Verdict.CANNOT_TELL,
            f"{chain.title}: nothing is said to feed {title}, so what guards this wire is not "
            "known.",
            at=chain.path,
            remedy=f"Let a circuit feed {title}, or lead a wire with fuse: 1 A to it.",
        )
    for conductor in chain.conductors() if chain.kind == "cable" else ():
        live = next((p for p in (conductor.a, conductor.b) if is_live(p)), None)
        if live is not None:
            yield _bare(study, chain, live)


def _thin(study: Study, chain: Chain) -> Finding:
    if chain.device is not None:
        live = next((p for p in chain.ends() if is_live(p)), None)
        if live is not None:
            return _bare(study, chain, live, "its fuse is at the other end")
        where = f"{sizing(study).devices[chain.name].label} {chain.device.label}"
        return answer(study, chain.name, Verdict.PASS, f"{where}.", at=chain.path)
    device = guarding(study, chain)
    if device is None:
        live = next((p for p in chain.parts() if is_live(p)), None)
        return _bare(study, chain, live or chain.rows[0].parts[0])
    text = f"Behind the {named(study, chain, device)}"
    if chain.output:
        title = study.system.title("equipment", chain.output)
        text += f": it comes out of {title}, and is taken as if that held no current back"
    return answer(study, chain.name, Verdict.PASS, f"{text}.", at=chain.path)


def _bare(
    study: Study, chain: Chain, live: Part, why: str = "no breaker or fuse protects it"
) -> Finding:
    return answer(
        study,
        chain.name if chain.kind == "wire" else chain.title,
        Verdict.FAIL,
        f"{chain.title}: it hangs on {live.label} itself, and {why}.{_burns(study, chain)}",
        at=chain.path,
        remedy="Give it a fuse at that end (fuse: 1 A), or make it a circuit (circuits:) with its "
        "breaker.",
    )


def _burns(study: Study, chain: Chain) -> str:
    """What a short at its far end drives, and how soon it damages the wire."""
    wires = [c for c in chain.conductors() if c.id in heat(study)]
    found = shorts(study).by_name.get(chain.name)
    drives = [s.normal.drives_a for s in found.shorts if s.normal.live] if found else []
    if not wires or not drives:
        return ""
    least = min(drives)
    bears = min((every_bears(study)[c.id] for c in wires), key=lambda one: one.time_s(least))
    lasts = bears.time_s(least)
    if not math.isfinite(lasts):
        return f" A short at its far end drives {amps(least)}."
    return (
        f" A short at its far end drives {amps(least)}: AWG {bears.wire.awg} is at "
        f"{bears.wire.kind.damaged_degc:.0f} °C in {show(lasts, 's')}."
    )
