"""For which studs and gauges ring terminals are made, and the thinnest wire that one takes.

In: `stud:` of buses, grounds and switches; the table of rings. Out: threads, studs by gauge, the
least gauge of a wire that ends on a stud.
"""

from collections.abc import Mapping
from functools import cache

from elec.model.wiring import Stud
from elec.standards import AWGS, table
from elec.study import Study
from elec.wiring.chains import Chain, Part

SAME_RING: Mapping[str, str] = {
    "M4": "no-8", "M5": "no-10", "M6": "1/4", "M8": "5/16", "M10": "3/8",
}  # fmt: skip
SECTIONS: Mapping[str, str] = {
    "bus": "buses", "ground": "grounds", "switch": "switches", "contactor": "switches",
    "changeover": "switches", "post": "switches",
}  # fmt: skip
"""Kind of a part → section of the file in which it may have a stud."""


def thread_at(study: Study, part: Part) -> Stud | None:
    """The thread that a ring goes on at an end, as the builder writes it; None: nobody said."""
    section = SECTIONS.get(part.kind)
    entry = getattr(study.document, section).get(part.name) if section else None
    return None if entry is None else entry.stud


@cache
def made(awg: str, stud: str) -> bool:
    """Whether a ring terminal of a gauge is commonly made for a stud.

    >>> made("20", "no-8"), made("4", "M6"), made("4", "no-8")
    (True, True, False)
    """
    return stud in rings(awg)


@cache
def rings(awg: str) -> tuple[str, ...]:
    """The studs that rings of a gauge are made for, the metric ones after those in inches."""
    inches = [
        row.text("stud")
        for row in table("elec/ring_terminals")
        if AWGS.index(row.text("awg_thin")) <= AWGS.index(awg) <= AWGS.index(row.text("awg_thick"))
    ]
    return (*inches, *(metric for metric, inch in SAME_RING.items() if inch in inches))


def ringed_gauge(study: Study, chain: Chain) -> tuple[str, str] | None:
    """The thinnest gauge of which rings are made for all studs that a chain ends on, and why."""
    found = [
        (thinnest, f"no ring of a thinner gauge is made for {part.label}")
        for conductor in chain.conductors()
        for part in (conductor.a, conductor.b)
        if (stud := thread_at(study, part)) is not None
        and (thinnest := next((awg for awg in AWGS if made(awg, stud)), None)) is not None
    ]
    return max(found, key=lambda one: AWGS.index(one[0]), default=None)
