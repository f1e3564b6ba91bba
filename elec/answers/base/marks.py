"""The mark of every wire.

Function letter, number, segment letter, gauge, and N where it ends on ground.

In: chains, sizing. Out: marks by conductor id, after the open identification practice (MIL-W-5088
style).
"""

from collections.abc import Mapping

from elec.sizing.chosen import Gauge
from elec.sizing.sizing import sizing
from elec.standards import least_sure, table
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains


@analysis
def marks(study: Study) -> Mapping[str, str]:
    """Conductor id → mark such as `L31A22`, `L31C22N`.

    A dash stands for the gauge of a coaxial line.
    """
    done = sizing(study)
    found = {}
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            gauge = "-" if conductor.role == "coax" else gauge_of(done.gauges, conductor)
            end = "N" if _to_ground(conductor) else ""
            found[conductor.id] = f"{chain.function}{chain.number}{conductor.segment}{gauge}{end}"
    return found


def _to_ground(conductor: Conductor) -> bool:
    """Whether it leads to a ground: a return, a ground wire, a signal's low from either end."""
    if conductor.role == "signal":
        return "ground" in (conductor.a.kind, conductor.b.kind)
    return conductor.b.kind == "ground" and conductor.role in ("return", "ground")


def letters(study: Study) -> str:
    """What the first letters of this system's marks stand for, and where that is from."""
    used = {chain.function for chain in chains(study).by_name.values()}
    rows = [row for row in table("elec/wire_letters") if row.text("letter") in used]
    said = "; ".join(f"{row.text('letter')} {row.text('meaning').lower()}" for row in rows)
    return f"{said} ({least_sure(row.cite for row in rows)})" if rows else "free"


def gauge_of(gauges: Mapping[str, Gauge], conductor: Conductor) -> str:
    """The gauge of a conductor: sized, or the cable's own."""
    sized = gauges.get(conductor.id)
    if sized is not None:
        return sized.awg
    return conductor.gauge or "?"
