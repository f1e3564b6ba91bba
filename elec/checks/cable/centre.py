"""Does a coaxial cable have a centre that bends, and a dense shield?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite, TableRow, table
from elec.study import Study
from elec.wiring.chains import chains


@check(
    "Coaxial cables have a stranded centre and a dense shield",
    sources=(
        Cite("ac4313", "11-120", "seen"),
        Cite("trade", "double shield for transponders", "memory"),
    ),
)
def cable_centre(study: Study) -> Iterator[Finding]:
    """A solid centre breaks at the connector from vibration; a thin braid leaks at 1 GHz.

    Stranded centre, two braids (or foil and braid) and a jacket that does not burn are the choice
    for an aeroplane, such as RG-400.
    """
    for chain in chains(study).of("cable"):
        if any(c.role == "coax" for c in chain.conductors()):
            yield _finding(study, chain.name, chain.title)


def _finding(study: Study, name: str, title: str) -> Finding:
    kind = study.document.cables[name].type
    row = next(iter(table("elec/coax").select(cable=kind)), None)
    at = (*study.document.cable_path(name), "type")
    if row is None or not row.text("centre"):
        return answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"{title}: how {kind} is made is not known here.",
            at=at,
            remedy="See its data sheet: a stranded centre and two shields are wanted.",
        )
    faults = _faults(row)
    made = f"{row.text('centre')} centre and {row.text('braid')} shield"
    return answer(
        study,
        name,
        passes(not faults, Verdict.ADVISE),
        f"{title}: {kind} has a {made}" + (f": {' and '.join(faults)}." if faults else "."),
        at=at,
        remedy="Take a type with a stranded centre and a double shield, such as RG-400.",
    )


def _faults(row: TableRow) -> list[str]:
    found = []
    if row.text("centre") == "solid":
        found.append("a solid centre breaks from vibration")
    if row.text("braid") == "single":
        found.append("one braid leaks at high frequency")
    return found
