"""Loads, buses, sources and phases: who gives, who takes, and what voltage is left.

In: a name. Out: the answer in sentences, and the sections behind it.
"""

from msgspec.structs import replace

from elec import units
from elec.answers.base.points import points
from elec.answers.drop.why_current import apart_a
from elec.answers.drop.why_network import (
    balance_working,
    case_title,
    is_port,
    lowest_case,
    worst_balance,
)
from elec.answers.drop.why_voltage import voltage_working
from elec.answers.failures.planned import plan_with
from elec.answers.loads.loads import Total, loads
from elec.answers.loads.margins import alone, margins, names_of, the
from elec.answers.loads.why_draw import continuous_workings, greatest_working
from elec.answers.time.endurance import endurance
from elec.answers.why.why_worked import worked
from elec.model.source import LeadAcid, Lithium
from elec.pages.columns import listed
from elec.pages.document import Block, Paragraph, Section, TableBlock
from elec.pages.loads.load import source_alone, source_margin
from elec.pages.why import table as tables
from elec.pages.why.circuit import full, parts, section
from elec.study import Study
from elec.units import whole_minutes
from elec.wiring.chains import chains
from elec.wiring.circuit_model import minimum_v, usual_minimum
from elec.wiring.demand import demand
from elec.wiring.sources import battery_resistance, rest_source
from elec.working import Ref, Term, Working

Answer = tuple[tuple[str, ...], tuple[Section, ...]]


def equipment(study: Study, name: str) -> Answer:
    """A load: what it draws, what counts, the voltage at its terminals."""
    entry, title = study.document.equipment[name], study.system.title("equipment", name)
    fed = chains(study).feeds.get(name, ())
    if entry.passive or name not in demand(study).loads:
        return (f"{title} draws nothing: nothing is computed about it.",), ()
    texts = [_drawn(study, name, title)]
    if fed:
        circuits = [chains(study).by_name[one].title for one in fed]
        texts.append(f"It is fed by the circuit {listed(circuits)}.")
    else:
        texts.append("No circuit feeds it.")
    case, volts = lowest_case(study, name)
    if case is not None:
        least = minimum_v(study, entry)
        origin = "given" if entry.minimum_v is not None else "default"
        texts.append(
            f"At its terminals it never has less than {volts:.2f} V in the cases computed, in "
            f"{case_title(study, case)}; it needs {least:.2f} V ({origin})."
        )
    draw: list[Block | Working | None] = [
        TableBlock(table=tables.counted_by_phase(study, name)),
        *worked(study, Ref("draw", name)),
        *continuous_workings(study, name),
        *(one for circuit in fed for one in worked(study, Ref("carries", circuit))),
    ]
    voltage: list[Block | Working | None] = [
        TableBlock(table=tables.voltages_by_phase(study, name)),
        _terminal(study, name, title, case, volts),
    ]
    return tuple(texts), parts(
        name, ("draw-by", "What it draws", draw), ("voltage", "Voltage at its terminals", voltage)
    )


def _drawn(study: Study, name: str, title: str) -> str:
    most = greatest_working(study, name)
    if most is None or most.value is None:
        return (
            f"What {title} draws is not known; every sum leaves it out and says so. Read it off "
            "the label, or measure it."
        )
    lines = [ln for ln in loads(study).lines if ln.equipment == name and not ln.coil]
    worst = max(lines, key=lambda ln: ln.continuous_a or 0.0, default=None)
    counts = ""
    if worst is not None:
        phase = study.system.title("phases", worst.phase)
        counts = f" Most counts in {phase}, {worst.condition}: {worst.continuous_a or 0:.2f} A."
    more = apart_a(study, chains(study).feeds.get(name, ()))
    chosen = "wire and device are chosen for that"
    if more is not None:
        chosen = (
            f"its circuit carries {more:.3g} A in the solved network, by the voltage that is left "
            "there, and wire and device are chosen for that"
        )
    return f"{title} draws {most.value:.3g} A at most; {chosen}.{counts}"


