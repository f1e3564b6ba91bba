"""How warm the wires of each way get, on the airframe from above.

In: the heat of every conductor in every spot of its run. Out: a `Figure`, or None without stations.
"""

from collections.abc import Mapping

from elec.answers.base.marks import marks
from elec.answers.heat.heat import heat
from elec.answers.heat.heat_working import HeatSpot
from elec.check import verdict_of
from elec.drawings.charts.warmth import WarmPlace, WarmthMap, WarmWay, warmth_map
from elec.pages.columns import listed, sign_of
from elec.pages.document import Figure
from elec.study import Study
from elec.wiring.surroundings import Bundle, surroundings
from elec.wiring.ways import spot_m
from elec.working import unrounded


def warmth_figure(study: Study) -> Figure | None:
    """The map with the warmest conductor of every way."""
    places = tuple(
        WarmPlace(id=name, name=study.system.title("places", name), at_m=at)
        for name, spot in study.document.places.items()
        if (at := spot_m(spot)) is not None
    )
    bundles = [b for b in surroundings(study).listed() if b.leg is not None and b.known]
    spots = warmest(study)
    rated = [h.rated_degc for h in heat(study).values()]
    if not bundles or not rated:
        return None
    ways = tuple(_way(study, bundle, spots) for bundle in bundles)
    drawn = warmth_map(
        WarmthMap(
            places=places,
            ways=ways,
            cool_degc=min(b.ambient.value for b in bundles),
            rated_degc=max(rated),
        )
    )
    if drawn is None:
        return None
    gone = [f"{way.name} ({way.said})" for way in ways if way.id in drawn.left_out]
    beside = f" Not named in it: {listed(gone)}." if gone else ""
    return Figure(
        id="chart-warmth",
        title="How warm the wires get",
        drawing=drawn.picture,
        description=(
            f"{drawn.seen}. Each way is as thick as its warmest conductor is warm, from the "
            "coolest air on a way to the highest rating of a wire; temperatures to expect, in "
            "lasting use, where each way is hottest. Whether they are allowed is said by wire-heat "
            f"and bundle-heat.{beside}"
        ),
        words=tuple(f"{way.name}: {way.said}." for way in ways),
    )


def warmest(study: Study) -> Mapping[str, HeatSpot]:
    """Id of a bundle → the conductor that gets warmest in it; one beyond the curves goes first."""
    found: dict[str, HeatSpot] = {}
    for hot in heat(study).values():
        for spot in hot.spots:
            if spot.amps > 0 or hot.unknown:
                before = found.get(spot.bundle.id)
                if before is None or _rank(spot) > _rank(before):
                    found[spot.bundle.id] = spot
    return found


def _rank(spot: HeatSpot) -> tuple[bool, float]:
    return spot.expected_degc is None, unrounded(spot.expected_degc or 0.0)


def _way(study: Study, bundle: Bundle, spots: Mapping[str, HeatSpot]) -> WarmWay:
    way = study.document.ways[bundle.leg or 0]
    spot = spots.get(bundle.id)
    unknown = [c for c in bundle.members if (hot := heat(study).get(c)) is not None and hot.unknown]
    verdict = verdict_of(study, bundle.title, "bundle-heat")
    degc = spot.expected_degc if spot else None
    known = not unknown and (spot is None or degc is not None)
    if not known:
        said = "cannot tell"
    elif spot is None or degc is None:
        said = "no lasting current"
    else:
        said = f"{degc:.0f} °C, {marks(study)[spot.conductor.id]}"
    return WarmWay(
        id=bundle.id,
        name=bundle.title,
        a=way.between[0],
        b=way.between[1],
        said=said,
        warm_degc=degc if known else None,
        known=known,
        sign=sign_of(verdict),
    )
