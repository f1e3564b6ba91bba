"""What thin wires draw beside the loads, and whether it is counted."""

from elec.pages.columns import amps, text
from elec.pages.table import Table
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.taps import ThinDraw, taps


def thin_currents(study: Study) -> Table:
    """One row a thin wire: of a regulator's sense or lamp, of a light."""
    found = taps(study)
    untold = sum(tap.amps_a is None for tap in found.values())
    missing = (
        f" Not counted where it is not given ({untold} of {len(found)}): write amps: with the "
        "wire, such as sense: {from: main, amps: 20 mA}, as its maker says or as you measured it."
        if untold
        else ""
    )
    return Table(
        id="thin-wires",
        title="What thin wires draw beside the loads",
        columns=(text("wire", "Wire"), amps("current_a", "A", digits=3), text("when", "While")),
        rows=tuple(
            (chains(study).by_name[name].title, tap.amps_a, _while(study, tap))
            for name, tap in found.items()
        ),
        note="Counted in the solved network: in what sources give, in feeders, voltages and the "
        f"time on the battery; not in the sums of loads.{missing}",
    )


def _while(study: Study, tap: ThinDraw) -> str:
    if tap.alternator:
        return f"{study.system.title('sources', tap.alternator)} gives nothing"
    if tap.behind:
        return f"{chains(study).by_name[tap.behind].title} is on"
    return "what it hangs on is live"
