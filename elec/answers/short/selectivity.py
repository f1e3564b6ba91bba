"""Does the device nearer to the fault open before the one behind it?

In: bands of the devices, short-circuit currents. Out: `Selectivity` by feeder, for the branches
that are hardest to beat. Compared are the longest time of the lower device and the shortest of the
upper one, up to where the lower one's curve or its short-circuit current ends.
"""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from elec.answers.short.fault import faults
from elec.answers.short.shorts import shorts
from elec.sizing.coordination import compared, hardest
from elec.sizing.devices import Device
from elec.sizing.order import in_one_path, to_alternator
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains
from elec.working import within


class Selectivity(Struct, frozen=True, kw_only=True):
    """A feeder's device over one of the devices behind it."""

    feeder: str
    upper: Device
    lower: Device
    branches: int
    """Devices behind the feeder."""
    ratio: float
    """Of the ratings; where other feeders carry a part of a short, as much more."""
    share: float
    """The part of a short in that branch that runs through the feeder."""
    sure_to_a: float | None
    """Current up to which the lower one surely opens first; None where a curve is missing."""
    looked_to_a: float
    """Current up to which was compared."""
    fault_a: float | None
    """The greatest that a short in that branch drives; None where it is not known."""

    @property
    def sure(self) -> bool:
        """Whether it holds as far as was compared."""
        return self.sure_to_a is not None and within(self.sure_to_a, self.looked_to_a, "at least")

    @property
    def whole(self) -> bool:
        """Whether that is as far as a short can drive."""
        return self.fault_a is not None and within(self.fault_a, self.looked_to_a)


@analysis
def selectivity(study: Study) -> Mapping[str, tuple[Selectivity, ...]]:
    """Every feeder with a device over the largest of each kind on its far bus, hardest first."""
    found = {}
    devices = sizing(study).devices
    for chain in chains(study).of("feeder"):
        upper = devices.get(chain.name)
        behind = [d for d in _behind(study, chain) if d.rating_a is not None]
        if upper is None or upper.rating_a is None or not behind or to_alternator(study, chain):
            continue
        made = [_pair(study, chain, upper, lower, len(behind)) for lower in hardest(behind)]
        found[chain.name] = tuple(sorted(made, key=_order))
    return found


def _order(pair: Selectivity) -> tuple[bool, float]:
    sure = 0.0 if pair.sure_to_a is None else pair.sure_to_a / max(pair.looked_to_a, 1e-9)
    return (pair.sure_to_a is not None and pair.sure, sure)


def _behind(study: Study, feeder: Chain) -> Iterator[Device]:
    """Devices behind a feeder that can carry its current to a fault."""
    for chain in chains(study).fed_from(feeder.far_end):
        device = sizing(study).devices.get(chain.name)
        if device is not None and chain.name != feeder.name and in_one_path(study, feeder, chain):
            yield device


def _pair(study: Study, chain: Chain, upper: Device, lower: Device, branches: int) -> Selectivity:
    fault = faults(study)[lower.chain].greatest_a
    up, low = upper.rating_a or 1.0, lower.rating_a or 1.0
    share = _share(study, chain, chains(study).by_name[lower.chain])
    sure, end = compared(
        (upper.kind, upper.family, up), (lower.kind, lower.family, low), fault or 1e9, share
    )
    return Selectivity(
        feeder=chain.name,
        upper=upper,
        lower=lower,
        branches=branches,
        ratio=up / share / low,
        share=share,
        sure_to_a=sure,
        looked_to_a=end,
        fault_a=fault,
    )


def _share(study: Study, feeder: Chain, branch: Chain) -> float:
    """The part of a short in a branch that runs through one of the feeders of its bus.

    By the solved short in normal flight. Alternators count as stopped, since a branch must open
    first without them too; a feeder that carries nothing then is alone when it does.
    """
    shorted = shorts(study).by_name.get(branch.name)
    begins = next((c.a.outlet for c in branch.conductors() if c.role == "feed"), "")
    first = [s for s in shorted.shorts if s.node == begins] if shorted is not None else []
    if not first:
        return 1.0
    beside = [
        chain
        for chain in chains(study).of("feeder")
        if chain.name != branch.name
        and feeder.far_end in (chain.source_end, chain.far_end)
        and not to_alternator(study, chain)
    ]
    carried = {
        chain.name: max((first[0].normal.through_a.get(c.id, 0.0) for c in chain.conductors()
                         if c.role == "feed"), default=0.0)
        for chain in beside
    }  # fmt: skip
    mine = carried.get(feeder.name, 0.0)
    return mine / sum(carried.values()) if mine > 0.0 else 1.0
