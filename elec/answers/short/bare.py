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
from elec.answers.short.damage import every_bears
from elec.answers.short.short_clearing import ShortCourse
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
    """What the worst short drives through its tightest wire; None where not known."""
    bears_s: float
    """How long that wire bears it."""
    opens_s: float
    """When the device before it has opened then, at the latest; infinite where none does."""
    left_a: float
    """What flows on after that, until somebody acts."""
    spent: float
    """The part of what damages that wire that is done by then, and by what flows on."""
    over: str
    """Which limit it breaks: `length`, `closed`, `bears`; empty where none."""
    unknown: str = ""


@analysis
def bare(study: Study) -> Mapping[str, Bare]:
    """Every circuit and feeder without a device."""
    return {
        chain.name: _bare(study, chain)
        for chain in chains(study).by_name.values()
        if chain.kind in ("circuit", "feeder") and chain.device is None and not chain.guards
    }


def without(study: Study, shorted: Shorted) -> bool:
    """Whether a wire has no device, and what a short of it does is told elsewhere.

    The checks of missing devices say so: of one that may not go without, and of a jumper, which
    burns through at once and opens its own contactor, as its coil does alone.
    """
    if shorted.kind == "wire":
        return not chains(study).by_name[shorted.name].guards
    found = bare(study).get(shorted.name)
    if found is None:
        return False
    return bool(found.kind in ("", "jumper") or found.over or found.unknown)


def _bare(study: Study, chain: Chain) -> Bare:
    wires = [c for c in chain.conductors() if c.role == "feed"]
    if not wires:
        return Bare(
            chain=chain.name, kind="none", length_m=0.0, closed_m=0.0, awg="", drives_a=None,
            bears_s=math.inf, opens_s=math.inf, left_a=0.0, spent=0.0, over="",
        )  # fmt: skip
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
    worst = _worst(study, wires)
    over = ""
    if kind in ("starter", "battery", "stub"):
        opens = worst is not None and math.isfinite(worst.opens_s)
        if kind != "stub" and not opens and closed is not None and not _short(study, closed):
            over = "closed"
        elif worst is not None and worst.spent >= 1:
            over = "bears"
    unknown = "" if length is not None else "the length of a wire is not known"
    if not unknown and worst is None and kind:
        unknown = "no battery is given, so the current of a short is not known"
    return Bare(
        chain=chain.name,
        kind=kind,
        length_m=length,
        closed_m=closed,
        awg=sizing(study).gauges[worst.wire if worst else wires[0].id].awg,
        drives_a=worst.drives_a if worst else None,
        bears_s=worst.bears_s if worst else math.inf,
        opens_s=worst.opens_s if worst else math.inf,
        left_a=worst.left_a if worst else 0.0,
        spent=worst.spent if worst else 0.0,
        over=over,
        unknown=unknown,
    )


def _short(study: Study, closed_m: float) -> bool:
    return limit(study, "unprotected-length").allows(closed_m)


def _sum(study: Study, wires: list[Conductor]) -> float | None:
    lengths = [runs(study)[wire.id].length_m for wire in wires]
    known = [length for length in lengths if length is not None]
    return sum(known) if len(known) == len(lengths) else None


class _Burden(Struct, frozen=True, kw_only=True):
    """What one short does to one wire."""

    wire: str
    drives_a: float
    bears_s: float
    opens_s: float
    left_a: float
    spent: float


def _worst(study: Study, wires: list[Conductor]) -> _Burden | None:
    """The wire that is damaged first, and by which short; None where nothing is known of one."""
    courses, through = _courses(study)
    places = sorted({at for wire in wires for at in through.get(wire.id, ())})
    found = [
        _burden(study, wire.id, courses[at])
        for at in places
        for wire in wires
        if wire.id in courses[at].through_a and wire.id in heat(study)
    ]
    return max(found, key=lambda one: (one.spent, -one.bears_s), default=None)


@analysis
def _courses(study: Study) -> tuple[tuple[ShortCourse, ...], Mapping[str, list[int]]]:
    """All courses of shorts; and of each wire without a device those that heat it, by place."""
    asked = {
        conductor.id
        for chain in chains(study).by_name.values()
        if chain.kind in ("circuit", "feeder") and chain.device is None
        for conductor in chain.conductors()
    }
    courses = tuple(
        course
        for shorted in shorts(study).by_name.values()
        for short in shorted.shorts
        for course in short.courses
    )
    through: dict[str, list[int]] = {}
    for at, course in enumerate(courses):
        for name in course.through_a.keys() & asked:
            through.setdefault(name, []).append(at)
    return courses, through


def _burden(study: Study, wire: str, course: ShortCourse) -> _Burden:
    """Until the devices before it have opened, and what flows on for as long as it takes to act."""
    bears = every_bears(study)[wire]
    amps = course.through_a[wire]
    bears_s = bears.time_s(amps)
    acts_s = limit(study, "unprotected-bears").value
    if not course.opened or course.unsure:
        return _Burden(wire=wire, drives_a=amps, bears_s=bears_s, opens_s=math.inf, left_a=0.0,
                       spent=acts_s / bears_s)  # fmt: skip
    opens_s, left_a = course.opened[-1].at_s, min(amps, course.left_a)
    until = course.heated.get(wire, (0.0, 0.0))[1]
    if not math.isfinite(until):  # it counts what flows on for ever: as if all flowed until then
        until = opens_s / bears_s
    return _Burden(wire=wire, drives_a=amps, bears_s=bears_s, opens_s=opens_s, left_a=left_a,
                   spent=until + acts_s / bears.time_s(left_a))  # fmt: skip
