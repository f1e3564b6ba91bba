"""What is left for later along a circuit: positions, ground terminals, contacts, spare cores.

In: chains, panels, runs, pins, sizing. Out: `Free` for one circuit. What the builder has not
counted out (`panels:`, `terminals:` of a ground) is not known, never guessed.
"""

from collections.abc import Iterator

from msgspec import Struct

from elec.answers.connect.panel import PANEL_SWITCHES, Holds, Position, panels
from elec.answers.connect.pins import pins
from elec.answers.drop.drops import load_drops
from elec.answers.grounds.grounding import ground_points
from elec.answers.heat.heat import heat
from elec.model.wiring import Coax
from elec.physics.heat import ampacity_a, bundle_factor
from elec.sizing.sizing import sizing
from elec.standards import copper, wire_kind
from elec.study import Study
from elec.wiring.chains import STRUCTURE, Chain, Conductor, chains
from elec.wiring.limits import limit
from elec.wiring.runs import runs
from elec.wiring.surroundings import surroundings
from elec.wiring.wires import lost_v
from elec.working import within

CORE_WIRE = "etfe-tin"
"""Insulation of a core where the cable does not say: that of the usual wire."""


class FreeTerminals(Struct, frozen=True, kw_only=True):
    """The terminals of one ground; `most` is None where nobody counted them."""

    ground: str
    taken: int
    most: int | None

    @property
    def left(self) -> int | None:
        """How many are free; negative where more are taken than there are."""
        return None if self.most is None else self.most - self.taken


class Spots(Struct, frozen=True, kw_only=True):
    """Free positions for a device or a switch on the panels of a place, the most fitting first."""

    holds: Holds
    place: str
    laid_out: bool
    """Whether the builder says which panels there are at this place."""
    free: tuple[Position, ...]


class FreeContacts(Struct, frozen=True, kw_only=True):
    """The contacts of a connector between harnesses that nothing uses."""

    connector: str
    place: str
    contacts: tuple[str, ...]


class SpareCore(Struct, frozen=True, kw_only=True):
    """A spare cable that reaches along a circuit's run."""

    cable: str
    cores: tuple[str, ...]
    awg: str
    ends: tuple[str, str]
    allowed_a: float
    """What one core may carry in the warmest spot of its run."""
    needed_a: float
    """What the circuit's device lets through for long, or its load where there is none."""
    drop_v: float | None
    """Lost to the load and back where this core takes the place of the wire it runs along."""
    drop_limit_v: float

    @property
    def carries(self) -> bool:
        """Whether the core holds the device's current and loses no more than is allowed."""
        good = self.drop_v is not None and within(self.drop_v, self.drop_limit_v)
        return good and within(self.allowed_a, self.needed_a, "at least")


class Free(Struct, frozen=True, kw_only=True):
    """What is left along one circuit."""

    spots: tuple[Spots, ...]
    grounds: tuple[FreeTerminals, ...]
    contacts: tuple[FreeContacts, ...]
    cores: tuple[SpareCore, ...]


def free_along(study: Study, circuit: str, before: Study | None = None) -> Free:
    """What is left where a circuit begins, ends and passes.

    Args:
        study: the system with the circuit in it.
        circuit: its name.
        before: the system without it, in which the positions that it may take are free; left
            out, or where the circuit is there already: none is looked for.
    """
    chain = chains(study).by_name[circuit]
    places = {place for c in chain.conductors() for place in runs(study)[c.id].places}
    newcomer = before is not None and circuit not in before.document.circuits
    return Free(
        spots=tuple(_spots(before, chain)) if before is not None and newcomer else (),
        grounds=tuple(
            ground_terminals(study, name)
            for name in dict.fromkeys(
                part.name
                for part in chain.parts()
                if part.kind == "ground" and part.name != STRUCTURE
            )
        ),
        contacts=tuple(_contacts(study, places)),
        cores=tuple(_cores(study, chain)),
    )


def _spots(before: Study, chain: Chain) -> Iterator[Spots]:
    """Free positions for its device, and for its switch where that is new."""
    device = chain.device
    if device is not None and device.kind in ("breaker", "fuse"):
        holds: Holds = "breakers" if device.kind == "breaker" else "fuses"
        yield _spots_at(before, holds, device.place, chain.source_end)
    for part in chain.parts():
        if part.kind == "switch" and panels(before).position(part.name, switch=True) is None:
            known = before.document.switches.get(part.name)
            if known is None or known.kind in (None, *PANEL_SWITCHES):
                yield _spots_at(before, "switches", part.place, "")


