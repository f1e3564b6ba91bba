"""What is joined to what, as one graph of spots and links.

In: chains, shields, bonds. Out: `JoinGraph`: plain records; and ways with the fewest steps,
searched here, since loading a graph library costs more than all ways of a check.
"""

from collections import deque
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Literal

from msgspec import Struct

from elec.model.wiring import Cable, Coax
from elec.study import Study, analysis
from elec.wiring.chains import (
    STRUCTURE,
    Chain,
    Part,
    PartKind,
    bonded_grounds,
    chains,
    ground_node,
)
from elec.wiring.material import bears

SpotKind = Literal["post", "bus", "ground", "structure", "box", "contact", "shield", "place"]
LinkKind = Literal[
    "feed", "return", "ground", "signal", "core", "spare",  # a wire or core, by what it is for
    "part", "diode", "bond", "source", "inside", "shield", "coax", "seat",
]  # fmt: skip
"""`part`: a device, switch, shunt or connector; `inside`: from a box to its contact; `shield`:
where a shield ends; `coax`: the outer conductor of a coaxial line; `seat`: a passive antenna that
sits on structure."""


class JoinSpot(Struct, frozen=True, kw_only=True):
    """A place where things are joined."""

    id: str
    """The node of the network: `main`, `battery.+`, `ground:block`, `radio.J1.1`, `structure`; of a
    box its name with `box:`, of a shield its cable's with `shield:`."""
    kind: SpotKind
    title: str


class Link(Struct, frozen=True, kw_only=True):
    """A thing between two spots."""

    id: str
    """Of a conductor or part as chains have it; `bond:GROUND`, `shield:CABLE/from`."""
    kind: LinkKind
    a: str
    b: str
    chain: str = ""
    """The circuit, feeder, ground connection, wire or cable that it belongs to."""
    part: PartKind | None = None
    """Of a `part` what it is: `breaker`, `switch`."""


class JoinGraph(Struct, frozen=True, kw_only=True):
    """All spots by id, and all links once."""

    spots: Mapping[str, JoinSpot]
    links: tuple[Link, ...]

    def of(self, *kinds: LinkKind) -> tuple[Link, ...]:
        """The links of some kinds."""
        return tuple(link for link in self.links if link.kind in kinds)


@analysis
def graph(study: Study) -> JoinGraph:
    """The whole system as spots and links, in the builder's order."""
    spots: dict[str, JoinSpot] = {
        STRUCTURE: JoinSpot(id=STRUCTURE, kind="structure", title="structure")
    }
    links: dict[str, Link] = {}
    for link in (*_power_and_signal(study, spots), *_joints(study, spots), *_shields(study, spots)):
        links[link.id] = link
    for link in _inside(study, spots):
        links[link.id] = link
    return JoinGraph(spots=spots, links=tuple(links.values()))


# -- ways ------------------------------------------------------------------------------------------

Step = tuple[Link, str]
"""Over a link to the spot behind it."""
Steps = Mapping[str, Sequence[Step]]
"""Spot → the steps from there."""


def steps_of(links: Iterable[Link]) -> Steps:
    """The steps that links allow, in order of their ids; a diode leads from `a` to `b` only."""
    found: dict[str, list[Step]] = {}
    for link in sorted(links, key=lambda link: link.id):
        found.setdefault(link.a, []).append((link, link.b))
        if link.kind != "diode":
            found.setdefault(link.b, []).append((link, link.a))
    return found


def fewest_steps(
    steps: Steps, starts: Iterable[str], ends: Collection[str], lost: Collection[Link] = ()
) -> tuple[Step, ...] | None:
    """The first of the ways with the fewest steps from any start to any end.

    Args:
        steps: what leads where.
        starts: where to begin; one that is an end as well is reached by no step.
        ends: where to.
        lost: links that lead nowhere any more.

    Returns:
        None where there is no way.
    """
    gone = {link.id for link in lost}
    came: dict[str, tuple[str, Step] | None] = dict.fromkeys(starts)
    waiting = deque(came)
    while waiting:
        spot = waiting.popleft()
        if spot in ends:
            return _back(came, spot)
        for step in steps.get(spot, ()):
            link, other = step
            if other not in came and link.id not in gone:
                came[other] = spot, step
                waiting.append(other)
    return None


def _back(came: Mapping[str, tuple[str, Step] | None], end: str) -> tuple[Step, ...]:
    """The steps that led to an end."""
    found: list[Step] = []
    before = came[end]
    while before is not None:
        spot, step = before
        found.append(step)
        before = came[spot]
    return tuple(reversed(found))


# -- chains ----------------------------------------------------------------------------------------

_KINDS: Mapping[PartKind, SpotKind] = {
    "bus": "bus", "source": "post", "post": "post", "ground": "ground", "equipment": "contact",
    "place": "place",
}  # fmt: skip


def _power_and_signal(study: Study, spots: dict[str, JoinSpot]) -> Iterator[Link]:
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            kind = _KINDS.get(part.kind, "contact")
            for node in (part.inlet, part.outlet):
                spots.setdefault(node, JoinSpot(id=node, kind=kind, title=_title(part)))
            if part.inlet != part.outlet:
                yield _through(part, chain)
        for wire in chain.conductors():
            role: LinkKind = "core" if wire.role in ("coax", "shield") else wire.role
            yield Link(id=wire.id, kind=role, a=wire.a.outlet, b=wire.b.inlet, chain=chain.name)


