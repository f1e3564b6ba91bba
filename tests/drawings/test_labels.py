"""Texts of a map that crowd: which find a place, and where, when each is in the way of others."""

import random

import pytest

from elec.drawings.ink import Box
from elec.drawings.layout.labels import Label, Standing, Thick, stand

ROOM: Box = (0.0, 0.0, 120.0, 80.0)
KEPT = {
    0: (40, 9, 3637.472),
    1: (33, 14, 2912.27),
    2: (38, 14, 3309.046),
    6: (38, 17, 3469.15),
}
"""Seed → how many stand, how many with a leader, the sum of where their boxes begin in mm."""


def crowd(seed: int) -> dict[str, Standing]:
    """Forty texts beside twelve lines, in a room that is too small for all."""
    rnd = random.Random(seed)  # noqa: S311

    def spot() -> tuple[float, float]:
        return rnd.uniform(5.0, 115.0), rnd.uniform(5.0, 75.0)

    lines = tuple(Thick(ends=(spot(), spot()), half_mm=0.4) for _ in range(12))
    labels = tuple(
        Label(id=f"t{k}", wide_mm=rnd.uniform(6.0, 24.0), high_mm=3.6, reach_mm=1.0,
              anchors=tuple(spot() for _ in range(rnd.randint(1, 3))))
        for k in range(40)
    )  # fmt: skip
    return stand(labels, ROOM, marks=(), lines=lines)


def apart(one: Box, two: Box) -> bool:
    """Whether two boxes do not overlap."""
    return one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]


@pytest.mark.parametrize("seed", KEPT)
def test_texts_that_give_way_to_one_another_stand_where_they_stood(seed: int) -> None:
    found = list(crowd(seed).values())
    for k, one in enumerate(found):
        assert all(apart(one.box, two.box) for two in found[:k])
    begins = sum(one.box[0] + one.box[1] for one in found)
    led = sum(one.leader is not None for one in found)
    assert (len(found), led, round(begins, 3)) == KEPT[seed]
