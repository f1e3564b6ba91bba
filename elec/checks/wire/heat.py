"""Does the wire stay below the temperature of its insulation?"""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.answers.heat.air import HotAir, hot_air
from elec.answers.heat.bundles import MOST_ON_CURVE
from elec.answers.heat.heat import WireHeat, heat
from elec.answers.heat.remedies import enough_for
from elec.answers.short.ratings import thicker
from elec.check import check
from elec.checks.answer import amps
from elec.checks.compare import compare
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.working import within


@check(
    "Every wire carries its load without getting too warm",
    sources=(
        Cite("ac4313", "11-66 and 11-67", "seen"),
        Cite("mil_w_5088", "free air and bundle curves", "quoted"),
        Cite("ac4313", "figure 11-6, a formula through its printed points", "computed"),
    ),
    heats=True,
)
def wire_heat(study: Study) -> Iterator[Finding]:
    """A wire that is too warm hardens, smokes, and in the end shorts to its neighbours.

    What it may carry depends on the warmest spot it passes: the air there, the height, and how
    many loaded wires lie against it. The curves hold within about 7 %. Take the next thicker
    gauge, take wires out of the tightest bundle, or lead the run around the hot corner. In air
    hotter than its insulation bears a wire fails without any current; signal wires and cables are
    named where that is so.
    """
    for found in heat(study).values():
        yield _finding(study, found)
    for hot in hot_air(study).values():
        yield _in_hot_air(study, hot)


def _finding(study: Study, found: WireHeat) -> Finding:
    chain = chains(study).by_name[found.conductor.rpartition("/")[0]]
    return compare(
        study,
        marks(study)[found.conductor],
        at=chain.path,
        value=None if found.unknown else found.current_a,
        limit=found.allowed_a,
        unit="A",
        digits=1,
        besides=within(found.ambient_degc, found.rated_degc),
        says=lambda carried, allowed: _sentence(chain, found, carried, allowed),
        remedy=lambda: _remedy(study, found),
        unknown=f"{chain.title}: {found.unknown}.",
        ask="Read the current off the label or measure it, and give it as draw.",
        working=lambda: found.working,
    )


def _in_hot_air(study: Study, found: HotAir) -> Finding:
    return compare(
        study,
        marks(study)[found.conductor],
        at=found.chain.path,
        value=found.spot.ambient.value,
        limit=found.rated_degc,
        unit="°C",
        digits=0,
        says=lambda air, rated: (
            f"{found.chain.title}: in air of {air} {found.spot.where}; {found.made_of} bears "
            f"{rated}."
        ),
        remedy="Lead it around the hot place, shield and cool that place, or take a type rated for "
        "more.",
        unknown=f"{found.chain.title}: in air of {found.spot.ambient.value:.0f} °C "
        f"{found.spot.where}; what {found.made_of} bears is in no table here.",
        ask="Compare it with its maker's sheet; accept it where that allows it, else lead it "
        "around the hot place.",
    )


def _sentence(chain: Chain, found: WireHeat, carried: str, allowed: str) -> str:
    where = found.where
    warm = (
        f"It gets to {found.warmest_degc:.0f} °C of {found.rated_degc:.0f} °C."
        if found.warmest_degc is not None
        else f"It gets beyond what the curves cover; it is rated {found.rated_degc:.0f} °C."
    )
    return (
        f"{chain.title}: {carried} in AWG {found.awg}, which may carry {allowed} (±7 %) {where}, "
        f"{found.wires:.0f} wires together{_beyond(found)} at {found.ambient_degc:.0f} °C. {warm}"
    )


def _beyond(found: WireHeat) -> str:
    """The published curve of bundles ends; further the same law counts."""
    return f" (beyond the curve's {MOST_ON_CURVE})" if found.wires > MOST_ON_CURVE else ""


def _remedy(study: Study, found: WireHeat) -> str:
    if found.allowed_a <= 0:
        return (
            f"No gauge helps: the air is as hot as a wire rated {found.rated_degc:.0f} °C may get. "
            "Lead it around the hot place, shield and cool that place, or take a wire rated for "
            "more."
        )
    gauge = enough_for(found, found.current_a)
    chain = chains(study).by_name[found.conductor.rpartition("/")[0]]
    fit = thicker(study, chain)
    if gauge is not None and fit is not None and fit != gauge[0]:
        return (
            f"AWG {fit} carries it there, and passes behind its device. Or take wires out of this "
            "bundle, or lead the wire around the hot place."
        )
    if gauge is None:
        return (
            "No gauge up to AWG 4/0 does it here: split the load over two circuits, or lead the "
            "wire another way."
        )
    awg, allowed = gauge
    return (
        f"AWG {awg} may carry {amps(allowed)} there. Or take wires out of this bundle, "
        "or lead the wire around the hot place."
    )