def _terminal(
    study: Study, name: str, title: str, case: int | None, volts: float
) -> Working | None:
    if case is None:
        return None
    found = points(study)
    across = found.solution.load_v[:, case]
    row = next(
        i
        for i in range(len(found.model.ports))
        if is_port(study, name, i) and abs(float(across[i]) - volts) < 1e-9
    )
    branch = found.model.netlist.loads[row]
    least = minimum_v(study, study.document.equipment[name])
    entry = study.document.equipment[name]
    where = str(study.system.where("equipment", name, "minimum"))
    made = voltage_working(study, f"Lowest voltage at {title}", case, plus=branch.a, minus=branch.b)
    if made is None:
        return None
    origin = where if entry.minimum_v is not None else usual_minimum(study).origin
    return at_least(made, least, "what it needs", origin)


def at_least(working: Working, value: float, meaning: str, origin: str) -> Working:
    """A working whose last result has to be no less than a voltage."""
    limit = Term("", value, "V", meaning, origin)
    return replace(working, limit=limit, rule="at least")


def bus(study: Study, name: str) -> Answer:
    """A bus: what flows in from where in the worst case, and each share."""
    title = study.system.title("buses", name)
    worst = worst_balance(study, name)
    if worst is None:
        return (f"No source reaches {title} in any case.",), ()
    incoming = listed([f"{flow.title} {-flow.amps:.3g} A" for flow in worst.incoming])
    most = worst.outgoing[0] if worst.outgoing else None
    texts = [
        f"Most flows through {title} in {worst.title}: {worst.through_a:.3g} A, from {incoming}.",
        f"The greatest share is that of {most.title}: {most.amps:.3g} A, "
        f"{100 * most.amps / worst.through_a:.0f} %."
        if most
        else "Nothing flows out of it.",
        f"It has {worst.volts:.2f} V then.",
    ]
    currents = section(
        f"why-flows-{name}",
        "What flows in and out",
        [TableBlock(table=tables.bus_shares(worst)), balance_working(worst, title)],
    )
    voltage = section(
        f"why-voltage-on-{name}",
        "Voltage",
        [voltage_working(study, f"Voltage of {title}", worst.case, plus=name)],
    )
    sums = [t for t in loads(study).buses if t.bus == name and t.steps]
    counted: list[Block | Working | None] = []
    if sums:
        total = max(sums, key=lambda t: t.continuous_a)
        phase = study.system.title("phases", total.phase)
        counted.append(
            Working(title=f"Continuous load of {title} in {phase}, {total.condition}",
                    steps=total.steps)
        )  # fmt: skip
    its = section(f"why-load-on-{name}", "Its loads as they are counted", counted)
    return tuple(texts), full((currents, voltage, its))


def source(study: Study, name: str) -> Answer:
    """An alternator: its margin in every phase. A battery: how long it lasts."""
    entry, title = study.document.sources[name], study.system.title("sources", name)
    if entry.kind == "alternator":
        return _alternator(study, name, title)
    if isinstance(entry, LeadAcid | Lithium):
        return _battery(study, name, title, entry)
    return (f"{title} is {entry.kind.replace('-', ' ')}: nothing is computed about it alone.",), ()


def _alternator(study: Study, name: str, title: str) -> Answer:
    carried = [m for m in margins(study) if name in m.sources]
    known = [m for m in carried if m.spare_a is not None]
    if not known:
        text = (
            f"What {title} leaves cannot be told: it carries no phase or its output is not known."
        )
        return (text,), _alone_sections(study, name)
    found = min(known, key=lambda m: m.spare_a or 0.0)
    spare = found.spare_a or 0.0
    phase = study.system.title("phases", found.phase)
    word = "are left" if spare >= 0 else "are missing"
    added = f" ({names_of(study, found.sources)}, added)" if len(found.sources) > 1 else ""
    used = [m for m in carried if m.used_part is not None]
    most = max(used, key=lambda m: m.used_part or 0.0, default=None)
    texts = [
        (
            f"Least is left in {phase}, {found.condition}: {abs(spare):.3g} A {word} of "
            f"{found.can_a or 0:.3g} A{added}; its loads take {found.share.carried_a:.3g} A there "
            "on the average."
        )
    ]
    if most is not None:
        texts.append(
            f"On together for more than five minutes is at most {most.share.asked_a:.3g} A, "
            f"{100 * (most.used_part or 0):.0f} % of its rating, in "
            f"{study.system.title('phases', most.phase)}, {most.condition}."
        )
    texts.append("Each phase is worked out below.")
    blocks: list[Block | Working | None] = [TableBlock(table=source_margin(study))]
    for margin in carried:
        blocks += [margin.left, margin.used]
    its = section(f"why-margin-{name}", "Margin in each phase", blocks)
    return tuple(texts), (*full((its,)), *_alone_sections(study, name))


