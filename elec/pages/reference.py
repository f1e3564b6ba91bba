"""What the numbers rest on: hand calculations, assumed values, published documents, checks."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator

from elec.answers.doubt.uncertainty import uncertainty
from elec.answers.drop.drops import feeder_drops, load_drops
from elec.answers.loads.loads import loads
from elec.answers.loads.margins import margins
from elec.answers.time.endurance import endurance
from elec.check import Check
from elec.finding import Finding, Verdict
from elec.model.source import Battery, Lithium
from elec.pages.circuits.wire import hottest
from elec.pages.columns import count, phase_title, text
from elec.pages.doubt.table import of_interest
from elec.pages.table import Cell, Table
from elec.sizing.devices import rating_working
from elec.sizing.sizing import sizing
from elec.standards import Default, defaults, documents
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.circuit_model import USUAL, usual_resistance
from elec.wiring.coils import CONTACTS
from elec.wiring.demand import cells_factor
from elec.wiring.runs import runs
from elec.wiring.sources import chemistry
from elec.working import Step, Term, Working

PREFIX = "default "

ALWAYS = ("joint-resistance", "law-holds-to-14", "design-low-voltage", "within-place-bundle")
"""Values that stand behind every system's currents and heat."""


def workings(study: Study) -> tuple[Working, ...]:
    """The hand calculations of the system: loads, sources, endurance, devices, drops, heat."""
    return (
        *_phase_workings(study),
        *_endurance_working(study),
        *_spread_workings(study),
        *_feeder_workings(study),
        *_circuit_workings(study),
    )


def whole_workings(study: Study) -> tuple[Working, ...]:
    """The hand calculations of the system as a whole: loads, sources, endurance, how sure."""
    return (*_phase_workings(study), *_endurance_working(study), *_spread_workings(study))


def _phase_workings(study: Study) -> Iterator[Working]:
    for total in loads(study).totals:
        if total.steps:
            where = f"{phase_title(study, total.phase)} by {total.condition}"
            yield Working(title=f"Continuous load in {where}", steps=total.steps)
    for phase, capacity in loads(study).capacity.items():
        if capacity.steps:
            title = f"What the sources give in {phase_title(study, phase)}"
            yield Working(title=title, steps=capacity.steps)
    for margin in margins(study):
        yield margin.left
        if margin.used is not None:
            yield margin.used


def _endurance_working(study: Study) -> Iterator[Working]:
    found = endurance(study)
    if found is not None:
        yield found.hand


def _spread_workings(study: Study) -> Iterator[Working]:
    for band in of_interest(uncertainty(study)):
        yield band.working


def _feeder_workings(study: Study) -> Iterator[Working]:
    for name, drop in feeder_drops(study).items():
        chain = chains(study).by_name[name]
        yield from _device_working(study, name)
        yield drop.working
        hot = hottest(study, chain)
        if hot is not None:
            yield hot.working


def _circuit_workings(study: Study) -> Iterator[Working]:
    for chain in chains(study).of("circuit"):
        yield from _device_working(study, chain.name)
        for load in chain.loads:
            yield load_drops(study)[chain.name, load].working
        hot = hottest(study, chain)
        if hot is not None:
            yield hot.working


def _device_working(study: Study, name: str) -> Iterator[Working]:
    device = sizing(study).devices.get(name)
    found = rating_working(study, device) if device is not None else None
    if found is not None:
        yield found


def _steps(study: Study) -> Iterator[Step]:
    for working in workings(study):
        yield from working.steps
    for run in runs(study).values():
        yield from run.steps


def defaults_in_use(study: Study) -> tuple[Default, ...]:
    """Every value that was assumed for this system, in the order of the list of defaults."""
    keys = set(ALWAYS)
    for step in _steps(study):
        for term in (step.result, *step.terms):
            keys.update(_keys(term))
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind == "diode":
                keys |= {f"{part.name}-forward-voltage", "diode-resistance"}
            entry = study.document.switches.get(part.name)
            if part.kind in (*CONTACTS, *USUAL) and (entry is None or entry.resistance_ohm is None):
                keys.add(usual_resistance(study, part).key)
    keys |= _of_sources(study)
    return tuple(found for key, found in defaults().items() if key in keys)


def _of_sources(study: Study) -> set[str]:
    keys: set[str] = set()
    for source in study.document.sources.values():
        if source.kind == "alternator" and source.droop_ohm is None:
            keys.add("regulator-droop")
        if source.kind in ("lead-acid", "lithium-iron-phosphate"):
            keys |= {"battery-state-of-charge", "charge-acceptance-hours"}
            keys |= _of_battery(source)
        if source.kind == "external-power" and source.resistance_ohm is None:
            keys.add("external-power-resistance")
    high = cells_factor(study.system.about.nominal_v) > 1
    if any(e.minimum_v is None and not e.passive for e in study.document.equipment.values()):
        keys.add("equipment-minimum-28" if high else "equipment-minimum-14")
    return keys


