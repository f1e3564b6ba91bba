"""What is wired behind a panel: the marks of the wires at each device and switch."""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.answers.connect.panel import Positioned
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, Part, Row, chains

THERE = "on its sheet"
"""Where the wires of terminals are that take more than a cell."""


def behind_device(study: Study, chain: Chain) -> str:
    """The wire at a device that is bolted to its bus; both wires where it is not."""
    before: dict[str, None] = {}
    after: dict[str, None] = {}
    for row in chain.rows:
        for part, line, load in _between(row):
            if part is chain.device:
                before.update({marks(study)[line.id]: None} if line else {})
                after.update({marks(study)[load.id]: None} if load else {})
    return "→".join(", ".join(found) for found in (before, after) if found)


def _between(row: Row) -> Iterator[tuple[Part, Conductor | None, Conductor | None]]:
    """Each part of a row with the wires before and behind it; None where there is none."""
    wires = (None, *row.conductors, None)
    for k, part in enumerate(row.parts):
        yield part, wires[k], wires[k + 1]


def by_pole(study: Study, subject: Positioned) -> str:
    """The wires of a switch, pole by pole; of one with throws the sheet of its circuit has them."""
    poles: dict[str, None] = {}
    for name in subject.chains:
        for row in chains(study).named(name).rows:
            for part, before, after in _between(row):
                if part.name != subject.name or part.kind not in ("switch", "changeover"):
                    continue
                if any(part.terminals):
                    return THERE
                ends = [marks(study)[wire.id] for wire in (before, after) if wire is not None]
                poles["→".join(ends)] = None
    return ", ".join(poles)
