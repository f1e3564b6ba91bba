"""Is everything that was ticked in the system?"""

from collections.abc import Iterator
from difflib import get_close_matches

from elec.answers.base.marks import marks
from elec.answers.base.ticked import lost, unheld
from elec.check import check
from elec.checks.answer import answer, count, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.built import built, stem
from elec.wiring.chains import chains


@check(
    "What is ticked as built is in the system",
    sources=(Cite("elec", "zones and closing", "judgement"),),
    given="build",
)
def built_known(study: Study) -> Iterator[Finding]:
    """A tick at a name that nothing has is work that counts for nothing.

    So is a reading (`cut`, `ohms`, `insulation`) given for a circuit of several wires. Marks change
    when a wire is numbered anew or a circuit is renamed; the part before the gauge names the wire.
    `elec done` writes beside each tick what it was given for. Where ends, wire or way are others
    now, or the run is longer, the tick counts for nothing, and the zones that its wire is in stay
    open; so they do where the tick does not say what it was given for.
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
    yield from _other_wire(study)
    yield from _other_gauge(study)
    yield from _not_held(study)
    gone = {one.entry.name for one in lost(study).values()}
    matched = len(study.document.build.keys() - found.unmatched - found.several.keys() - gone)
    if matched:
        yield answer(
            study,
            "build",
            Verdict.PASS,
            f"{count(matched, 'entry', 'entries')} of what is built, each with its wires.",
            at=("build",),
        )


def _other_wire(study: Study) -> Iterator[Finding]:
    """Ticks that were given for something else than what has the name now."""
    for name, one in {one.entry.name: one for one in lost(study).values()}.items():
        yield answer(
            study,
            name,
            Verdict.FAIL,
            f'"{name}" was ticked as {one.said}. The tick counts for nothing.',
            at=("build", name),
            remedy="Look at what is built; take this tick out, and tick what is as it is now asked "
            "for. function: and number: on a circuit hold its marks.",
        )


def _not_held(study: Study) -> Iterator[Finding]:
    """Ticks from before `for:` was written, or made by hand."""
    names = unheld(study)
    if names:
        state = study.document.build[names[0]].state.replace(" ", "-")
        yield answer(
            study,
            "ticks",
            Verdict.CANNOT_TELL,
            f"What {count(len(names), 'tick')} of {listed(names)} "
            f"{'was' if len(names) == 1 else 'were'} given for is not said; nobody can tell "
            "whether that has changed since, so it counts for nothing.",
            at=("build", names[0]),
            remedy=f"Tick again what you have looked at: elec done SYSTEM {names[0]} --state "
            f"{state} writes for: beside it.",
        )


def _other_gauge(study: Study) -> Iterator[Finding]:
    """Wires that are ticked under a mark with another gauge than they have now."""
    wires = {wire.id: (chain, wire) for chain in chains(study).by_name.values()
             for wire in chain.conductors()}  # fmt: skip
    for key, done in built(study).by_conductor.items():
        chain, wire = wires[key]
        mark = marks(study)[key]
        if key in lost(study) or done.name in (chain.name, stem(chain, wire), mark):
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