def _spots_at(study: Study, holds: Holds, place: str, bus: str) -> Spots:
    laid_out = any(p.place == place and p.holds == holds for p in study.document.panels.values())
    free = panels(study).free(holds, bus, place)
    return Spots(
        holds=holds,
        place=place,
        laid_out=laid_out,
        free=tuple(p for p in free if p.given) if laid_out else (),
    )


def ground_terminals(study: Study, name: str) -> FreeTerminals:
    """Terminals on a ground; a stud holds as many as the limit says."""
    point = ground_points(study)[name]
    most = point.terminals
    if point.kind == "stud":
        rule = int(limit(study, "stud-terminals").value)
        most = rule if most is None else min(most, rule)
    return FreeTerminals(ground=name, taken=point.rings, most=most)


def _contacts(study: Study, places: set[str]) -> Iterator[FreeContacts]:
    for one in pins(study).by_id.values():
        if one.inline and one.place in places:
            free = tuple(pin.contact for pin in one.pins if pin.state == "spare")
            yield FreeContacts(connector=one.id, place=one.place, contacts=free)


# -- spare cores ----------------------------------------------------------------------------------


def _cores(study: Study, chain: Chain) -> Iterator[SpareCore]:
    for name, cable in study.document.cables.items():
        if not cable.spare or isinstance(cable, Coax):
            continue
        cores = chains(study).by_name[name].conductors()
        free = [c for c in cores if c.a.kind == "place" and c.b.kind == "place"]
        if free and free[0].gauge:
            found = _core(study, chain, name, free)
            if found is not None:
                yield found


def _core(study: Study, chain: Chain, cable: str, cores: list[Conductor]) -> SpareCore | None:
    """The spare along the run of the feed; None where it runs elsewhere."""
    core = cores[0]
    ends = (core.a.place, core.b.place)
    feeds = [c for row in chain.rows if row.role == "feed" for c in row.conductors if c is not None]
    if not any(_spans(study, c, ends) for c in feeds):
        return None
    awg = core.gauge or ""
    device = sizing(study).devices.get(chain.name)
    amps = max((heat(study)[c.id].current_a for c in feeds if c.id in heat(study)), default=0.0)
    rating = device.rating_a if device else None
    load = chain.loads[0]
    drop = load_drops(study)[chain.name, load]
    return SpareCore(
        cable=cable,
        cores=tuple(c.core or "" for c in cores),
        awg=awg,
        ends=ends,
        allowed_a=allowed_a(study, core, awg),
        needed_a=amps if rating is None else rating,
        drop_v=_drop_with(study, chain, load, core, ends),
        drop_limit_v=drop.limit_v,
    )


def _spans(study: Study, conductor: Conductor, ends: tuple[str, str]) -> bool:
    """Whether a conductor's run passes both ends of a cable."""
    places = runs(study)[conductor.id].places
    return ends[0] != ends[1] and ends[0] in places and ends[1] in places


def _drop_with(
    study: Study, chain: Chain, load: str, core: Conductor, ends: tuple[str, str]
) -> float | None:
    """The drop of a load with the core in place of as much of its wires, out and back."""
    drop = load_drops(study)[chain.name, load]
    length = runs(study)[core.id].length_m
    if drop.lost_v is None or length is None or core.gauge is None:
        return None
    lost = drop.lost_v
    conductors = [
        c
        for row in chain.rows
        if row.equipment == load
        for c in row.conductors
        if c is not None and _spans(study, c, ends)
    ]
    for conductor in dict.fromkeys(c.id for c in conductors):
        amps = max(sizing(study).currents_a[conductor].values(), default=0.0)
        degc = sizing(study).careful_degc[conductor]
        along = min(length, runs(study)[conductor].length_m or length)
        now = copper(sizing(study).gauges[conductor].awg)
        lost += lost_v(copper(core.gauge), along, degc, amps) - lost_v(now, along, degc, amps)
    return lost


def allowed_a(study: Study, core: Conductor, awg: str) -> float:
    """What a core of a cable may carry in the warmest spot of its run, as loaded now."""
    around, wire = surroundings(study), copper(awg)
    return min(
        (
            ampacity_a(
                free_air_b=wire.free_air_b,
                free_air_m=wire.free_air_m,
                ambient_degc=bundle.ambient.value,
                rated_degc=wire_kind(CORE_WIRE).rated_degc,
                bundle_factor=bundle_factor(
                    wires=bundle.wires, loading=sizing(study).loading.get(bundle.id, 0.0)
                ),
                altitude_factor=around.altitude_factor.value,
            )
            for bundle in (around.bundles[key] for key in around.of.get(core.id, ()))
        ),
        default=0.0,
    )
