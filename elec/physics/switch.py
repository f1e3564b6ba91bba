"""Switches: the rating that a load needs."""

from elec.standards.cite import place_of, source
from elec.standards.table import NotCovered, table


@source("ac4313", "table 11-4")
def needed_rating_a(*, current_a: float, nominal_v: float, load: str) -> float:
    """Rating that a switch needs: the table's factor times the load's current.

    `load` is `lamp`, `inductive`, `resistive` or `motor`. A 14 V system takes the 12 V rows, a
    24 V one the 28 V rows.

    >>> needed_rating_a(current_a=4, nominal_v=28, load="lamp")
    32.0
    >>> needed_rating_a(current_a=4, nominal_v=14, load="lamp")
    20.0

    Raises:
        NotCovered: another voltage or kind of load.
    """
    rows = {12.0: 12.0, 14.0: 12.0, 24.0: 28.0, 28.0: 28.0}
    if nominal_v not in rows:
        raise NotCovered(
            "nominal voltage", f"{nominal_v:g} V", "14 and 28 V", place_of(needed_rating_a)
        )
    factor = table("ac4313/switch_derating").value("factor", nominal_v=rows[nominal_v], load=load)
    return factor * current_a
