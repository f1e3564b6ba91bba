"""What single failures take: the sentences that come first, and the section of the book."""

from elec.analyses.failures import Effect, worst_effects
from elec.report.document import Block, Paragraph, Section, TableBlock
from elec.study import Study
from elec.tables.columns import listed
from elec.tables.failures import failure_tables


def failures_section(study: Study) -> Section:
    """The section of the book."""
    leads = failures_lead(study)
    blocks: list[Block] = [
        Paragraph(text=text, kind="text" if number else "lead") for number, text in enumerate(leads)
    ]
    blocks += [TableBlock(table=table) for table in failure_tables(study) if table.rows]
    shown = blocks if worst_effects(study) else []
    return Section(id="failures-section", title="What fails with what", blocks=tuple(shown))


def failures_lead(study: Study) -> tuple[str, ...]:
    """Which failures take an essential load for good, and which empty the battery soonest."""
    found = worst_effects(study)
    beyond = [one for one in found if not one.failure.branches]
    taking = [one for one in beyond if one.taken]
    texts = [
        f"{len(found)} single failures were tried. {_taking(study, taking)}",
        *_battery(beyond),
    ]
    return tuple(texts) if found else ()


def _taking(study: Study, taking: list[Effect]) -> str:
    if not any(entry.essential for entry in study.document.equipment.values()):
        return "No equipment is marked essential, so none of them counts as worse than another."
    if not taking:
        return "Beyond a load's own circuit none takes an essential load."
    names = listed([one.failure.title for one in taking[:6]])
    more = f" and {len(taking) - 6} more" if len(taking) > 6 else ""
    return f"Essential loads that nothing takes over for are lost with: {names}{more}."


def _battery(found: list[Effect]) -> list[str]:
    times = [(one.holds_min, one) for one in found if one.holds_min is not None]
    if not times:
        return []
    minutes, one = min(times, key=lambda pair: pair[0])
    soonest = f"The battery is emptied soonest by this: {one.failure.title}"
    return [f"{soonest}; it holds about {minutes:.0f} min."]
