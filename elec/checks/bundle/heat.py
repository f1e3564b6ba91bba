"""What does lying together cost the wires of a bundle?"""

from collections.abc import Iterator

from elec.answers.heat.bundles import MOST_ON_CURVE, BundleHeat, bundle_heat
from elec.answers.heat.heat_working import HeatSpot
from elec.check import check
from elec.checks.answer import amps, begun, count, listed, percent
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit


@check(
    "No bundle warms its wires too much",
    sources=(
        Cite("ac4313", "11-67", "seen"),
        Cite("mil_w_5088", "bundle derating curves", "quoted"),
    ),
    limits=("bundle-tight",),
    heats=True,
)
def check_bundle_heat(study: Study) -> Iterator[Finding]:
    """Wires that lie together warm each other, so each may carry only part of what it may alone.

    Nobody asks this of a new load, because its own wire is thick enough; it is the neighbours that
    suffer. Run `elec check` again after every load added to a tight bundle. Lay heavy wires by
    themselves, or split the bundle in two and say so with `bundles: 2` on the way. A wire whose
    gauge elec chooses is as thin as passes, and is chosen thicker where more is added.
    """
    for found in bundle_heat(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: BundleHeat) -> Finding:
    open_ = found.wires > MOST_ON_CURVE or found.unknown
    return compare(
        study,
        found.title,
        at=("ways", found.way),
        value=found.share,
        limit=limit(study, "bundle-tight"),
        fails=1.0,
        otherwise=Verdict.PASS if _chosen(study, found) else Verdict.ADVISE,
        unsure=(Verdict.PASS, Verdict.ADVISE) if open_ else (),
        says=_sentence(found),
        remedy=_remedy(found),
    )


def _chosen(study: Study, found: BundleHeat) -> bool:
    """Whether the tightest wire is one that elec sized, as thin as passes: it grows by itself."""
    return found.tight is not None and sizing(study).gauges[found.tight.conductor.id].chosen


def _sentence(found: BundleHeat) -> str:
    tight = found.tight
    verb = "shares" if found.members == 1 else "share"
    together = f"{count(found.members, 'wire')} {verb} this way" + (
        f" in {found.bundles} bundles" if found.bundles > 1 else ""
    )
    phase, condition = found.moment
    if found.wires <= 1 or not phase:
        together += "."
    else:
        together += (
            f" and warm each other: in the worst moment, {phase} by {condition}, "
            f"{percent(found.loading)}{' or more' if found.loading >= 1 else ''} of what they may "
            f"carry together is in use, and each may "
            f"carry {percent(found.factor)} of what it may alone."
        )
    if found.wires > MOST_ON_CURVE:
        beyond = (
            f" By the same law carried on, {found.tightest} is at {_of_its_limit(tight)}."
            if tight
            else ""
        )
        return (
            f"{together} The published curve ends at {MOST_ON_CURVE} wires in a bundle; this one "
            f"has {found.wires:.0f}.{beyond}"
        )
    if found.unknown:
        return (
            f"{together} The current of {listed(found.unknown)} is not known, so how warm they "
            "make it cannot be told."
        )
    if tight is None:
        return f"{together} None of them carries a lasting current."
    if not tight.allowed_a:
        return (
            f"{together} {begun(found.tightest)} carries {amps(tight.amps)} in air as "
            "hot as its insulation may get, where it may carry nothing."
        )
    return f"{together} The tightest is {found.tightest} at {_of_its_limit(tight)}."


def _of_its_limit(tight: HeatSpot) -> str:
    used = percent(tight.used)
    return f"{used} of its limit ({tight.amps:.1f} A of {tight.allowed_a:.1f} A)"


def _remedy(found: BundleHeat) -> str:
    if found.wires > MOST_ON_CURVE:
        apart = -(-found.members // MOST_ON_CURVE)
        return f"Lay them in {apart} bundles that do not touch; write bundles: {apart} on this way."
    if found.tight and not found.tight.allowed_a:
        return "Lead these wires another way, or take a wire rated for more; no gauge helps."
    if found.unknown:
        return "Give the missing current (draw), measured or from the label."
    return (
        "Check again before anything is added here. A thicker wire for "
        f"{found.tightest}, or a second bundle (bundles: 2), makes room."
    )
