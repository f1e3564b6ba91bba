"""Wires without a device of their own: which may go without, and what a short does to them.

In: chains, lengths, shorts. Out: `Bare` by chain. Allowed are a starter's main circuit used for
starting only (14 CFR 23.1357(a)), the cable of the battery that feeds it, and stubs of a few
inches; each only as far as it bears a short until somebody acts. A jumper from a contactor's post
to its own coil is thin on purpose: shorted, it burns through at once like a fusible link.
"""

import math
from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from elec.answers.heat.heat import heat
from elec.answers.heat.hot import until_open
from elec.answers.short.damage import Bears
from elec.answers.short.shorts import Shorted, shorts
from elec.sizing.order import cranking
from elec.sizing.sizing import sizing
from elec.sizing.starter_cables import feeds_starter, starts_only
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.limits import limit
from elec.wiring.runs import runs

Why = Literal["starter", "battery", "stub", "jumper", "none", ""]


class Bare(Struct, frozen=True, kw_only=True):
    """One circuit or feeder without a device."""

    chain: str
    kind: Why
    """What allows it: `none` where there is no wire, empty where nothing does."""
    length_m: float | None
    """Its whole length; None where not known."""
    closed_m: float | None
    """What lies before its first switch or contactor, which nobody can take off."""
    awg: str
    drives_a: float | None
    """What a short drives through it; None where not known."""
    bears_s: float
    """How long its tightest wire bears that."""
    over: str
    """Which limit it breaks: `length`, `closed`, `bears`; empty where none."""
    unknown: str = ""


@analysis
def bare(study: Study) -> Mapping[str, Bare]:
    """Every circuit and feeder without a device."""
    return {
        chain.name: _bare(study, chain)
        for chain in chains(study).by_name.values()
        if chain.kind in ("circuit", "feeder") and chain.device is None
    }


def without(study: Study, shorted: Shorted) -> bool:
    """Whether a wire has no device, and what a short of it does is told elsewhere.

    The checks of missing devices say so: of one that may not go without, and of a jumper, which
    burns through at once and opens its own contactor, as its coil does alone.
    """
    found = bare(study).get(shorted.name)
    if found is None:
        return False
    return bool(found.kind in ("", "jumper") or found.over or found.unknown)


def _bare(study: Study, chain: Chain) -> Bare:
    wires = [c for c in chain.conductors() if c.role == "feed"]
    if not wires:
        return Bare(chain=chain.name, kind="none", length_m=0.0, closed_m=0.0, awg="",
                    drives_a=None, bears_s=math.inf, over="")  # fmt: skip
    length = _sum(study, wires)
    stub = limit(study, "unprotected-stub")
    kind: Why = ""
    if length is not None and stub.allows(length):
        kind = "jumper" if chain.rows[0].parts[0].kind == "post" else "stub"
    elif starts_only(study, chain, cranking(study)):
        kind = "starter"
    elif feeds_starter(study, chain, cranking(study)):
        kind = "battery"
    closed = _sum(study, list(until_open(chain)))
    amps, bears_s, awg = _burden(study, wires)
    over = ""
    if kind in ("starter", "battery"):
        if closed is not None and not limit(study, "unprotected-length").allows(closed):
            over = "closed"
        elif not limit(study, "unprotected-bears").allows(bears_s):
            over = "bears"
    elif kind == "stub" and not _outlasts(study, wires, bears_s):
        over = "bears"
    unknown = "" if length is not None else "the length of a wire is not known"
    if not unknown and amps is None and kind:
        unknown = "no battery is given, so the current of a short is not known"
    return Bare(
        chain=chain.name, kind=kind, length_m=length, closed_m=closed, awg=awg, drives_a=amps,
        bears_s=bears_s, over=over, unknown=unknown,
    )  # fmt: skip


def _sum(study: Study, wires: list[Conductor]) -> float | None:
    lengths = [runs(study)[wire.id].length_m for wire in wires]
    known = [length for length in lengths if length is not None]
    return sum(known) if len(known) == len(lengths) else None


def _burden(study: Study, wires: list[Conductor]) -> tuple[float | None, float, str]:
    """The current of the wire that is damaged first, how long it bears it, and its gauge."""
    through = shorts(study).through_a
    found = [
        (Bears.of(heat(study)[w.id]).time_s(through[w.id]), through[w.id], w.id)
        for w in wires
        if w.id in through and w.id in heat(study)
    ]
    if not found:
        return None, math.inf, sizing(study).gauges[wires[0].id].awg
    seconds, amps, name = min(found)
    return amps, seconds, sizing(study).gauges[name].awg


def _outlasts(study: Study, wires: list[Conductor], bears_s: float) -> bool:
    """Whether a stub bears a short until the device before it opens, or until somebody acts."""
    names = {wire.id for wire in wires}
    courses = [
        course
        for shorted in shorts(study).by_name.values()
        for short in shorted.shorts
        for course in short.courses
        if names & course.through_a.keys()
    ]
    if any(math.isinf(course.cleared_s) for course in courses):
        return limit(study, "unprotected-bears").allows(bears_s)
    return all(course.heated.get(name, (0.0, 0.0))[1] < 1 for course in courses for name in names)
