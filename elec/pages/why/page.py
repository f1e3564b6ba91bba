"""Why is it so? Everything that was computed about one thing, in the order of a builder's hand.

In: a study and what is asked about. Out: a section: the answer first, then the hand calculations.
"""

from collections.abc import Callable, Iterable, Mapping

from elec.answers.base.marks import marks
from elec.answers.why.why_names import Kind, WhySubject
from elec.pages.document import Block, Paragraph, Section, WorkingBlock
from elec.pages.why import circuit as why_circuit
from elec.pages.why import power as why_power
from elec.pages.why import thing as why_thing
from elec.pages.why.words import device_reason, gauge_reason, state_reason, wire_reason
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, chains
from elec.working import Working

Answer = Callable[[Study, str], tuple[tuple[str, ...], tuple[Section, ...]]]
"""The short answer in sentences, and the sections behind it."""


def why_answer(study: Study, asked: Iterable[WhySubject]) -> Section:
    """Everything about the things asked, one section each; a calculation is printed once."""
    printed: dict[Working, str] = {}
    found = tuple(_once(_about(study, one), printed) for one in asked)
    if len(found) > 1:
        kinds = "; ".join(f"the {section.title}" for section in found)
        text = f"{len(found)} things have that name: {kinds}. In this order:"
        return Section(id="why", title="", blocks=(Paragraph(text=text),), sections=found,
                       new_page=False)  # fmt: skip
    return found[0]


def _about(study: Study, asked: WhySubject) -> Section:
    answer, sections = ANSWERS[asked.kind](study, asked.name)
    place = f", {asked.place}" if asked.place.line else ""
    return Section(
        id=f"why-{asked.kind.replace(' ', '-')}-{asked.name}",
        title=f"{asked.kind_words} {asked.title}{place}",
        blocks=tuple(Paragraph(text=text[:1].upper() + text[1:]) for text in answer if text),
        sections=sections,
        new_page=False,
    )


def _once(section: Section, printed: dict[Working, str]) -> Section:
    """A section in which a calculation that was printed before is only named."""
    blocks: list[Block] = []
    for block in section.blocks:
        if not isinstance(block, WorkingBlock):
            blocks.append(block)
        elif block.working in printed:
            blocks.append(Paragraph(text=f"{block.working.title}: as above.", kind="note"))
        else:
            printed[block.working] = section.id
            blocks.append(block)
    inner = tuple(_once(one, printed) for one in section.sections)
    return Section(id=section.id, title=section.title, blocks=tuple(blocks), sections=inner,
                   new_page=False)  # fmt: skip


def _circuit(study: Study, name: str) -> tuple[tuple[str, ...], tuple[Section, ...]]:
    chain = chains(study).by_name[name]
    answer = (gauge_reason(study, chain), device_reason(study, chain), state_reason(study, chain))
    return answer, why_circuit.sections(study, chain)


def _device(study: Study, name: str) -> tuple[tuple[str, ...], tuple[Section, ...]]:
    chain = chains(study).named(name)
    answer = (device_reason(study, chain), *why_circuit.device_words(study, chain))
    return answer, why_circuit.device_sections(study, chain)


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
