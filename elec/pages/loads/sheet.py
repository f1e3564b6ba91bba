"""The load analysis as one sheet to be signed: what stands on it, in the order of a form.

Every number is that of the analysis it comes from, every verdict that of a finding. What the file
does not give (registration, serial number, makes, date, names) is a line to write on.
"""

from collections import Counter
from collections.abc import Iterator

from elec import units
from elec.answers.failures.planned import lasting_cases
from elec.answers.loads.loads import loads
from elec.answers.loads.margins import margins_by_condition, rule_of, the
from elec.answers.loads.placards import Placard, placards
from elec.cautions import ADVICE
from elec.check import ORDER, ask
from elec.finding import Verdict
from elec.model.source import Alternator, ExternalPower
from elec.pages.columns import listed, phase_title, text
from elec.pages.document import Block, Paragraph, Section, TableBlock
from elec.pages.loads.endurance import endurance_summary
from elec.pages.loads.leads import endurance_lead, short, started, unknown_words
from elec.pages.loads.load import unknown_loads
from elec.pages.loads.sheet_table import basis_of, row_table, source_table
from elec.pages.table import Cell, Column, Table, Value
from elec.study import Study
from elec.wiring.basis import SHAPES
from elec.wiring.demand import conditions, demand
from elec.wiring.limits import limit
from elec.wiring.sources import has_alternator

BLANK = "________________________"
ASKED = (
    "load-known", "load-basis", "alternator-margin", "alternator-idle", "alternator-alone",
    "battery-endurance", "battery-start",
)  # fmt: skip
"""The checks whose answers the sheet sums up."""


def load_sheet_section(study: Study, *, digest: str, difference: str = "") -> Section:
    """The whole sheet.

    Args:
        study: the run.
        digest: of the builder's text, so that an old print is found out.
        difference: what differs from an older system, where one is given.
    """
    sources = source_table(study)
    makes = _makes(study)
    tables = [
        _identity(study, digest), *([makes] if makes.rows else []), row_table(study),
        *([sources] if sources.rows else []),
    ]  # fmt: skip
    if lasting_cases(study):
        tables.append(_endurance(study))
    tables += [_statements(study, difference)]
    blocks: list[Block] = [TableBlock(table=table) for table in tables]
    blocks += [Paragraph(text=ADVICE), TableBlock(table=signatures("load-sheet-signed"))]
    return Section(
        id="load-sheet",
        title=f"Electrical load analysis: {study.document.system.name}",
        blocks=tuple(blocks),
        new_page=False,
        form=True,
    )


# -- fields ---------------------------------------------------------------------------------------


def form_fields(name: str, title: str, rows: list[tuple[str, str]]) -> Table:
    """Fields of a form; where nothing is entered there is a line to write on."""
    return Table(
        id=name,
        title=title,
        columns=(text("field", "Field"), text("entry", "Entry")),
        rows=tuple((field, Cell(value=entry, text=entry or BLANK)) for field, entry in rows),
        fields=True,
    )


def _identity(study: Study, digest: str) -> Table:
    about = study.system.about
    rows = [
        ("Aircraft", about.name),
        ("Registration", about.registration),
        ("Serial number", about.serial),
        ("Revision", about.revision),
        ("Date", about.date),
        ("Text", digest[:12]),
    ]
    return form_fields("load-sheet-aircraft", "Aircraft", rows)


def _makes(study: Study) -> Table:
    """What each alternator and battery is, and its size."""
    rows = []
    for name, source in study.document.sources.items():
        if isinstance(source, ExternalPower):
            continue
        rated = source.rated_a() if isinstance(source, Alternator) else source.capacity_ah
        unit = "A" if isinstance(source, Alternator) else "Ah"
        size = "?" if rated is None else f"{rated:g}"
        title = _capital(study.system.title("sources", name))
        rows.append((f"{title}, {size} {unit}", source.make))
    return form_fields("load-sheet-makes", "Makes", rows)


