"""What a load draws, and what of it counts in each phase.

In: demand, the load analysis. Out: hand calculations whose results are those of the analyses.
"""

from collections.abc import Mapping, Sequence

from elec.answers.loads.loads import LoadLine, analysis_v, loads
from elec.model.load import Draw
from elec.model.source import LeadAcid, Lithium
from elec.physics.load import average_a
from elec.standards import cited, default
from elec.study import Study
from elec.wiring.demand import (
    FIVE_MINUTES_S,
    ModeShare,
    cells_factor,
    demand,
    five_minute_shares,
)
from elec.wiring.hand import computed, looked_up, where
from elec.wiring.sources import open_circuit_v, rest_source
from elec.working import Step, Term, Working


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
        most = max(term.value for term in terms)
        steps.append(
            computed(symbol, most, "A", "the most it draws at one moment",
                     formula=f"max({', '.join(t.symbol for t in terms)})", terms=terms)
        )  # fmt: skip
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
        mean = Term(symbol="m", value=mode.draw.amount, unit=unit, meaning="average",
                    origin=where(study, *path, "draw"))  # fmt: skip
        peak = Term(symbol="p", value=mode.peak.amount, unit=unit, meaning="peak",
                    origin=where(study, *path, "peak" if said.peak else "duty"))  # fmt: skip
        formula = "sqrt(m * p)"
        terms: tuple[Term, ...] = (mean, peak)
        if said.duty is not None and said.duty < 1:
            share = Term(symbol="d", value=said.duty, unit="", meaning="share of the time",
                         origin=where(study, *path, "duty"))  # fmt: skip
            formula = "sqrt(d * p**2 + max(0, m - d * p)**2 / (1 - d))"
            terms = (mean, peak, share)
        step = computed("q", mode.heating.amount, unit, "root mean square: warms wire and device",
                        formula=formula, terms=terms,
                        source="root mean square of a current of two levels")  # fmt: skip
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
    return Term(
        symbol=draw.by.symbol, value=draw.value, unit=draw.by.unit,
        meaning=f"draw{f' in the mode {mode}' if mode else ''}, {_basis(study, load, mode)}",
        origin=where(study, *path),
    )  # fmt: skip


def _basis(study: Study, load: str, mode: str) -> str:
    entry = study.document.equipment[load]
    given = entry.modes[mode].basis if mode in entry.modes else None
    return given or entry.basis or "basis not given"


def _mode_step(study: Study, load: str, mode: str, draw: Draw, symbol: str) -> Step:
    """The greatest current of one mode between the low and the regulated voltage."""
    found = demand(study)
    amount = _draw_term(study, load, mode, draw)
    meaning = f"{mode}: " if mode else ""
    low = _low_voltage(study)
    high = _high_voltage(study)
    if not draw.by.needs_voltage:
        words = f"{meaning}the current that it draws at any voltage"
        amount = Term(symbol=symbol, value=amount.value, unit="A",
                      meaning=f"{words} ({amount.meaning})",
                      origin=amount.origin)  # fmt: skip
        return looked_up(amount)
    formula = f"max({draw.by.formula(low.symbol)}, {draw.by.formula(high.symbol)})"
    return computed(
        symbol, found.highest_a(draw), "A",
        f"{meaning}the most it draws: {draw.by.manner}",
        formula=formula, terms=(amount, low, high),
        note="Wire and device are chosen for the worse of the low and the regulated voltage.",
    )  # fmt: skip


def _low_voltage(study: Study) -> Term:
    low = default("design-low-voltage")
    twice = " × 2" if cells_factor(study.system.about.nominal_v) > 1 else ""
    return Term(symbol="Vl", value=demand(study).design_v, unit="V", meaning=low.meaning,
                origin=f"{low.origin}{twice}")  # fmt: skip


def _high_voltage(study: Study) -> Term:
    highest = demand(study).highest_v
    origin = where(study, "system", "nominal")
    for name, source in study.document.sources.items():
        if source.kind == "alternator" and highest in source.setpoints():
            origin = where(study, "sources", name, "setpoint")
    return Term(symbol="Vh", value=highest, unit="V", meaning="highest regulated voltage",
                origin=origin)  # fmt: skip


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
        return Term(symbol="V", value=volts, unit="V", meaning=high.meaning,
                    origin=where(study, "sources", name, "setpoint"))  # fmt: skip
    for name, source in study.document.sources.items():
        if isinstance(source, LeadAcid | Lithium) and open_circuit_v(study, source, 1.0) == volts:
            origin = f"rest voltage of {name}, {rest_source(study, name, source)}"
            return Term(symbol="V", value=volts, unit="V", meaning="full battery at rest",
                        origin=origin)  # fmt: skip
    return Term(symbol="V", value=volts, unit="V", meaning="nominal voltage",
                origin=where(study, "system", "nominal"))  # fmt: skip


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
        return looked_up(
            Term(symbol=symbol, value=amount.value, unit="A", meaning=words,
                 origin=amount.origin)
        )  # fmt: skip
    return computed(symbol, draw.current_a(supply.value), "A", meaning,
                    formula=draw.by.formula(supply.symbol), terms=(amount, supply))  # fmt: skip


def _average_step(
    study: Study, line: LoadLine, modes: Sequence[ModeShare], currents: Sequence[Term]
) -> Step:
    shares = [
        Term(symbol=f"s{n}", value=mode.counted, unit="",
             meaning=_share_words(mode), origin=_on_origin(study, line.equipment, mode, n == 1))
        for n, mode in enumerate(modes, 1)
    ]  # fmt: skip
    formula = " + ".join(f"{s.symbol} * {i.symbol}" for s, i in zip(shares, currents, strict=True))
    terms = [term for pair in zip(shares, currents, strict=True) for term in pair]
    return computed(
        "Ic", line.continuous_a or 0.0, "A", "continuous: on the average over the phase",
        formula=formula, terms=terms,
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
        Term(symbol=f"t{n}", value=part * interval, unit="s", meaning="on within five minutes",
             origin=_on_origin(study, line.equipment, mode, n == 1))
        for n, (mode, part) in enumerate(five_minute_shares(tuple(modes)), 1)
    ]  # fmt: skip
    terms = [term for pair in zip(currents, spans, strict=True) for term in pair]
    formula = " + ".join(f"{i.symbol} * {t.symbol}" for i, t in zip(currents, spans, strict=True))
    return computed(
        "I5", line.five_minute_a or 0.0, "A", "over the worst five minutes",
        formula=f"({formula}) / {interval:g}", terms=terms,
        source=cited(average_a),
    )  # fmt: skip
