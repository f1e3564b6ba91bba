"""Are the contacts that stay live sockets, which nobody touches?"""

from collections.abc import Iterator

from elec.answers.connect.pins import ConnectorPins, pins
from elec.check import check
from elec.checks.answer import answer, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "The half of a connector that brings power has sockets",
    sources=(Cite("trade", "power side carries sockets", "memory"),),
)
def connector_live(study: Study) -> Iterator[Finding]:
    """A plug that is pulled off with the power on must not show live pins to a screwdriver.

    So the harness that brings the power has sockets, the box has pins (`contacts: pin`). Where the
    maker of the box decided otherwise, protect the plug and accept the advice.
    """
    for one in pins(study).by_id.values():
        if any(ln.role == "feed" for pin in one.pins for ln in pin.landings):
            yield _finding(study, one)


def _finding(study: Study, one: ConnectorPins) -> Finding:
    bringing = one.gender if one.inline else one.mate
    if bringing is None:
        return answer(
            study,
            one.id,
            Verdict.CANNOT_TELL,
            f"{one.title} brings power; whether it has pins or sockets is not said.",
            at=one.path,
            remedy="Give contacts: pin or socket, as on the box (between harnesses: of the half "
            "towards the bus).",
        )
    half = "the half towards the bus" if one.inline else "the harness"
    return answer(
        study,
        one.id,
        passes(bringing == "socket", Verdict.ADVISE),
        f"{one.title}: {half}, which brings the power, has {bringing}s.",
        at=one.path,
        remedy="Turn the genders round if you can choose; else keep the open plug covered.",
    )
