"""Does a motor that runs both ways stop at the ends of its travel?"""

from collections.abc import Iterator

from elec.answers.connect.reversing import Bridge, reversing
from elec.check import check
from elec.checks.answer import answer, sentence
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "A motor that runs both ways stops at both ends of its travel",
    sources=(Cite("trade", "limit switches of flap and trim motors", "memory"),),
    given="reverse on circuits",
)
def load_travel(study: Study) -> Iterator[Finding]:
    """A lever that is held too long drives a flap against its stop, and the motor is held fast.

    Name the limit switches of both ends (`reverse: {by: relays, limits: [up-limit, down-limit]}`),
    or say that the motor bears it (`bears-stall: yes`, where its maker has built in switches, a
    clutch or a thermal device). That it opens its device is another question: `device-opens-stall`.
    """
    for one in reversing(study).values():
        yield _finding(study, one)


def _finding(study: Study, one: Bridge) -> Finding:
    title = study.system.title("equipment", one.load)
    at = ("circuits", one.circuit, "reverse")
    stops = [way.stops for way in one.ways]
    if all(stops):
        how = "with a diode across it" if one.by == "switch" else "before the coil of its relay"
        text = f"{title} stops at {stops[0]} and at {stops[1]}, each {how}."
        return answer(study, one.load, Verdict.PASS, sentence(text), at=at)
    if study.document.equipment[one.load].bears_stall:
        text = f"{title} bears to be held fast at its stops, its maker says."
        return answer(study, one.load, Verdict.PASS, sentence(text), at=at)
    return answer(
        study,
        one.load,
        Verdict.CANNOT_TELL,
        sentence(f"what stops {title} at the ends of its travel is not said."),
        at=at,
        remedy=f"Write limits: [{one.circuit}-up-limit, {one.circuit}-down-limit] under reverse:; "
        "or bears-stall: yes on the motor, by its maker's word.",
    )


__all__ = ["load_travel"]
