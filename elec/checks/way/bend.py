"""Is the bundle bent no tighter than its thickest member bears?"""

from collections.abc import Iterator

from elec.analyses.holes import Member, members
from elec.analyses.limits import limit
from elec.analyses.ways import way_map
from elec.check import check
from elec.checks.answer import answer, passes
from elec.finding import Finding, Verdict
from elec.study import Study
from elec.working import Step, Term, Working

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
        if way.bend_m is None:
            continue
        title = way.name or way_map(study).legs[index].title
        lying = members(study).get(index, ())
        if not lying:
            continue
        unknown = [one.label for one in lying if one.diameter_mm is None]
        if unknown:
            yield answer(
                study,
                title,
                Verdict.CANNOT_TELL,
                f"{title}: the diameter of {', '.join(unknown)} is not published, so the bend "
                "cannot be judged.",
                at=("ways", index, "bend"),
                remedy="Give the cable a type of which the diameter is known.",
            )
            continue
        yield _judged(study, index, title, way.bend_m * 1000, lying)


def _judged(
    study: Study, index: int, title: str, radius_mm: float, lying: tuple[Member, ...]
) -> Finding:
    def needed(one: Member) -> tuple[float, float]:
        """(asked without remark, borne at the least), in mm."""
        size = one.diameter_mm or 0.0
        keys = (COAX, COAX_HELD) if one.coaxial else (WIRE, HELD)
        return limit(study, keys[0]).value * size, limit(study, keys[1]).value * size

    worst = max(lying, key=needed)
    full = max(needed(one)[0] for one in lying)
    least = max(needed(one)[1] for one in lying)
    verdict = passes(radius_mm >= least * (1 - 1e-9))
    if verdict is Verdict.PASS and radius_mm < full * (1 - 1e-9):
        verdict = Verdict.ADVISE
    rule = limit(study, COAX if worst.coaxial else WIRE)
    times = rule.value
    step = Step(
        result=Term(
            symbol="r",
            value=times * (worst.diameter_mm or 0.0),
            unit="mm",
            meaning="radius asked",
            origin="computed",
        ),
        formula="n * d",
        terms=(
            Term(
                symbol="n",
                value=times,
                unit="",
                meaning="diameters asked",
                origin=rule.origin,
            ),
            Term(
                symbol="d",
                value=worst.diameter_mm or 0.0,
                unit="mm",
                meaning=f"outside diameter of {worst.label}",
                origin="computed",
            ),
        ),
        source=str(rule.cite),
    )
    return answer(
        study,
        title,
        verdict,
        f"{title}: bent to {radius_mm:.0f} mm; its thickest member, {worst.label} "
        f"({worst.diameter_mm:.1f} mm), asks for {full:.0f} mm"
        + (f", and for {least:.0f} mm at the very least." if verdict is not Verdict.PASS else "."),
        at=("ways", index, "bend"),
        remedy=(
            "Hold it on both sides of the bend, or widen it."
            if verdict is Verdict.ADVISE
            else f"Widen the bend to {full:.0f} mm."
        ),
        value=radius_mm,
        limit=full,
        unit="mm",
        working=Working(title=f"Bend of {title}", steps=(step,)),
    )
