"""Does the bundle keep away from fuel, controls and heat?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, length
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit

RULE = Cite("ac4313", "11-96", "seen")
MOVES = Cite("ac4313", "11-125", "memory")
HOT = Cite("tm_1500", "(26)", "seen")


@check(
    "Bundles keep clear of fuel lines, controls and exhausts",
    sources=(RULE, MOVES, HOT),
    limits=(
        "fuel-separation",
        "fuel-separation-clamped",
        "control-separation",
        "control-separation-guarded",
    ),
    given="fuel-line, controls or exhaust on ways",
)
def way_clearance(study: Study) -> Iterator[Finding]:
    """A wire that chafes on a fuel line, jams a control or melts on an exhaust can end a flight.

    Asked is what you measured (`fuel-line`, `controls`, `exhaust` on the way). Never fasten a
    bundle to a line that carries fuel or oxygen.
    """
    for index, way in enumerate(study.document.ways):
        title = way.title
        if way.fuel_line_m is not None:
            yield _one(study, index, way.fuel_line_m, "fuel")
        if way.controls_m is not None:
            yield _one(study, index, way.controls_m, "control")
        if way.exhaust_m is not None:
            yield answer(
                study,
                f"{title}, exhaust",
                Verdict.CANNOT_TELL,
                f"{title} comes within {length(study, way.exhaust_m)} of an exhaust or heater; no "
                "document gives a distance, only that they be kept apart.",
                at=("ways", index, "exhaust"),
                remedy="Measure the warmth there with the engine running and give it as ambient: "
                "on the way; shield it; then accept this with the figure.",
                value=way.exhaust_m,
                unit="m",
                sources=(str(HOT),),
            )


def _one(study: Study, index: int, apart_m: float, kind: str) -> Finding:
    way = study.document.ways[index]
    title = way.title
    fuel = kind == "fuel"
    usual = limit(study, f"{kind}-separation")
    close = limit(study, "fuel-separation-clamped" if fuel else "control-separation-guarded")
    kept = way.clamped if fuel else way.guarded
    what = "a fuel or oxygen line" if fuel else "what moves"
    how = "clamped so that nothing can touch" if fuel else "with a guard between"
    least = close if kept else usual
    room = length(study, usual.value)
    return compare(
        study,
        f"{title}, {'fuel line' if fuel else 'controls'}",
        at=("ways", index, "fuel-line" if fuel else "controls"),
        value=apart_m,
        limit=least,
        unit="m",
        otherwise=Verdict.ADVISE,
        fails=least.value,
        besides=usual.allows(apart_m),
        says=f"{title} comes within {length(study, apart_m)} of {what}"
        f"{', ' + how if kept else ''}; {length(study, least.value)} is asked"
        f"{', ' + room + ' where there is room' if kept else ''}.",
        remedy=f"Move it to {room}, or clamp it so that one broken wire and one missing clamp "
        "still touch nothing (clamped: yes)."
        if fuel
        else f"Move it to {room}, or put a guard between (guarded: yes).",
        sources=(str(RULE if fuel else MOVES),),
    )
