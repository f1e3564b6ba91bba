"""Does a wire reach every contact that has a signal?"""

from collections.abc import Iterator

from elec.answers.connect.pins import ConnectorPins, pins
from elec.check import check
from elec.checks.answer import listed
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
    """
    for one in pins(study).by_id.values():
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
