"""Fusible links: a piece of thinner wire that melts before the wire behind it does.

In: gauges as chosen. Out: the gauge of each link, given or four gauge numbers thinner than the
thinnest wire behind it. What current it opens at is in no table here, and stays unknown.
"""

from collections.abc import Mapping

from msgspec.structs import replace

from elec.sizing.chosen import Sizing
from elec.sizing.devices import Device
from elec.standards import AWGS
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.limits import limit


def gauge_number(awg: str) -> int:
    """The number of a gauge, those thicker than 0 below it.

    >>> gauge_number("22"), gauge_number("0"), gauge_number("000")
    (22, 0, -2)
    """
    return 1 - len(awg) if set(awg) == {"0"} else int(awg)


def thinner(awg: str, numbers: float) -> str | None:
    """The thickest gauge that is made and so many numbers thinner; None where none is.

    >>> thinner("18", 4), thinner("1", 4), thinner("24", 4)
    ('22', '6', None)
    """
    fit = [one for one in AWGS if gauge_number(one) - gauge_number(awg) >= numbers]
    return fit[-1] if fit else None


def behind(chain: Chain, done: Sizing) -> str | None:
    """The thinnest wire that a link protects."""
    wires = [
        done.gauges[c.id].awg for c in chain.conductors() if not c.stub and c.id in done.gauges
    ]
    return min(wires, key=AWGS.index, default=None)


def with_links(study: Study, done: Sizing) -> Sizing:
    """The same sizes, each link with its gauge."""
    return replace(done, devices=_linked(study, done))


def _linked(study: Study, done: Sizing) -> Mapping[str, Device]:
    found = dict(done.devices)
    for name, device in done.devices.items():
        part = chains(study).named(name).device
        if device.kind != "link" or part is None or part.protection is None:
            continue
        given, chosen = part.protection.gauge, part.protection.rating_a is None
        wire = behind(chains(study).named(name), done)
        awg = given
        if given is None and chosen and wire is not None:
            awg = thinner(wire, limit(study, "link-thinner").value)
        unknown = device.unknown
        if awg is not None and device.rating_a is None:
            unknown = "at which current a link opens is in no table here; its maker says"
        found[name] = replace(device, link_awg=awg, unknown=unknown)
    return found


__all__ = ["behind", "gauge_number", "thinner", "with_links"]
