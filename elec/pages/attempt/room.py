"""How much more fits, what binds, and how far the other limits are."""

from elec.attempt.room import SHOWN, Bound, Room
from elec.finding import Verdict
from elec.pages.answers import headline
from elec.pages.columns import amps, listed, phase_title, text
from elec.pages.document import Block, FindingList, Paragraph, Section, TableBlock, WorkingBlock
from elec.pages.table import Column, Table
from elec.sizing.order import cranking
from elec.study import Study


def room_answer(study: Study, found: Room) -> Section:
    """The answer in one sentence, what is said just beyond it, and the other limits."""
    blocks: list[Block] = [Paragraph(text=_lead(study, found), kind="lead")]
    if found.beyond:
        blocks.append(FindingList(findings=found.beyond))
    if found.bounds:
        blocks.append(TableBlock(table=_table(found)))
    if found.kind == "core":
        blocks += [WorkingBlock(working=b.now.working) for b in found.bounds if b.now.working]
    blocks.append(Paragraph(text=_setting(study, found), kind="note"))
    return Section(id="room", title=headline(study), blocks=tuple(blocks), new_page=False)


def _lead(study: Study, found: Room) -> str:
    title = _title(study, found)
    if found.extra_a is None or found.extra_w is None:
        return f"{title}: nothing in the file binds."
    names = [f"{b.check} {b.about}" for b in found.bounds if b.found]
    binding = names[0] if found.kind == "core" else listed(names)
    if found.extra_a <= 0:
        return f"{title}: no more. It binds already: {binding}."
    much = f"{found.extra_a:.2f} A more, {found.extra_w:.0f} W at {found.voltage_v:.1f} V"
    return f"{title}: {much}. What binds: {binding}."


def _title(study: Study, found: Room) -> str:
    sections = {"bus": "buses", "source": "sources", "circuit": "circuits", "place": "places"}
    section = sections.get(found.kind)
    name = study.system.title(section, found.name) if section else found.name
    if found.kind == "place":
        name += f", from {study.system.title('buses', found.bus)}"
    if found.kind == "circuit":
        name = f"Circuit {found.name}"
    return name[:1].upper() + name[1:]


def _setting(study: Study, found: Room) -> str:
    if found.kind == "core":
        return (
            "The core alone, the other wires around it loaded as now; what lies before and behind "
            "it loses voltage, too. Try the load itself before you count on it."
        )
    short = cranking(study)
    phases = [phase_title(study, name) for name in study.document.phases if name not in short]
    when = f"from {phases[0]} to {phases[-1]}" if len(phases) > 1 else "".join(phases)
    if found.kind == "circuit":
        what = "Its first load draws so much more while it is on"
    else:
        what = f"One load of constant current, on {when} by day and night, never shed"
    return (
        f"{what}; every device and wire as it is now, also those that elec chose. The limit that "
        f"binds was found by {found.runs} runs of the checks; the others by straight lines through "
        "two of them."
    )


def _table(found: Room) -> Table:
    rows = tuple(_row(found, bound) for bound in found.bounds[:SHOWN])
    left = len(found.bounds) - len(rows)
    return Table(
        id="room",
        title="How far each limit is",
        columns=(
            amps("room_a", "Room", digits=1),
            Column(key="room_w", head="Room", unit="w", digits=0),
            text("check", "Check"),
            text("about", "Of"),
            text("then", "Beyond it"),
        ),
        rows=rows,
        note=f"{left} more limits are farther away." if left > 0 else "",
    )


def _row(found: Room, bound: Bound) -> tuple[float, float, str, str, str]:
    already = bound.now.verdict is Verdict.ADVISE and bound.room_a == 0
    then = f"{bound.becomes} already" if already else bound.becomes.value
    return bound.room_a, bound.room_a * found.voltage_v, bound.check, bound.about, then
