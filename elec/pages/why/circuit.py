"""Circuits, feeders, ground connections, their devices and wires: from the load to the short.

In: a chain. Out: sections in the order in which a builder would calculate.
"""

from collections.abc import Iterable

from elec.answers.base.marks import marks
from elec.answers.drop.drops import feeder_drops, load_drops
from elec.answers.drop.why_current import circuit_working, wire_current_workings
from elec.answers.heat.heat import heat
from elec.answers.heat.why_wires import chain_resistance_working, length_working, resistance_working
from elec.answers.loads.why_draw import continuous_workings, greatest_working, pulse_workings
from elec.answers.short.damage import opens_in_time
from elec.answers.short.fault import faults
from elec.pages.circuits.wire import hottest
from elec.pages.document import Block, Paragraph, Section, TableBlock, WorkingBlock
from elec.pages.why import table as tables
from elec.pages.why.words import seconds
from elec.sizing.candidates import candidates
from elec.sizing.devices import rating_working
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Chain, Conductor
from elec.wiring.runs import runs
from elec.working import Working


def section(name: str, title: str, blocks: Iterable[Block | Working | None]) -> Section:
    """A section of hand calculations and tables; what is missing is left out."""
    made: list[Block] = []
    for block in blocks:
        if isinstance(block, Working):
            if block.steps:
                made.append(WorkingBlock(working=block))
        elif block is not None and not (isinstance(block, TableBlock) and not block.table.rows):
            made.append(block)
    return Section(id=name, title=title, blocks=tuple(made), new_page=False)


def full(sections_: Iterable[Section]) -> tuple[Section, ...]:
    """The sections that hold something."""
    return tuple(one for one in sections_ if one.blocks or one.sections)


def sections(study: Study, chain: Chain) -> tuple[Section, ...]:
    """Everything about a circuit, feeder or ground connection."""
    return full(
        (
            draw_section(study, chain),
            rating_section(study, chain),
            gauge_section(study, chain),
            resistance_section(study, chain),
            heat_section(study, chain),
            drop_section(study, chain),
            short_section(study, chain),
        )
    )


def draw_section(study: Study, chain: Chain) -> Section:
    """What it carries, and where that comes from."""
    blocks: list[Block | Working | None] = []
    for load in chain.loads:
        blocks.append(TableBlock(table=tables.counted_by_phase(study, load)))
        blocks.append(greatest_working(study, load))
        blocks += pulse_workings(study, load)
        blocks += continuous_workings(study, load)
    if chain.kind == "circuit":
        blocks.append(circuit_working(study, chain))
    for conductor in chain.conductors() if chain.kind != "circuit" else ():
        blocks += wire_current_workings(study, conductor)
    title = "What it draws" if chain.kind == "circuit" else "What it carries"
    return section(f"why-draw-{chain.name}", title, blocks)


def rating_section(study: Study, chain: Chain) -> Section:
    """The rating of its device."""
    device = sizing(study).devices.get(chain.name)
    blocks: list[Block | Working | None] = []
    if device is not None:
        blocks.append(rating_working(study, device))
        if device.needed_a is not None:
            blocks.append(TableBlock(table=tables.ratings_tried(device)))
    return section(f"why-device-{chain.name}", "Protective device", blocks)


def gauge_section(study: Study, chain: Chain) -> Section:
    """Every gauge tried until the one that passes."""
    found = candidates(study, chain)
    blocks: list[Block | Working | None] = []
    if found is not None:
        blocks.append(TableBlock(table=tables.gauges_tried(study, found)))
        if found.raised:
            text = (
                f"A thinner gauge would pass now. It was raised when it did not: {found.raised}; "
                "the search goes from thin to thick and never back."
            )
            blocks.append(Paragraph(text=text, kind="note"))
        if found.mixed:
            text = f"{', '.join(marks(study)[one] for one in found.mixed)}: given, not tried here."
            blocks.append(Paragraph(text=text, kind="note"))
    return section(f"why-gauge-{chain.name}", "Gauge", blocks)


def resistance_section(study: Study, chain: Chain) -> Section:
    """Length and resistance of every wire."""
    blocks: list[Block | Working | None] = [
        _length(study, conductor) for conductor in chain.conductors()
    ]
    blocks.append(
        chain_resistance_working(study, chain) if chain.kind in ("feeder", "ground") else None
    )
    return section(f"why-length-{chain.name}", "Length and resistance", blocks)