def signatures(
    name: str, title: str = "Prepared and checked", who: tuple[str, ...] = ("Prepared", "Checked")
) -> Table:
    """Who did it and who checked it, to be written by hand."""
    rows = [(field, "") for one in who for field in (f"{one} by", "Signature", "Date")]
    return form_fields(name, title, rows)


def signed(name: str, title: str, who: tuple[str, ...]) -> Table:
    """Who did it and who looked at it at the foot of a paper: a line for each, not taken apart."""
    return Table(
        id=name,
        title=title,
        columns=(
            text("part", "Part"),
            text("name", "Name"),
            text("signature", "Signature"),
            text("date", "Date"),
        ),
        rows=tuple((f"{one} by", BLANK, BLANK, BLANK) for one in who),
        to_write=True,
    )


# -- the battery alone ----------------------------------------------------------------------------


def _endurance(study: Study) -> Table:
    """Condition → minutes, as everywhere; the batteries' state with the condition."""
    whole = endurance_summary(study)
    place = {column.key: k for k, column in enumerate(whole.columns)}

    def row(cells: tuple[Value, ...]) -> tuple[Value, ...]:
        keys = ("remark", "lost", "battery", "assumption")
        words = [str(cells[place[key]]) for key in keys]
        return cells[place["time_min"]], "; ".join(filter(None, words))

    return Table(
        id="load-sheet-endurance",
        title=whole.title,
        columns=(
            Column(key="time_min", head="min", digits=0),
            text("condition", "Condition, and by which rule"),
        ),
        rows=tuple(row(cells) for cells in whole.rows),
    )


# -- statements -----------------------------------------------------------------------------------


def _statements(study: Study, difference: str) -> Table:
    said = [
        ("Currents", " ".join([_currents(study), *unknown_words(study)])),
        ("Start", " ".join([*_before(study), *started(study)])),
        ("Battery", " ".join(endurance_lead(study))),
        ("Worst", _worst(study)),
        ("Placards", placard_words(study)),
        ("Difference", difference),
        ("Checks", _checks(study)),
    ]
    return Table(
        id="load-sheet-statements",
        title="Statements",
        columns=(text("about", ""), text("statement", "")),
        rows=tuple(row for row in said if row[1]),
    )


def _currents(study: Study) -> str:
    """How many currents come from where; of a load with several modes the least sure counts."""
    order = list(SHAPES)
    found: Counter[str] = Counter()
    for name, load in demand(study).loads.items():
        if load.known:
            modes = {mode.mode for shares in load.phases.values() for mode in shares} or {""}
            found[max((basis_of(study, name, mode) for mode in modes), key=order.index)] += 1
    words = {"typical": "typical values", "estimate": "estimates", "data sheet": "from data sheets",
             "unstated": "of unstated origin"}  # fmt: skip
    parts = [f"{found[basis]} {words.get(basis, basis)}" for basis in order if found[basis]]
    unknown = len(unknown_loads(study))
    parts += [f"{unknown} not known"] if unknown else []
    total = sum(found.values()) + unknown
    least = [basis for basis in ("typical", "estimate", "unstated") if found[basis]]
    hint = " Measure those that are not, once fitted." if least else ""
    loads_ = "1 load" if total == 1 else f"{total} loads"
    return f"Of {loads_}: {listed(parts)}.{hint}" if parts else "No load."


def _before(study: Study) -> Iterator[str]:
    """What the battery carries before the engine runs."""
    if not has_alternator(study):
        return
    for phase, entry in study.document.phases.items():
        if entry.engine is None or entry.engine.state != "stopped":
            continue
        totals = [loads(study).total(phase, condition) for condition in conditions(study)]
        most = max(totals, key=lambda total: total.continuous_a)
        amps = f"{most.continuous_a:.2f} A" + (" + ?" if most.unknown else "")
        time = units.show(entry.lasts_s, "s")
        title = phase_title(study, phase)
        yield f"From the battery in {title} by {most.condition} {amps} for {time}."


