"""Is a fusible link thin enough to melt before the wire behind it?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.compare import compare
from elec.finding import Finding
from elec.sizing.devices import Device
from elec.sizing.links import behind, gauge_number, thinner
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.limits import limit


@check(
    "A fusible link is thinner than the wire behind it by four gauge numbers",
    sources=(Cite("trade", "fusible links four gauge numbers thinner", "memory"),),
    limits=("link-thinner",),
    given="link on feeders and circuits",
    heats=True,
)
def device_link(study: Study) -> Iterator[Finding]:
    """A link protects only where it melts first; as thick as its wire, it is a piece of that wire.

    Write `link: auto`, and it is chosen for the wire; or its gauge: `link: {gauge: AWG 22}`. Put it
    beside the source, in a sleeve that bears its heat (woven glass), with nothing beside it that
    burns. It opens once, slowly, and at a current that no table here has: where a load or a thin
    wire asks for a sure one, take a fuse or a limiter.
    """
    for chain in chains(study).guarded():
        device = sizing(study).devices.get(chain.name)
        if device is not None and device.kind == "link":
            yield _finding(study, chain, device)


def _finding(study: Study, chain: Chain, device: Device) -> Finding:
    most = limit(study, "link-thinner")
    wire = behind(chain, sizing(study))
    known = wire is not None and device.link_awg is not None
    apart = gauge_number(device.link_awg or "") - gauge_number(wire or "") if known else None
    fit = thinner(wire, most.value) if wire is not None else None
    return compare(
        study,
        chain.name,
        at=(*chain.path, "link"),
        value=apart,
        limit=most,
        unit="",
        digits=0,
        says=lambda found, asked: (
            f"A link of AWG {device.link_awg} before AWG {wire}: {found} gauge numbers thinner; "
            f"{asked} are asked."
        ),
        remedy=f"Take a link of AWG {fit}." if fit else "Take a fuse.",
        unknown="The gauge of its link is not known.",
        ask="Write it: link: {gauge: AWG 22}, or link: auto.",
    )
