"""Marks along a wire."""

import math

from elec.standards.cite import place_of, source
from elec.standards.table import NotCovered


@source("ac4313", "11-208", "computed")
def mark_count(*, length_in: float, end_in: float, every_in: float) -> float:
    """How many marks a wire needs: none below 3 in, one to 7 in, then both ends and between.

    `end_in` is how far the end marks sit from the ends, `every_in` how far marks may be apart; the
    document has 3 and 15 in.

    >>> [mark_count(length_in=x, end_in=3, every_in=15) for x in (2, 5, 12, 21, 22, 36, 120)]
    [0, 1, 2, 2, 3, 3, 9]

    Raises:
        NotCovered: a negative length.
    """
    if length_in < 0:
        raise NotCovered("length", f"{length_in:g} in", "0 or more", place_of(mark_count))
    if length_in < 3:
        return 0
    if length_in <= 7:
        return 1
    return 2 + max(0, math.ceil((length_in - 2 * end_in) / every_in - 1e-9) - 1)
