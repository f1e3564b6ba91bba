"""Is the bundle bent no tighter than its thickest member bears?"""

from collections.abc import Iterator

from elec.answers.connect.holes import Member, members
from elec.check import check
from elec.checks.answer import answer
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.study import Study
from elec.wiring.limits import Limit, limit
from elec.working import Term, Working, computed, within

WIRE, HELD = "bend-wire", "bend-supported"
COAX, COAX_HELD = "bend-coax-full", "bend-coax"


@check(
    "No bundle is bent too tightly",
    sources=(),
    limits=(WIRE, HELD, COAX, COAX_HELD),
    given="bend on ways",
)
def way_bend(study: Study) -> Iterator[Finding]:
    """A tight bend works insulation thin and flattens a coaxial cable, whose loss then rises.

    The radius counts to the inside, in diameters of the thickest member. Where the bend is held on
    both sides, as at a terminal strip, less is borne.
    """
    for index, way in enumerate(study.document.ways):
        lying = members(study).get(index, ())
        if way.bend_m is not None and lying:
            title = way.title
            yield _finding(study, index, title, way.bend_m * 1000, lying)


def _finding(
    study: Study, index: int, title: str, radius_mm: float, lying: tuple[Member, ...]
) -> Finding:
    unknown = [one.label for one in lying if one.diameter_mm is None]
    if unknown:
        return answer(
            study,
            title,
            Verdict.CANNOT_TELL,
            f"{title}: the diameter of {', '.join(unknown)} is not published, so the bend "
            "cannot be judged.",
            at=("ways", index, "bend"),
            remedy="Give the cable a type of which the diameter is known.",
        )
    return _judged(study, index, title, radius_mm, lying)


def _judged(
    study: Study, index: int, title: str, radius_mm: float, lying: tuple[Member, ...]
) -> Finding:
    def needed(one: Member) -> tuple[float, float]:
        """(asked without remark, borne at the least), in mm."""
        size = _size_mm(one)
        keys = (COAX, COAX_HELD) if one.coaxial else (WIRE, HELD)
        return limit(study, keys[0]).value * size, limit(study, keys[1]).value * size

    worst = max(lying, key=needed)
    rule = limit(study, COAX if worst.coaxial else WIRE)
    full = max(needed(one)[0] for one in lying)
    least = max(needed(one)[1] for one in lying)
    text = (
        f"{title}: bent to {radius_mm:.0f} mm; its thickest member, {worst.label} "
        f"({worst.diameter_mm:.1f} mm), asks for {full:.0f} mm"
    )
    return compare(
        study,
        title,
        at=("ways", index, "bend"),
        value=radius_mm,
        limit=full,
        rule="at least",
        unit="mm",
        fails=least,
        says=f"{text}.",
        fault=f"{text}, and for {least:.0f} mm at the very least.",
        remedy="Hold it on both sides of the bend, or widen it."
        if within(radius_mm, least, "at least")
        else f"Widen the bend to {full:.0f} mm.",
        named=(rule,),
        working=lambda: _working(title, worst, rule),
    )


def _size_mm(one: Member) -> float:
    assert one.diameter_mm is not None  # noqa: S101 - asked where all are known
    return one.diameter_mm


def _working(title: str, worst: Member, rule: Limit) -> Working:
    terms = (
        Term("n", rule.value, "", "diameters asked", rule.origin),
        Term("d", _size_mm(worst), "mm", f"outside diameter of {worst.label}", "computed"),
    )
    step = computed("r", "mm", "radius asked", "n * d", terms, source=str(rule.cite))
    return Working(title=f"Bend of {title}", steps=(step,))
