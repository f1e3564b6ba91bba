"""Which fuse at the far end of a feeder holds what it carries and opens first in a short.

In: what the feeder carries, as it is and after any single failure, and the devices that open too
soon. Out: `Fits`. It names a size to try; the checks judge it once it is in the file.
"""

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.failures.overload import overloads
from elec.model.wiring import Protection
from elec.sizing.coordination import compared
from elec.sizing.devices import Device
from elec.sizing.feeder_devices import RESERVE
from elec.sizing.picking import choose
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Chain, Part
from elec.wiring.duty import duties
from elec.working import within


class Fits(Struct, frozen=True, kw_only=True):
    """The smallest fuse that holds; it is quicker than all others where `slower_than` is empty."""

    rating_a: float | None
    """None where no fuse is made that holds, or where it is not known what it has to hold."""
    carries_a: float
    """What it was chosen for."""
    slower_than: str
    """The key of a device that may open before it."""


def far_end_fits(study: Study, chain: Chain, others: Sequence[str]) -> Fits:
    """The fuse that fits at the far end of a feeder.

    Args:
        study: the run.
        chain: a feeder.
        others: keys of the devices that must stay closed.
    """
    devices = sizing(study).devices
    carries = most_a(study, chain)
    fuse = choose(study, _with_fuse(chain), carries * RESERVE, lasting=True)
    if fuse.rating_a is None or fuse.unknown:
        return Fits(rating_a=None, carries_a=carries, slower_than="")
    slower = next((key for key in others if key in devices and _before(fuse, devices[key])), "")
    return Fits(rating_a=fuse.rating_a, carries_a=carries, slower_than=slower)


def most_a(study: Study, chain: Chain) -> float:
    """The most that a feeder carries, also if it stands alone, and after any single failure."""
    duty = duties(study).get(chain.name)
    device = sizing(study).devices.get(chain.name)
    after = [one.carried.get(chain.name, 0.0) for one in overloads(study).found]
    return max(
        duty.current_a if duty else 0.0,
        (device.load_a or 0.0) if device else 0.0,
        max(after, default=0.0),
    )


def _with_fuse(chain: Chain) -> Chain:
    """The feeder as a fuse at its far end would see it."""
    end = chain.rows[0].parts[-1]
    part = Part(
        id=f"{chain.name}/far-fuse",
        kind="fuse",
        name=chain.name,
        place=end.place,
        inlet=end.inlet,
        outlet=end.outlet,
        protection=Protection(),
        rated=f"{chain.name} far end",
    )
    return replace(chain, device=part, far_device=None)


def _before(fuse: Device, other: Device) -> bool:
    """Whether another device may open before a fuse that carries the same current."""
    if other.rating_a is None or fuse.rating_a is None:
        return True
    upper = (other.kind, other.family, other.rating_a)
    sure, end = compared(upper, (fuse.kind, fuse.family, fuse.rating_a), 1e9)
    return sure is None or not within(sure, end, "at least")


__all__ = ["Fits", "far_end_fits", "most_a"]
