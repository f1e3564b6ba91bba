"""What the harness weighs, and where: wire, cable, connectors, terminals, ties and clamps.

In: runs, gauges, tables of masses. Out: `Weight`, items with mass and moment about the datum. A
wire is spread evenly over its ways; what has no known place or mass is named, not guessed.
"""

import math
from collections.abc import Iterator

from msgspec import Struct

from elec.answers.connect.holes import members, shielded
from elec.answers.connect.pins import pins
from elec.physics.magnetics import Point
from elec.sizing.sizing import sizing
from elec.standards import AWGS, NotCovered, copper, default, table
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, Part, chains, cores_of, gauge_of
from elec.wiring.runs import Run, runs
from elec.wiring.ways import spot_m, way_map
from elec.wiring.wires import size_of

KG_PER_M_PER_LB_PER_FT = 0.45359237 / 0.3048
ENDS_WITH_TERMINALS = frozenset({
    "bus", "source", "breaker", "limiter", "link", "shunt", "switch", "contactor", "changeover",
    "ground", "diode", "post",
})  # fmt: skip
LARGE = AWGS.index("8")


class Heavy(Struct, frozen=True, kw_only=True):
    """One item; `at_m` is None where its place has no station, `mass_kg` where nobody knows it."""

    kind: str
    """`wire`, `cable`, `connector`, `terminal`, `tie or clamp`, `equipment`."""
    label: str
    mass_kg: float | None
    at_m: Point | None
    place: str
    """The place it counts to; a wire's pieces count half to either end."""


class Weight(Struct, frozen=True, kw_only=True):
    """All items."""

    items: tuple[Heavy, ...]

    def of(self, *kinds: str) -> tuple[Heavy, ...]:
        """The items of some kinds; of all, where none is named."""
        return tuple(one for one in self.items if not kinds or one.kind in kinds)


class Sum(Struct, frozen=True, kw_only=True):
    """Mass and centre of several items."""

    mass_kg: float
    arm_m: Point | None
    """Mean place of what has one; None where nothing has."""
    placed_kg: float
    """The part of the mass that has a place."""
    unknown: tuple[str, ...]
    """Items of unknown mass."""


def added(items: tuple[Heavy, ...]) -> Sum:
    """Add items up.

    >>> left = Heavy(kind="wire", label="a", mass_kg=1.0, at_m=(1.0, 0.0, 0.0), place="x")
    >>> right = Heavy(kind="wire", label="b", mass_kg=3.0, at_m=(2.0, 0.0, 0.0), place="x")
    >>> added((left, right)).arm_m
    (1.75, 0.0, 0.0)
    """
    known = [one for one in items if one.mass_kg is not None]
    placed = [one for one in known if one.at_m is not None]
    mass = math.fsum(one.mass_kg or 0.0 for one in placed)
    arm: Point | None = None
    if mass > 0:
        x, y, z = (
            math.fsum((one.mass_kg or 0.0) * one.at_m[axis] for one in placed if one.at_m) / mass
            for axis in range(3)
        )
        arm = (x, y, z)
    return Sum(
        mass_kg=math.fsum(one.mass_kg or 0.0 for one in known),
        arm_m=arm,
        placed_kg=mass,
        unknown=tuple(dict.fromkeys(one.label for one in items if one.mass_kg is None)),
    )


@analysis
def weight(study: Study) -> Weight:
    """Everything that the wiring weighs, and the equipment whose mass is given."""
    return Weight(
        items=(
            *_wires(study),
            *_cables(study),
            *_connectors(study),
            *_terminals(study),
            *_fastenings(study),
            *_equipment(study),
        )
    )


def part_kg(part: str) -> float | None:
    """Mass of a small part by its key; None where the table has none.

    >>> part_kg("dsub-15")
    0.035
    """
    try:
        return table("elec/part_mass").row(key=part).number("mass_g") / 1000
    except NotCovered:
        return None


def cable_kg_per_m(kind: str) -> float | None:
    """Mass of a cable by its type; None where no table has it.

    >>> round(cable_kg_per_m("RG-400") * 1000, 1)
    74.4
    """
    rows = table("elec/coax").select(cable=kind)
    if rows:
        if rows[0].has("mass_lb_per_ft"):
            return rows[0].number("mass_lb_per_ft") * KG_PER_M_PER_LB_PER_FT
        return None
    awg, cores = gauge_of(kind), cores_of(kind)
    if awg is None or awg not in AWGS:
        return None
    if "shielded" in kind:
        pounds = shielded(awg, cores, "mass_lb_per_kft")
        return None if pounds is None else pounds * KG_PER_M_PER_LB_PER_FT / 1000
    return cores * copper(awg).mass_kg_per_m


# --- items --------------------------------------------------------------------------------------


