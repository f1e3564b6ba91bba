"""What the checks of wires without a device have in common: the answer about one of them."""

import math

from elec.answers.short.bare import Bare
from elec.answers.short.short_clearing import NOTHING_A
from elec.checks.answer import amps, answer, length, run_length
from elec.finding import Finding, Verdict
from elec.study import Study
from elec.units import show
from elec.wiring.chains import Chain
from elec.wiring.limits import limit

WHAT = {
    "starter": "A starter's main circuit, used for starting only",
    "battery": "The cable of the battery that feeds the starter",
    "stub": "A stub",
    "jumper": "A jumper from the contactor's line post to its own coil",
}
LIMITS = ("unprotected-stub", "unprotected-length", "unprotected-bears")


def about_bare(study: Study, chain: Chain, found: Bare, said: str, key: str) -> Finding:
    """The answer about a circuit or feeder without a device.

    Args:
        study: the run.
        chain: the chain.
        found: what is known of it.
        said: the builder's reason.
        key: what to write, such as `breaker: auto`.
    """
    verdict, text = _judged(study, found, said)
    shorted = found.kind in ("starter", "battery")
    acts = limit(study, "unprotected-bears").value
    return answer(
        study,
        chain.name,
        verdict,
        f"{chain.title}: {text}" if chain.kind == "feeder" else text[:1].upper() + text[1:],
        at=(*chain.path, "unprotected"),
        remedy=_remedy(found, key),
        value=found.bears_s if shorted else found.length_m,
        limit=min(found.opens_s, acts) if shorted else limit(study, "unprotected-stub").value,
        unit="s" if shorted else "m",
    )


def _judged(study: Study, found: Bare, said: str) -> tuple[Verdict, str]:
    stub = length(study, limit(study, "unprotected-stub").value)
    reason = f' You say: "{said}".'
    if not found.kind:
        if found.length_m is None:
            return Verdict.CANNOT_TELL, f"no device protects it, and {found.unknown}.{reason}"
        text = (
            f"no device protects its {run_length(study, found.length_m)} of wire. Only a starter's "
            f"main circuit, the cable of its battery, and stubs up to {stub} go without.{reason}"
        )
        return Verdict.FAIL, text
    what = WHAT[found.kind].lower()
    if found.unknown or found.drives_a is None:
        return Verdict.CANNOT_TELL, f"{what} without a device; {found.unknown}.{reason}"
    if found.over == "closed":
        most = length(study, limit(study, "unprotected-length").value)
        text = (
            f"{what} without a device: {length(study, found.closed_m)} of it lie before "
            f"its contactor, where nobody can take them off; {most} at most."
        )
        return Verdict.FAIL, text
    if found.kind == "jumper":
        text = (
            f"{what}, {run_length(study, found.length_m)} long, without a device: shorted, it "
            f"burns through like a fusible link (AWG {found.awg}, {amps(found.drives_a)}), and the "
            "contactor drops out. Sleeve it, and lay nothing beside it."
        )
        return Verdict.PASS, text
    bears = show(found.bears_s, "s") if math.isfinite(found.bears_s) else "any time"
    least = show(limit(study, "unprotected-bears").value, "s")
    text = f"{what} without a device. A short drives {amps(found.drives_a)}; AWG {found.awg} bears "
    if math.isfinite(found.opens_s):
        opens = show(found.opens_s, "s")
        on = f", and {amps(found.left_a)} flow on" if found.left_a > NOTHING_A else ""
        text += f"that for {bears}; the device before it opens within {opens}{on}"
        return (Verdict.FAIL, f"{text}: too late.") if found.over else (Verdict.PASS, f"{text}.")
    if found.over:
        return Verdict.FAIL, f"{text}that for {bears}, too short to switch it off ({least})."
    return Verdict.PASS, f"{text}it for {bears}."


def _remedy(found: Bare, key: str) -> str:
    if found.over == "closed":
        return "Put its contactor nearer to the battery or stud, or shorten that piece."
    if found.over == "bears":
        return f"Take a thicker wire, or write {key}."
    if found.unknown and found.kind:
        return "Give the missing length, or the battery."
    return f"Write {key} and elec chooses the rating; or shorten it to a stub and give its length."
