"""Sections on building: may a zone be closed, how far is everything, what was measured."""

from collections.abc import Iterable

from elec.answers.build.closing import Closing, closing
from elec.answers.connect.spares import spares
from elec.answers.doubt.measured import comparisons
from elec.cautions import CARE
from elec.finding import Finding, Verdict
from elec.pages.closing.table import held_open, in_zone, measured, notes, progress, spare_list
from elec.pages.document import Block, Items, Paragraph, Section, TableBlock
from elec.pages.loads.sheet import signed
from elec.study import Study
from elec.wiring.limits import limit, shown


def look(study: Study) -> tuple[str, ...]:
    """What to look for before a zone closes: the limits in force, and common practice."""
    supported = _limited(study, "support-spacing", " apart")
    fuel = _limited(study, "fuel-separation", " from fuel and oxygen lines")
    moves = _limited(study, "control-separation", " from what moves")
    return (
        f"supports no more than {supported}, screws tight, cushions in place",
        "a grommet or liner in every hole; no edge touches a wire",
        f"between supports a hand pushes the bundle no more than {_limited(study, 'deflection')}",
        (
            "slack for two new terminations at each end, a drip loop before each connector, a "
            "drain hole at the low point of each tube"
        ),
        f"{fuel}; nothing fastened to them; {moves}, controls through their full travel",
        "no sharp bend, no crushed coaxial cable, no wire that serves as a handhold",
        "marks readable without cutting a tie; open connectors capped; shields ended as drawn",
        "spare ends capped and labelled at both ends",
        "all tools counted, all chips out",
        "a second person looked at everything near flight and engine controls",
    )


def _limited(study: Study, key: str, words: str = "") -> str:
    """A limit in force in the units of the system, with its source."""
    one = limit(study, key)
    return f"{shown(one, study.system.about.units)}{words} ({one.source})"


def closing_answer(study: Study, zone: str, findings: Iterable[Finding]) -> Section:
    """May it be closed? Yes or no first, then what holds it open."""
    found = closing(study, zone, findings)
    return Section(
        id=f"close-{zone}",
        title=_headline(found),
        blocks=tuple(_blocks(study, found)),
        new_page=False,
    )


def zones_section(study: Study, findings: Iterable[Finding]) -> Section:
    """The closing list of every zone, a page each."""
    failed = tuple(one for one in findings if one.verdict is Verdict.FAIL)
    return Section(
        id="zones",
        title="Closing the zones",
        blocks=(
            TableBlock(table=progress(study)),
            *(TableBlock(table=table) for table in notes(study)),
            *_measured(study),
            *((TableBlock(table=spare_list(study)),) if spares(study) else ()),
        ),
        sections=tuple(
            Section(
                id=f"close-{zone}",
                title=_headline(found := closing(study, zone, failed)),
                blocks=tuple(_blocks(study, found)),
                new_page=True,
            )
            for zone in study.document.zones
        ),
    )


def _measured(study: Study) -> tuple[Block, ...]:
    return (TableBlock(table=measured(study)),) if comparisons(study) else ()


def _headline(found: Closing) -> str:
    if found.may_close:
        return f"{found.title}: nothing on this list holds it open"
    number = len(found.holding)
    held = "1 thing holds" if number == 1 else f"{number} things hold"
    return f"{found.title}: not yet; {held} it open"


def _blocks(study: Study, found: Closing) -> Iterable[Block]:
    yield Paragraph(text=CARE["closing"], kind="caution")
    when = f"It closes {found.closes}." if found.closes else ""
    passing = sum(one.what == "passes" for one in found.inside)
    ending = sum(one.what == "ends there" for one in found.inside)
    yield Paragraph(
        text=f"{when} {passing} wires and cables pass through it, {ending} end in it. What passes "
        "has to be pulled, what ends there rung out; a spare pulled, its ends capped.".strip()
    )
    if found.holding:
        yield TableBlock(table=held_open(found))
    if found.unreachable:
        yield Paragraph(text="Nobody reaches these afterwards:")
        yield Items(items=found.unreachable)
    if found.untested:
        names = ", ".join(one.name for one in found.untested)
        yield Paragraph(
            text=f"Rung out, not yet tested in service; test them while it is open: {names}."
        )
    spares = found.spares or ("none: a pull cord or a spare cable costs little now",)
    yield Paragraph(text="Spare in it:")
    yield Items(items=spares)
    yield Paragraph(text="Photograph, marks readable, a scale beside it:")
    yield Items(items=found.photos, boxes=True)
    yield Paragraph(text="Look once more:")
    yield Items(items=look(study), boxes=True)
    if found.inside:
        yield TableBlock(table=in_zone(found))
    name = f"closing-signed-{found.zone}"
    yield TableBlock(
        table=signed(
            name, f"Signed: {study.system.title('zones', found.zone)}", ("Done", "Looked at")
        )
    )
