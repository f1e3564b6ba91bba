"""Is everything that was ticked in the system?"""

from collections.abc import Iterator
from difflib import get_close_matches

from elec.analyses.built import built, stem
from elec.analyses.chains import chains
from elec.analyses.marks import marks
from elec.check import check
from elec.checks.answer import answer, count, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "What is ticked as built is in the system",
    sources=(Cite("elec", "zones and closing", "judgement"),),
    given="build",
)
def built_known(study: Study) -> Iterator[Finding]:
    """A tick at a name that nothing has is work that counts for nothing.

    So is a reading (`cut`, `ohms`, `insulation`) given for a circuit of several wires. Marks change
    when a wire is numbered anew or a circuit is renamed; the part before the gauge names the wire.
    """
    found = built(study)
    names = [*chains(study).by_name, *marks(study).values()]
    for name in found.unmatched:
        near = get_close_matches(name, names, 1)
        yield answer(
            study,
            name,
            Verdict.FAIL,
            f'"{name}" is ticked as {study.document.build[name].state}, but no wire, circuit, '
            "feeder, ground, cable or zone has that name.",
            at=("build", name),
            remedy=f"Write {near[0]}, if that was meant."
            if near
            else "Correct the name, or take it out.",
        )
    for name, chain in found.several.items():
        wires = [marks(study)[one.id] for one in chain.conductors()]
        yield answer(
            study,
            name,
            Verdict.FAIL,
            f"A reading is given for {name} as a whole, which has {count(len(wires), 'wire')}; "
            "so it counts nowhere.",
            at=("build", name),
            remedy=f"Write it at the mark of the wire that was measured: {listed(wires)}.",
        )
    yield from _other_gauge(study)
    matched = len(study.document.build) - len(found.unmatched) - len(found.several)
    if matched:
        yield answer(
            study,
            "build",
            Verdict.PASS,
            f"{count(matched, 'entry', 'entries')} of what is built, each with its wires.",
            at=("build",),
        )


def _other_gauge(study: Study) -> Iterator[Finding]:
    """Wires that are ticked under a mark with another gauge than they have now."""
    wires = {wire.id: (chain, wire) for chain in chains(study).by_name.values()
             for wire in chain.conductors()}  # fmt: skip
    for key, done in built(study).by_conductor.items():
        chain, wire = wires[key]
        mark = marks(study)[key]
        if done.name in (chain.name, stem(chain, wire), mark):
            continue
        yield answer(
            study,
            done.name,
            Verdict.ADVISE,
            f'"{done.name}" is ticked as {done.done.state}; {mark} of {chain.title} is taken for '
            "it, and it has another gauge. Its size has changed, or the numbers have moved to "
            "another wire.",
            at=("build", done.name),
            remedy=f"Look at the wire; write {mark} if it is this one, or take the tick out. "
            "function: and number: on a circuit hold its marks.",
        )
