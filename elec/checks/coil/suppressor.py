"""Does something take up the surge of every coil?"""

from collections.abc import Iterator

from elec.answers.connect.coils import CoilPath, coil_paths
from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "A diode or the like takes up the surge of every coil",
    sources=(Cite("trade", "diodes across coils of contactors and relays", "memory"),),
)
def coil_suppressor(study: Study) -> Iterator[Finding]:
    """Switched off, a bare coil drives some hundred volts into its switch and its neighbours.

    Fit a diode across the coil, its band to the side that is fed, or take a contactor that has one
    inside, and say so: `suppressor: diode` or `suppressor: inside`. With a plain diode the contact
    opens later, as a rule by some tens of milliseconds (common practice, from memory): no matter
    for a master; where a contact has to open fast, a maker's suppressor of higher voltage does.
    """
    for found in coil_paths(study).values():
        if found.coil is not None and found.coil.load is not None:
            yield _finding(study, found, found.coil.suppressor)


def _finding(study: Study, found: CoilPath, said: str | None) -> Finding:
    opener = listed([part.label for part in found.openers[-1:]]) or "its switch"
    verdict, text = Verdict.CANNOT_TELL, "what takes up the surge of its coil is not said."
    if said == "diode":
        verdict = Verdict.PASS
        text = "a diode across its coil, band to the side that is fed; it opens a little later."
    elif said == "inside":
        verdict, text = Verdict.PASS, "its maker has fitted one inside."
    elif said == "none":
        verdict = Verdict.ADVISE
        text = (
            f"nothing takes up the surge of its coil; {opener} burns, and the surge reaches what "
            "hangs beside it."
        )
    return answer(
        study,
        found.switch,
        verdict,
        f"{found.title}: {text}",
        at=("switches", found.switch, "coil"),
        remedy="Fit a diode across the coil, band to the side that is fed, and write "
        "suppressor: diode; or suppressor: inside where its maker has fitted one.",
    )
