"""What the meter reads through a switch that turns a motor: in which of its positions."""

from elec.answers.connect.readings import readings
from tests.answers.helper import loads_of, small

PLUG = "flaps: {place: panel, connectors: {J1: {type: own, pins: {A: power, B: ground}}}"
TURNED = "flaps: {bus: main, breaker: auto, switch: lever, reverse: {by: switch, ways: [UP, DOWN]}"


def test_the_position_is_named_in_which_the_meter_reads_that() -> None:
    """At the other throw a sound wire reads open: *on* would be no position of it."""
    text = loads_of({"flaps": "5 A"})
    text = text.replace("flaps: {place: panel", PLUG)
    text = text.replace("flaps: {bus: main, breaker: auto", TURNED)
    ends = [end for found in readings(small(text)).values() for end in found]
    words = {word for end in ends for word in end.through if word.startswith("lever")}
    assert words == {"lever at UP"}
