"""The wire type of every conductor, and what one gauge of it is.

In: published wire types, the builder's own. Out: `WireKind` by name, `WireSize` of a conductor.
Its free-air law is that of the published curves; where the published wire table, in the conditions
it was made for, allows less than the curves do, the law is lowered by that share.
"""

from collections.abc import Mapping
from functools import cache
from math import sqrt

from msgspec.structs import replace

from elec.model.wire_type import WireGauge, WireType
from elec.physics import drop
from elec.physics.formula import Number
from elec.physics.heat import table_share
from elec.standards import (
    AWGS,
    WireKind,
    WireSize,
    default,
    published_size,
    wire_kind,
    wire_kind_names,
)
from elec.standards.cite import REMARKS
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor
from elec.working import Term

DEFAULT_WIRE = "etfe-tin"
"""The wire that is meant where none is named: thin-wall ETFE on tin-plated copper."""


@analysis
def kinds(study: Study) -> Mapping[str, WireKind]:
    """Every wire type: the published ones, and the builder's own, which may take their names."""
    found = {name: wire_kind(name) for name in wire_kind_names()}
    for name, entry in study.document.wire_types.items():
        found[name] = _own(study, name, entry)
    return found


def kind_name(study: Study, conductor: Conductor) -> str:
    """The name of a conductor's wire type: given, that of the system, or the default."""
    return conductor.wire or study.system.about.wire or DEFAULT_WIRE


def kind_of(study: Study, conductor: Conductor) -> WireKind:
    """A conductor's wire type."""
    return kinds(study)[kind_name(study, conductor)]


def joints_ohm() -> float:
    """Resistance of the crimped terminals at both ends of a wire."""
    return 2 * default("joint-resistance").si


def crimped_ohm(wire: WireSize, length_m: float, temperature_degc: float = 20.0) -> float:
    """Resistance of a wire from stud to stud."""
    return bare_ohm(wire, length_m, temperature_degc, default("joint-resistance").si)


def bare_ohm(
    wire: WireSize, length_m: float, temperature_degc: float = 20.0, joint_ohm: float = 0.0
) -> float:
    """Resistance of a length of wire, without what its ends add where nothing is said of them.

    >>> from elec.standards import copper
    >>> round(1000 * bare_ohm(copper("20"), 2.0, 80.0), 1)
    80.1
    """
    return _warm(wire.zero_degc)[0](
        resistance_20degc_ohm_per_m=wire.resistance_20degc_ohm_per_m,
        length_m=length_m,
        conductor_degc=temperature_degc,
        joint_ohm=joint_ohm,
    )


def lost_v(wire: WireSize, length_m: float, temperature_degc: float, current_a: float) -> float:
    """What a wire loses from stud to stud."""
    return _warm(wire.zero_degc)[1](
        current_a=current_a,
        resistance_20degc_ohm_per_m=wire.resistance_20degc_ohm_per_m,
        length_m=length_m,
        conductor_degc=temperature_degc,
        joint_ohm=default("joint-resistance").si,
    )


@cache
def _warm(zero_degc: float) -> tuple[Number, Number]:
    """Resistance and drop of a wire of one metal that is not at 20 °C, for loops."""
    given_later = ("resistance_20degc_ohm_per_m", "length_m", "conductor_degc", "joint_ohm")
    any_wire = {**dict.fromkeys(given_later, 0.0), "zero_degc": zero_degc}
    return drop.crimped_ohm.plain(**any_wire), drop.wire_drop_v.plain(current_a=0.0, **any_wire)


def size_of(study: Study, conductor: Conductor, awg: str) -> WireSize:
    """What one gauge of a conductor's wire type is.

    Raises:
        NotCovered: the type is not made in this gauge.
    """
    return size(kind_of(study, conductor), awg)


def least_gauge(study: Study, conductor: Conductor, awg: str) -> str:
    """The gauge, or the thinnest that the conductor's type is made in."""
    return max(awg, kind_of(study, conductor).thinnest, key=AWGS.index)


