"""Does a light show that the starter's contactor is closed?"""

from collections.abc import Iterator

from elec.answers.connect.engaged import Engaged, engaged
from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "A light shows that the starter's contactor is closed",
    sources=(Cite("trade", "light of an engaged starter", "memory"),),
    given="a contactor in the circuit of a starter",
)
def coil_engaged(study: Study) -> Iterator[Finding]:
    """A contactor that welds keeps the starter turning with the engine: it bursts, or empties all.

    Nobody hears it over the engine. A light that is fed from behind the contact shows it at once:
    `engaged-light: annunciator.J1.7` at the contactor makes the wire, through a fuse. Then the
    master goes off. A passive light needs a wire back to a ground as well: none makes it for you.
    """
    for name, found in engaged(study).items():
        yield _finding(study, name, found)


def _finding(study: Study, name: str, found: Engaged) -> Finding:
    light, starting = found.contact, found.chain
    title = study.system.title("switches", name)
    say = "Lead a wire from behind its contact to a light: engaged-light: annunciator.J1.7."
    at = ("switches", name) if name in study.document.switches else starting.path
    if found.light == "not said":
        text = f"{title}: whether a light shows that it is closed is not said."
        return answer(study, name, Verdict.CANNOT_TELL, text, at=at,
                      remedy=f"{say} Or engaged-light: none.")  # fmt: skip
    if found.light == "none":
        text = f"{title}: no light shows that it is closed; welded, it drives the starter unseen."
        return answer(study, name, Verdict.ADVISE, text, at=at, remedy=say)
    lamp = study.system.title("equipment", found.lamp)
    if not found.returns:
        wired = study.system.about.return_ == "wired"
        return answer(
            study, name, Verdict.FAIL if wired else Verdict.CANNOT_TELL,
            f"{title}: {lamp} is to show that it is closed, but no wire leads back from it: "
            + ("it cannot light." if wired else "whether its case is grounded is not said."),
            at=at,
            remedy="Lead a wire from its other contact to a ground; under wires: "
            f"{_example(study, light)}.",
        )  # fmt: skip
    return answer(study, name, Verdict.PASS, f"{title}: {lamp} shows that it is closed.", at=at)


def _example(study: Study, light: str) -> str:
    ground = next(iter(study.document.grounds), "panel-block")
    return f"{{from: {light.partition('.')[0]}.return, to: {ground}, signal: light return}}"
