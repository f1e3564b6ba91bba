"""Does a device that has opened stay open until somebody closes it?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.sizing.devices import Device
from elec.sizing.own_class import OwnFamily
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains

RECLOSING = ("auto-reset-30a", "resettable")
"""Published classes that close again by themselves."""


@check(
    "Every breaker and fuse that has opened stays open until you close it",
    sources=(
        Cite("cfr_23", "23.1357(c)", "seen"),
        Cite("fuse_sheet", "resettable devices", "quoted"),
    ),
)
def device_recloses(study: Study) -> Iterator[Finding]:
    """A device that closes by itself feeds a short again and again, and you cannot take it off.

    Such parts protect the inside of a box well. The wire to the box needs a breaker or fuse of its
    own, which you open and close by hand.
    """
    for chain in chains(study).guarded():
        device = sizing(study).devices.get(chain.name)
        if device is not None:
            yield _finding(study, chain, device)


def _finding(study: Study, chain: Chain, device: Device) -> Finding:
    own = isinstance(device.family, OwnFamily)
    closes = device.family.recloses if isinstance(device.family, OwnFamily) else (
        device.family in RECLOSING
    )  # fmt: skip
    where = f"class {device.family}" + (", by your data" if own else "")
    text = f"{device.label} ({where}) stays open until somebody closes or replaces it."
    if closes:
        text = f"{device.label} ({where}) closes again by itself."
    return answer(
        study,
        chain.name,
        Verdict.FAIL if closes else Verdict.PASS,
        text,
        at=(*chain.path, device.kind),
        remedy="Take a breaker or fuse at the bus; leave this part inside the equipment.",
    )