@cache
def size(kind: WireKind, awg: str) -> WireSize:
    """One gauge of a wire type, its free-air law lowered where the wire table allows less.

    Raises:
        NotCovered: the type is not made in this gauge.
    """
    found = kind.published(awg)
    less = _table_less(found, kind.rated_degc)
    if less is None:
        return found
    share, rated, printed = less
    table = "11-10" if kind.conductor == "aluminium" else "11-9"
    note = f"{share:.3f} of the curve: table {table} has {printed:g} A at {rated:g} °C"
    joined = f"{found.heat_note}; {note}" if found.heat_note else note
    return replace(found, free_air_b=found.free_air_b * share, heat_note=joined)


def _table_less(wire: WireSize, rated_degc: float) -> tuple[float, float, float] | None:
    """(share, rating, current) of the table's column at or beside a rating that allows less."""
    near = sorted(wire.table_current_a, key=lambda pair: abs(pair[0] - rated_degc))[:2]
    if near and near[0][0] == rated_degc:
        near = near[:1]
    wires = 33.0 if AWGS.index(wire.awg) <= AWGS.index("10") else 9.0
    shares = [
        (
            table_share(
                table_current_a=printed,
                free_air_b=wire.free_air_b,
                free_air_m=wire.free_air_m,
                rated_degc=rated,
                wires=wires,
            ),
            rated,
            printed,
        )
        for rated, printed in near
    ]
    lower = [found for found in shares if found[0] < 1.0]
    return min(lower, default=None)


def _own(study: Study, name: str, entry: WireType) -> WireKind:
    """A wire type of the builder's: his figures, the published ones for the rest."""
    origin = str(study.system.where("wire-types", name))
    damaged = entry.damaged_degc
    if damaged is None:
        damaged = entry.rated_degc + default("damage-above-rating").value
    return WireKind(
        name=name,
        what=entry.name or name.replace("-", " "),
        conductor=entry.conductor,
        rated_degc=entry.rated_degc,
        damaged_degc=damaged,
        damaged_mark="" if entry.damaged_degc is not None else REMARKS["memory"],
        damaged_note="given" if entry.damaged_degc is not None else "50 °C above its rating",
        heat="",
        thinnest="8" if entry.conductor == "aluminium" else AWGS[0],
        thickest=AWGS[-1],
        origin=f"{origin}, {entry.source}" if entry.source else origin,
        own=tuple(_own_size(entry, awg, given, origin) for awg, given in entry.by_awg().items()),
    )


def tap_current(study: Study, chain: Chain) -> float | None:
    """What a wire carries by its `amps`; one with a fuse or of power, the usual; else None."""
    term = tap_term(study, chain)
    return None if term is None else term.value


def tap_term(study: Study, chain: Chain) -> Term | None:
    """The same with where it comes from."""
    wire = study.document.wires[int(chain.path[1])]
    if wire.amps_a is not None:
        origin = str(study.system.where(*chain.path, "amps"))
        return Term("I", wire.amps_a, "A", "current of the wire", origin)
    if wire.fuse is not None or wire.function == "P" or chain.hot:
        usual = default("tap-current")
        return Term("I", usual.si, "A", usual.meaning, usual.origin)
    return None


def _own_size(entry: WireType, awg: str, given: WireGauge, origin: str) -> WireSize:
    """One gauge: heat leaves it as the published wire of that gauge, less where it is thinner."""
    like = published_size("", entry.conductor, awg)
    ohm = given.resistance_ohm_per_m or like.resistance_20degc_ohm_per_m
    outside = like.diameter_mm if given.diameter_m is None else given.diameter_m * 1000
    core = like.conductor_diameter_mm
    if given.conductor_diameter_m is not None:
        core = given.conductor_diameter_m * 1000
    slim = min(1.0, outside / like.diameter_mm)
    said = given.resistance_ohm_per_m is not None
    return replace(
        like,
        resistance_20degc_ohm_per_m=ohm,
        resistance_note=f"{origin}, {entry.source}".rstrip(", ") if said else like.resistance_note,
        diameter_mm=outside,
        conductor_diameter_mm=core,
        mass_kg_per_m=given.mass_kg_per_m or like.mass_kg_per_m,
        free_air_b=like.free_air_b * sqrt(like.resistance_20degc_ohm_per_m / ohm * slim),
        heat_note="the published curve of the gauge at the same heat",
    )
