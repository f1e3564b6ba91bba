"""Charts and drawings of a system as figures of the book."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from elec.answers.loads.loads import loads
from elec.answers.loads.margins import margins_by_condition, the
from elec.answers.time.endurance import Endurance, endurance
from elec.drawings.charts.endurance import EnduranceChart, Minimum, Shed, endurance_chart
from elec.drawings.charts.phases import CapacityLine, Layer, PhaseBar, PhaseChart, phase_chart
from elec.model.system import Condition
from elec.pages.circuits.wire import sheet as sheet_id
from elec.pages.document import Figure
from elec.pages.loads.endurance import ends_with
from elec.study import Study
from elec.wiring.circuit_model import minimum_v
from elec.wiring.demand import conditions

if TYPE_CHECKING:
    from elec.drawings.from_study import Planned
    from elec.drawings.sheet import Sheet

MOMENTS = 6
"""So many moments of a curve are told in words."""
AT_SOURCE = "coils at the source"


def loads_figure(study: Study) -> Figure | None:
    """Continuous current by phase, bus on bus, against what the alternators give."""
    if not study.document.phases:
        return None
    by_phase = [
        (phase, _bar(study, phase, condition))
        for phase in study.document.phases
        for condition in conditions(study)
    ]
    bars = tuple(bar for _, bar in by_phase)
    every = margins_by_condition(study).values()
    carriers = tuple(dict.fromkeys(margin.sources for margin in every))
    one = carriers[0] if len(carriers) == 1 else ()
    can = {margin.phase: margin.can_a for margin in every if margin.sources == one}
    capacities = tuple(
        CapacityLine(phase=phase.replace("-", " "), current_a=amps) for phase, amps in can.items()
    )
    return Figure(
        id="chart-loads",
        title="Continuous load by phase",
        drawing=phase_chart(PhaseChart(bars=bars, capacities=capacities)),
        description="Bars: what each bus draws on average over the phase."
        + (f" Lines: what {the(study, one)} can give there." if one else ""),
        words=tuple(
            _load_words(bar, can.get(phase), known=phase in can) for phase, bar in by_phase
        ),
    )


def _load_words(bar: PhaseBar, can_a: float | None, *, known: bool) -> str:
    """A bar in words: each bus, their sum, and what the alternators can give."""
    parts = ", ".join(f"{part.name} {part.current_a:.1f} A" for part in bar.parts)
    more = " and what is not known" if bar.unknown else ""
    given = "" if not known else f"; {'?' if can_a is None else f'{can_a:.1f}'} A can be given"
    return f"{bar.phase}, {bar.condition}: {bar.total_a:.1f} A{more} ({parts}){given}."


def _bar(study: Study, phase: str, condition: Condition) -> PhaseBar:
    total = loads(study).total(phase, condition)
    parts = [
        Layer(name=study.system.title("buses", t.bus), current_a=t.continuous_a)
        for t in loads(study).buses
        if (t.phase, t.condition) == (phase, condition)
    ]
    rest = total.continuous_a - sum(part.current_a for part in parts)
    if any(line.bus == "" for line in loads(study).lines):
        parts.append(Layer(name=AT_SOURCE, current_a=max(0.0, rest)))
    return PhaseBar(
        phase=phase.replace("-", " "),
        condition=condition,
        parts=tuple(parts),
        unknown=len(total.unknown),
    )


def endurance_figure(study: Study) -> Figure | None:
    """Voltage and charge of the battery alone over time."""
    found = endurance(study)
    if found is None or len(found.samples) < 2:
        return None
    last = found.samples[-1]
    data = EnduranceChart(
        time_s=tuple(s.time_s for s in found.samples),
        voltage_v=tuple(s.voltage_v for s in found.samples),
        charge_fraction=tuple(max(0.0, s.state_of_charge) for s in found.samples),
        sheds=tuple(Shed(time_s=t, label=what) for t, what in _switchings(found) if t > 0),
        minimums=_minimums(study),
        ends_s=None if found.longest else last.time_s,
    )
    return Figure(
        id="chart-endurance",
        title="Battery alone",
        drawing=endurance_chart(data),
        description=(
            f"Above: voltage at the battery; below: charge left. It ends with "
            f"{ends_with(study, found)}."
        ),
        words=tuple(_endurance_words(found)),
    )


def _endurance_words(found: Endurance) -> Iterator[str]:
    """The curves in words: some moments from begin to end, and what is switched off when."""
    every = max(1, len(found.samples) // MOMENTS)
    shown = {s.time_s: s for s in (*found.samples[::every], found.samples[-1])}
    for sample in shown.values():
        left = 100 * max(0.0, sample.state_of_charge)
        yield f"{sample.time_s / 60:.0f} min: {sample.voltage_v:.2f} V, {left:.0f} % left."
    for time_s, what in _switchings(found):
        yield f"{time_s / 60:.0f} min: {what}."


def _switchings(found: Endurance) -> tuple[tuple[float, str], ...]:
    begun = () if found.landing_s is None else ((found.landing_s, "landing"),)
    return (*found.sheds, *begun)


def _minimums(study: Study) -> tuple[Minimum, ...]:
    """The highest voltage that an essential load works down to."""
    needs = [
        (minimum_v(study, entry), study.system.title("equipment", name))
        for name, entry in study.document.equipment.items()
        if entry.essential
    ]
    if not needs:
        return ()
    volts, name = max(needs)
    return (Minimum(voltage_v=volts, label=f"{name} needs this"),)


def drawing_figures(study: Study, kind: str, about: str = "") -> tuple[Figure, ...]:
    """Drawing sheets of a kind, or those about one thing, each a figure that fills a page.

    Args:
        study: the run.
        kind: one-line, circuit, grounds, equipment, wires, connector or legend.
        about: a circuit, connector or piece of equipment; empty for all of that kind.
    """
    from elec.drawings.from_study import alone, draw, plan

    planned = [p for p in plan(study) if p.kind == kind and about in ("", p.about, *p.names)]
    return tuple(
        Figure(
            id=_figure_id(kind, drawing.about, number),
            title=drawing.title,
            drawing=sheet,
            description=sheet.description,
            also=_circuits_on(drawing, sheet),
        )
        for one in planned
        for drawing in [alone(study, one, about) if about in one.names else one]
        for number, sheet in enumerate(draw(study, drawing).sheets, 1)
    )


def _circuits_on(drawing: "Planned", sheet: "Sheet") -> tuple[str, ...]:
    """The ids that tables link to: `sheet-beacon` is where the circuit beacon stands."""
    if drawing.kind != "circuit":
        return ()
    there = {item.ref for item in sheet.items}
    return tuple(sheet_id(name) for name in drawing.names if name in there)


def _figure_id(kind: str, about: str, number: int) -> str:
    stem = f"drawing-{kind}-{about}".strip("-").replace(".", "-")
    return stem if number == 1 else f"{stem}-{number}"
