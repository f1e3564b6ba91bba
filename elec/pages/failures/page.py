"""What single failures take: the sentences that come first, and the section of the book."""

from elec import units
from elec.answers.failures.changing_over import hands
from elec.answers.failures.failure_reach import halted
from elec.answers.failures.failures import Effect, worst_effects
from elec.answers.failures.planned import plan_with
from elec.answers.short.shorts import shorts
from elec.answers.time.endurance import endurance
from elec.answers.time.endurance_limit import endurance_limit
from elec.pages.columns import listed, phase_title
from elec.pages.document import Block, Paragraph, Section, TableBlock
from elec.pages.failures.coils import coils_table
from elec.pages.failures.shorts import shorts_table
from elec.pages.failures.table import failure_tables, found_in
from elec.pages.failures.ways import feed_ways_table
from elec.study import Study
from elec.wiring.sources import has_alternator
from elec.working import unrounded

MOST = 6
"""So many failures are named in the sentence."""
NAMED = 3
"""So many loads are named for each; more are counted."""


def failures_section(study: Study) -> Section:
    """The section of the book."""
    leads = failures_lead(study)
    blocks: list[Block] = [
        Paragraph(text=text, kind="text" if number else "lead") for number, text in enumerate(leads)
    ]
    if worst_effects(study):
        from elec.pages.failures.matrix import matrix_figures

        blocks += matrix_figures(study)
    first, *others = failure_tables(study)
    tables = (first, coils_table(study), feed_ways_table(study), *others)
    blocks += [TableBlock(table=table) for table in tables if table.rows]
    found = shorts_table(study)
    if found.rows:
        blocks += [Paragraph(text=text) for text in shorts_lead(study)]
        blocks.append(TableBlock(table=found))
    shown = blocks if worst_effects(study) else []
    return Section(id="failures-section", title="What fails with what", blocks=tuple(shown))


def shorts_lead(study: Study) -> tuple[str, ...]:
    """How many shorts were tried, which are not cleared, which take essential loads for good."""
    found = [one for one in shorts(study).by_name.values() if one.kind != "bus"]
    if not found:
        return ("No battery or no phase is given, so no short can be followed.",)
    count = sum(len(one.shorts) for one in shorts(study).by_name.values())
    taking = [one.title for one in found if one.beyond]
    text = (
        f"{count} shorts were followed in {shorts(study).state}, with every source feeding: at "
        "both ends of every power wire, and at every bus."
    )
    if taking:
        return (
            text,
            f"These take essential loads that the wire alone does not feed: {listed(taking)}.",
        )
    return (text, "None in a wire takes an essential load but those that hang on it alone.")


def failures_lead(study: Study, phase: str | None = None) -> tuple[str, ...]:
    """Which failures take an essential load for good, and which empty the battery soonest."""
    found = found_in(study, phase)
    beyond = [one for one in found if not one.failure.branches]
    taking = sorted((one for one in beyond if one.taken), key=lambda one: -len(one.taken))
    when = "" if phase is None else f" in {phase_title(study, phase)}"
    texts = [
        f"{len(found)} single failures were tried{when}. {_taking(study, taking)}",
        *_remedy(taking),
        *_halting(study, beyond),
        *_battery(study, beyond),
        *_opened(study, beyond),
        *_unsolved(found),
    ]
    return tuple(texts) if found else ()


def _taking(study: Study, taking: list[Effect]) -> str:
    if not any(entry.essential for entry in study.document.equipment.values()):
        return "No equipment is marked essential, so none of them counts as worse than another."
    if not taking:
        return "Beyond a load's own circuit none takes an essential load."
    names = [f"{one.failure.title} ({_lost(study, one.taken)})" for one in taking[:MOST]]
    names += [f"{len(taking) - MOST} more (see the table)"] if len(taking) > MOST else []
    some = "1 takes" if len(taking) == 1 else f"{len(taking)} take"
    return f"{some} essential loads that nothing takes over for: {listed(names)}."


def _lost(study: Study, names: tuple[str, ...]) -> str:
    """The loads, or how many there are."""
    titles = [study.system.title("equipment", name) for name in names]
    return listed(titles) if len(titles) <= NAMED else f"{len(titles)} loads"


def _remedy(taking: list[Effect]) -> list[str]:
    if not taking:
        return []
    return [
        (
            "What helps: a second feeder, ground or way for a load that does the same work, and "
            "backup: on the equipment, so that elec knows."
        )
    ]


def _halting(study: Study, found: list[Effect]) -> list[str]:
    """What stops the engine until somebody changes over."""
    titles = [one.failure.title for one in found if halted(study, one)]
    if not titles:
        return []
    named = titles[:MOST] + ([f"{len(titles) - MOST} more"] if len(titles) > MOST else [])
    some = "1 stops" if len(titles) == 1 else f"{len(titles)} stop"
    hand = hands(study).words or "changes over"
    return [f"{some} the engine until the pilot {hand}: {listed(named)}. See failure-single."]


def _battery(study: Study, found: list[Effect]) -> list[str]:
    times = [(one.holds_min, one) for one in found if one.holds_min is not None]
    alone = endurance(study)
    if not times or alone is None:
        return []
    minutes, one = min(times, key=lambda pair: unrounded(pair[0]))
    asked = endurance_limit(study, alone)
    text = (
        f"The battery is emptied soonest by {one.failure.title}: it holds about "
        f"{units.whole_minutes(minutes)} min by Peukert's law, aged and cold, if the loads of "
        f"{study.system.title('phases', one.holds_in)} stay on to the end; "
        f"{units.asked_minutes(asked.minutes)} min are asked"
    )
    plan = [plan_with(study)] if alone.alternator else []
    if asked.met(minutes):
        return [f"{text}.", *plan]
    return [
        f"{text}. That is too little: shed more (shed: at once), or fit a larger battery.",
        *plan,
    ]


def _opened(study: Study, found: list[Effect]) -> list[str]:
    """Lithium batteries whose management system opens: what the alternator alone then holds."""
    if not has_alternator(study):
        return []
    texts = []
    for one in found:
        name = str(one.failure.path[-1])
        if one.failure.id != f"source:{name}":
            continue
        if study.document.sources[name].kind != "lithium-iron-phosphate":
            continue
        least = one.least
        held = "what it holds is not known"
        if least is not None:
            title = study.system.title("equipment", least.equipment)
            held = f"the least is {least.voltage_v:.1f} V at {title}"
        texts.append(
            f"{one.failure.title[:1].upper()}{one.failure.title[1:]}: the alternator alone holds "
            f"the bus; {held}, once it has settled. How high the voltage jumps "
            "at that moment, and whether the alternator runs on without a battery, its maker has "
            "to say; fit over-voltage protection."
        )
    return texts


def _untold(titles: list[str]) -> list[str]:
    text = (
        f"What becomes of the voltage cannot be told after: {listed(titles)}. A regulator sees no "
        "longer what it holds then, and nothing is said to take its alternator off "
        "(overvoltage-protection, crowbar, or if-open: off of its sense wire)."
    )
    return [text]


def _unsolved(found: tuple[Effect, ...]) -> list[str]:
    count = sum(not one.solved and not one.untold for one in found)
    runs = [one.failure.title for one in found if one.untold]
    if runs:
        return [*_untold(runs), *_unsolved(tuple(one for one in found if not one.untold))]
    if not count:
        return []
    some = "1 of them has" if count == 1 else f"{count} of them have"
    return [
        f"{some} no solution, or a current is not known: of these only what is cut off is told."
    ]
