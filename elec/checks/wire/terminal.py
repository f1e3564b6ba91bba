"""Is a ring terminal made for every wire and the stud it goes on?"""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.answers.connect.terminals import StudEnds, aluminium, rings, stud_ends
from elec.check import check
from elec.checks.answer import answer, count, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains

FOR_ALUMINIUM = (
    "Take terminals that their maker gives for aluminium wire, tin-plated and sealed, crimped with "
    "his tool, and accept this with that reason; or take copper wire."
)


@check(
    "A ring terminal is made for every wire and the stud it goes on",
    sources=(
        Cite("trade", "ring terminals by gauge and stud", "memory"),
        Cite("ac4313", "11-174 to 11-177", "seen"),
        Cite("ac4313", "chapter 11, aluminium conductors", "memory"),
    ),
    given="stud on buses, grounds and switches",
)
def wire_terminal(study: Study) -> Iterator[Finding]:
    """A ring drilled out to fit a stud has lost the metal that carries; a loose one gets hot.

    Asked where `stud:` says what a bus, ground or switch has. The ring's hole must fit its stud
    within a third of a millimetre, the barrel its wire. Take another stud, or a small bus bar.
    A wire of aluminium is asked about at every end: under a terminal of copper it corrodes and
    works loose.
    """
    for found in stud_ends(study).values():
        yield _finding(study, found)
    for name, wires in aluminium(study).items():
        chain = chains(study).by_name[name]
        marked = listed(dict.fromkeys(marks(study)[wire.id] for wire in wires))
        yield answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"{chain.title}: {marked} {'is' if len(wires) == 1 else 'are'} of aluminium; whether "
            "the terminals at its ends are made for it is not known.",
            at=chain.path,
            remedy=FOR_ALUMINIUM,
        )


def _finding(study: Study, found: StudEnds) -> Finding:
    title = study.system.title(found.section, found.name)
    wires = count(len(found.fits), "wire")
    bad = listed(f"{mark} (AWG {awg})" for mark, awg in found.misfits)
    return compare(
        study,
        found.name,
        at=(found.section, found.name, "stud"),
        value=float(len(found.misfits)),
        limit=0.0,
        unit="wires",
        besides=None if found.light else True,
        says=f"{title}: rings for a {found.stud} stud are made for all of its {wires}.",
        fault=f"{title}: no ring for a {found.stud} stud is commonly made for {bad}."
        if bad
        else f"{title}: rings of copper for a {found.stud} stud are made for all of its {wires}; "
        f"for {listed(found.light)}, of aluminium, no ring is known here.",
        remedy=lambda: _remedy(*found.misfits[0]) if bad else FOR_ALUMINIUM,
    )


def _remedy(mark: str, awg: str) -> str:
    if studs := rings(awg):
        return f"For AWG {awg} there are rings for {listed(studs, most=9)}: take such a stud."
    return f"No ring is made for AWG {awg}: end {mark} in a connector, or take AWG 22."
