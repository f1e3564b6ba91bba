"""How long a wire is and what resistance it has; the resistance of a feeder or ground connection.

In: runs, sizing, loops. Out: hand calculations whose results are those of the analyses.
"""

from collections.abc import Iterator

from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.drop.drop_working import part_term
from elec.answers.grounds.loops import LoopPiece, loops, wire_piece
from elec.answers.heat.heat import heat
from elec.sizing.sizing import rated_degc, sizing
from elec.study import Study
from elec.wiring.chains import Chain, Conductor
from elec.wiring.hand import (
    DROP_SOURCE,
    assumed,
    computed,
    looked_up,
    resistance_term,
    total,
    where,
)
from elec.wiring.runs import runs
from elec.wiring.wires import crimped_ohm, kind_of, size_of
from elec.working import Step, Term, Working


def length_working(study: Study, conductor: Conductor) -> Working | None:
    """The length of a wire from its ways; None where it is not known."""
    run = runs(study)[conductor.id]
    mark = marks(study)[conductor.id]
    if run.length_m is None or not run.steps:
        return None
    return Working(title=f"Length of {mark}", steps=run.steps)


def resistance_working(study: Study, conductor: Conductor) -> Working | None:
    """The resistance of a wire with its end joints: at 20 °C, in use, and at its rating.

    None where its length is not known or no gauge of its own was found.
    """
    run = runs(study)[conductor.id]
    gauge = sizing(study).gauges.get(conductor.id)
    if run.length_m is None or gauge is None:
        return None
    mark = marks(study)[conductor.id]
    wire = size_of(study, conductor, gauge.awg)
    joint = assumed("j", "joint-resistance", "ohm")
    per_metre = resistance_term(wire)
    length = (
        run.steps[-1] if run.steps else looked_up(Term(symbol="L", value=run.length_m, unit="m"))
    )
    piece = wire_piece(study, conductor)
    bare = (per_metre, length.result)
    steps: list[Step] = [
        *run.steps,
        computed(
            "Rc", piece.cold_ohm, "ohm", "cold, with a crimped terminal at both ends",
            formula="R * L + 2 * j", terms=(*bare, joint),
        ),
    ]  # fmt: skip
    if conductor.id in heat(study):
        degc = sizing(study).careful_degc[conductor.id]
        used = Term(symbol="T", value=degc, unit="degC",
                    meaning="the warmest in use, as the circular estimates it",
                    origin=f"careful temperature of {mark}")  # fmt: skip
        ohm = crimped_ohm(wire, run.length_m, degc)
        steps.append(
            computed(
                "Rw", ohm, "ohm", "as warm as that: this one counts for the voltage drop",
                formula=f"R * L * {wire.warmth('T')} + 2 * j", terms=(*bare, used, joint),
                source=str(DROP_SOURCE),
            )
        )  # fmt: skip
    kind = kind_of(study, conductor)
    rated = Term(symbol="Tr", value=rated_degc(conductor, study), unit="degC",
                 meaning="insulation rating", origin=f"{kind.name}: {kind.origin}")  # fmt: skip
    steps.append(
        computed(
            "Rh", piece.hot_ohm, "ohm",
            "hot: this one counts for the least short-circuit current",
            formula=f"R * L * {wire.warmth('Tr')} + 2 * j", terms=(*bare, rated, joint),
            source=str(DROP_SOURCE),
        )
    )  # fmt: skip
    return Working(title=f"Length and resistance of {mark}", steps=tuple(steps))


def chain_resistance_working(study: Study, chain: Chain) -> Working | None:
    """The resistance of a feeder or ground connection, cold and hot, piece by piece.

    None for other chains. A ground connection whose resistance was measured has that one.
    """
    pieces = _pieces(study, chain)
    if not pieces:
        return None
    measured = _measured(study, chain)
    if measured is not None:
        return Working(title=f"Resistance of {chain.title}", steps=(looked_up(measured),))
    steps = []
    for words, symbol in (("cold", "Rc"), ("hot", "Rh")):
        terms = list(_terms(study, chain, pieces, words))
        value = sum(term.value for term in terms)
        meaning = f"{words}: wires at " + (
            "20 °C" if words == "cold" else "the rating of their insulation"
        )
        steps.append(computed(symbol, value, "ohm", meaning, formula=total(terms), terms=terms))
    return Working(title=f"Resistance of {chain.title}", steps=tuple(steps))


def _pieces(study: Study, chain: Chain) -> tuple[LoopPiece, ...]:
    if chain.kind == "feeder":
        return loops(study).feeders[int(chain.path[1])]
    return tuple(p for p in loops(study).grounds if p.chain == chain.name)


def _measured(study: Study, chain: Chain) -> Term | None:
    if chain.kind != "ground" or chain.path[0] != "grounds":
        return None
    known = study.document.grounds[str(chain.path[1])].resistance_ohm
    if known is None:
        return None
    return Term(symbol="R", value=known, unit="ohm", meaning="measured, cold and hot alike",
                origin=where(study, *chain.path, "resistance"))  # fmt: skip


def _terms(study: Study, chain: Chain, pieces: tuple[LoopPiece, ...], heat_: str) -> Iterator[Term]:
    wires = {conductor.id for conductor in chain.conductors()}
    parts = {part.id: part for part in chain.parts()}
    for i, piece in enumerate(pieces, 1):
        value = piece.hot_ohm if heat_ == "hot" else piece.cold_ohm
        if piece.name in wires:
            mark = marks(study)[piece.name]
            yield Term(symbol=f"r{i}", value=value, unit="ohm", meaning=f"{mark}, {heat_}",
                       origin=f"{heat_} resistance of {mark}")  # fmt: skip
        elif parts[piece.name].kind == "diode":
            yield assumed(f"r{i}", "diode-resistance", "ohm")
        else:
            yield replace(part_term(study, chain, parts[piece.name], f"r{i}"), value=value)
