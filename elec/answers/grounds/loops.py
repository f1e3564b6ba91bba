"""The least-resistance way of a fault current from a battery to a bus, and back to it.

In: chains, lengths, sizes. Out: resistances with the pieces they are made of. One way only: where
several lie side by side the true current is greater, so what rests on this is careful for the
least fault current.
"""

import heapq
from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.drop.drop_working import part_term
from elec.sizing.sizing import rated_degc, sizing, wire_of
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.cases import Scenario, closed
from elec.wiring.chains import (
    STRUCTURE,
    Chain,
    Conductor,
    bond_ohm,
    bonded_grounds,
    chains,
    known_ohm,
)
from elec.wiring.circuit_model import part_ohm
from elec.wiring.hand import assumed
from elec.wiring.runs import runs
from elec.wiring.wires import crimped_ohm
from elec.working import Ref, Term


class LoopPiece(Struct, frozen=True, kw_only=True):
    """A resistance on the way, cold (20 °C) and hot (wires at the rating of their insulation)."""

    chain: str
    name: str
    a: str
    b: str
    cold_ohm: float
    hot_ohm: float
    forward_v: float = 0.0
    """What a diode takes away; it leads from a to b only."""
    known: bool = True

    @property
    def one_way(self) -> bool:
        """Whether it is a diode."""
        return self.forward_v > 0


class Route(Struct, frozen=True, kw_only=True):
    """Pieces in order from a source's terminal."""

    pieces: tuple[LoopPiece, ...] = ()

    @property
    def cold_ohm(self) -> float:
        """Resistance with wires at 20 °C."""
        return sum(piece.cold_ohm for piece in self.pieces)

    @property
    def hot_ohm(self) -> float:
        """Resistance with wires at the rating of their insulation."""
        return sum(piece.hot_ohm for piece in self.pieces)

    @property
    def forward_v(self) -> float:
        """What the diodes on the way take away."""
        return sum(piece.forward_v for piece in self.pieces)

    @property
    def known(self) -> bool:
        """False where a length on the way is not known."""
        return all(piece.known for piece in self.pieces)

    def by_chain(self, *, hot: bool) -> Mapping[str, float]:
        """Resistance by chain, in order."""
        found: dict[str, float] = {}
        for piece in self.pieces:
            ohm = piece.hot_ohm if hot else piece.cold_ohm
            found[piece.chain] = found.get(piece.chain, 0.0) + ohm
        return found


def wire_piece(study: Study, conductor: Conductor) -> LoopPiece:
    """One conductor with the joints at its ends."""
    run = runs(study)[conductor.id]
    length = run.length_m
    if length is None:
        length = default("within-place-length").si
    wire = wire_of(study, conductor)
    return LoopPiece(
        chain=conductor.chain,
        name=conductor.id,
        a=conductor.a.outlet,
        b=conductor.b.inlet,
        cold_ohm=crimped_ohm(wire, length),
        hot_ohm=crimped_ohm(wire, length, rated_degc(conductor, study)),
        known=run.length_m is not None,
    )


def chain_pieces(study: Study, chain: Chain) -> Iterator[LoopPiece]:
    """Every wire, device, switch and diode of a chain."""
    sizes = sizing(study).sizes()
    for conductor in chain.conductors():
        yield wire_piece(study, conductor)
    for part in chain.parts():
        if part.inlet == part.outlet:
            continue
        if part.kind == "diode":
            ohm = default("diode-resistance").si
            forward = default(f"{part.name}-forward-voltage").value
        else:
            ohm, forward = part_ohm(study, chain, part, sizes), 0.0
        yield LoopPiece(
            chain=chain.name,
            name=part.id,
            a=part.inlet,
            b=part.outlet,
            cold_ohm=ohm,
            hot_ohm=ohm,
            forward_v=forward,
        )


class Loops(Struct, frozen=True, kw_only=True):
    """Pieces of feeders by the feeder's number, and those of grounds."""

    feeders: Mapping[int, tuple[LoopPiece, ...]]
    grounds: tuple[LoopPiece, ...]


@analysis
def loops(study: Study) -> Loops:
    """All pieces that fault currents can take to a bus and back from a ground point."""
    feeders: dict[int, tuple[LoopPiece, ...]] = {}
    grounds: list[LoopPiece] = []
    for chain in chains(study).by_name.values():
        if chain.kind == "feeder":
            feeders[int(chain.path[1])] = tuple(chain_pieces(study, chain))
        elif chain.kind == "ground":
            grounds += _ground_pieces(study, chain)
    grounds += _bonds(study)
    return Loops(feeders=feeders, grounds=tuple(grounds))


