"""Circuits, feeders, ground connections, their devices and wires: from the load to the short.

In: a chain. Out: sections in the order in which a builder would calculate.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping

from elec import units
from elec.answers.base.marks import marks
from elec.answers.drop.drops import feeder_drops, load_drops
from elec.answers.heat.heat import heat
from elec.answers.heat.why_wires import length_working
from elec.answers.loads.why_draw import continuous_workings
from elec.answers.short.damage import opens_in_time
from elec.answers.short.fault import Fault, faults
from elec.answers.why.why_worked import worked
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
from elec.working import Ref, Working


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


def parts(
    name: str, *rows: tuple[str, str, Iterable[Block | Working | None]]
) -> tuple[Section, ...]:
    """Parts of the answer about a thing by topic, title and blocks; those that hold something."""
    return full(section(f"why-{topic}-{name}", title, blocks) for topic, title, blocks in rows)


def full(sections_: Iterable[Section]) -> tuple[Section, ...]:
    """The sections that hold something."""
    return tuple(one for one in sections_ if one.blocks or one.sections)


Blocks = Iterator[Block | Working | None]


def sections(study: Study, chain: Chain, *topics: str) -> tuple[Section, ...]:
    """Everything about a circuit, feeder or ground connection; or the topics that are named."""
    titles = {"draw": "What it draws"} if chain.kind == "circuit" else {}
    rows = ((topic, *TOPICS[topic]) for topic in topics or TOPICS)
    return parts(chain.name, *((t, titles.get(t, title), make(study, chain))
                               for t, title, make in rows))  # fmt: skip


def _draw(study: Study, chain: Chain) -> Blocks:
    """What it carries, and where that comes from."""
    for load in chain.loads:
        yield TableBlock(table=tables.counted_by_phase(study, load))
        yield from worked(study, Ref("draw", load))
        yield from continuous_workings(study, load)
    yield from worked(study, Ref("carries", chain.name))
    if chain.kind != "circuit":
        for conductor in chain.conductors():
            yield from worked(study, Ref("current", conductor.id))


def _device(study: Study, chain: Chain) -> Blocks:
    """The rating of its device."""
    device = sizing(study).devices.get(chain.name)
    if device is not None:
        yield rating_working(study, device)
        if device.needed_a is not None:
            yield TableBlock(table=tables.ratings_tried(device))


def _gauge(study: Study, chain: Chain) -> Blocks:
    """Every gauge tried until the one that passes."""
    found = candidates(study, chain)
    if found is None:
        return
    yield TableBlock(table=tables.gauges_tried(study, found))
    if found.raised:
        text = (
            f"A thinner gauge would pass now. It was raised when it did not: {found.raised}; "
            "the search goes from thin to thick and never back."
        )
        yield Paragraph(text=text, kind="note")
    if found.mixed:
        text = f"{', '.join(marks(study)[one] for one in found.mixed)}: given, not tried here."
        yield Paragraph(text=text, kind="note")


def _lengths(study: Study, chain: Chain) -> Blocks:
    """Length and resistance of every wire."""
    for conductor in chain.conductors():
        yield from _length(study, conductor)
    if chain.kind in ("feeder", "ground"):
        yield from worked(study, Ref("resistance", chain.name))


def _length(study: Study, conductor: Conductor) -> Blocks:
    found = worked(study, Ref("length", conductor.id))
    unknown = runs(study)[conductor.id].unknown
    yield from found or (Paragraph(text=f"{marks(study)[conductor.id]}: {unknown}."),)


def _runs(study: Study, chain: Chain) -> Blocks:
    """The length of every wire that is made up of ways; of the others it stands where it is."""
    found = (length_working(study, conductor) for conductor in chain.conductors())
    yield from (one for one in found if one is not None and one.steps[-1].formula)


def _heat(study: Study, chain: Chain) -> Blocks:
    """What its wires may carry and how warm they get: the one that uses most in full."""
    hot = hottest(study, chain)
    if hot is not None:
        mark = marks(study)[hot.conductor]
        yield Paragraph(
            text=f"The wire that uses most of what it may carry is {mark}. Of another "
            "wire, ask by its mark."
        )
        yield from hot.workings


def _drop(study: Study, chain: Chain) -> Blocks:
    """What is lost on the way."""
    feeder = feeder_drops(study).get(chain.name)
    for drop in (*(load_drops(study)[chain.name, load] for load in chain.loads
                   if chain.kind == "circuit"), *((feeder,) if feeder else ())):  # fmt: skip
        if drop.unknown:
            yield Paragraph(
                text=f"What is lost cannot be told: {drop.unknown}. What is known of it:"
            )
        yield drop.working
    if feeder is not None and feeder.cranking_a > 0:
        yield feeder.cranking


def _short(study: Study, chain: Chain) -> Blocks:
    """Short-circuit currents, and the race of the wire against its device."""
    fault = faults(study).get(chain.name)
    if fault is not None and fault.unknown:
        yield Paragraph(text=f"The current of a short is not known: {fault.unknown}.")
    elif fault is not None:
        yield from (fault.least, fault.greatest)
    race = opens_in_time(study).get(chain.name)
    if race is not None:
        yield Paragraph(text=f"{race.unknown}.") if race.unknown else race.working


TOPICS: Mapping[str, tuple[str, Callable[[Study, Chain], Blocks]]] = {
    "draw": ("What it carries", _draw),
    "device": ("Protective device", _device),
    "gauge": ("Gauge", _gauge),
    "length": ("Length and resistance", _lengths),
    "heat": ("Heat", _heat),
    "drop": ("Voltage drop", _drop),
    "short": ("Short circuit", _short),
}
"""Topic → its title and its calculations, in the order in which a builder would calculate."""


def run_sections(study: Study, chain: Chain) -> tuple[Section, ...]:
    """The lengths of its wires, for paper."""
    return (section(f"why-runs-{chain.name}", "Lengths", _runs(study, chain)),)


# -- its device ---------------------------------------------------------------------------------


def device_words(study: Study, chain: Chain) -> tuple[str, ...]:
    """What a short makes of it."""
    device, fault = sizing(study).devices.get(chain.name), faults(study).get(chain.name)
    texts: list[str] = []
    if device is not None and device.rating_a and fault is not None:
        texts += short_words(fault, device.rating_a)
    race = opens_in_time(study).get(chain.name)
    if race is not None and race.opens_s is not None:
        texts.append(
            f"At {units.show(race.current_a, 'a')}, the worst current, it opens within "
            f"{seconds(race.opens_s)}; the wire (AWG {race.awg}) bears {seconds(race.damaged_s)}."
        )
    return tuple(texts)


def short_words(fault: Fault, rating_a: float) -> Iterator[str]:
    """What a short drives, at the far end and just behind the device; nothing is silently zero."""
    if fault.least_a is None:
        return
    near = "how much one just behind it drives is not known"
    if fault.greatest_a is not None:
        near = f"one just behind it {units.show(fault.greatest_a, 'a')}"
    yield (
        f"A short at the far end drives {units.show(fault.least_a, 'a')}, "
        f"{fault.least_a / rating_a:.3g} times its rating; {near}."
    )


# -- one wire -----------------------------------------------------------------------------------


def wire_sections(study: Study, chain: Chain, conductor: Conductor) -> tuple[Section, ...]:
    """Everything about one conductor, then the drop that it is a part of."""
    hot = heat(study).get(conductor.id)
    current = worked(study, Ref("current", conductor.id))
    own = chain.kind in ("circuit", "feeder", "ground") or chain.hot
    return full(
        (
            section(f"why-current-{conductor.id}", "What it carries", current),
            *(sections(study, chain, "gauge") if own else ()),
            section(f"why-length-{conductor.id}", TOPICS["length"][0], _length(study, conductor)),
            section(f"why-heat-{conductor.id}", "Heat", hot.workings if hot else ()),
            *(sections(study, chain, "drop", "short") if own else ()),
        )
    )
