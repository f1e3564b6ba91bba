"""Does every signal wire join two contacts of one signal?"""

from collections.abc import Iterator

from elec.answers.connect.wire_signals import JoinedSignals, wire_signals
from elec.check import check
from elec.checks.answer import answer, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Signal wires join contacts of one signal",
    sources=(Cite("elec", "sense of the input", "judgement"),),
)
def sense_signal(study: Study) -> Iterator[Finding]:
    """Two wires that changed places at a connector may damage what they reach.

    Held against each other are the words of the signals at both ends of a wire (headphone and
    radio-headphone share one). Where a signal has two names that share none, accept the wire, or
    call both ends by one word.
    """
    for mark, joined in wire_signals(study).items():
        yield _finding(study, mark, joined)


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