def _ground_pieces(study: Study, chain: Chain) -> Iterator[LoopPiece]:
    known = known_ohm(study, chain)
    for piece in chain_pieces(study, chain):
        if known is None:
            yield piece
        else:
            yield LoopPiece(
                chain=chain.name, name=piece.name, a=piece.a, b=piece.b, cold_ohm=known,
                hot_ohm=known,
            )  # fmt: skip


def _bonds(study: Study) -> Iterator[LoopPiece]:
    """In a metal airframe the ground points of its structure are bonded to it."""
    for name in bonded_grounds(study):
        joint = bond_ohm(study, name)
        yield LoopPiece(
            chain=STRUCTURE, name=f"bond:{name}", a=f"ground:{name}", b=STRUCTURE,
            cold_ohm=joint, hot_ohm=joint,
        )  # fmt: skip


def feeds(
    study: Study, start: str, scenario: Scenario, *, without: int | None = None
) -> Mapping[str, Route]:
    """Routes from a source's positive terminal to every node that closed feeders lead to.

    `without` is the number of a feeder to leave out.
    """
    found = loops(study).feeders
    used = [
        piece
        for index, pieces in found.items()
        if index != without and closed(study.document.feeders[index], scenario)
        for piece in pieces
    ]
    return _routes(used, start)


def returns(study: Study, start: str) -> Mapping[str, Route]:
    """Routes between a source's negative terminal and every ground point."""
    return _routes(loops(study).grounds, start)


def _routes(pieces: list[LoopPiece] | tuple[LoopPiece, ...], start: str) -> Mapping[str, Route]:
    """Least resistance first (Dijkstra); a diode is passed forwards only."""
    around: dict[str, list[tuple[str, LoopPiece]]] = {}
    for piece in pieces:
        around.setdefault(piece.a, []).append((piece.b, piece))
        if not piece.one_way:
            around.setdefault(piece.b, []).append((piece.a, piece))
    done: dict[str, Route] = {}
    queue: list[tuple[float, int, str, tuple[LoopPiece, ...]]] = [(0.0, 0, start, ())]
    order = 0
    while queue:
        ohm, _, here, taken = heapq.heappop(queue)
        if here in done:
            continue
        done[here] = Route(pieces=taken)
        for there, piece in around.get(here, ()):
            if there not in done:
                order += 1
                heapq.heappush(queue, (ohm + piece.hot_ohm, order, there, (*taken, piece)))
    return done


def route_terms(symbol: str, study: Study, route: Route, *, hot: bool) -> Iterator[Term]:
    """Resistances along a route, one of each feeder or ground connection."""
    heat = "hot" if hot else "cold"
    for i, (name, ohm) in enumerate(route.by_chain(hot=hot).items(), 1):
        chain = chains(study).by_name.get(name)
        joint = default("structure-joint-resistance").origin
        yield Term(
            f"{symbol}{i}",
            ohm,
            "ohm",
            f"{chain.title if chain else name}: wires, joints and what sits in it, {heat}",
            f"{heat} resistance of {name}" if chain else joint,
            Ref("resistance", name) if chain else None,
        )


def piece_terms(
    symbol: str, study: Study, chain: Chain, pieces: tuple[LoopPiece, ...], *, hot: bool
) -> Iterator[Term]:
    """The wires, contacts and devices of a chain itself, and of a chain that it begins behind."""
    heat = "hot" if hot else "cold"
    for i, piece in enumerate(pieces, 1):
        own = chain if piece.chain == chain.name else chains(study).by_name[piece.chain]
        wires = {conductor.id for conductor in own.conductors()}
        parts = {part.id: part for part in own.parts()}
        name, value = f"{symbol}{i}", piece.hot_ohm if hot else piece.cold_ohm
        if piece.name in wires:
            mark = marks(study)[piece.name]
            yield Term(name, value, "ohm", f"{mark}, {heat}", f"{heat} resistance of {mark}",
                       Ref("resistance", piece.name))  # fmt: skip
        elif parts[piece.name].kind == "diode":
            yield assumed("diode-resistance", name, "ohm")
        else:
            yield replace(part_term(study, own, parts[piece.name], name), value=value)
