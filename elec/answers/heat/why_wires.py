"""How long a wire is and what resistance it has; the resistance of a feeder or ground connection.

In: runs, sizing, loops. Out: hand calculations whose results are those of the analyses.
"""

from typing import Any

from elec.answers.base.marks import marks
from elec.answers.grounds.loops import LoopPiece, loops, piece_terms
from elec.answers.heat.heat import heat
from elec.physics.drop import crimped_ohm
from elec.sizing.sizing import rated_degc, sizing
from elec.study import Study
from elec.wiring.chains import Chain, Conductor
from elec.wiring.hand import assumed, looked_up, resistance_term, where
from elec.wiring.runs import runs
from elec.wiring.wires import kind_of, size_of
from elec.working import Ref, Term, Working, computed, given, leading_to, total


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
    kind, wire = kind_of(study, conductor), size_of(study, conductor, gauge.awg)
    warm: dict[str, Any] = {
        "resistance_20degc_ohm_per_m": resistance_term(wire),
        "length_m": run.steps[-1] if run.steps else given(run.length_m, ""),
        "joint_ohm": assumed("joint-resistance"),
        "zero_degc": wire.zero_degc,
    }
    steps = [crimped_ohm.step(
        **warm, conductor_degc=20.0, symbol="Rc",
        meaning="cold, with a crimped terminal at both ends",
    )]  # fmt: skip
    if conductor.id in heat(study):
        used = given(
            sizing(study).careful_degc[conductor.id],
            f"careful temperature of {mark}",
            "the warmest in use, as the circular estimates it",
            Ref("temperature", conductor.id),
        )
        steps.append(crimped_ohm.step(
            **warm, conductor_degc=used, symbol="Rw",
            meaning="as warm as that: this one counts for the voltage drop",
        ))  # fmt: skip
    rated = given(rated_degc(conductor, study), f"{kind.name}: {kind.origin}", "insulation rating")
    steps.append(crimped_ohm.step(
        **warm, conductor_degc=rated, symbol="Rh",
        meaning="hot: this one counts for the least short-circuit current",
    ))  # fmt: skip
    return Working(title=f"Length and resistance of {mark}", steps=leading_to(*steps))


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
    for words, at in (("cold", "20 °C"), ("hot", "the rating of their insulation")):
        terms = list(piece_terms("r", study, chain, pieces, hot=words == "hot"))
        meaning = f"{words}: wires at {at}"
        steps.append(computed(f"R{words[0]}", "ohm", meaning, total(terms), terms))
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
    return Term("R", known, "ohm", "measured, cold and hot alike",
                where(study, *chain.path, "resistance"))  # fmt: skip
