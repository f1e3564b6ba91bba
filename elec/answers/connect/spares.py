"""Every spare core and spare contact, and the largest current that it could still carry.

In: cables, pins, runs, the bundles as they are loaded now, the state of building. Out: `Spare`.
A core is bound by the heat of its bundle and by the drop over it, out and back where the cable has
two cores; a contact by its rating among loaded neighbours, itself counted. What lies before and
behind a spare takes its own part of the drop.
"""

from collections.abc import Iterator
from typing import Literal

from msgspec import Struct

from elec.answers.base.ticked import state_of
from elec.answers.connect.contacts import every_contact, loaded_contacts, rating_with
from elec.answers.connect.free import allowed_a
from elec.answers.connect.pins import ConnectorPins, pins
from elec.model.wiring import Coax
from elec.physics.contact import loading_factor
from elec.sizing.devices import allowed_drop_v
from elec.standards import NotCovered, copper, default
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.wiring.runs import runs
from elec.wiring.wires import crimped_ohm


class Spare(Struct, frozen=True, kw_only=True):
    """A spare core, or the spare contacts of a connector."""

    name: str
    title: str
    what: Literal["core", "contact"]
    count: int
    type: str
    """The cable's type, or the connector's."""
    awg: str
    """Of the core; of a contact the thickest wire it takes."""
    state: str
    places: tuple[str, ...]
    """Where it is reached: both ends of a core, the connector's place."""
    passes: frozenset[str]
    """All places that it lies in."""
    lasting_a: float | None
    """The largest current of a load that stays on; None where it cannot be told."""
    short_a: float | None
    """The same of a load that is on for short times."""
    binds: str
    """What the lasting current is bound by, or why it cannot be told."""


@analysis
def spares(study: Study) -> tuple[Spare, ...]:
    """All spares, cores first, in the builder's order."""
    return (*_cores(study), *_contacts(study))


def zones_of(study: Study, spare: Spare) -> tuple[str, ...]:
    """The zones in which a spare is reached or lies, in the builder's order."""
    return tuple(
        name
        for name, zone in study.document.zones.items()
        if not spare.passes.isdisjoint(zone.places)
    )


def core_ohm(study: Study, core: Conductor, ways: int) -> float | None:
    """Resistance over a warm core and its two joints, so many times; None without a length."""
    length = runs(study)[core.id].length_m
    if length is None or not core.gauge:
        return None
    return ways * crimped_ohm(copper(core.gauge), length, default("hot-resistance").value)


def _cores(study: Study) -> Iterator[Spare]:
    for name, cable in study.document.cables.items():
        if not cable.spare:
            continue
        cores = chains(study).by_name[name].conductors()
        if not cores:
            continue
        state = state_of(study, cores[0])
        for core in cores:
            lasting, short, binds = _carried(study, core, len(cores), coax=isinstance(cable, Coax))
            yield Spare(
                name=f"{name}.{core.core}" if core.core else name,
                title=study.system.title("cables", name) + (f", {core.core}" if core.core else ""),
                what="core",
                count=1,
                type=cable.type,
                awg=core.gauge or "",
                state=state,
                places=(core.a.place, core.b.place),
                passes=frozenset(runs(study)[core.id].places),
                lasting_a=lasting,
                short_a=short,
                binds=binds,
            )


def _carried(
    study: Study, core: Conductor, cores: int, *, coax: bool
) -> tuple[float | None, float | None, str]:
    """The largest lasting and short current of a core, and what binds the lasting one."""
    if coax:
        return None, None, "a coaxial line carries signals only"
    ohm = core_ohm(study, core, 2 if cores > 1 else 1)
    if ohm is None:
        return None, None, "its length or gauge is not known"
    hot = allowed_a(study, core, core.gauge or "")
    back = "out and back" if cores > 1 else "one way, its return lies elsewhere"
    volts = allowed_drop_v(study, intermittent=False)
    by_drop = volts / ohm
    short = min(hot, allowed_drop_v(study, intermittent=True) / ohm)
    if by_drop < hot:
        return by_drop, short, f"wire-drop: {volts:.2f} V over it, {back}"
    return hot, short, "wire-heat: the warmest spot of its run"


def _contacts(study: Study) -> Iterator[Spare]:
    for one in pins(study).by_id.values():
        if one.type == "terminals" or one.contacts is None:
            continue
        free = one.contacts - sum(1 for pin in one.pins if pin.landings)
        if free <= 0:
            continue
        allowed, binds = contact_room(one)
        yield Spare(
            name=one.id,
            title=one.title,
            what="contact",
            count=free,
            type=one.type,
            awg=one.thickest_awg,
            state="",
            places=(one.place,),
            passes=frozenset({one.place}),
            lasting_a=allowed,
            short_a=allowed,
            binds=binds,
        )


def contact_room(one: ConnectorPins) -> tuple[float | None, str]:
    """What one more contact of a connector may carry, and why; 0 where the others leave nothing."""
    rating, _ = rating_with(one, one.thickest_awg)
    loaded, contacts = loaded_contacts(one)
    if rating is None:
        return None, f"what one contact of a {one.type} may carry is not published here"
    if loaded is None:
        return None, "the current of a neighbour is not known"
    try:
        more = loading_factor(loaded=min(loaded + 1, contacts), contacts=contacts)
        now = loading_factor(loaded=max(1, min(loaded, contacts)), contacts=contacts)
    except NotCovered as gap:
        return None, str(gap)
    for other in every_contact(one):
        if other.allowed_a is None:
            return None, f"what contact {other.contact} may carry is not known"
        if other.current_a > other.allowed_a * more / now:
            return 0.0, f"connector-current: contact {other.contact} beside it would carry too much"
    return (
        rating * more,
        f"connector-current: {min(loaded + 1, contacts)} of {contacts} contacts loaded",
    )
