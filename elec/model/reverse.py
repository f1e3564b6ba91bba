"""How a motor is turned the other way: by a switch of two poles, or by two relays."""

from collections.abc import Sequence
from typing import Annotated, Literal

from pydantic import model_validator

from elec.model.entry import Entry
from elec.model.names import Names
from elec.model.quantity import Amps, Flag, Gauge, Metres, alone

ONE_POLE = ("(87)", "(30)", "(87a)")
SEVERAL_POLES = tuple((f"({pole}4)", f"({pole}1)", f"({pole}2)") for pole in "12345678")
"""Terminals of a relay where none are given: that of the contact that the coil closes, the common
one, that of the resting contact; of one pole by DIN 72552, of several, pole by pole, by EN 50005.
In brackets, for its maker may number them otherwise; one relay never has both."""
MARKS = {"switch": ("(1)", "(2)", "(3)", "(4)", "(5)", "(6)"), "relays": ONE_POLE}
"""Terminals where none are given: those of a switch counted, the middle ones common, in brackets,
for its maker may number them otherwise; of a relay of one pole those of DIN 72552, likewise."""
GIVEN = {"switch": ("1", "2", "3", "4", "5", "6"), "relays": ("87", "30", "87a")}
"""What a list of all terminals looks like."""

EXAMPLES = {
    "ways": ("up", "down"),
    "relays": ("flaps-up", "flaps-down"),
    "limits": ("flap-up-limit", "flap-down-limit"),
}
"""What a list of two looks like."""


class Reverse(Entry):
    """A motor that runs both ways: `reverse: switch`, `reverse: relays`, or with more said.

    A switch of two poles, off in the middle, crosses the two leads of the motor. Of two relays
    each takes one lead from ground to the bus; at rest both leads lie on ground, which brakes the
    motor. With relays the `switch` of the circuit is the one that pulls them, in a circuit of its
    own.
    """

    by: Literal["switch", "relays"]
    """What crosses the leads."""
    ways: Names = ("up", "down")
    """What the two ways are called, that with plus on the + of the motor first."""
    relays: Names = ()
    """The two relays, by their names under `switches`; left out: the circuit's name with that of
    each way (`flaps-up`, `flaps-down`)."""
    limits: Names = ()
    """Limit switches that stop it at the end of the first and of the second way, by their names
    under `switches`. With a switch each stands in a lead of the motor with a diode across it, so
    that it comes back; with relays in the feed of the coil."""
    interlock: Flag = False
    """With relays: a resting contact of each stands in the feed of the other one's coil."""
    breaker_a: Amps | None = None
    """With relays: the breaker of the circuit that pulls them; left out: chosen."""
    gauge: Gauge | None = None
    """With relays: the gauge of that circuit's wires; left out: chosen."""
    terminals: Names = ()
    """Of a switch its six terminals, three of one pole with the common one in the middle, then the
    other pole's; of a relay those to the bus, to the motor and to ground. Left out, they stand in
    brackets: those of a switch are counted, the lever up joins (2) with (3) and (5) with (6); of a
    relay (87), (30), (87a), with an interlock (14), (11), (12) beside the (21), (22) of that."""
    jumper_m: Metres | None = None
    """The length of each of the two wires that cross over on the switch, or go from relay to relay;
    left out: default `contactor-jumper`."""

    def marks(self, lever: Sequence[str] = ()) -> tuple[str, ...]:
        """The terminals: given, or counted so that the lever up joins 2 with 3 and 5 with 6.

        >>> one = Reverse(by="switch", ways=("nose up", "nose down"))
        >>> one.marks(("nose down", "off", "nose up"))
        ('(3)', '(2)', '(1)', '(6)', '(5)', '(4)')
        """
        if self.by == "relays":  # the interlock is its second pole
            return self.terminals or (SEVERAL_POLES[0] if self.interlock else ONE_POLE)
        if self.terminals or first_is_up(self.ways, lever):
            return self.terminals or MARKS[self.by]
        one, two, three, four, five, six = MARKS[self.by]
        return (three, two, one, six, five, four)

    @model_validator(mode="after")
    def _pairs(self) -> "Reverse":
        for key, names, count in (
            ("ways", self.ways, 2),
            ("relays", self.relays, 2),
            ("limits", self.limits, 2),
            ("terminals", self.terminals, len(MARKS[self.by])),
        ):
            if names and (len(names) != count or len(set(names)) != count):
                such = ", ".join(EXAMPLES.get(key, GIVEN[self.by]))
                raise ValueError(f"{count} different names are asked for, as in {key}: [{such}]")
        of_relays = {"relays": self.relays, "interlock": self.interlock,
                     "breaker": self.breaker_a, "gauge": self.gauge}  # fmt: skip
        if self.by == "switch" and any(of_relays.values()):
            given = next(key for key, value in of_relays.items() if value)
            raise ValueError(f"{given} belongs to reverse: relays")
        return self


def first_is_up(ways: Sequence[object], lever: Sequence[object]) -> bool:
    """Whether the first way of a motor is where the lever is up; so, too, where nobody said.

    >>> first_is_up(("down", "up"), ("up", "off", "down")), first_is_up(("down", "up"), ())
    (False, True)
    """
    return not lever or lever[0] != ways[-1]


ReverseText = Annotated[Reverse, alone("by")]

__all__ = ["MARKS", "ONE_POLE", "SEVERAL_POLES", "Reverse", "ReverseText", "first_is_up"]
