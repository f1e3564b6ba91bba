"""Is there a guard against a runaway regulator?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.sources import alternators

SENTENCES = {
    True: (Verdict.PASS, "Something takes it off when its voltage runs away."),
    False: (Verdict.FAIL, "Nothing takes it off when its voltage runs away."),
    None: (
        Verdict.CANNOT_TELL,
        "Whether anything takes it off when its voltage runs away is not said.",
    ),
}


@check(
    "Every alternator is taken off when its voltage runs away",
    sources=(
        Cite("cfr_23", "23.1351(c)", "seen"),
        Cite("trade", "overvoltage set point", "memory"),
    ),
)
def alternator_overvoltage(study: Study) -> Iterator[Finding]:
    """A regulator that fails closed drives the bus past 20 V and takes radios and battery with it.

    Fit an overvoltage trip that opens the field, usual at 16 to 16.5 V (32 to 33 V in a 28 V
    system), and say `overvoltage-protection: yes`.
    """
    for name, source in alternators(study).items():
        verdict, text = SENTENCES[source.overvoltage_protection]
        yield answer(
            study,
            name,
            verdict,
            text,
            at=("sources", name, "overvoltage-protection"),
            remedy="Fit an overvoltage trip, and write overvoltage-protection: yes."
            if verdict is Verdict.FAIL
            else "Ask the maker of the regulator; write overvoltage-protection: yes or no.",
        )
