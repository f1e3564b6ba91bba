"""What a load draws, and what of it counts in each phase.

In: demand, the load analysis. Out: hand calculations whose results are those of the analyses.
"""

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from elec.answers.loads.loads import LoadLine, analysis_v, loads
from elec.model.load import Draw
from elec.model.source import LeadAcid, Lithium
from elec.physics.load import average_a, pulsing_a
from elec.standards import cited, default
from elec.study import Study
from elec.wiring.demand import (
    FIVE_MINUTES_S,
    ModeShare,
    cells_factor,
    demand,
    five_minute_shares,
)
from elec.wiring.hand import looked_up, where
from elec.wiring.sources import open_circuit_v, rest_source
from elec.working import Step, Term, Working, computed, given


def greatest_working(study: Study, load: str) -> Working | None:
    """The most that a load draws at one moment; None where its current is not known."""
    steps = _greatest_steps(study, load, "i")
    if steps is None:
        return None
    title = study.system.title("equipment", load)
    return Working(title=f"The most that {title} draws", steps=steps)


def _greatest_steps(study: Study, load: str, symbol: str) -> tuple[Step, ...] | None:
    """Per mode the greater of two voltages, then the greatest mode."""
    found = demand(study)
    entry = found.loads.get(load)
    if entry is None:
        return None
    modes = _modes(study, load)
    if not modes or any(draw is None for draw in modes.values()):
        return None
    steps: list[Step] = []
    terms: list[Term] = []
    for number, (mode, draw) in enumerate(modes.items(), 1):
        if draw is None:
            continue
        name = symbol if len(modes) == 1 else f"{symbol}{number}"
        step = _mode_step(study, load, mode, draw, name)
        steps.append(step)
        terms.append(step.result)
    if len(terms) > 1:
        formula = f"max({', '.join(t.symbol for t in terms)})"
        steps.append(computed(symbol, "A", "the most it draws at one moment", formula, terms))
    return tuple(steps)


def pulse_workings(study: Study, load: str) -> tuple[Working, ...]:
    """Root mean square of every mode that pulses, from its average, its peak and its duty."""
    found = demand(study)
    entry = study.document.equipment[load]
    made = []
    every = {m.mode: m for shares in found.loads[load].phases.values() for m in shares}
    for name, mode in every.items():
        if mode.draw is None or mode.heating is None or mode.peak is None or mode.peak == mode.draw:
            continue
        said = entry.modes.get(name, entry)
        path = ("equipment", load, *(("modes", name) if name else ()))
        unit = mode.draw.by.amount_unit
        duty = where(study, *path, "duty")
        step = pulsing_a.step(
            average_a=Term("", mode.draw.amount, unit, "", where(study, *path, "draw")),
            peak_a=Term("", mode.peak.amount, unit, "",
                        where(study, *path, "peak") if said.peak else duty),
            duty=None if said.duty is None else given(said.duty, duty),
        )  # fmt: skip
        step = replace(step, result=replace(step.result, unit=unit))
        title = study.system.title("equipment", load)
        words = f"What warms of {title}{' ' + name if name else ''}, which pulses"
        made.append(Working(title=words, steps=(step,)))
    return tuple(made)


def _modes(study: Study, load: str) -> Mapping[str, Draw | None]:
    """The modes that occur in any phase, in order."""
    phases = demand(study).loads[load].phases
    return {m.mode: m.draw for shares in phases.values() for m in shares}


def _draw_term(study: Study, load: str, mode: str, draw: Draw) -> Term:
    path = ("equipment", load, "modes", mode, "draw") if mode else ("equipment", load, "draw")
    meaning = f"draw{f' in the mode {mode}' if mode else ''}, {_basis(study, load, mode)}"
    return Term(draw.by.symbol, draw.value, draw.by.unit, meaning, where(study, *path))


def _basis(study: Study, load: str, mode: str) -> str:
    entry = study.document.equipment[load]
    own = entry.modes[mode].basis if mode in entry.modes else None
    return own or entry.basis or "basis not given"


def _mode_step(study: Study, load: str, mode: str, draw: Draw, symbol: str) -> Step:
    """The greatest current of one mode between the low and the regulated voltage."""
    amount = _draw_term(study, load, mode, draw)
    meaning = f"{mode}: " if mode else ""
    low = _low_voltage(study)
    high = _high_voltage(study)
    if not draw.by.needs_voltage:
        words = f"{meaning}the current that it draws at any voltage"
        words = f"{words} ({amount.meaning})"
        return looked_up(Term(symbol, amount.value, "A", words, amount.origin))
    formula = f"max({draw.by.formula(low.symbol)}, {draw.by.formula(high.symbol)})"
    return computed(
        symbol, "A", f"{meaning}the most it draws: {draw.by.manner}", formula, (amount, low, high),
        note="Wire and device are chosen for the worse of the low and the regulated voltage.",
    )  # fmt: skip


def _low_voltage(study: Study) -> Term:
    low = default("design-low-voltage")
    twice = " × 2" if cells_factor(study.system.about.nominal_v) > 1 else ""
    return Term("Vl", demand(study).design_v, "V", low.meaning, f"{low.origin}{twice}")


def _high_voltage(study: Study) -> Term:
    highest = demand(study).highest_v
    origin = where(study, "system", "nominal")
    for name, source in study.document.sources.items():
        if source.kind == "alternator" and highest in source.setpoints():
            origin = where(study, "sources", name, "setpoint")
    return Term("Vh", highest, "V", "highest regulated voltage", origin)


# -- by phase -----------------------------------------------------------------------------------


