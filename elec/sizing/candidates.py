"""Every gauge tried for a chain, thin to thick, with the numbers that speak against it or for it.

In: the search for sizes as it ended. Out: `Candidate` by chain. The numbers are those of the
search; nothing is chosen here.
"""

from msgspec import Struct

from elec.sizing.devices import Device
from elec.sizing.obstacle import Obstacle
from elec.sizing.search.rounds import SizeSearch
from elec.sizing.sizing import ended, sizing
from elec.standards import AWGS
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor
from elec.wiring.limits import limit
from elec.working import within


class Candidate(Struct, frozen=True, kw_only=True):
    """One gauge for all wires of a chain that are of one choice."""

    awg: str
    allowed_a: float | None
    """What it may carry where it may carry least; None where it lies in no bundle."""
    needed_a: float
    """The rating of the device, else what it carries."""
    spot: str
    """The bundle in which it may carry least."""
    where: str
    """The same, for a sentence."""
    lost_v: float | None
    """Of the drop that is worst against its limit; None where nothing is lost."""
    limit_v: float | None
    about: str
    """The load that the drop belongs to; `cranking` of a feeder."""
    obstacle: Obstacle | None
    """Why it does not do; None where it does."""
    taken: bool

    @property
    def warm(self) -> bool:
        """Whether it may carry less than it needs to."""
        return self.allowed_a is not None and not within(self.allowed_a, self.needed_a, "at least")

    @property
    def loses(self) -> bool:
        """Whether it loses more than is allowed."""
        known = self.lost_v is not None and self.limit_v is not None
        return known and not within(self.lost_v or 0.0, self.limit_v or 0.0)


class Candidates(Struct, frozen=True, kw_only=True):
    """What was tried for one chain."""

    chain: str
    tried: tuple[Candidate, ...]
    given: bool
    """Whether the builder gave the gauge, and the search had no choice."""
    mixed: tuple[str, ...]
    """Marks of conductors with a given gauge among others that were chosen."""
    raised: str
    """Why a thicker gauge was taken than passes in the end: bundles were tighter on the way."""

    @property
    def taken(self) -> Candidate | None:
        """The gauge that the wires have."""
        return next((one for one in self.tried if one.taken), None)


@analysis
def _again(study: Study) -> SizeSearch:
    return ended(study)


def candidates(study: Study, chain: Chain) -> Candidates | None:
    """The gauges tried for a chain; None for one whose gauge no current decides."""
    if chain.kind not in ("circuit", "feeder", "ground") and not chain.hot:
        return None
    gauges = sizing(study).gauges
    every = [c for c in chain.conductors() if c.id in gauges]
    chosen = [c for c in every if gauges[c.id].chosen]
    wires = chosen or every
    if not wires:
        return None
    now = gauges[wires[0].id]
    least = limit(study, f"minimum-{'signal' if chain.hot else 'power'}-gauge").awg
    first = min(AWGS.index(least), AWGS.index(now.awg))
    last = AWGS.index(now.awg)
    kinds = [_again(study).kinds[c.id] for c in wires]
    made = [awg for awg in AWGS if awg == now.awg or all(kind.made(awg) for kind in kinds)]
    tried = [
        _try(study, chain, wires, awg, now.awg) for awg in made if first <= AWGS.index(awg) <= last
    ]
    if tried[-1].obstacle:  # not even what is there does: go on to the one that does
        for awg in (one for one in made if AWGS.index(one) > last):
            tried.append(_try(study, chain, wires, awg, now.awg))
            if not tried[-1].obstacle:
                break
    passing = next((one for one in tried if not one.obstacle), None)
    thinner = passing is not None and AWGS.index(passing.awg) < last
    return Candidates(
        chain=chain.name,
        tried=tuple(tried),
        given=not chosen,
        mixed=tuple(c.id for c in every if not gauges[c.id].chosen) if chosen else (),
        raised=now.decided if thinner and chosen else "",
    )