def _title(part: Part) -> str:
    return f"{part.label} {part.contact}".strip() if part.kind == "source" else part.label


def _through(part: Part, chain: Chain) -> Link:
    kinds: Mapping[PartKind, LinkKind] = {"diode": "diode", "bond": "bond"}
    return Link(
        id=part.id,
        kind=kinds.get(part.kind, "part"),
        a=part.inlet,
        b=part.outlet,
        chain=chain.name,
        part=part.kind,
    )


def _joints(study: Study, spots: dict[str, JoinSpot]) -> Iterator[Link]:
    """Sources between their posts, and grounds bonded to structure."""
    for name in study.document.sources:
        a, b = f"{name}.-", f"{name}.+"
        for node in (a, b):
            title = f"{study.system.title('sources', name)} {node[-1]}"
            spots.setdefault(node, JoinSpot(id=node, kind="post", title=title))
        yield Link(id=f"source:{name}", kind="source", a=a, b=b)
    for name in study.document.grounds:
        title = study.system.title("grounds", name)
        spots.setdefault(
            ground_node(name), JoinSpot(id=ground_node(name), kind="ground", title=title)
        )
    for name in bonded_grounds(study):
        yield Link(id=f"bond:{name}", kind="bond", a=ground_node(name), b=STRUCTURE)


def _inside(study: Study, spots: dict[str, JoinSpot]) -> Iterator[Link]:
    """Every contact that anything ends on, to its box."""
    equipment = study.document.equipment
    for spot in [spot for spot in spots.values() if spot.kind == "contact"]:
        box = spot.id.partition(".")[0]
        if box in equipment and spot.id.startswith(f"{box}."):
            spots.setdefault(f"box:{box}", _box(study, box))
            yield Link(id=f"{spot.id}/inside", kind="inside", a=f"box:{box}", b=spot.id)


def _box(study: Study, name: str) -> JoinSpot:
    title = study.system.title("equipment", name)
    return JoinSpot(id=f"box:{name}", kind="box", title=title)


# -- shields ---------------------------------------------------------------------------------------


def _shields(study: Study, spots: dict[str, JoinSpot]) -> Iterator[Link]:
    for chain in chains(study).of("cable"):
        cable = study.document.cables[chain.name]
        if cable.spare or not chain.rows:
            continue
        ends = (chain.rows[0].parts[0], chain.rows[0].parts[-1])
        if isinstance(cable, Coax):
            a, b = (_end(study, spots, part) for part in ends)
            yield Link(id=f"shield:{chain.name}", kind="coax", a=a, b=b, chain=chain.name)
            yield from _seats(study, spots, ends)
        elif cable.shield in ("from", "to", "both"):
            yield from _drains(study, spots, chain, cable, ends)


def _drains(
    study: Study, spots: dict[str, JoinSpot], chain: Chain, cable: Cable, ends: tuple[Part, Part]
) -> Iterator[Link]:
    """Where a shield ends: its drain at the one end, the box itself at the other."""
    shield = f"shield:{chain.name}"
    spots[shield] = JoinSpot(id=shield, kind="shield", title=f"shield of {chain.title}")
    drain = _drain(study, spots, cable)
    for where, part in zip(("from", "to"), ends, strict=True):
        if cable.shield not in (where, "both"):
            continue
        here = _end(study, spots, part)
        if drain and (cable.shield == where or drained_at(cable, ends) == where):
            here = drain
        yield Link(id=f"{shield}/{where}", kind="shield", a=shield, b=here, chain=chain.name)


def drained_at(cable: Cable, ends: tuple[Part, Part]) -> str:
    """At which end of a shield that ends at both its drain is: the box that has the contact."""
    owner = (cable.drain or "").partition(".")[0]
    return "to" if owner == ends[1].name and owner != ends[0].name else "from"


def _drain(study: Study, spots: dict[str, JoinSpot], cable: Cable) -> str:
    """The spot of a drain; empty where none is said."""
    owner = (cable.drain or "").partition(".")[0]
    if owner in study.document.grounds:
        return ground_node(owner)
    if owner in study.document.equipment:
        spots.setdefault(f"box:{owner}", _box(study, owner))
        return f"box:{owner}"
    if owner in study.document.plugs:
        title = study.system.title("plugs", owner)
        spots.setdefault(
            str(cable.drain), JoinSpot(id=str(cable.drain), kind="contact", title=title)
        )
        return str(cable.drain)
    return ""


def _end(study: Study, spots: dict[str, JoinSpot], part: Part) -> str:
    """Where the shield of a cable that ends on a part is: the box; else the part itself."""
    if part.kind != "equipment":
        return part.inlet
    spots.setdefault(f"box:{part.name}", _box(study, part.name))
    return f"box:{part.name}"


def _seats(study: Study, spots: dict[str, JoinSpot], ends: tuple[Part, Part]) -> Iterator[Link]:
    """Passive ends of a coaxial line, such as antennas, sit on structure that carries returns."""
    for part in ends:
        entry = study.document.equipment.get(part.name)
        if entry is not None and entry.passive and bears(study, entry.place):
            a = _end(study, spots, part)
            yield Link(id=f"{a}/seat", kind="seat", a=a, b=STRUCTURE)


__all__ = [
    "JoinGraph", "JoinSpot", "Link", "LinkKind", "SpotKind", "Step", "Steps", "drained_at",
    "fewest_steps", "graph", "steps_of",
]  # fmt: skip
