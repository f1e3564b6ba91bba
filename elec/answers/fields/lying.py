"""Which conductors lie where, and how the currents of a load spread over them.

In: runs, and a change of current in every conductor. Out: `Flow`: what comes back beside itself
and what does not, on each way and for each chain within a place. No sensor counts here.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np
from msgspec import Struct

from elec.answers.base.points import points
from elec.network.netlist import Array, Flags
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.wiring.runs import runs

Piece = tuple[str, str]
"""A straight piece of the map, from place to place in the order of the way."""
Numbers = np.ndarray[tuple[Any, ...], np.dtype[np.intp]]
NO_GAUGE = "22"
"""Counts where the gauge is not known."""
LEAST_A = 1e-9
"""What comes back beside itself counts from here."""


class Lying(Struct, frozen=True, kw_only=True):
    """A conductor on a piece of the map: against the piece's direction, sign is -1."""

    conductor: str
    sign: int
    group: str
    """What it is twisted with; empty where it lies loose."""


@analysis
def pieces(study: Study) -> Mapping[Piece, tuple[Lying, ...]]:
    """What lies on each way, by its two places."""
    found: dict[Piece, list[Lying]] = {}
    for conductor in chains(study).conductors():
        run = runs(study)[conductor.id]
        group = twisted(study, conductor)
        for here, leg in zip(run.places, run.legs, strict=False):
            sign = 1 if leg.between[0] == here else -1
            lying = Lying(conductor=conductor.id, sign=sign, group=group)
            found.setdefault(leg.between, []).append(lying)
    return {piece: tuple(lying) for piece, lying in found.items()}


def twisted(study: Study, conductor: Conductor) -> str:
    """What twists a conductor with its return: its cable or its circuit."""
    if conductor.cable is not None:
        kind = study.document.cables[conductor.cable].type
        return conductor.cable if "twisted" in kind or "shielded" in kind else ""
    circuit = study.document.circuits.get(conductor.chain)
    return conductor.chain if circuit is not None and circuit.twisted else ""


@analysis
def within_places(study: Study) -> Mapping[tuple[str, str], tuple[Conductor, ...]]:
    """Conductors that begin and end within one place, by place and chain."""
    found: dict[tuple[str, str], list[Conductor]] = {}
    for conductor in chains(study).conductors():
        run = runs(study)[conductor.id]
        if len(set(run.places)) == 1 and not run.legs:
            found.setdefault((run.places[0], conductor.chain), []).append(conductor)
    return {where: tuple(members) for where, members in found.items()}


@analysis
def carrying(study: Study) -> Mapping[str, int]:
    """Conductors of the network, each with its place in an array of currents."""
    rows = points(study).rows
    found = dict.fromkeys(c.id for c in chains(study).conductors() if c.id in rows)
    return {name: place for place, name in enumerate(found)}


class Flow(Struct, frozen=True, kw_only=True):
    """Amperes that a load moves: pieces as in `pieces`, chains as in `within_places`."""

    alone_a: Array
    """On each piece, what does not return there, in its direction."""
    loose_a: Array
    """On each piece, what returns loose beside itself."""
    twisted_on: Numbers
    """Pieces on which something returns twisted, one for each pair, with its gauge and amperes."""
    twisted_gauge: Numbers
    twisted_a: Array
    inside_alone_a: Array
    """In each chain within a place, what does not come back beside itself."""
    inside_paired_a: Array

    def any(self) -> Flags:
        """Whether anything flows on each piece."""
        found: Flags = (self.alone_a != 0.0) | (self.loose_a != 0.0)
        found[self.twisted_on] = True
        return found


class Strands(Struct, frozen=True, kw_only=True):
    """Where each conductor lies, as arrays: members on pieces, bound into strands by twist."""

    conductor: Numbers
    sign: Array
    gauge: Numbers
    strand: Numbers
    strand_piece: Numbers
    pieces: int
    gauges: tuple[str, ...]
    """What the numbers of gauges mean."""
    out: tuple[Numbers, Numbers]
    """Conductors that are no returns, and the chain within a place that each belongs to."""
    back: tuple[Numbers, Numbers]
    insides: int

    def flow(self, conductor_a: Array) -> Flow:
        """How a change in every conductor, in the order of `carrying`, spreads."""
        amps = conductor_a[self.conductor] * self.sign
        strands = len(self.strand_piece)
        sum_a = np.bincount(self.strand, amps, strands)
        back_a = (np.bincount(self.strand, np.abs(amps), strands) - np.abs(sum_a)) / 2
        alone = np.asarray(np.bincount(self.strand_piece, sum_a, self.pieces), np.float64)
        loose = np.bincount(self.strand_piece, np.abs(sum_a), self.pieces)
        live = amps.nonzero()[0][::-1]
        first = np.zeros(strands, np.intp)
        first[self.strand[live]] = live  # the first that carries anything is written last
        pairs = (back_a > LEAST_A).nonzero()[0]
        size = np.abs(conductor_a)
        out, back = (
            np.bincount(chain, size[rows], self.insides) for rows, chain in (self.out, self.back)
        )
        return Flow(
            alone_a=alone,
            loose_a=np.maximum(0.0, (loose - np.abs(alone)) / 2),
            twisted_on=self.strand_piece[pairs],
            twisted_gauge=self.gauge[first[pairs]],
            twisted_a=back_a[pairs],
            inside_alone_a=np.abs(out - back),
            inside_paired_a=np.minimum(out, back),
        )


@analysis
def spread(study: Study) -> Strands:
    """Every conductor of the network on the pieces and in the places where it lies."""
    at, sizes = carrying(study), sizing(study).gauges
    gauges = {NO_GAUGE: 0}
    members: list[tuple[int, int, int, int]] = []
    strands: dict[tuple[int, str], int] = {}
    for piece, lying in enumerate(pieces(study).values()):
        for one in lying:
            if one.conductor not in at:
                continue
            size = sizes.get(one.conductor)
            gauge = gauges.setdefault(size.awg if size else NO_GAUGE, len(gauges))
            bound = f"with {one.group}" if one.group else one.conductor
            strand = strands.setdefault((piece, bound), len(strands))
            members.append((at[one.conductor], one.sign, gauge, strand))
    conductor, sign, gauge_of, strand_of = np.array(members, np.intp).reshape(-1, 4).T
    inside = within_places(study)
    ends = [
        (at[c.id], number, c.role == "return")
        for number, chain in enumerate(inside.values())
        for c in chain
        if c.id in at
    ]
    row, chain_of, returns = np.array(ends, np.intp).reshape(-1, 3).T
    leaves, comes = np.flatnonzero(returns == 0), np.flatnonzero(returns)
    return Strands(
        conductor=conductor,
        sign=sign.astype(float),
        gauge=gauge_of,
        strand=strand_of,
        strand_piece=np.array([piece for piece, _ in strands], np.intp),
        pieces=len(pieces(study)),
        gauges=tuple(gauges),
        out=(row[leaves], chain_of[leaves]),
        back=(row[comes], chain_of[comes]),
        insides=len(inside),
    )
