"""The changes that the search puts together: second feeds, ground points and wires, ways.

In: a study, the faults that are to go. Out: `Move` records in a fixed order, each of edits of the
text and of the kind of fault that it can cure.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from typing import Any

from msgspec import Struct

from elec.answers.base.bodies import batteries
from elec.attempt.faults.faults import SingleFault
from elec.attempt.options.offered import second_feed
from elec.attempt.plan import Edit
from elec.model.route import REST
from elec.read.draft import Path
from elec.read.edit import Value
from elec.study import Study
from elec.wiring.backup import engine_loads
from elec.wiring.chains import STRUCTURE, Chain, chains, main_ground
from elec.wiring.laid import laid
from elec.wiring.runs import runs


class IntoBundle(Struct, frozen=True, kw_only=True):
    """What a change puts into a bundle of a way."""

    way: int
    name: str
    bundle: str


class Move(Struct, frozen=True, kw_only=True):
    """One change."""

    title: str
    kind: str
    """`feed`, `ground`, `second` (wire of a ground) or `way`."""
    edits: tuple[Edit, ...]
    laid: tuple[IntoBundle, ...] = ()

    @property
    def paths(self) -> frozenset[Path]:
        """What it writes over: two changes of the same are none together."""
        written = {edit.path for edit in self.edits if edit.path != ("feeders", "")}
        return frozenset(written | {("ways", one.way, "bundled", one.name) for one in self.laid})

    def helps(self, fault: SingleFault) -> bool:
        """Whether it is of a kind that can cure the fault.

        A feed may also go round a way, and the second wire of a ground.
        """
        if self.kind == "second":
            return fault.kind in ("ground", "way")
        return self.kind == fault.kind or (self.kind == "feed" and fault.kind == "way")


def edits_of(study: Study, chosen: Sequence[Move]) -> list[Edit]:
    """What a set of changes writes; several may put something into the bundles of one way."""
    bundles: dict[int, Mapping[str, Value]] = {}
    for one in (one for move in chosen for one in move.laid):
        now = bundles.get(one.way, study.document.ways[one.way].bundled)
        bundles[one.way] = _moved(now, one.name, one.bundle)
    written = [edit for move in chosen for edit in move.edits]
    return [*written, *(Edit(path=("ways", way, "bundled"), value=held)
                        for way, held in bundles.items())]  # fmt: skip


def moves(study: Study, every: Sequence[SingleFault]) -> tuple[Move, ...]:
    """All changes that can cure one of the faults."""
    found = (
        *_feeds(study, every),
        *_grounds(study, every),
        *_seconds(study, every),
        *_ways(study, every),
        *_bundles(study, every),
    )
    return tuple(move for move in found if any(move.helps(fault) for fault in every))


def _buses(study: Study, every: Sequence[SingleFault]) -> list[str]:
    """The buses that faults take; of the engine those that its loads hang on."""
    taken = {fault.bus for fault in every}
    engine = {
        study.document.circuits[circuit].bus
        for load in engine_loads(study)
        for circuit in chains(study).feeds.get(load, ())
        if "" in taken
    }
    return [name for name in study.document.buses if name in taken | engine]


def _feeds(study: Study, every: Sequence[SingleFault]) -> Iterator[Move]:
    """A second feed of each bus from each battery and other bus; also round a way that is cut."""
    document = study.document
    cut = _cut(study, every)
    for bus in _buses(study, every):
        for source in (*batteries(study), *(name for name in document.buses if name != bus)):
            for avoid in ("", *cut):
                section = "buses" if source in document.buses else "sources"
                title = (
                    f"a second feed of {study.system.title('buses', bus)} from "
                    f"{study.system.title(section, source)}"
                )
                yield Move(
                    title=f"{title}, round {avoid}" if avoid else title,
                    kind="feed",
                    edits=(Edit(path=("feeders", ""), value=second_feed(source, bus, avoid)),),
                )


def _grounds(study: Study, every: Sequence[SingleFault]) -> Iterator[Move]:
    """Returns of the essential circuits of a bus, a battery, or a ground, led elsewhere.

    An alternator stays where it is: its negative is its case.
    """
    document = study.document
    grounds = list(document.grounds)
    used = {str(one.failure.path[1]) for one in every if one.failure.kind == "ground"}
    for bus in _buses(study, every):
        held = essential_circuits(study, bus)
        used |= {ground for chain in held for ground in _returns(chain)}
        for ground in grounds:
            moved = [chain for chain in held if ground not in _returns(chain)]
            if moved:
                yield Move(
                    title=f"{_returns_of(moved)} of {study.system.title('buses', bus)} to "
                    f"{study.system.title('grounds', ground)}",
                    kind="ground",
                    edits=tuple(
                        Edit(path=(*chain.path, "ground-point"), value=ground) for chain in moved
                    ),
                )
    for name in batteries(study):
        for ground in grounds:
            if ground != (document.sources[name].ground or main_ground(study)):
                yield Move(
                    title=f"negative of {study.system.title('sources', name)} to "
                    f"{study.system.title('grounds', ground)}",
                    kind="ground",
                    edits=(Edit(path=("sources", name, "ground"), value=ground),),
                )
    for name in grounds:
        now = document.grounds[name].to or main_ground(study)
        if name == main_ground(study) or name not in used or document.grounds[name].joined:
            continue
        for ground in grounds:
            if ground not in (name, now):
                yield Move(
                    title=f"{study.system.title('grounds', name)} joined to "
                    f"{study.system.title('grounds', ground)}",
                    kind="ground",
                    edits=(Edit(path=("grounds", name, "to"), value=ground),),
                )


def _seconds(study: Study, every: Sequence[SingleFault]) -> Iterator[Move]:
    """A second wire of each block that is lost with its first, in the same way or round a cut."""
    document, main = study.document, main_ground(study)
    held = {ground for bus in _buses(study, every) for chain in essential_circuits(study, bus)
            for ground in _returns(chain)}  # fmt: skip
    for name, ground in document.grounds.items():
        if name not in held or name == main or ground.kind != "block" or ground.second is not None:
            continue
        title = f"a second wire of {study.system.title('grounds', name)} to "
        for to in dict.fromkeys((ground.to or main, main)):
            if to is None:
                continue
            end = study.system.title("grounds", to)
            for beside in _other_bundles(study, name):
                yield Move(
                    title=f"{title}{end}{_in_bundles(study, beside)}",
                    kind="second",
                    edits=(Edit(path=("grounds", name, "second"), value=to),),
                    laid=beside,
                )
            for avoid in _cut(study, every):
                yield Move(
                    title=f"{title}{end}, round {avoid}",
                    kind="second",
                    edits=(
                        Edit(path=("grounds", name, "second"), value={"to": to, "avoid": avoid}),
                    ),
                )


def _other_bundles(study: Study, ground: str) -> tuple[tuple[IntoBundle, ...], ...]:
    """Where the second wire of a ground can lie: on each way beside its first in another bundle."""
    first = chains(study).by_name.get(f"{ground}-ground")
    wires = first.conductors() if first is not None else ()
    ways = {leg.index for wire in wires for leg in runs(study)[wire.id].legs}
    choices = [
        [
            IntoBundle(way=way, name=f"{ground}-second", bundle=bundle)
            for bundle in found.names
            if first is not None and bundle != found.of.get(first.name)
        ]
        for way, found in laid(study).items()
        if way in ways and len(found.names) > 1
    ]
    return tuple(product(*choices))


def _in_bundles(study: Study, beside: Sequence[IntoBundle]) -> str:
    names = [
        f"in bundle {one.bundle} of {study.document.ways[one.way].name or 'its way'}"
        for one in beside
    ]
    return f", {' and '.join(names)}" if names else ""


def _returns_of(held: Sequence[Chain]) -> str:
    many = f"s of the {len(held)} essential circuits"
    return f"return{many}" if len(held) > 1 else f"return of {held[0].title}"


def essential_circuits(study: Study, bus: str) -> list[Chain]:
    """The circuits of a bus that feed something essential and return by a wire of their own."""
    equipment = study.document.equipment
    return [
        chain
        for chain in chains(study).of("circuit")
        if chain.path[0] == "circuits"
        and study.document.circuits[chain.name].bus == bus
        and any(equipment[load].essential or equipment[load].role == "engine"
                for load in chain.loads)
        and _returns(chain)
    ]  # fmt: skip


def _returns(chain: Chain) -> set[str]:
    return {
        row.parts[-1].name
        for row in chain.rows
        if row.role == "return"
        and row.parts
        and row.parts[-1].kind == "ground"
        and row.parts[-1].name != STRUCTURE
    }


def _ways(study: Study, every: Sequence[SingleFault]) -> Iterator[Move]:
    """Each feeder, and all essential circuits of a bus together, laid round a way that is cut."""
    for name, index in _cut(study, every).items():
        for chain in chains(study).of("feeder"):
            if _lies_on(study, chain, index):
                yield Move(
                    title=f"{chain.title} laid round {name}",
                    kind="way",
                    edits=(Edit(path=(*chain.path, "avoid"), value=name),),
                )
        for bus in study.document.buses:
            held = [c for c in essential_circuits(study, bus) if _lies_on(study, c, index)]
            if held:
                what = (
                    f"the {len(held)} essential circuits of {study.system.title('buses', bus)}"
                    if len(held) > 1
                    else held[0].title
                )
                yield Move(
                    title=f"{what} laid round {name}",
                    kind="way",
                    edits=tuple(Edit(path=(*c.path, "avoid"), value=name) for c in held),
                )


def _bundles(study: Study, every: Sequence[SingleFault]) -> Iterator[Move]:
    """Each feeder, ground wire and negative of a bundle that is cut, laid in another one."""
    for fault in {one.failure.id: one for one in every}.values():
        path = fault.failure.path
        if fault.kind != "way" or len(path) < 4:
            continue
        index, bundle = int(path[1]), str(path[3])
        found, way = laid(study)[index], study.document.ways[index]
        for name in (n for n, held in found.of.items() if held == bundle):
            chain = chains(study).by_name[name]
            if chain.kind not in ("feeder", "ground"):
                continue
            own = chain.ground or name
            for other in found.names:
                if other == bundle:
                    continue
                yield Move(
                    title=f"{chain.title} in bundle {other} of {way.name or 'its way'}",
                    kind="way",
                    edits=(),
                    laid=(IntoBundle(way=index, name=own, bundle=other),),
                )


def _moved(bundled: Mapping[str, Any], name: str, to: str) -> dict[str, Value]:
    """What lies in which bundle, with one name in another."""
    found: dict[str, Value] = {}
    for bundle, given in bundled.items():
        names = [given] if isinstance(given, str) else list(given)
        kept = [one for one in names if one != name]
        if bundle == to and REST not in names:
            kept.append(name)
        found[bundle] = REST if kept == [REST] else kept
    return found


def _cut(study: Study, every: Sequence[SingleFault]) -> dict[str, int]:
    """Name → index of the ways that faults cut; one without a name cannot be kept out of."""
    found = {}
    for fault in every:
        if fault.kind == "way":
            index = int(fault.failure.path[1])
            name = study.document.ways[index].name
            if name is not None:
                found[name] = index
    return found


def _lies_on(study: Study, chain: Chain, index: int) -> bool:
    every = (leg for c in chain.conductors() for leg in runs(study)[c.id].legs)
    return any(leg.index == index for leg in every)
