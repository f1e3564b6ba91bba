"""Does a wire reach every contact that has a signal?"""

from collections.abc import Iterator

from elec.answers.connect.pins import ConnectorPins, pins
from elec.check import check
from elec.checks.answer import answer, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "A wire reaches every contact that has a signal",
    sources=(Cite("trade", "pin table against wire list", "memory"),),
)
def connector_unwired(study: Study) -> Iterator[Finding]:
    """A contact that you named and did not wire was forgotten, or is not used: say which.

    Add the wire, or take the contact out of `pins`; `spare` as its signal keeps it on the page.
    One that is called spare and has a wire is called otherwise than it is: name what it carries.
    """
    for one in pins(study).by_id.values():
        for pin in one.pins:
            if pin.called:
                yield answer(
                    study,
                    f"{one.id}.{pin.contact}",
                    Verdict.ADVISE,
                    f"{one.title}, contact {pin.contact}: the file calls it {pin.called}, and "
                    f"{listed(dict.fromkeys(landing.mark for landing in pin.landings))} "
                    f"{'ends' if len(pin.landings) == 1 else 'end'} there.",
                    at=(*one.path, "pins", pin.contact),
                    remedy="Name in pins what it carries, so that nobody takes it for free.",
                )
        if any(pin.signal for pin in one.pins):
            yield _finding(study, one)


def _finding(study: Study, one: ConnectorPins) -> Finding:
    bare = [pin for pin in one.pins if pin.state == "unwired"]
    half = [pin for pin in one.pins if pin.state == "one half"]
    names = listed(f"{pin.contact} ({pin.signal})" for pin in (*bare, *half))
    side = " on one half" if half and not bare else ""
    return compare(
        study,
        one.id,
        at=one.path,
        value=float(len(bare) + len(half)),
        limit=0.0,
        unit="contacts",
        otherwise=Verdict.ADVISE,
        says=f"{one.title}: every named contact has its wire.",
        fault=f"{one.title}: no wire reaches{side} {names}.",
        remedy="Add the wire; or take the contact out of pins, or call its signal spare.",
    )