def continuous_workings(study: Study, load: str) -> tuple[Working, ...]:
    """What a load counts for in each phase: on the average, and over the worst five minutes.

    Phases in which it counts for the same are put together.
    """
    groups: dict[tuple[object, ...], list[LoadLine]] = {}
    volts: dict[str, float] = {}
    for line in loads(study).lines:
        if line.coil or line.equipment != load or line.continuous_a is None:
            continue
        volts[line.phase] = analysis_v(study, loads(study).capacity[line.phase])
        modes = demand(study).loads[load].active(line.phase, line.condition)
        groups.setdefault((_counts_like(modes), volts[line.phase]), []).append(line)
    return tuple(_phase_working(study, lines, volts[lines[0].phase]) for lines in groups.values())


def _counts_like(modes: Sequence[ModeShare]) -> tuple[object, ...]:
    """What of its modes matters for the sums."""
    return tuple((m.mode, m.draw, m.share, m.counted, min(m.time_s, FIVE_MINUTES_S)) for m in modes)


def _phase_working(study: Study, lines: Sequence[LoadLine], volts: float) -> Working:
    first = lines[0]
    load = first.equipment
    modes = demand(study).loads[load].active(first.phase, first.condition)
    title = study.system.title("equipment", load)
    phases = ", ".join(dict.fromkeys(study.system.title("phases", ln.phase) for ln in lines))
    supply = _supply(study, first.phase, volts)
    steps: list[Step] = []
    currents: list[Term] = []
    for number, mode in enumerate(modes, 1):
        step = _at_voltage(study, load, mode, number, supply, alone=len(modes) == 1)
        if step is not None:
            steps.append(step)
            currents.append(step.result)
    steps.append(_average_step(study, first, modes, currents))
    steps.append(_five_minutes(study, first, modes, currents))
    return Working(title=f"What {title} counts for in {phases}", steps=tuple(steps))


def _supply(study: Study, phase: str, volts: float) -> Term:
    capacity = loads(study).capacity[phase]
    if capacity.running:
        high = _high_voltage(study)
        regulated = {
            n: s.setpoint_v for n, s in study.document.sources.items() if s.kind == "alternator"
        }
        name = max(regulated, key=lambda n: regulated[n])
        return Term("V", volts, "V", high.meaning, where(study, "sources", name, "setpoint"))
    for name, source in study.document.sources.items():
        if isinstance(source, LeadAcid | Lithium) and open_circuit_v(study, source, 1.0) == volts:
            origin = f"rest voltage of {name}, {rest_source(study, name, source)}"
            return Term("V", volts, "V", "full battery at rest", origin)
    return Term("V", volts, "V", "nominal voltage", where(study, "system", "nominal"))


def _at_voltage(
    study: Study, load: str, mode: ModeShare, number: int, supply: Term, *, alone: bool
) -> Step | None:
    draw = mode.draw
    if draw is None:
        return None
    symbol = "i" if alone else f"i{number}"
    amount = _draw_term(study, load, mode.mode, draw)
    meaning = f"{mode.mode}: current when on" if mode.mode else "current when on"
    if not draw.by.needs_voltage:
        words = f"{meaning} ({amount.meaning})"
        return looked_up(Term(symbol, amount.value, "A", words, amount.origin))
    return computed(symbol, "A", meaning, draw.by.formula(supply.symbol), (amount, supply))


def _average_step(
    study: Study, line: LoadLine, modes: Sequence[ModeShare], currents: Sequence[Term]
) -> Step:
    shares = [
        Term(f"s{n}", mode.counted, "", _share_words(mode),
             _on_origin(study, line.equipment, mode, n == 1))
        for n, mode in enumerate(modes, 1)
    ]  # fmt: skip
    formula = " + ".join(f"{s.symbol} * {i.symbol}" for s, i in zip(shares, currents, strict=True))
    terms = [term for pair in zip(shares, currents, strict=True) for term in pair]
    return computed(
        "Ic", "A", "continuous: on the average over the phase", formula, terms,
        source=f"{cited(average_a)}: each current times its share of the phase",
    )  # fmt: skip


def _share_words(mode: ModeShare) -> str:
    named = f" in the mode {mode.mode}" if mode.mode else ""
    if mode.counted < mode.share:
        return f"share{named}: on for a while only while the starter turns, no lasting load"
    return f"share of the phase{named}"


def _on_origin(study: Study, load: str, mode: ModeShare, base: bool) -> str:
    entry = study.document.equipment[load]
    if mode.mode:
        found = where(study, "equipment", load, "modes", mode.mode, "on")
        return f"{found}, what other modes leave" if base and len(entry.modes) > 1 else found
    return where(study, "equipment", load, "on")


def _five_minutes(
    study: Study, line: LoadLine, modes: Sequence[ModeShare], currents: Sequence[Term]
) -> Step:
    """As the load analysis does it: short modes fall wholly in, the base fills the rest."""
    interval = FIVE_MINUTES_S
    spans = [
        Term(f"t{n}", part * interval, "s", "on within five minutes",
             _on_origin(study, line.equipment, mode, n == 1))
        for n, (mode, part) in enumerate(five_minute_shares(tuple(modes)), 1)
    ]  # fmt: skip
    terms = [term for pair in zip(currents, spans, strict=True) for term in pair]
    formula = " + ".join(f"{i.symbol} * {t.symbol}" for i, t in zip(currents, spans, strict=True))
    return computed(
        "I5", "A", "over the worst five minutes", f"({formula}) / {interval:g}", terms,
        source=cited(average_a),
    )  # fmt: skip
