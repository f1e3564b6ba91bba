"""Does a light show that the starter's contactor is closed?"""

from collections.abc import Iterator

from elec.answers.connect.coils import coil_paths
from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.sizing.order import cranking
from elec.sizing.starter_cables import starts_only
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain


@check(
    "A light shows that the starter's contactor is closed",
    sources=(Cite("trade", "light of an engaged starter", "memory"),),
    given="a contactor in the circuit of a starter",
)
def coil_engaged(study: Study) -> Iterator[Finding]:
    """A contactor that welds keeps the starter turning with the engine: it bursts, or empties all.

    Nobody hears it over the engine. A light that is fed from behind the contact shows it at once:
    `engaged-light: annunciator.J1.7` at the contactor makes the wire, through a fuse. Then the
    master goes off.
    """
    for name, path in coil_paths(study).items():
        starting = next(
            (chain for chain, _ in path.contacts if starts_only(study, chain, cranking(study))),
            None,
        )
        if starting is not None:
            yield _finding(study, name, starting)


def _finding(study: Study, name: str, starting: Chain) -> Finding:
    entry = study.document.switches.get(name)
    said = entry.engaged_light if entry is not None else None
    light = said.to if said is not None else None
    title = study.system.title("switches", name)
    say = "Lead a wire from behind its contact to a light: engaged-light: annunciator.J1.7."
    at = ("switches", name) if entry is not None else starting.path
    if light is None:
        text = f"{title}: whether a light shows that it is closed is not said."
        return answer(study, name, Verdict.CANNOT_TELL, text, at=at,
                      remedy=f"{say} Or engaged-light: none.")  # fmt: skip
    if light == "none":
        text = f"{title}: no light shows that it is closed; welded, it drives the starter unseen."
        return answer(study, name, Verdict.ADVISE, text, at=at, remedy=say)
    lamp = study.system.title("equipment", light.partition(".")[0])
    return answer(study, name, Verdict.PASS, f"{title}: {lamp} shows that it is closed.", at=at)
