"""Does a circuit that bears the name of a load or switch have that one?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, count, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "No circuit has the load or switch that bears the name of another circuit",
    sources=(Cite("elec", "sense of the input", "judgement"),),
)
def sense_crossed(study: Study) -> Iterator[Finding]:
    """Two names that changed places give each load the other's breaker, wire and switch.

    Named is a circuit that has the switch or feeds the load of another circuit's name, while there
    is one of its own name that it does not have.
    """
    circuits = study.document.circuits
    switches = {c.switch for c in circuits.values()} | set(study.document.switches)
    doubtful = False
    for name, circuit in circuits.items():
        fed = [feed.partition(".")[0] for feed in circuit.feeds]
        for key, mine, there in (
            ("switch", [circuit.switch] if circuit.switch else [], switches),
            ("feeds", fed, study.document.equipment.keys()),
        ):
            strange = [n for n in mine if n != name and n in circuits]
            if strange and name in there and name not in mine:
                doubtful = True
                yield _finding(study, name, key, strange)
    if circuits and not doubtful:
        text = f"{count(len(circuits), 'circuit')}: none has what bears another's name."
        yield answer(study, "circuits", Verdict.PASS, text, at=("system",))


def _finding(study: Study, name: str, key: str, strange: list[str]) -> Finding:
    verb = "feeds" if key == "feeds" else "has the switch"
    which = "is the name of another circuit" if len(strange) == 1 else "are names of others"
    noun = "a load" if key == "feeds" else "a switch"
    return answer(
        study,
        name,
        Verdict.ADVISE,
        f"The circuit {name} {verb} {listed(strange)}, which {which}, and there is "
        f'{noun} "{name}". Have two names changed places?',
        at=("circuits", name, key),
        remedy=f"Write {key}: {name}, or accept it where it is meant.",
    )