class GaugePasses(Struct, frozen=True, kw_only=True):
    """The gauge that passes behind another device."""

    awg: str
    stays: bool
    """Whether it is the one that is there."""
    free: bool
    """Whether elec chooses it."""


def passing(
    study: Study, chain: Chain, device: Device | None = None, least: str = ""
) -> GaugePasses | None:
    """The thinnest gauge that passes, from that of now or `least` on; behind another device, too.

    What speaks against the gauge of now already, and is not heat, is not counted against another
    device. None where a given gauge stands in its way or no gauge passes.
    """
    search = _again(study)
    first = search.by_name.get(chain.name if device is None else device.chain)
    if first is None:
        return None
    gauges = sizing(study).gauges
    every = [c for c in first.conductors() if c.id in gauges]
    free = [c for c in every if gauges[c.id].chosen]
    wires = free or every
    if not wires:
        return GaugePasses(awg="", stays=True, free=False)
    now = gauges[wires[0].id].awg
    given = [c for c in every if free and not gauges[c.id].chosen]
    stands = "" if device is None else _against(search, first, wires, now)
    before = dict(search.work.devices)
    most = search.contacts[first.name]
    last = AWGS.index(most.thickest) if most else len(AWGS) - 1
    try:
        if device is not None:
            search.work.devices[chain.name] = device
            _weigh(search, first)
        if any(_against(search, first, [c], gauges[c.id].awg) for c in given):
            return None
        for awg in AWGS[AWGS.index(least or now) : max(last, AWGS.index(now)) + 1]:
            why = _against(search, first, wires, awg)
            if all(search.kinds[c.id].made(awg) for c in wires) and (
                why == "" or (why == stands and awg == now and why != "heat")
            ):
                return GaugePasses(awg=awg, stays=awg == now, free=bool(free))
        return None
    finally:
        search.work.devices = before
        _weigh(search, first)


def _weigh(search: SizeSearch, chain: Chain) -> None:
    """Forget what the device of a circuit lost itself."""
    if chain.kind == "circuit":
        search.passes(chain)


def _against(search: SizeSearch, chain: Chain, wires: list[Conductor], awg: str) -> str:
    """What speaks against a gauge in one word; the chart alone is advice."""
    why = search.obstacle(chain, wires, awg)
    return "" if why is None or why.kind == "chart" else why.kind


def _try(study: Study, chain: Chain, wires: list[Conductor], awg: str, now: str) -> Candidate:
    search = _again(study)
    device = search.guard(chain)
    rating = device.rating_a if device else None
    allowed, needed, spot = None, 0.0, ""
    for conductor in wires:
        wanted = search.lasting(conductor.id) if rating is None else rating
        amps, key = search.allowed(conductor.id, awg)
        if key and (allowed is None or amps / max(wanted, 1e-12) < allowed / max(needed, 1e-12)):
            allowed, needed, spot = amps, wanted, key
    lost, most, about = _worst_drop(search, chain, wires, awg)
    return Candidate(
        awg=awg,
        allowed_a=allowed,
        needed_a=needed,
        spot=search.where.bundles[spot].title if spot else "",
        where=search.where.bundles[spot].where if spot else "",
        lost_v=lost,
        limit_v=most,
        about=about,
        obstacle=search.obstacle(chain, wires, awg),
        taken=awg == now,
    )


def _worst_drop(
    search: SizeSearch, chain: Chain, wires: list[Conductor], awg: str
) -> tuple[float | None, float | None, str]:
    trial = {**search.work.gauges, **{c.id: awg for c in wires}}
    names = list(chain.loads) if chain.kind == "circuit" else ["", "cranking"]
    names = [] if chain.kind == "wire" else names
    found = [
        (lost, most, name)
        for name, (lost, most) in zip(names, search.drops(chain, trial), strict=True)
    ]
    lost, most, name = max(found, key=_share, default=(None, None, ""))
    return lost, most, name


def _share(found: tuple[float, float, str]) -> float:
    lost, most, _ = found
    return lost / most if most > 0 else float("inf")
