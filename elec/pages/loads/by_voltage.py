"""What the loads of each phase take by the voltage at them: on the battery, and on a low bus."""

from collections.abc import Mapping

from elec.answers.loads.loads import LoadLine, lines_at, loads
from elec.model.system import Condition
from elec.pages.columns import amps, phase_title, summed, text
from elec.pages.table import Table, Value
from elec.study import Study
from elec.units import show
from elec.wiring.demand import cells_factor, conditions

VOLTS = (11.0, 11.5, 12.0, 12.5, 13.0, 13.5, 14.0, 14.5)
"""Of a 12 or 14 V system, from an empty battery to one that is charged; twice that of 24 or 28."""


def loads_by_voltage(study: Study) -> Table:
    """The continuous load of every phase at each voltage, by the law of each load."""
    volts = [cells_factor(study.system.about.nominal_v) * v for v in VOLTS]
    found = {v: _sums(study, v) for v in volts}
    return Table(
        id="loads-by-voltage",
        title="Loads by voltage",
        columns=(
            text("phase", "Phase"),
            text("condition", "By"),
            *(amps(f"at_{10 * v:.0f}_a", f"At {show(v, 'v')}", digits=1) for v in volts),
        ),
        rows=tuple(
            (
                phase_title(study, total.phase),
                total.condition,
                *(found[v][total.phase, total.condition] for v in volts),
            )
            for total in loads(study).totals
        ),
        note="Continuous load as in Loads by phase, were this the voltage at every load: what "
        "draws a constant power takes more amperes the lower it is, a resistance fewer.",
    )


def _sums(study: Study, volts: float) -> Mapping[tuple[str, Condition], Value]:
    """Phase and condition → what all its loads take on average at a voltage."""
    by: dict[tuple[str, Condition], list[LoadLine]] = {
        (phase, condition): [] for condition in conditions(study) for phase in study.document.phases
    }
    for line in lines_at(study, dict.fromkeys(study.document.phases, volts)):
        by[line.phase, line.condition].append(line)
    return {
        key: summed(
            sum(line.continuous_a or 0.0 for line in lines if line.connected_a is not None),
            sum(line.connected_a is None for line in lines),
        )
        for key, lines in by.items()
    }


__all__ = ["loads_by_voltage"]
