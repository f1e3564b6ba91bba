"""Does the wire stay below the temperature of its insulation?"""

from collections.abc import Iterator

from elec.analyses.chains import chains
from elec.analyses.heat import WireHeat, heat
from elec.analyses.marks import marks
from elec.analyses.sizing import sizing
from elec.check import check
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Every wire carries its load without getting too warm",
    sources=(Cite("ac4313", "11-66 to 11-69"), Cite("ac4313", "figures 11-4 to 11-6")),
)
def wire_heat(study: Study) -> Iterator[Finding]:
    """A wire that is too warm hardens, smokes, and in the end shorts to its neighbours.

    Take the next thicker gauge, move wires out of the tightest bundle, or lead the run around the hot corner.
    """
    for found in heat(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: WireHeat) -> Finding:
    chain = chains(study).by_name[found.conductor.split("/")[0]]
    mark = marks(study)[found.conductor]
    verdict = Verdict.PASS if found.current_a <= found.allowed_a else Verdict.FAIL
    if found.unknown:
        verdict = Verdict.CANNOT_TELL
    warm = (
        f"{found.expected_degc:.0f} °C" if found.expected_degc is not None else "beyond the curves"
    )
    return Finding(
        check="",
        about=mark,
        verdict=verdict,
        place=study.system.where(*chain.path),
        value=found.current_a,
        limit=found.allowed_a,
        unit="A",
        sentence=found.unknown.capitalize() + "."
        if found.unknown
        else (
            f"{mark} of {chain.title} carries {found.current_a:.1f} A; AWG {found.awg} may carry "
            f"{found.allowed_a:.1f} A {found.title if found.spot.startswith('place') else 'on the way ' + found.title}"
            f" among {found.wires:.0f} wires at {found.ambient_degc:.0f} °C. It gets to {warm} of "
            f"{found.rated_degc:.0f} °C."
        ),
        remedy="" if verdict is Verdict.PASS else _remedy(study, found),
        working=found.working,
    )


def _remedy(study: Study, found: WireHeat) -> str:
    if found.unknown:
        return "Read the current off the label, or measure it; give the missing way or length."
    gauge = sizing(study).gauges[found.conductor]
    if not gauge.satisfied:
        return "No standard gauge does it: split the circuit, or lead the wire outside this bundle."
    return f"Take a thicker gauge than AWG {found.awg}, or lead the wire outside the bundle {found.title}."