def length_section(study: Study, chain: Chain) -> Section:
    """The length of every wire that is made up of ways; of the others it stands where it is."""
    found = [length_working(study, conductor) for conductor in chain.conductors()]
    computed_ = [one for one in found if one is not None and one.steps[-1].formula]
    return section(f"why-runs-{chain.name}", "Lengths", computed_)


def _length(study: Study, conductor: Conductor) -> Block | Working | None:
    found = resistance_working(study, conductor) or length_working(study, conductor)
    if found is not None:
        return found
    text = f"{marks(study)[conductor.id]}: {runs(study)[conductor.id].unknown}."
    return Paragraph(text=text)


def heat_section(study: Study, chain: Chain) -> Section:
    """What its wires may carry and how warm they get: the one that uses most in full."""
    hot = hottest(study, chain)
    blocks: list[Block | Working | None] = []
    if hot is not None:
        mark = marks(study)[hot.conductor]
        blocks.append(
            Paragraph(text=f"The wire that uses most of what it may carry is {mark}. Of another "
                      "wire, ask by its mark.")
        )  # fmt: skip
        blocks += hot.workings
    return section(f"why-heat-{chain.name}", "Heat", blocks)


def drop_section(study: Study, chain: Chain) -> Section:
    """What is lost on the way."""
    blocks: list[Block | Working | None] = []
    if chain.kind == "circuit":
        for load in chain.loads:
            drop = load_drops(study)[chain.name, load]
            blocks.append(_untold(drop.unknown) if drop.unknown else None)
            blocks.append(drop.working)
    elif chain.name in feeder_drops(study):
        found = feeder_drops(study)[chain.name]
        blocks.append(_untold(found.unknown) if found.unknown else None)
        blocks.append(found.working)
        blocks.append(found.cranking if found.cranking_a > 0 else None)
    return section(f"why-drop-{chain.name}", "Voltage drop", blocks)


def _untold(unknown: str) -> Paragraph:
    return Paragraph(text=f"What is lost cannot be told: {unknown}. What is known of it:")


def short_section(study: Study, chain: Chain) -> Section:
    """Short-circuit currents, and the race of the wire against its device."""
    fault = faults(study).get(chain.name)
    blocks: list[Block | Working | None] = []
    if fault is not None and fault.unknown:
        blocks.append(Paragraph(text=f"The current of a short is not known: {fault.unknown}."))
    elif fault is not None:
        blocks += [fault.least, fault.greatest]
    race = opens_in_time(study).get(chain.name)
    if race is not None:
        blocks.append(Paragraph(text=f"{race.unknown}.") if race.unknown else race.working)
    return section(f"why-short-{chain.name}", "Short circuit", blocks)


# -- its device ---------------------------------------------------------------------------------


def device_words(study: Study, chain: Chain) -> tuple[str, ...]:
    """What a short makes of it."""
    device, fault = sizing(study).devices.get(chain.name), faults(study).get(chain.name)
    texts = []
    if device is not None and device.rating_a and fault is not None and fault.least_a is not None:
        times = fault.least_a / device.rating_a
        texts.append(
            f"A short at the far end drives {fault.least_a:.3g} A, {times:.3g} times its rating; "
            f"one just behind it {fault.greatest_a or 0:.3g} A."
        )
    race = opens_in_time(study).get(chain.name)
    if race is not None and race.opens_s is not None:
        texts.append(
            f"At {race.current_a:.3g} A, the worst current, it opens within "
            f"{seconds(race.opens_s)}; the wire (AWG {race.awg}) bears {seconds(race.damaged_s)}."
        )
    return tuple(texts)


def device_sections(study: Study, chain: Chain) -> tuple[Section, ...]:
    """From the load to its rating, then the shorts."""
    return full(
        (
            draw_section(study, chain),
            rating_section(study, chain),
            short_section(study, chain),
        )
    )


# -- one wire -----------------------------------------------------------------------------------


def wire_sections(study: Study, chain: Chain, conductor: Conductor) -> tuple[Section, ...]:
    """Everything about one conductor, then the drop that it is a part of."""
    current = section(
        f"why-current-{conductor.id}", "What it carries", wire_current_workings(study, conductor)
    )
    length = section(
        f"why-length-{conductor.id}", "Length and resistance", [_length(study, conductor)]
    )
    hot = heat(study).get(conductor.id)
    warm = section(f"why-heat-{conductor.id}", "Heat", hot.workings if hot is not None else ())
    if chain.kind not in ("circuit", "feeder", "ground"):
        return full((current, length, warm))
    return full(
        (
            current,
            gauge_section(study, chain),
            length,
            warm,
            drop_section(study, chain),
            short_section(study, chain),
        )
    )
