"""Does the device agree with the published chart of wires and devices?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.sizing.chart import chart_awg, chart_most_a
from elec.sizing.sizing import sizing
from elec.standards import AWGS, Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.coils import wires_behind

HEAT_CHECK = "device-protects-wire"
HEAT = (
    f"It assumes 57 °C and a bundle of 15; if {HEAT_CHECK} passes, the wire is protected where it "
    "lies."
)


@check(
    "The breaker or fuse agrees with the published chart for the wire",
    sources=(Cite("ac4313", "table 11-3 and 11-49", "seen"),),
)
def wire_chart(study: Study) -> Iterator[Finding]:
    """The old chart of gauge and breaker is what an inspector has in mind: elec compares too.

    It knows neither your bundle nor your heat; device-protects-wire does, and counts. Where the
    chart alone objects, print both. A single wire in open air may take the next greater device.
    """
    for chain in chains(study).by_name.values():
        if chain.name in sizing(study).devices:
            yield from _finding(study, chain)


def _finding(study: Study, chain: Chain) -> Iterator[Finding]:
    device = sizing(study).devices[chain.name]
    gauges = [sizing(study).gauges[c.id].awg for c in wires_behind(study, chain)]
    if not gauges or device.rating_a is None:
        return
    awg = min(gauges, key=AWGS.index)
    most = chart_most_a(awg, device.kind)
    enough = chart_awg(device.rating_a, device.kind)
    yield compare(
        study,
        chain.name,
        at=chain.path,
        value=device.rating_a,
        limit=most,
        unit="A",
        otherwise=Verdict.ADVISE,
        says=lambda *_: f"{device.label} on AWG {awg}; the chart has {most:g} A at most for it.",
        remedy=(f"The chart asks for AWG {enough}. " if enough else "") + HEAT,
        unknown=f"The chart gives no {device.kind} for AWG {awg}.",
        ask=f"Go by {HEAT_CHECK}, which works out this wire in its bundle.",
    )