def _worst(study: Study) -> str:
    """The phase in which an alternator has least left."""
    every = margins_by_condition(study).values()
    known = [m for m in every if m.spare_a is not None]
    if not known:
        if has_alternator(study):
            if not every:
                return "? In no phase does the engine run: give its speed in each phase."
            return "? What the alternator gives is not known: give its output over engine speed."
        most = max(loads(study).totals, key=lambda total: total.continuous_a, default=None)
        if most is None:
            return "? No phases are given: write down what is on when."
        where = f"{phase_title(study, most.phase)} by {most.condition}"
        unsure = " + ?" if most.unknown else ""
        return (
            f"{_capital(where)}: {most.continuous_a:.2f} A{unsure} on the average; nothing charges."
        )
    worst = min(known, key=lambda m: m.spare_a or 0.0)
    unsure = " Not certain, for a current is not known." if worst.unknown else ""
    if worst.short:
        return short(study, worst) + unsure
    where = f"{phase_title(study, worst.phase)} by {worst.condition}"
    return (
        f"{_capital(where)}: {the(study, worst.sources)} has least left there, "
        f"{worst.spare_a:.1f} A of {worst.can_a:.1f} A.{unsure}"
    )


def placard_words(study: Study) -> str:
    """Which loads not together; that none are needed; or why it cannot be told."""
    every = list(margins_by_condition(study).values())
    rule = limit(study, "generator-share")
    if not has_alternator(study):
        return "None: no alternator is loaded."
    if not every:
        return "? Whether any are needed cannot be told: in no phase does the engine run."
    needed = placards(study)
    unknown = sorted({name for margin in every for name in margin.unknown})
    unrated = [m for m in every if m.used_part is None or not m.share.solved]
    texts = [_placard(study, one) for one in needed]
    if unknown or unrated:
        names = listed([study.system.title("equipment", name) for name in unknown])
        why = f"the current of {names}" if unknown else "what the alternator is rated for"
        texts.append(f"? Whether {'more' if needed else 'any'} are needed cannot be told: find out "
                     f"{why}.")  # fmt: skip
    elif not needed:
        texts.append(
            f"None needed: what may be on together for more than five minutes asks no more than "
            f"{100 * rule.value:.0f} % of a rating ({rule.source})."
        )
    return " ".join(texts)


def _placard(study: Study, one: Placard) -> str:
    worst, rule = one.worst, rule_of(study, one.worst)
    phases = listed(list(dict.fromkeys(phase_title(study, m.phase) for m in one.margins)))
    why = (
        f"({the(study, one.sources)} is asked {worst.share.asked_a:.1f} A of "
        f"{rule.value * (worst.rated_a or 0.0):.1f} A in {phase_title(study, worst.phase)} by "
        f"{worst.condition}; {rule.source})"
    )
    names = listed([study.system.title("equipment", name).upper() for name in one.loads])
    if not one.loads:
        return f"No placard helps in {phases}: less load, or a larger alternator {why}."
    if not one.at_once:
        return f"In {phases}: {names} NOT WITH ALL OTHER LOADS ON {why}."
    if one.at_once == len(one.loads) - 1:
        return f"In {phases}: NOT ALL TOGETHER: {names} {why}."
    return f"In {phases}: AT MOST {one.at_once} TOGETHER OF {names} {why}."


def _checks(study: Study) -> str:
    """The worst that each check says; what passes behind the others."""
    found: dict[Verdict, list[str]] = {}
    for name in ASKED:
        verdicts = [finding.verdict for finding in ask(study, name)]
        if verdicts:
            found.setdefault(min(verdicts, key=ORDER.index), []).append(name)
    said = [f"{verdict}: {listed(found[verdict])}" for verdict in ORDER if verdict in found]
    return "; ".join(said) + "." if said else "? Nothing to judge."


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


__all__ = ["form_fields", "load_sheet_section", "placard_words", "signatures"]
