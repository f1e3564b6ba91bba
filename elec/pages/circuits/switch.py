"""Which pole of a switch carries which circuit, on which terminals, closed in which positions."""

from elec.pages.columns import text
from elec.pages.table import Table
from elec.study import Study
from elec.wiring.chains import chains


def poles(study: Study) -> Table:
    """The poles of all switches whose terminals are given."""
    rows = []
    for name, entry in study.document.switches.items():
        for chain, pole in entry.poles.items():
            found = chains(study).by_name.get(chain)
            closed = pole.closed or entry.positions[1:]
            rows.append(
                (
                    study.system.title("switches", name),
                    pole.line,
                    ", ".join(pole.load),
                    found.title if found is not None else chain,
                    ", ".join(closed),
                    ", ".join(entry.positions),
                )
            )
    return Table(
        id="switch-poles",
        title="Poles of switches",
        columns=(
            text("switch", "Switch"),
            text("line", "Line"),
            text("load", "Load"),
            text("circuit", "Carries"),
            text("closed", "Closed in"),
            text("positions", "Positions", 2),
        ),
        rows=tuple(rows),
        note="Line and load are the terminals by their numbers on the part; ring each pole out in "
        "every position before it is wired.",
    )
