"""How much more a bus, source, feeder, circuit or place can take, and what binds.

In: a study, a name. Out: `Room`. A lasting load of constant current is put there, on in every phase
but the start (of a circuit, its first load draws more), with all sizes as they are now, and the
checks are asked again: the most at which no answer gets worse.
"""

from msgspec import Struct

from elec.attempt.search import SHOWN, Bound, RoomSearch
from elec.attempt.spot import analysis_volts, frozen, spot_of
from elec.finding import Finding
from elec.study import Study


class Room(Struct, frozen=True, kw_only=True):
    """What one thing can take."""

    name: str
    kind: str
    """`bus`, `source`, `feeder`, `circuit`, `place`."""
    bus: str
    place: str
    voltage_v: float
    """Of the load analysis."""
    extra_a: float | None
    """None where nothing binds."""
    bounds: tuple[Bound, ...]
    """The nearest first."""
    beyond: tuple[Finding, ...]
    """What is said just beyond."""
    runs: int

    @property
    def extra_w(self) -> float | None:
        """The same in W at the voltage of the load analysis."""
        return None if self.extra_a is None else self.extra_a * self.voltage_v


def room(study: Study, name: str, bus: str | None = None) -> Room:
    """How much more fits at a bus, source, feeder, circuit or place.

    Args:
        study: the system.
        name: one of these; the first that is called so.
        bus: for a place, the bus that feeds the load; None: the usual one there.

    Raises:
        Unclear: nothing is called so.
    """
    spot = spot_of(study, name, bus)
    search = RoomSearch(frozen(study), spot)
    most = search.most_a()
    return Room(
        name=name,
        kind=spot.kind,
        bus=spot.bus,
        place=spot.place,
        voltage_v=analysis_volts(study),
        extra_a=most,
        bounds=search.bounds(most),
        beyond=tuple(search.beyond.values()),
        runs=len(search.made),
    )


__all__ = ["SHOWN", "Bound", "Room", "room"]
