"""How the change of a field at a sensor was found, step by step.

In: a sensor and what one load does to it. Out: a `Working`.
"""

import numpy as np

from elec.answers.fields.field import Disturbance, Disturbed
from elec.answers.fields.lying import Piece
from elec.physics.magnetics import Point, axis_change_ut, horizontal_ut, piece_field_ut
from elec.study import Study
from elec.wiring.ways import spot_m
from elec.working import Step, Working, given


def field_working(study: Study, found: Disturbed, one: Disturbance) -> Working:
    """How the change at a sensor was found: its greatest piece, the sums, the horizontal part."""
    steps: list[Step] = []
    if one.worst is not None and found.at_m is not None and abs(one.worst_net_a) > 1e-6:
        steps.append(_piece_step(study, one.worst, found.at_m, one.worst_net_a))
    every = "sum over all pieces of the ways, by their coordinates"
    changes = [
        axis_change_ut.step(
            net_ut=given(abs(net) * 1e6, every),
            pair_ut=given(pair * 1e6, every),
            symbol=f"B_{axis}",
            meaning=f"greatest change {axis}",
        )
        for axis, net, pair in zip(("aft", "right", "up"), one.net_t, one.pair_t, strict=True)
    ]
    level = horizontal_ut.step(aft_ut=changes[0], right_ut=changes[1])
    name = study.system.title("equipment", one.equipment)
    title = f"{name} at {found.title}, {one.phase}, {one.condition}"
    return Working(title=title, steps=(*steps, *changes, level))


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
        current_a=given(abs(amps), "the network solved with the load on and off"),
        distance_m=given(near, str(study.system.where("places", piece[0]))),
        start_cosine=given(c1, coordinates),
        end_cosine=given(c2, coordinates),
        meaning=f"{piece_field_ut.result.meaning} {places}",
    )
