"""Do the terminals of switches and breakers take the wires that end on them?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import count
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit
from elec.wiring.switch_ends import Crowd, switch_ends


@check(
    "No terminal of a switch or breaker carries more wires than it takes",
    sources=(Cite("trade", "terminals of switches and breakers", "memory"),),
    limits=("switch-terminals",),
)
def sense_terminal(study: Study) -> Iterator[Finding]:
    """A screw takes two ring terminals back to back, a tab one; a third works loose.

    A circuit with several loads branches at its switch, or at its breaker, unless `splice:` names
    the place where it does. Each circuit through a switch counts as a pole of its own.
    """
    for name, crowd in switch_ends(study).items():
        yield _finding(study, name, crowd)


def _finding(study: Study, name: str, crowd: Crowd) -> Finding:
    most = limit(study, "switch-terminals")
    what = crowd.part.label or f"{crowd.part.kind} of {crowd.chain.title}"
    pole = "" if crowd.part.protection is not None else f" (pole of {crowd.chain.title})"
    return compare(
        study,
        name,
        at=crowd.chain.path,
        value=float(crowd.wires),
        limit=most,
        unit="wires",
        otherwise=Verdict.ADVISE,
        says=f"{what}{pole}: {count(crowd.wires, 'wire')} on one terminal, "
        f"{most.value:.0f} at most.",
        remedy="Branch on the way (splice: and the place), or on a terminal strip; or accept it "
        "where the part has a terminal for each.",
    )
