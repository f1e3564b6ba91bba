"""The wire behind a relay that changes over, which more than one feeder feeds.

In: chains. Out: by feeder what lies behind the common terminal on which it ends. The wire is laid
once, with the feeder that stands first in the file; the devices of all guard it.
"""

from collections.abc import Mapping

from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, chains


@analysis
def behind_common(study: Study) -> Mapping[str, tuple[Chain, tuple[Conductor, ...]]]:
    """Feeder that ends on a common terminal → the feeder that goes on, and its wires from there."""
    ends = {
        chain.rows[0].parts[-1].inlet: chain.name
        for chain in chains(study).of("feeder")
        if chain.rows[0].parts[-1].kind == "post"
    }
    found = {}
    for chain in chains(study).of("feeder"):
        row = chain.rows[0]
        for at, part in enumerate(row.parts):
            if part.outlet in ends and chain.name != ends[part.outlet]:
                wires = tuple(c for c in row.conductors[at:] if c is not None)
                found[ends[part.outlet]] = (chain, wires)
    return found


def wires_behind(study: Study, chain: Chain) -> tuple[Conductor, ...]:
    """The wires that the device of a chain is to guard: its own, and what it leads on to."""
    _, shared = behind_common(study).get(chain.name, (chain, ()))
    return (*chain.conductors(), *shared)


def feeding(study: Study, chain: Chain) -> tuple[str, ...]:
    """The other feeders whose current flows through a part of a feeder."""
    return tuple(n for n, (first, _) in behind_common(study).items() if first.name == chain.name)


__all__ = ["behind_common", "feeding", "wires_behind"]
