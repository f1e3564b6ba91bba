"""How the change of a field at a sensor was found, step by step.

In: a sensor and what one load does to it. Out: a `Working`.
"""

import numpy as np

from elec.answers.fields.field import Disturbance, Disturbed, Piece, spot_m
from elec.physics.magnetics import Point, piece_field_ut
from elec.standards import Cite
from elec.study import Study
from elec.working import Step, Term, Working


def field_working(study: Study, found: Disturbed, one: Disturbance) -> Working:
    """How the change at a sensor was found: its greatest piece, the sums, the horizontal part."""
    steps: list[Step] = []
    if one.worst is not None and found.at_m is not None and abs(one.worst_net_a) > 1e-6:
        steps.append(_piece_step(study, one.worst, found.at_m, one.worst_net_a))
    axes = ("aft", "right", "up")
    for axis, net, pair in zip(axes, one.net_t, one.pair_t, strict=True):
        steps.append(
            Step(
                result=_term(f"B_{axis}", (abs(net) + pair) * 1e6, f"greatest change {axis}"),
                formula="n + p",
                terms=(
                    _term(
                        "n", abs(net) * 1e6, "currents that do not return beside themselves", _SUM
                    ),
                    _term(
                        "p", pair * 1e6, "feeds with their returns beside them, at the most", _SUM
                    ),
                ),
                source=str(_LAW),
                note="sums over all pieces of the way, each a straight wire",
            )
        )
    level = one.horizontal_t * 1e6
    steps.append(
        Step(
            result=_term("B", level, "greatest change of the horizontal field"),
            formula="sqrt(B_aft**2 + B_right**2)",
            terms=tuple(
                _term(f"B_{axis}", value * 1e6, f"change {axis}")
                for axis, value in zip(axes[:2], one.most_t[:2], strict=True)
            ),
        )
    )
    name = study.system.title("equipment", one.equipment)
    return Working(
        title=f"{name} at {found.title}, {one.phase}, {one.condition}", steps=tuple(steps)
    )


_SUM = "sum over all pieces of the ways, by their coordinates"
_LAW = Cite("textbook", "Biot-Savart law, straight piece", "computed")


def _term(symbol: str, value: float, meaning: str, origin: str = "computed") -> Term:
    return Term(symbol=symbol, value=value, unit="µT", meaning=meaning, origin=origin)


def _piece_step(study: Study, piece: Piece, at: Point, amps: float) -> Step:
    """The field of the piece that does most, by distance and the two angles at its ends."""
    ends = [spot_m(study.document.places.get(place)) for place in piece]
    a, b, p = (np.array(v, float) for v in (*ends, at))
    along = (b - a) / float(np.linalg.norm(b - a))
    near = float(np.linalg.norm((p - a) - along * float((p - a) @ along)))
    c1 = float((p - a) @ along) / float(np.linalg.norm(p - a))
    c2 = float((b - p) @ along) / float(np.linalg.norm(b - p))
    places = " to ".join(study.system.title("places", place) for place in piece)
    coordinates = "coordinates of the places"
    return piece_field_ut.step(
        Term(symbol="I", value=abs(amps), unit="A", meaning="what does not return there",
             origin="the network solved with the load on and off"),
        Term(symbol="d", value=near, unit="m", meaning="distance from the line of the piece",
             origin=str(study.system.where("places", piece[0]))),
        Term(symbol="c1", value=c1, unit="", meaning="cosine of the angle at one end",
             origin=coordinates),
        Term(symbol="c2", value=c2, unit="", meaning="cosine of the angle at the other end",
             origin=coordinates),
        meaning=f"{piece_field_ut.result.meaning} {places}",
    )  # fmt: skip
