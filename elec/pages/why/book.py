"""The hand calculations of the book: first the whole system's, then every chain's.

In: a study. Out: sections. What an inspector wants on paper is a chain's rating, heat and drop;
how long its wires are, what its loads count for and what a short does is there on the screen.
"""

from collections.abc import Iterable, Iterator

from elec.finding import Finding
from elec.pages import reference
from elec.pages.circuits.wire import why_id
from elec.pages.document import Block, Paragraph, Section, TableBlock, WorkingBlock
from elec.pages.why import circuit as why_circuit
from elec.pages.why.circuit import section
from elec.pages.why.words import device_reason, gauge_reason, state_reason
from elec.study import Study
from elec.wiring.chains import Chain, ChainKind, chains
from elec.working import Working

KINDS: tuple[ChainKind, ...] = ("feeder", "ground", "circuit")
"""Chains that have a hand calculation."""
LEAD = (
    "Every number can be followed with a pocket calculator: the digits that are printed give the "
    "result that is printed, and the origin of each term is beside it."
)

ASKED = (
    "Here: the sources, whatever feeds an essential load, and whatever was found to be other than "
    "a plain pass. All others: elec why SYSTEM NAME, or the whole book."
)


def workings_section(study: Study) -> Section:
    """Every hand calculation, folded; each once."""
    printed: set[Working] = set()
    whole = section("workings-whole", "Loads and sources", reference.whole_workings(study))
    made = [_once(whole, printed)]
    for kind in KINDS:
        made += [_once(_chain(study, chain), printed) for chain in chains(study).of(kind)]
    return Section(
        id="workings",
        title="Workings",
        blocks=(Paragraph(text=LEAD),),
        sections=tuple(one for one in made if one.blocks or one.sections),
    )


def asked_workings_section(study: Study, found: Iterable[Finding]) -> Section:
    """The hand calculations of what somebody will ask about, each once.

    Those of the whole system, of every chain about which something other than a pass was found,
    and of every chain that feeds an essential load.
    """
    asked = {finding.about for finding in found}
    equipment = study.document.equipment
    printed: set[Working] = set()
    made = [_once(section("workings-whole", "Loads and sources", reference.whole_workings(study)),
                  printed)]  # fmt: skip
    for kind in KINDS:
        for chain in chains(study).of(kind):
            essential = any(equipment[load].essential for load in chain.loads)
            if essential or asked & {chain.name, *chain.loads, *(c.id for c in chain.conductors())}:
                made.append(_once(_chain(study, chain), printed))
    return Section(
        id="workings",
        title="Workings",
        blocks=(Paragraph(text=LEAD), Paragraph(text=ASKED, kind="note")),
        sections=tuple(one for one in made if one.blocks or one.sections),
    )


def _chain(study: Study, chain: Chain) -> Section:
    """A circuit, feeder or ground connection."""
    answer = (gauge_reason(study, chain), device_reason(study, chain), state_reason(study, chain))
    parts = why_circuit.sections(study, chain, "device", "heat", "drop")
    more = (
        *why_circuit.sections(study, chain, "gauge", "draw"),
        *why_circuit.run_sections(study, chain),
        *why_circuit.sections(study, chain, "short"),
    )
    shown = [Paragraph(text=text[:1].upper() + text[1:]) for text in answer if text]
    workings = [b for part in parts for b in part.blocks if isinstance(b, WorkingBlock)]
    return Section(
        id=why_id(chain.name),
        title=chain.title,
        blocks=(*shown, *workings),
        sections=(
            Section(
                id=why_id(f"more {chain.name}"),
                title=f"More of {chain.title}",
                blocks=tuple(_more((*parts, *more))),
                new_page=False,
                paper=False,
            ),
        ),
        new_page=False,
    )


def _more(parts: Iterable[Section]) -> Iterator[Block]:
    """Tables first, then the calculations."""
    every = [block for part in parts for block in part.blocks]
    yield from (block for block in every if isinstance(block, TableBlock))
    yield from (block for block in every if isinstance(block, WorkingBlock))


def _once(one: Section, printed: set[Working]) -> Section:
    blocks: list[Block] = []
    for block in one.blocks:
        if isinstance(block, WorkingBlock):
            if block.working in printed:
                continue
            printed.add(block.working)
        blocks.append(block)
    return Section(
        id=one.id,
        title=one.title,
        blocks=tuple(blocks),
        sections=tuple(
            inner for inner in (_once(s, printed) for s in one.sections) if inner.blocks
        ),
        new_page=one.new_page,
        paper=one.paper,
    )
