"""Is the sensor far enough from what disturbs it?"""

from collections.abc import Iterator

from elec.answers.fields.field import disturbed
from elec.answers.fields.neighbours import Neighbour, neighbours
from elec.check import check
from elec.checks.answer import answer, count, length
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study

MANUAL = Cite("magnetometer_manual", "separation table", "seen")


@check(
    "A magnetometer keeps its distance from motors, devices and wires",
    sources=(MANUAL,),
    given="sensors of kind magnetometer",
)
def sensor_near(study: Study) -> Iterator[Finding]:
    """Motors and relays hold magnets and steel, which no calculation of currents counts.

    The distances are those of makers of heading units; the manual of yours decides. Where you
    cannot keep one, test: each load on and off, controls through their full travel.
    """
    for name, found in disturbed(study).items():
        if found.kind == "magnetometer":
            yield from _sensor(study, name, found.title)


def _sensor(study: Study, name: str, title: str) -> Iterator[Finding]:
    listed = neighbours(study, name)
    if listed is None:
        yield answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"{title}: its distances cannot be told; its place has no station.",
            at=("sensors", name),
            remedy="Give the sensor station, buttline and waterline.",
        )
        return
    each = [_near(study, name, title, one) for one in listed]
    bad = [one for one in each if one.verdict is not Verdict.PASS]
    yield from bad or [_far(study, name, title, listed)]


def _near(study: Study, sensor: str, title: str, one: Neighbour) -> Finding:
    return compare(
        study,
        f"{sensor}, {one.about}",
        at=one.path,
        value=one.distance_m,
        limit=one.least_m,
        rule="at least",
        unit="m",
        digits=1,
        says=lambda shown, least: (
            f"{one.title} is {shown} ({length(study, one.distance_m)}) from {title}; "
            f"{least} is asked of a {one.kind}."
        ),
        remedy="Move one of them, or prove by the interference test that it does no harm, and "
        "accept this with the result." + (" Twist and shield the wires." if one.wires else ""),
        otherwise=Verdict.ADVISE,
    )


def _far(study: Study, sensor: str, title: str, listed: tuple[Neighbour, ...]) -> Finding:
    at = ("sensors", sensor)
    if not listed:
        return answer(study, sensor, Verdict.PASS, f"{title}: nothing has a place near it.", at=at)
    one = min(listed, key=lambda n: n.distance_m / n.least_m)
    return answer(
        study,
        sensor,
        Verdict.PASS,
        f"{title}: of {count(len(listed), 'thing')} with a known place, {one.title} is the "
        f"nearest for its kind: {length(study, one.distance_m)}, {length(study, one.least_m)} "
        f"asked of a {one.kind}.",
        at=at,
        value=one.distance_m,
        limit=one.least_m,
        unit="m",
    )
