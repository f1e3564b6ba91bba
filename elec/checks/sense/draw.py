"""Is each load given once, and by its own law?"""

import re
from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.model.load import Draw, Equipment
from elec.standards import Cite
from elec.study import Study

_COIL = frozenset({"coil", "contactor", "relay", "solenoid"})


@check(
    "No coil is given twice, and heaters are given as resistances",
    sources=(
        Cite("textbook", "Ohm's law: a heater takes more at a higher voltage", "computed"),
        Cite("elec", "sense of the input", "judgement"),
    ),
)
def sense_draw(study: Study) -> Iterator[Finding]:
    """A coil that has both `coil:` at its contactor and a load of its own is counted twice.

    `coil: {load: NAME}` says that they are one. A heater in watts is taken for an electronic box,
    whose current falls when the voltage rises. A heater does the opposite: 90 W read at 12 V are
    1.6 Ω, and 126 W and 8.9 A at 14.2 V, not 6.3 A.
    """
    for name, entry in study.document.equipment.items():
        if entry.passive:
            continue
        coil = _coil_of(study, name, entry)
        watts = _watts(entry)
        if coil is not None:
            yield _twice(study, name, coil)
        elif watts is not None and entry.character == "heater":
            yield _heater(study, name, watts)
        elif entry.draw is not None or entry.modes:
            title = study.system.title("equipment", name)
            text = f"{title}: given once, by a law that suits it."
            yield answer(study, name, Verdict.PASS, text, at=("equipment", name))
        else:
            title = study.system.title("equipment", name)
            yield answer(
                study,
                name,
                Verdict.CANNOT_TELL,
                f"{title}: what it draws is not given, so nothing can be held against it.",
                at=("equipment", name),
                remedy="Give draw:, or passive: yes for a thing that draws nothing.",
            )


def _watts(entry: Equipment) -> Draw | None:
    draws = [entry.draw, *(mode.draw for mode in entry.modes.values())]
    return next((draw for draw in draws if draw is not None and draw.by.power_stays), None)


def _words(text: str) -> set[str]:
    return set(re.split(r"[^a-z0-9]+", text.casefold())) - {""}


def _coil_of(study: Study, name: str, entry: Equipment) -> str | None:
    """The contactor whose own `coil:` this load is once more; None for any other load."""
    words = _words(f"{name} {entry.name or ''}")
    if not words & _COIL:
        return None
    for switch, found in study.document.switches.items():
        own = _words(switch) - _COIL
        if found.coil is None or found.coil.load is not None:
            continue
        if own and own <= words:
            return switch
    return None


def _twice(study: Study, name: str, switch: str) -> Finding:
    title = study.system.title("equipment", name)
    return answer(
        study,
        name,
        Verdict.FAIL,
        f"{title} is a load of its own, and {switch} has coil: as well "
        f"({study.system.where('switches', switch, 'coil')}): the coil is counted twice.",
        at=("equipment", name, "draw"),
        remedy=f"Write coil: {{load: {name}}} at {switch}, so that this load is its coil; or take "
        "the load and its circuit out, and say at coil: how it is fed.",
    )


def _heater(study: Study, name: str, watts: Draw) -> Finding:
    entry = study.document.equipment[name]
    title = study.system.title("equipment", name)
    nominal = study.system.about.nominal_v
    at_v = entry.at_v or nominal
    ohms = at_v**2 / watts.value
    return answer(
        study,
        name,
        Verdict.ADVISE,
        f"{title}: a heater in watts. Its power is not constant: {watts.value:g} W at {at_v:g} V "
        f"are {ohms:.2f} Ω, which take more as the voltage rises.",
        at=("equipment", name, "draw"),
        remedy=f"Write draw: {ohms:.2f} Ω (with the voltage of its label in place of "
        f"{at_v:g} V), or leave it where its maker's controller holds the power.",
    )
