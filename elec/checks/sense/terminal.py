"""Do terminals of switches, breakers, contactors and boxes take the wires that end on them?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import count
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.ends import end_text
from elec.wiring.landings import Crowd, landings
from elec.wiring.limits import limit


@check(
    "No terminal carries more wires than it takes",
    sources=(
        Cite("trade", "terminals of switches and breakers", "memory"),
        Cite("ac4313", "11-174", "seen"),
    ),
    limits=("switch-terminals", "stud-terminals"),
)
def sense_terminal(study: Study) -> Iterator[Finding]:
    """A screw takes two ring terminals back to back, a tab one; a third works loose.

    A circuit with several loads branches at its switch, or at its breaker, unless `splice:` names
    the place where it does. Terminals with a number (`poles:`, `reverse:`) are one, whoever's wire
    ends there; else each circuit through a switch has a pole of its own. On the post of a
    contactor or a source, or a stud (`stud:`), the limit is that of a stud: the widest ring lies
    lowest. Boxes
    are counted where wires are fastened to them, a bus where it is one stud: else it is a bar with
    a screw for each. Contacts of connectors are in `connector-double`,
    ground points in `ground-stud`.
    """
    for name, crowd in landings(study).items():
        yield _finding(study, name, crowd)


def _finding(study: Study, name: str, crowd: Crowd) -> Finding:
    most = limit(study, "stud-terminals" if crowd.stud else "switch-terminals")
    what, one = crowd.part.label or f"{crowd.part.kind} of {crowd.chain.title}", "one terminal"
    if crowd.part.kind in ("equipment", "bus", "source"):
        what = end_text(study, crowd.part)
    elif crowd.part.protection is None:
        what += f" (pole of {crowd.chain.title})"
        one = f"terminal {crowd.terminal}" if crowd.terminal else one
    return compare(
        study,
        name,
        at=crowd.chain.path,
        value=float(crowd.wires),
        limit=most,
        unit="wires",
        otherwise=Verdict.ADVISE,
        says=f"{what}: {count(crowd.wires, 'wire')} on {one}, {most.value:.0f} at most.",
        remedy="Lead some of them from a bus or a stud beside it."
        if crowd.part.kind == "source"
        else "Branch on the way (splice: and the place), or on a terminal strip; or accept it "
        "where the part has a terminal for each.",
    )