def _of_battery(battery: Battery) -> set[str]:
    """What the flight over time assumes about a battery, and the days it is flown on."""
    keys = {"cold-day", "usual-day", "hot-day"}
    lithium = isinstance(battery, Lithium)
    end = "-lifepo4" if lithium else ""
    keys |= {f"charge-hours{end}", f"charge-efficiency{end}"}
    if battery.accepts_a is None:
        keys.add(f"charge-start-{chemistry(battery).replace('gel', 'agm')}")
    if battery.resistance_by_temperature is None:
        keys.add(f"battery-cold-coefficient{end}")
    if battery.rate_s is None and battery.rates is None:
        keys.add("battery-rate")
    if isinstance(battery, Lithium):
        keys |= {"cutoff-lifepo4-cell"} if battery.cutoff_v is None else set()
        keys |= {"no-charge-below"} if battery.no_charge_below_degc is None else set()
    else:
        keys.add("battery-cold-share")
    return keys


def _keys(term: Term) -> Iterator[str]:
    for part in term.origin.split(", "):
        if part.startswith(PREFIX):
            yield part.removeprefix(PREFIX).partition(" (")[0]


def assumed(study: Study) -> Table:
    """The values that elec put in because the builder gave none."""
    return Table(
        id="defaults",
        title="Values that were assumed",
        columns=(
            text("key", "Name"),
            text("meaning", "What"),
            text("value", "Value"),
            text("why", "Why this one", 2),
            text("source", "Source", 2),
        ),
        rows=tuple(
            (
                found.key,
                found.meaning,
                Cell(value=found.value, text=f"{found.value:g} {_unit(found.unit)}".strip()),
                found.why,
                str(found.cite),
            )
            for found in defaults_in_use(study)
        ),
        note="Give your own value in the system file, and the assumption is gone.",
    )


def _unit(unit: str) -> str:
    return {"mohm": "mΩ", "ohm": "Ω", "degC": "°C", "uT": "µT"}.get(unit, unit)


def sources(study: Study, findings: Iterable[Finding] = ()) -> Table:
    """The documents that numbers and limits of this system were taken from."""
    texts = {step.source for step in _steps(study)}
    texts |= {term.origin for step in _steps(study) for term in step.terms}
    texts |= {text for finding in findings for text in finding.sources}
    texts |= {str(found.cite) for found in defaults_in_use(study)}
    whole = "\n".join(sorted(texts))
    return Table(
        id="sources",
        title="Documents",
        columns=(
            text("short", "Cited as"),
            text("title", "Title"),
            text("edition", "Edition", 3),
            text("publisher", "Publisher", 2),
            text("certainty", "How its numbers got here"),
        ),
        rows=tuple(
            (doc.short, doc.title, " ".join(filter(None, (doc.edition, doc.year))), doc.publisher,
             doc.certainty)
            for doc in documents().values()
            if doc.short in whole
        ),
        note=(
            "Seen: read in the document's text. From memory: confirm it in the document before "
            "you rely on it."
        ),
    )  # fmt: skip


def proof(checks: Iterable[Check], findings: Iterable[Finding]) -> Table:
    """Every check with the number of its findings of each verdict."""
    counted = Counter((f.check, f.verdict) for f in findings)
    return Table(
        id="proof",
        title="What was checked",
        columns=(
            text("check", "Check"),
            text("asks", "What must be so"),
            *(count(f"{v.name.lower()}_count", v.value.replace("-", " ")) for v in Verdict),
            text("sources", "After", 3),
        ),
        rows=tuple(
            (
                check.id,
                check.title,
                *(counted.get((check.id, verdict)) or "" for verdict in Verdict),
                "; ".join(str(cite) for cite in check.sources),
            )
            for check in checks
        ),
    )


def nearest(checks: Iterable[Check], findings: Iterable[Finding]) -> Table:
    """Of every check that passes somewhere: how often, and what comes nearest to its limit."""
    passed: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.verdict is Verdict.PASS:
            passed.setdefault(finding.check, []).append(finding)
    return Table(
        id="nearest",
        title="What passes",
        columns=(
            text("check", "Check"),
            count("pass_count", "Passes"),
            text("nearest", "What comes nearest to its limit"),
        ),
        rows=tuple(
            (check.id, len(passed[check.id]), min(passed[check.id], key=apart).sentence)
            for check in checks
            if check.id in passed
        ),
        note=(
            "Nearest: the least difference between value and limit as a share of the limit; where "
            "a check compares no numbers, its first. All: elec check SYSTEM --all, or the whole "
            "book."
        ),
    )


def apart(finding: Finding) -> float:
    """How far a value is from its limit, as a share of the limit.

    >>> apart(Finding(check="c", about="a", verdict=Verdict.PASS, sentence="", value=9, limit=10))
    0.1
    """
    if finding.value is None or not finding.limit:
        return math.inf
    return abs(finding.limit - finding.value) / abs(finding.limit)
