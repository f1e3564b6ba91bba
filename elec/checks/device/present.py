"""Does every circuit have its protective device at the source end?

What may go without a device is decided in `answers.short.bare`; no number is judged here.
"""

from collections.abc import Iterator

from elec.answers.short.bare import bare
from elec.check import check
from elec.checks.answer import answer
from elec.checks.feeder._bare import LIMITS, about_bare
from elec.finding import Finding, Verdict
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, Part, chains


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
    under `unprotected:` alone makes nothing safe.
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
        where = study.system.end_title(chain.source_end) if chain.source_end else ""
        return answer(
            study,
            chain.name,
            Verdict.PASS,
            f"{device.label} at {where or chain.source_end}.",
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
    """A signal wire that ends on a bus or a source carries its full short-circuit current."""
    for conductor in chain.conductors():
        live = next((p for p in (conductor.a, conductor.b) if _live(p)), None)
        if live is not None:
            yield answer(
                study,
                chain.title,
                Verdict.FAIL,
                f"This wire hangs on {live.label} itself, and no breaker or fuse protects it.",
                at=chain.path,
                remedy="Make it a circuit (circuits:) with a fuse or breaker at that end; 1 A does "
                "for a sense wire.",
            )


def _live(part: Part) -> bool:
    return part.kind == "bus" or (part.kind == "source" and part.contact == "+")
