"""May the airframe carry the return current?"""

from collections.abc import Iterator

from elec.analyses.limits import limit
from elec.analyses.structure import structure_current_a
from elec.check import check
from elec.checks.answer import amps, answer, tightened
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "The airframe carries return current only if it can",
    sources=(Cite("ac4313", "11-186", "seen"), Cite("trade", "return by airframe", "memory")),
    limits=("steel-return",),
)
def ground_structure(study: Study) -> Iterator[Finding]:
    """An aluminium skin is a good conductor; a steel tube is four to eight times worse.

    Wood and glass carry nothing, and current in carbon heats and destroys it. There, every load
    gets its return wire: `return: wired`.
    """
    about = study.system.about
    structure = (about.structure or "").replace("-", " ")
    at = ("system", "return")
    if about.return_ == "wired":
        yield answer(study, "airframe", Verdict.PASS, "Every load has its return wire.", at=at)
        return
    if about.structure is None:
        yield answer(
            study,
            "airframe",
            Verdict.CANNOT_TELL,
            "Current returns through the airframe; what it is made of is not said.",
            at=at,
            remedy="Give structure: aluminium, steel-tube, wood, glass or carbon.",
        )
        return
    if about.structure in ("wood", "glass", "carbon"):
        yield answer(
            study,
            "airframe",
            Verdict.FAIL,
            f"Current is to return through the airframe, and {structure} must not carry it.",
            at=at,
            remedy="Write return: wired, and give each load its return wire to a ground block.",
        )
        return
    current, most = structure_current_a(study), limit(study, "steel-return")
    steel = about.structure == "steel-tube"
    bad = steel and not most.allows(current)
    yield answer(
        study,
        "airframe",
        Verdict.ADVISE if bad else Verdict.PASS,
        f"The {structure} airframe carries up to {amps(current)} back"
        + (
            f"; {amps(most.value)} is enough for a steel-tube frame.{tightened(most)}"
            if steel
            else "."
        ),
        at=at,
        remedy="Give the heavy loads a return wire of their own (ground:), or write return: wired.",
        value=current,
        limit=most.value if steel else None,
        unit="A",
    )
