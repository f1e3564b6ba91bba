"""The changes that the search puts together: second feeds, ground points, ways.

In: a study, the faults that are to go. Out: `Move` records in a fixed order, each of edits of the
text and of the kind of fault that it can cure.
"""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from elec.answers.base.bodies import batteries
from elec.answers.failures.failure_reach import engine_loads
from elec.attempt.faults.faults import SingleFault
from elec.attempt.options.offered import second_feed
from elec.attempt.plan import Edit
from elec.model.route import REST
from elec.read.draft import Path
from elec.read.edit import Value
from elec.study import Study
from elec.wiring.chains import STRUCTURE, Chain, chains, main_ground
from elec.wiring.laid import laid
from elec.wiring.runs import runs


class Move(Struct, frozen=True, kw_only=True):
    """One change."""

    title: str
    kind: str
    """`feed`, `ground` or `way`."""
    edits: tuple[Edit, ...]

    @property
    def paths(self) -> frozenset[Path]:
        """What it writes over: two changes of the same are none together."""
        return frozenset(edit.path for edit in self.edits if edit.path != ("feeders", ""))

    def helps(self, fault: SingleFault) -> bool:
        """Whether it is of a kind that can cure the fault; a feed may also go round a way."""
        return self.kind == fault.kind or (self.kind == "feed" and fault.kind == "way")


def moves(study: Study, every: Sequence[SingleFault]) -> tuple[Move, ...]:
    """All changes that can cure one of the faults."""
    found = (
        *_feeds(study, every),
        *_grounds(study, every),
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
            own = str(chain.path[1]) if chain.path[0] == "grounds" else name
            for other in found.names:
                if other == bundle:
                    continue
                yield Move(
                    title=f"{chain.title} in bundle {other} of {way.name or 'its way'}",
                    kind="way",
                    edits=(
                        Edit(
                            path=("ways", index, "bundled"),
                            value=_moved(way.bundled, own, other),
                        ),
                    ),
                )


def _moved(bundled: Mapping[str, Sequence[str]], name: str, to: str) -> Value:
    """What lies in which bundle, with one name in another."""
    found: dict[str, Value] = {}
    for bundle, names in bundled.items():
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