def _alone_sections(study: Study, name: str) -> tuple[Section, ...]:
    table = source_alone(study)
    if table is None:
        return ()
    blocks: list[Block | Working | None] = [TableBlock(table=table)]
    blocks += [m.left for m in alone(study) if m.sources == (name,)]
    return parts(name, ("alone", "While the others have failed", blocks))


def _battery(study: Study, name: str, title: str, entry: LeadAcid | Lithium) -> Answer:
    found = endurance(study)
    where = study.system.where("sources", name, "capacity")
    texts = [f"{title} holds {entry.capacity_ah:g} Ah ({where})."]
    lasting: list[Block | Working | None] = []
    if found is not None and (not found.batteries or name in found.batteries):
        minutes = found.minutes
        phase = study.system.title("phases", found.cruise)
        texts.append(
            "How long it lasts is more than a day, or nothing draws from it."
            if minutes is None
            else f"Alone it carries what stays on for {whole_minutes(minutes)} min from a failure "
            f"in {phase}, {found.condition}: the shorter of the sum below and the simulation. "
            f"{plan_with(study)}".rstrip()
        )
        lasting.append(found.hand)
        if found.simulated_min is not None:
            lasting.append(
                Paragraph(text=f"The simulation, cold, aged, with its falling voltage and a "
                          f"landing, says {whole_minutes(found.simulated_min)} min.", kind="note")
            )  # fmt: skip
    step = battery_resistance(study, name, entry)
    texts.append(f"Its own resistance is {units.show(step.result.value, 'ohm')} at 25 °C.")
    texts.append(f"Its voltage at rest: {rest_source(study, name, entry)}.")
    inner = Working(title=f"Resistance of {title}", steps=(step,))
    return tuple(texts), parts(
        name, ("lasts", "How long it lasts", lasting), ("inner", "Its resistance", [inner])
    )


def phase(study: Study, name: str) -> Answer:
    """A phase: the loads in it, and what the sources leave."""
    title = study.system.title("phases", name)
    lasts = units.show(study.document.phases[name].lasts_s, "s")
    sums = [t for t in loads(study).totals if t.phase == name]
    worst = max(sums, key=lambda t: t.continuous_a)
    capacity = loads(study).capacity[name]
    texts = [
        (
            f"In {title} ({lasts}) the loads draw {worst.continuous_a:.3g} A by {worst.condition}, "
            f"counted at {worst.voltage_v:.1f} V."
        ),
        (
            f"Everything on at one moment draws {worst.momentary_a:.3g} A; the worst five minutes "
            f"{worst.five_minute_a:.3g} A."
        ),
    ]
    carried = [m for m in margins(study) if m.phase == name]
    if not capacity.running and not carried:
        texts.append("No alternator gives anything then: the battery carries it.")
    for margin in carried:
        its = the(study, margin.sources)
        texts.append(
            f"What {its} can give then is not known."
            if margin.spare_a is None
            else f"Of {its} {margin.spare_a:+.3g} A are left of {margin.can_a:.3g} A, by "
            f"{margin.condition}."
        )
    if worst.unknown:
        names = listed([study.system.title("equipment", one) for one in worst.unknown])
        texts.append(f"Not in these sums, for it is not known: {names}.")
    counted = section(f"why-sum-{name}", "The loads", [_sum(study, one) for one in sums])
    given = Working(title=f"What the sources give in {title}", steps=capacity.steps)
    workings = [w for margin in carried for w in (margin.left, margin.used)]
    supply = section(f"why-supply-{name}", "The sources", [given, *workings])
    return tuple(texts), full((counted, supply))


def _sum(study: Study, total: Total) -> Working:
    title = study.system.title("phases", total.phase)
    return Working(title=f"Continuous load in {title} by {total.condition}", steps=total.steps)
