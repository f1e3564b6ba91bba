"""Is the warmest air around wires warm?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit


@check(
    "The warmest air around wires is warm",
    sources=(Cite("elec", "sense of the input", "judgement"),),
    limits=("warmest-least",),
)
def sense_ambient(study: Study) -> Iterator[Finding]:
    """`ambient` is the hottest that it gets, parked in the sun; wires and breakers are sized by it.

    A lower one is often a unit (50 °F are 10 °C), a digit, or the temperature of a usual day.
    """
    found: list[tuple[tuple[str, ...], str, float | None]] = [
        (("system", "ambient"), "system", study.system.about.ambient_degc)
    ]
    for name, spot in study.document.places.items():
        found.append((("places", name, "ambient"), name, spot.ambient_degc))
    least = limit(study, "warmest-least")
    given = [(path, about, ambient) for path, about, ambient in found if ambient is not None]
    for path, about, ambient in given:
        title = "The system" if about == "system" else study.system.title("places", about)
        yield compare(
            study,
            about,
            at=path,
            value=ambient,
            limit=least,
            unit="°C",
            otherwise=Verdict.ADVISE,
            says=f"{title}: {ambient:.0f} °C at the warmest.",
            fault=f"{title}: {ambient:.0f} °C is given as the warmest it gets, less than "
            f"{least.value:.0f} °C.",
            remedy="Give the hottest air that the wires will have around them, parked in the sun "
            "or beside the engine; see whether °F was meant.",
        )
