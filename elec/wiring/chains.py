"""What is joined to what.

Every circuit, feeder, ground and signal wire as rows of parts and conductors.

In: the builder's document. Out: `Chains`. Drawings, network and tables all read the same rows, so
they cannot disagree.
"""

from collections.abc import Iterable, Mapping

from msgspec.structs import replace

from elec.model.source import Alternator
from elec.study import Study, analysis
from elec.wiring.joined.builder import Builder
from elec.wiring.joined.grounded import (
    bond_ohm,
    bonded_grounds,
    ground_node,
    joined,
    known_ohm,
    main_ground,
    nearest_ground,
)
from elec.wiring.joined.pieces import (
    FIELD_CONTACT,
    SEGMENTS,
    at_terminal,
    cores_of,
    diode_part,
    feeder_name,
    field_end,
    field_wire,
    gauge_of,
    pins_with,
    splice_part,
    stub_of,
    switched_by,
    terminal_title,
    throws,
)
from elec.wiring.joined.records import (
    CONTACTS,
    STRUCTURE,
    Chain,
    ChainKind,
    Chains,
    Conductor,
    Part,
    PartKind,
    Role,
    Row,
    is_live,
)
from elec.wiring.joined.reversal import Reversal, reversal


@analysis
def chains(study: Study) -> Chains:
    """Lay out every chain of the system."""
    builder = Builder(study)
    found: dict[str, Chain] = {}
    for index, feeder in enumerate(study.document.feeders):
        chain = builder.feeder(index, feeder)
        found[chain.name] = chain
    for chain in builder.source_grounds():
        found[chain.name] = chain
    coils = {s.coil.load for s in study.document.switches.values() if s.coil is not None}
    own = {name for name in study.document.circuits if name in coils}
    for name, circuit in study.document.circuits.items():
        if name not in own:
            found[name] = builder.circuit(name, circuit)
    for chain in builder.grounds():
        found[chain.name] = chain
    for chain in builder.wires(taps=False):
        found[chain.name] = chain
    for chain in builder.cables():
        found[chain.name] = chain
    for name in study.document.circuits:
        if name in own:  # last, so that they take no number that another wire had before
            found[name] = builder.circuit(name, study.document.circuits[name])
    for chain in builder.wires(taps=True):
        found[chain.name] = chain
    found.update(_behind_feeders(study, found))
    found.update(_thin(found, builder))
    return Chains(by_name=found, feeds=builder.feeds)


def _behind_feeders(study: Study, every: Mapping[str, Chain]) -> Mapping[str, Chain]:
    """Circuits without a device that go on behind the devices of all feeders of their bus.

    So only where such a circuit hangs there alone: it is what a relay changes over.
    """
    found: dict[str, Chain] = {}
    for name, entry in study.document.circuits.items():
        chain, bus = every[name], entry.bus
        if not entry.unprotected or bus not in study.document.buses:
            continue
        alone = sum(one.bus == bus for one in study.document.circuits.values()) == 1
        feeders = [
            c for c in every.values() if c.kind == "feeder" and bus in (c.source_end, c.far_end)
        ]
        guards = tuple(
            feeder.name for feeder in feeders if feeder.far_end == bus and feeder.device is not None
        )
        if alone and guards and len(guards) == len(feeders):
            found[name] = replace(chain, guards=guards)
    return found


def _thin(every: Mapping[str, Chain], builder: "Builder") -> Mapping[str, Chain]:
    """The wires that a source feeds without a circuit, with what guards each."""
    wires = [chain for chain in every.values() if chain.kind == "wire"]
    found: dict[str, Chain] = {}
    for chain in wires:
        start = chain.rows[0].parts[0]
        live = next((part for part in chain.parts() if is_live(part)), None)
        if chain.device is not None:
            node = start.inlet if start is chain.device else start.outlet
            found[chain.name] = replace(
                chain, hot=True, guards=(chain.name,), after=_behind(every, node)
            )
        elif live is not None:
            found[chain.name] = replace(
                chain,
                hot=True,
                source_end=builder.begins_at(live.name),
                after=_behind(every, live.outlet),
            )
    while True:
        more = [
            one
            for chain in wires
            if chain.name not in found and (one := _led_on(chain, found.values(), every, builder))
        ]
        if not more:
            return found
        found.update({chain.name: chain for chain in more})


def _behind(every: Mapping[str, Chain], node: str) -> str:
    """The circuit in whose feed a node lies beyond the bus; empty where none does."""
    return next(
        (
            chain.name
            for chain in every.values()
            if chain.kind == "circuit"
            for row in chain.rows
            if row.role == "feed" and node in {part.outlet for part in row.parts[1:]}
        ),
        "",
    )


def _led_on(
    chain: Chain, hot: Iterable[Chain], every: Mapping[str, Chain], builder: "Builder"
) -> Chain | None:
    """A wire as one that a thin wire goes on in, or that comes out of a lamp; None if neither."""
    ends = {part.id for part in chain.parts() if part.kind == "connector"}
    for before in hot:
        if ends & {part.id for part in before.parts()}:
            return replace(chain, hot=True, guards=before.guards, output=before.output,
                           source_end=before.source_end, after=before.name)  # fmt: skip
    start = chain.rows[0].parts[0]
    grounded = any(part.kind in ("ground", "bond") for part in chain.parts())
    if chain.function != "P" or start.kind != "equipment" or grounded:
        return None
    guards = builder.feeds.get(start.name) or tuple(
        one.name for one in hot if any(part.name == start.name for part in one.ends())
    )
    if not guards:
        return None
    fed = every[guards[0]].source_end
    return replace(chain, hot=True, guards=guards, output=start.name, source_end=fed,
                   after=guards[0])  # fmt: skip


def unfed_lamp(study: Study, chain: Chain) -> bool:
    """Whether a wire is the one of a lamp, and what feeds that is not said."""
    start, *_, end = chain.rows[0].parts
    sources = study.document.sources.values()
    lamps = {s.warning_lamp.from_ for s in sources if isinstance(s, Alternator) and s.warning_lamp}
    return (
        not chain.hot
        and chain.function == "P"
        and start.kind == "equipment"
        and end.kind != "ground"
        and bool(lamps & {start.name, f"{start.name}.{start.contact}"})
    )


__all__ = [
    "CONTACTS",
    "FIELD_CONTACT",
    "SEGMENTS",
    "STRUCTURE",
    "Chain",
    "ChainKind",
    "Chains",
    "Conductor",
    "Part",
    "PartKind",
    "Reversal",
    "Role",
    "Row",
    "at_terminal",
    "bond_ohm",
    "bonded_grounds",
    "chains",
    "cores_of",
    "diode_part",
    "feeder_name",
    "field_end",
    "field_wire",
    "gauge_of",
    "ground_node",
    "is_live",
    "joined",
    "known_ohm",
    "main_ground",
    "nearest_ground",
    "pins_with",
    "reversal",
    "splice_part",
    "stub_of",
    "switched_by",
    "terminal_title",
    "throws",
    "unfed_lamp",
]