def _spread(study: Study, run: Run, kind: str, label: str, per_m: float | None) -> Iterator[Heavy]:
    """A wire over its ways, each piece half to either end; slack goes with the pieces."""
    places = study.document.places
    if run.length_m is None or per_m is None:
        yield Heavy(kind=kind, label=label, mass_kg=None, at_m=None, place=run.places[0])
        return
    total = run.length_m * per_m
    lengths = [leg.length_m or 0.0 for leg in run.legs]
    if not run.legs or sum(lengths) <= 0:
        spot = spot_m(places.get(run.places[0]))
        yield Heavy(kind=kind, label=label, mass_kg=total, at_m=spot, place=run.places[0])
        return
    for here, there, length in zip(run.places, run.places[1:], lengths, strict=False):
        mass = total * length / sum(lengths)
        a, b = spot_m(places.get(here)), spot_m(places.get(there))
        for place, near, far in ((here, a, b), (there, b, a)):
            at: Point | None = None
            if near is not None and far is not None:
                x, y, z = (0.75 * p + 0.25 * q for p, q in zip(near, far, strict=True))
                at = (x, y, z)
            yield Heavy(kind=kind, label=label, mass_kg=mass / 2, at_m=at, place=place)


def _wires(study: Study) -> Iterator[Heavy]:
    for chain in chains(study).by_name.values():
        if chain.kind == "cable":
            continue
        for conductor in chain.conductors():
            awg = sizing(study).gauges[conductor.id].awg
            yield from _spread(
                study,
                runs(study)[conductor.id],
                "wire",
                f"AWG {awg}",
                size_of(study, conductor, awg).mass_kg_per_m,
            )


def _cables(study: Study) -> Iterator[Heavy]:
    for chain in chains(study).of("cable"):
        conductors = chain.conductors()
        entry = study.document.cables[chain.name]
        kind = entry.type
        per_m = cable_kg_per_m(kind) if entry.mass_kg_per_m is None else entry.mass_kg_per_m
        if conductors:
            run = runs(study)[conductors[0].id]
            yield from _spread(study, run, "cable", kind, per_m)


def _connectors(study: Study) -> Iterator[Heavy]:
    """The harness half of each connector; of one between harnesses, both."""
    places = study.document.places
    for one in pins(study).by_id.values():
        if one.type == "terminals":
            continue
        key = "coax-plug" if len(one.pins) < 2 else one.type
        halves = 2 if one.id in study.document.plugs else 1
        for _ in range(halves):
            yield Heavy(
                kind="connector",
                label=one.type,
                mass_kg=part_kg(key),
                at_m=spot_m(places.get(one.place)),
                place=one.place,
            )


def _terminals(study: Study) -> Iterator[Heavy]:
    for chain in chains(study).by_name.values():
        if chain.kind == "cable":
            continue
        for conductor in chain.conductors():
            for part in (conductor.a, conductor.b):
                found = _terminal(study, conductor, part)
                if found is not None:
                    yield found


def _terminal(study: Study, conductor: Conductor, part: Part) -> Heavy | None:
    spot = spot_m(study.document.places.get(part.place))
    if part.kind == "splice":
        return Heavy(
            kind="terminal", label="splice", mass_kg=part_kg("splice"), at_m=spot, place=part.place
        )
    if part.kind not in ENDS_WITH_TERMINALS:
        return None
    large = AWGS.index(sizing(study).gauges[conductor.id].awg) >= LARGE
    key = "terminal-large" if large else "terminal-small"
    return Heavy(
        kind="terminal",
        label="ring terminal",
        mass_kg=part_kg(key),
        at_m=spot,
        place=part.place,
    )


def _fastenings(study: Study) -> Iterator[Heavy]:
    """Ties and clamps along every way that wires lie on, by its length; a tube has none."""
    ties, clamps = default("tie-spacing").si, default("clamp-spacing").si
    per_m = (part_kg("tie") or 0.0) / ties + (part_kg("clamp") or 0.0) / clamps
    for index in members(study):
        way, leg = study.document.ways[index], way_map(study).legs[index]
        if way.conduit_m is not None or leg.length_m is None:
            continue
        run = Run(conductor="", places=way.between, legs=(leg,), length_m=leg.length_m)
        yield from _spread(study, run, "tie or clamp", "ties and clamps", per_m * way.bundles)


def _equipment(study: Study) -> Iterator[Heavy]:
    for section in ("equipment", "sources"):
        for name, entry in getattr(study.document, section).items():
            mass = getattr(entry, "mass_kg", None)
            if section == "sources" and mass is None and entry.kind == "external-power":
                continue
            yield Heavy(
                kind="equipment",
                label=study.system.title(section, name),
                mass_kg=mass,
                at_m=spot_m(study.document.places.get(entry.place)),
                place=entry.place,
            )
