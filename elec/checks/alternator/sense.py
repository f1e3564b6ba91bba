"""Is it said what a regulator senses, and is that the bus itself?"""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.model.source import INSIDE, Alternator
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.sources import alternators


@check(
    "What the regulator senses is said, and no diode stands before it",
    sources=(
        Cite("elec", "completeness of the input", "judgement"),
        Cite("elec", "alternator", "judgement"),
    ),
)
def alternator_sense(study: Study) -> Iterator[Finding]:
    """A regulator holds the voltage where it senses: what lies before that place gets more.

    Some sense at their supply, some by a wire of its own, through a fuse, from the bus. Say which:
    `sense: main`, or `sense: inside`. Behind a diode it makes up for what the diode keeps, and the
    battery is overcharged by that. Where the wire, its fuse or the bus is lost, one regulator gives
    nothing, another all it can until a trip takes it off, a third holds on by its output: its maker
    says which (`sense: {from: main, if-open: off}`, `full` or `holds`), and `elec failures` counts
    the alternator off but in the last case. A wire to a warning lamp is said as
    `warning-lamp: annunciator.J1.7`.
    """
    for name, source in alternators(study).items():
        verdict, text, remedy = _judged(study, name, source)
        key = "sense" if source.sense is not None else "kind"
        yield answer(study, name, verdict, text, at=("sources", name, key), remedy=remedy)


def _judged(study: Study, name: str, source: Alternator) -> tuple[Verdict, str, str]:
    if source.field_circuit is None and source.sense is None:
        return Verdict.PASS, "No field circuit is given, as for permanent magnets.", ""
    if source.sense is None:
        text = "Whether its regulator senses by a wire of its own is not said."
        bus = next(iter(study.document.buses), "main")
        return Verdict.CANNOT_TELL, text, f"Write sense: {bus}, or sense: inside."
    if source.sense.from_ == INSIDE:
        return Verdict.PASS, "It senses at its own supply or output: no wire is needed.", ""
    bus = source.sense.from_
    title = study.system.end_title(bus)
    if bus not in _before_diodes(study, name):
        text = f"It senses {title}, which it reaches through a diode alone, or not at all."
        return Verdict.FAIL, text, "Let it sense the bus that it feeds, before any diode."
    wire = next(
        (c for chain in chains(study).of("wire") if _is_sense(study, chain, bus) for c in
         chain.conductors()), None
    )  # fmt: skip
    mark = f"{marks(study)[wire.id]} takes" if wire is not None else "A wire takes"
    return _if_open(source, f"{mark} the voltage of {title} to its regulator, through a fuse.")


def _if_open(source: Alternator, takes: str) -> tuple[Verdict, str, str]:
    """What becomes of the voltage when that wire is open."""
    does = source.sense.if_open if source.sense is not None else None
    if does is None:
        either = (
            "either way it is off in the end"
            if source.taken_off()
            else "in the latter case nothing is said to take it off"
        )
        text = (
            f"{takes} What the regulator does when that wire is open is not said: it gives "
            f"nothing, or all it can; {either}."
        )
        bus = source.senses()
        return (
            Verdict.CANNOT_TELL,
            text,
            (f"Ask its maker, and write sense: {{from: {bus}, if-open: off}}, full or holds."),
        )
    if does == "full" and not source.taken_off():
        return (
            Verdict.FAIL,
            (f"{takes} That wire open, it gives all it can, and nothing is said to take it off."),
            "Fit an overvoltage trip, and write overvoltage-protection: yes.",
        )
    open_ = {
        "off": "it gives nothing",
        "full": "it gives all it can until its overvoltage trip takes it off",
        "holds": "it holds on by what it sees at its output",
    }[does]
    return Verdict.PASS, f"{takes} That wire open, {open_}.", ""


def _is_sense(study: Study, chain: Chain, bus: str) -> bool:
    wire = study.document.wires[int(chain.path[1])]
    return wire.fuse is not None and wire.from_ == bus


def _before_diodes(study: Study, alternator: str) -> set[str]:
    """What an alternator reaches through feeders without a diode."""
    found = [alternator]
    for here in found:
        for chain in chains(study).of("feeder"):
            ends = (chain.source_end, chain.far_end)
            if here in ends and not any(part.kind == "diode" for part in chain.parts()):
                found += [end for end in ends if end not in found]
    return set(found)
