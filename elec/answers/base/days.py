"""The days on which a flight is looked at: cold, usual, hot.

In: defaults, `coldest:` of the batteries. Out: `Day` records.
"""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from elec.answers.base.bodies import Bank, batteries, body
from elec.standards import default
from elec.study import Study

DayName = Literal["cold", "usual", "hot"]
NAMES: tuple[DayName, ...] = ("cold", "usual", "hot")


class Day(Struct, frozen=True, kw_only=True):
    """The air around alternator and regulator, and the temperature of each battery."""

    name: DayName
    air_degc: float
    battery_degc: Mapping[str, float]

    @property
    def title(self) -> str:
        """`cold day`."""
        return f"{self.name} day"


def days(study: Study) -> tuple[Day, ...]:
    """Cold, usual, hot; on the cold day a battery is as cold as the builder says it gets."""
    found = []
    for name in NAMES:
        air = default(f"{name}-day").value
        degrees = {
            battery: entry.coldest_degc
            if name == "cold" and entry.coldest_degc is not None
            else air
            for battery, entry in batteries(study).items()
        }
        found.append(Day(name=name, air_degc=air, battery_degc=degrees))
    return tuple(found)


def bank(study: Study, every: tuple[Day, ...]) -> Bank:
    """The batteries on each of these days."""
    known = batteries(study)
    return Bank(
        tuple(
            tuple(body(study, name, one, day.battery_degc[name]) for name, one in known.items())
            for day in every
        )
    )
