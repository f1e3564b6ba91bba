"""The published chart of wires and their protectors, both ways.

In: a gauge, or a device. Out: the greatest device for the gauge, the thinnest gauge for the device.
"""

from functools import cache

from elec.model.wiring import DeviceKind
from elec.sizing.devices import Device
from elec.standards import AWGS, table
from elec.working import within


@cache
def chart_most_a(awg: str, kind: DeviceKind) -> float | None:
    """The greatest breaker, or fuse, that the chart allows a gauge; None where it says nothing.

    >>> chart_most_a("20", "breaker"), chart_most_a("1", "breaker")  # AC 43.13-1B table 11-3
    (7.5, None)
    """
    column = "breaker_a" if kind == "breaker" else "fuse_a"
    found = table("ac4313/protector").select(awg=awg)
    return found[0].number(column) if found and found[0].has(column) else None


def chart_allows(awg: str, device: Device) -> bool:
    """Whether the chart has a device of that rating, or a greater one, for a gauge."""
    most = chart_most_a(awg, device.kind)
    return most is not None and device.rating_a is not None and within(device.rating_a, most)


@cache
def chart_awg(rating_a: float, kind: DeviceKind) -> str | None:
    """The thinnest gauge that the chart gives a breaker, or a fuse; None where its values end.

    >>> chart_awg(15, "breaker"), chart_awg(200, "limiter")
    ('16', None)
    """
    for awg in AWGS:
        most = chart_most_a(awg, kind)
        if most is not None and within(rating_a, most):
            return awg
    return None
