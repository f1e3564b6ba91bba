"""Why is it so? Everything that was computed about one thing, in the order of a builder's hand.

In: a study and what is asked about. Out: a section: the answer first, then the hand calculations.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping

from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.why.why_names import Kind, WhySubject
from elec.answers.why.why_worked import worked
from elec.pages.document import Block, Paragraph, Section, WorkingBlock
from elec.pages.why import circuit as why_circuit
from elec.pages.why import power as why_power
from elec.pages.why import thing as why_thing
from elec.pages.why.words import device_reason, gauge_reason, state_reason, wire_reason
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, chains
from elec.working import Ref, Working

Answer = Callable[[Study, str], tuple[tuple[str, ...], tuple[Section, ...]]]
"""The short answer in sentences, and the sections behind it."""


OF_ONE_WIRE = ("heat", "temperature", "bundle")
"""What is worked out of the very thing that was asked for alone: of every wire it is too long."""


def why_answer(study: Study, asked: Iterable[WhySubject], topic: str = "") -> Section:
    """Everything about the things asked, or one topic of them; a calculation is printed once."""
    printed: set[Working] = set()
    found = tuple(_walked(study, one, about(study, one, topic), printed) for one in asked)
    if len(found) > 1:
        kinds = "; ".join(f"the {section.title}" for section in found)
        text = f"{len(found)} things have that name: {kinds}. In this order:"
        return Section(id="why", title="", blocks=(Paragraph(text=text),), sections=found,
                       new_page=False)  # fmt: skip
    return found[0]


def about(study: Study, asked: WhySubject, topic: str = "") -> Section:
    """The answer about a thing, with its root calculations: all of them, or those of a topic."""
    answer, sections = ANSWERS[asked.kind](study, asked.name)
    place = f", {asked.place}" if asked.place.line else ""
    texts = () if topic else answer
    return Section(
        id=f"why-{asked.kind.replace(' ', '-')}-{asked.name}",
        title=f"{asked.kind_words} {asked.title}{place}",
        blocks=tuple(Paragraph(text=text[:1].upper() + text[1:]) for text in texts if text),
        sections=tuple(one for one in sections if topic in ("", topic_of(one))),
        new_page=False,
    )


def topic_of(section: Section) -> str:
    """The word by which a part of an answer is asked for: `drop` of the voltage drop.

    >>> topic_of(Section(id="why-drop-beacon", title="Voltage drop", blocks=()))
    'drop'
    """
    return section.id.split("-")[1]


SAID = {
    "amps": "draw", "breaker": "device", "carries": "draw", "current": "draw", "fault": "short",
    "fuse": "device", "load": "draw", "rating": "device", "resistance": "length",
    "short-circuit": "short", "size": "gauge", "temperature": "heat", "voltage-drop": "drop",
    "volts": "voltage", "wire": "gauge",
}  # fmt: skip
"""Further words for a part of an answer."""


def _walked(study: Study, asked: WhySubject, section: Section, printed: set[Working]) -> Section:
    """Before every calculation those that its terms came from, each once."""
    own, blocks = _own(study, asked), list[Block]()
    for block in section.blocks:
        if not isinstance(block, WorkingBlock):
            blocks.append(block)
        elif block.working in printed:
            blocks.append(Paragraph(text=f"{block.working.title}: as above.", kind="note"))
        else:
            blocks += map(_block, _walk(study, block.working, asked.name, own, printed))
    inner = tuple(_walked(study, asked, one, printed) for one in section.sections)
    return replace(section, blocks=tuple(blocks), sections=inner)


def _block(working: Working) -> WorkingBlock:
    return WorkingBlock(working=working)


def _walk(
    study: Study, working: Working, name: str, own: frozenset[str], printed: set[Working]
) -> Iterator[Working]:
    if working in printed:
        return
    printed.add(working)
    for ref in dict.fromkeys(term.came for step in working.steps for term in step.terms):
        if isinstance(ref, Ref) and ref.of in own and (ref.what not in OF_ONE_WIRE
                                                       or ref.of == name):  # fmt: skip
            for one in worked(study, ref):
                yield from _walk(study, one, name, own, printed)
    yield working


def _own(study: Study, asked: WhySubject) -> frozenset[str]:
    """What belongs to the thing asked: of other things their calculations are only named."""
    name = asked.name
    if asked.kind == "wire":
        return frozenset({name, (chain := conductor_of(study, name)[0]).name, *chain.loads})
    if asked.kind not in ("circuit", "device", "feeder", "ground connection", "thin wire"):
        return frozenset({name})
    chain = chains(study).named(name)
    return frozenset({chain.name, *chain.loads, *(one.id for one in chain.conductors())})


def _circuit(study: Study, name: str) -> tuple[tuple[str, ...], tuple[Section, ...]]:
    chain = chains(study).by_name[name]
    answer = (gauge_reason(study, chain), device_reason(study, chain), state_reason(study, chain))
    return answer, why_circuit.sections(study, chain)


def _device(study: Study, name: str) -> tuple[tuple[str, ...], tuple[Section, ...]]:
    chain = chains(study).named(name)
    answer = (device_reason(study, chain), *why_circuit.device_words(study, chain))
    return answer, why_circuit.sections(study, chain, "draw", "device", "short")


def _wire(study: Study, name: str) -> tuple[tuple[str, ...], tuple[Section, ...]]:
    chain, conductor = conductor_of(study, name)
    answer = wire_reason(study, chain, conductor, marks(study)[name])
    return answer, why_circuit.wire_sections(study, chain, conductor)


def conductor_of(study: Study, name: str) -> tuple[Chain, Conductor]:
    """A conductor by its id, with its chain."""
    chain = chains(study).by_name[name.rpartition("/")[0]]
    return chain, next(c for c in chain.conductors() if c.id == name)


def _cable(study: Study, name: str) -> tuple[tuple[str, ...], tuple[Section, ...]]:
    return why_thing.cable(study, chains(study).by_name[name])


ANSWERS: Mapping[Kind, Answer] = {
    "circuit": _circuit,
    "device": _device,
    "wire": _wire,
    "feeder": _circuit,
    "thin wire": _circuit,
    "ground connection": _circuit,
    "cable": _cable,
    "equipment": why_power.equipment,
    "bus": why_power.bus,
    "source": why_power.source,
    "phase": why_power.phase,
    "ground": why_thing.ground,
    "switch": why_thing.switch,
    "connector": why_thing.connector,
    "contact": why_thing.contact,
    "way": why_thing.way,
    "place": why_thing.place,
}
"""How each kind of thing is answered."""
