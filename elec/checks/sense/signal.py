"""Does every signal wire join two contacts of one signal, and no two outputs?"""

from collections.abc import Iterator

from elec.answers.connect.wire_signals import Driven, JoinedSignals, driven, wire_signals
from elec.check import check
from elec.checks.answer import answer, listed, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Signal wires join contacts of one signal, and one output to a net",
    sources=(Cite("elec", "sense of the input", "judgement"),),
)
def sense_signal(study: Study) -> Iterator[Finding]:
    """Two wires that changed places at a connector may damage what they reach.

    Held against each other are the words of the signals at both ends of a wire (headphone and
    radio-headphone share one). Where a signal has two names that share none, accept the wire, or
    call both ends by one word. Two outputs on one wire fight each other: the weaker is drowned, or
    dies. Which contact gives and which takes is read off the words of its signal: out, output, tx;
    in, input, rx.
    """
    for mark, joined in wire_signals(study).items():
        yield _finding(study, mark, joined)
    for net in driven(study):
        if len(net.outputs) > 1:
            yield _against(study, net)
    open_ones = [net for net in driven(study) if len(net.outputs) == 1 and net.unsaid]
    if open_ones:
        yield _unsaid(study, open_ones)


def _against(study: Study, net: Driven) -> Finding:
    """Outputs that are joined."""
    outputs = listed(f"{point} ({said})" for point, said in net.outputs)
    return answer(
        study,
        net.outputs[0][0],
        Verdict.FAIL,
        f"{outputs} are outputs, and are joined.",
        at=_pin(net.outputs[0][0]),
        remedy="Join an output to inputs alone; several sounds go through a mixer or the audio "
        "panel's inputs. Correct the signal's word where one is none, or accept it where the maker "
        "lets them be joined.",
    )


def _unsaid(study: Study, nets: list[Driven]) -> Finding:
    """One line for all contacts that an output is joined with and that do not say what they are."""
    points = [f"{point} ({said})" for net in nets for point, said in net.unsaid]
    return answer(
        study,
        "directions",
        Verdict.CANNOT_TELL,
        f"Whether {listed(points)} {'is' if len(points) == 1 else 'are'} no output cannot be told: "
        f"{'it is' if len(points) == 1 else 'they are'} joined with one.",
        at=_pin(nets[0].unsaid[0][0]),
        remedy="Write in or out in the signal's name, such as tone-in.",
    )


def _pin(point: str) -> tuple[str, ...]:
    name, connector, pin = point.split(".")
    return ("equipment", name, "connectors", connector, "pins", pin)


def _finding(study: Study, mark: str, joined: JoinedSignals) -> Finding:
    (one, two), wire = joined.signals, joined.conductor
    ends = f"{wire.a.label} {wire.a.contact} ({one}) to {wire.b.label} {wire.b.contact} ({two})"
    return answer(
        study,
        mark,
        passes(joined.alike, Verdict.ADVISE),
        f"{ends}."
        if joined.alike
        else f"{ends}: the two signals have no word in common. Is one contact mistaken?",
        at=joined.path,
        remedy="Correct the contact or its signal; where both names mean one thing, give them a "
        "word in common, or accept it.",
    )
