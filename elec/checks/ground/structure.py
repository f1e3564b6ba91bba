"""Has every return a way back, and may the airframe carry what goes through it?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import amps, answer, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.model.wiring import Ground
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import bonded_grounds
from elec.wiring.limits import limit
from elec.wiring.material import METAL, material
from elec.wiring.structure import on_structure, structure_current_a


@check(
    "Every return has a way back, and the airframe carries current only where it can",
    sources=(Cite("ac4313", "11-186", "seen"), Cite("trade", "return by airframe", "memory")),
    limits=("steel-return",),
    heats=True,
)
def ground_structure(study: Study) -> Iterator[Finding]:
    """An aluminium skin is a good conductor; a steel tube is four to eight times worse.

    Wood and glass carry nothing, and current in carbon heats and destroys it. There, every load
    gets its return wire: `return: wired` for all of it, or `structure: wood` on the zone or place,
    so that what sits in a wooden wing is wired to the nearest ground point. Returns by wire need
    ground points to end on. A ground point whose way to the next one is a resistance alone, without
    a wire, is asked what that goes through.
    """
    for name, ground in study.document.grounds.items():
        if ground.to is not None and ground.resistance_ohm is not None:
            yield from _measured(study, name, ground)
    ends = on_structure(study)
    if study.system.about.return_ == "wired":
        yield _wired(study, [title for titles in ends.values() for title in titles])
        return
    places = {*ends, *(study.document.grounds[name].place for name in bonded_grounds(study))}
    at = ("system", "return")
    wrong = [p for p in places if material(study, p) not in (*METAL, None)]
    if not wrong and any(material(study, place) is None for place in places):
        yield answer(
            study,
            "airframe",
            Verdict.CANNOT_TELL,
            "Current returns through the airframe; what it is made of is not said.",
            at=at,
            remedy="Give structure: aluminium, steel-tube, wood, glass or carbon.",
        )
        return
    if wrong:
        made = listed(dict.fromkeys(str(material(study, place)) for place in wrong))
        where = listed(study.system.title("places", place) for place in sorted(wrong))
        yield answer(
            study,
            "airframe",
            Verdict.FAIL,
            f"Current is to return through the airframe at {where}: {made} must not carry it.",
            at=at,
            remedy="Write return: wired; or, where only some places are so, structure: wood on "
            "their zone: each load there then gets its wire to the nearest ground point.",
        )
        return
    yield _carried(study, places)


def _measured(study: Study, name: str, ground: Ground) -> Iterator[Finding]:
    """A connection known by its resistance, where the structure at one end must not be it."""
    to = ground.to or ""
    made = {p: material(study, p) for p in (ground.place, study.document.grounds[to].place)}
    wrong = {place: one for place, one in made.items() if one not in (*METAL, None)}
    if wrong:
        what = listed(dict.fromkeys(str(one) for one in wrong.values()))
        where = listed(study.system.title("places", place) for place in wrong)
        yield answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"{study.system.title('grounds', name)}: what carries its current to "
            f"{study.system.title('grounds', to)} is not said, its resistance alone; the structure "
            f"at {where} is {what}, which must not carry it.",
            at=("grounds", name, "resistance"),
            remedy="Where it is a wire or a strap, give its gauge and length in place of the "
            "resistance; where it goes through metal there (an engine mount), give that place "
            "structure: steel-tube or aluminium.",
        )


def _wired(study: Study, loose: list[str]) -> Finding:
    """Returns by wire: each ends on a ground point."""
    return answer(
        study,
        "grounds" if loose else "airframe",
        Verdict.FAIL if loose else Verdict.PASS,
        f"Returns go by wire, and there is no ground point: {listed(loose)} lead back to nothing."
        if loose
        else "Every load has its return wire.",
        at=("system", "return"),
        remedy="Give grounds: first the point that the battery's negative ends on, such as "
        "ground-block: {place: firewall, kind: block}.",
    )


def _carried(study: Study, places: set[str]) -> Finding:
    current, most = structure_current_a(study), limit(study, "steel-return")
    found = sorted({str(material(study, place)) for place in places})
    steel = "steel-tube" in found
    made = listed(one.replace("-", " ") for one in found) or "metal"
    text = f"The {made} airframe carries up to {amps(current)} back"
    if not steel:
        return answer(
            study,
            "airframe",
            Verdict.PASS,
            f"{text}.",
            at=("system", "return"),
            value=current,
            unit="A",
        )
    return compare(
        study,
        "airframe",
        at=("system", "return"),
        value=current,
        limit=most,
        unit="A",
        otherwise=Verdict.ADVISE,
        says=f"{text}; {amps(most.value)} is enough for a steel-tube frame.",
        remedy="Give the heavy loads a return wire of their own (ground:), or write return: wired.",
    )
