"""Is the wire damaged before its device opens, at any short-circuit current?

In: heat of the wires, bands of the devices, short-circuit currents. Out: `OpensInTime` by chain for
the current that is worst on a close grid. The wire starts at the warmest it gets in use and counts
as damaged at its insulation's emergency temperature.
"""

import math
from collections.abc import Callable, Mapping
from contextlib import suppress
from functools import cache, cached_property
from itertools import pairwise

from msgspec import Struct

from elec.answers.heat.heat import WireHeat, heat, heat_in
from elec.answers.short.damage_working import Race, race_working
from elec.answers.short.fault import faults
from elec.physics.damage import (
    damage_time_s,
    heat_capacity_j_per_k_m,
    heat_loss_w_per_k_m,
    insulation_heat_j_per_k_mm3,
    lasting_current_a,
)
from elec.physics.protection import greatest_opening_time_s
from elec.sizing.chart import chart_allows
from elec.sizing.devices import Device, band_of, curve_is_assumed
from elec.sizing.sizing import guarding
from elec.standards import CurveBand, NotCovered, WireSize, default
from elec.study import Study, analysis
from elec.units import show
from elec.wiring.chains import Chain, chains
from elec.wiring.coils import wires_behind
from elec.working import Working, within


class OpensInTime(Struct, frozen=True, kw_only=True, dict=True):
    """The worst current of one chain. None where it cannot be told; then `unknown` says why."""

    chain: str
    device: Device
    awg: str
    current_a: float
    opens_s: float | None
    damaged_s: float
    limit_degc: float
    limit_mark: str
    """How that temperature was got: `our judgement`; empty where it was given."""
    greatest_a: float
    end_a: float
    """Up to where was compared: the greatest short, or the end of the device's curve."""
    build: Callable[[], Working]
    unknown: str = ""
    only_slow: bool = False
    """It loses at currents below twice its rating alone (default `chart-decides-up-to`)."""

    @cached_property
    def working(self) -> Working:
        """The time that the wire bears, and the time in which the device opens."""
        return self.build()

    @property
    def share(self) -> float:
        """Opening time over damage time."""
        if self.opens_s is None or self.opens_s == 0:
            return 0.0
        return 0.0 if math.isinf(self.damaged_s) else self.opens_s / self.damaged_s

    @property
    def chart_decides(self) -> bool:
        """Whether the chart allows the device on the wire, and only a class's curve is slower."""
        return (
            self.only_slow and curve_is_assumed(self.device) and chart_allows(self.awg, self.device)
        )

    @property
    def in_time(self) -> bool:
        """Whether it opens before the wire is damaged."""
        return within(self.share, 1.0)


SOON_S = 1.0
"""Below this heat has had no time to get into the insulation: the metal alone counts."""
STEPS = 8
"""Currents compared between two corners of a device's curve."""


class Bears(Struct, frozen=True, kw_only=True, dict=True):
    """How long one wire bears a current, from its warmest in use to its damage."""

    wire: WireHeat
    loss: float
    """Heat that a metre loses, W/(K·m)."""
    start_degc: float
    """The wire before the short: as warm as it gets in use."""

    @classmethod
    def of(cls, wire: WireHeat) -> "Bears":
        """The wire in its tightest spot, at its load.

        In air as hot as its insulation may get none of its heat is counted as lost.
        """
        if wire.allowed_a <= 0:
            return cls(wire=wire, loss=0.0, start_degc=wire.ambient_degc)
        start = wire.expected_degc if wire.expected_degc is not None else wire.rated_degc
        return cls(wire=wire, loss=_loss(wire), start_degc=min(start, wire.rated_degc))

    @cached_property
    def lasting_a(self) -> float:
        """The current that just never damages it."""
        return lasting_current_a(
            heat_loss_w_per_k_m=self.loss,
            resistance_20degc_ohm_per_m=self.wire.wire.resistance_20degc_ohm_per_m,
            ambient_degc=self.wire.ambient_degc,
            limit_degc=self.wire.kind.damaged_degc,
            zero_degc=self.wire.wire.zero_degc,
        )

    def time_s(self, amps: float) -> float:
        """Time until it is damaged; infinite where it never is."""
        if amps <= self.lasting_a and self.start_degc < self.wire.kind.damaged_degc:
            return math.inf
        clothed, bare = self._bodies
        time = self._time_s(amps, clothed)
        return time if time >= SOON_S else self._time_s(amps, bare)

    def share(self, time_s: float) -> float:
        """The part of the insulation's heat that counts for so long a time."""
        return default("insulation-share").si if time_s >= SOON_S else 0.0

    @cached_property
    def _bodies(self) -> tuple[float, float]:
        """Heat that a metre takes, J/(K·m): with as much of its insulation as counts, and bare."""
        return _body(self.wire.wire, self.wire.kind.heat, self.share(SOON_S)), _body(
            self.wire.wire, "", 0.0
        )

    def _time_s(self, amps: float, body: float) -> float:
        return damage_time_s(
            current_a=amps,
            heat_capacity_j_per_k_m=body,
            heat_loss_w_per_k_m=self.loss,
            resistance_20degc_ohm_per_m=self.wire.wire.resistance_20degc_ohm_per_m,
            ambient_degc=self.wire.ambient_degc,
            start_degc=self.start_degc,
            limit_degc=self.wire.kind.damaged_degc,
            zero_degc=self.wire.wire.zero_degc,
        )


@analysis
def every_bears(study: Study) -> Mapping[str, Bears]:
    """What each wire bears, by its id."""
    return {name: Bears.of(wire) for name, wire in heat(study).items()}


def _grid(corners: list[float], end: float, lasting: float) -> list[float]:
    """Corners of the device's curve up to the end, and currents between them.

    What is nearest to losing may lie between two corners, just above what the wire bears for ever.
    """
    edges = sorted({a for a in corners if a < end} | {end})
    found = list(edges)
    for low, high in pairwise(edges):
        ratio = (high / low) ** (1 / STEPS)
        found += [low * ratio**k for k in range(1, STEPS)]
        if low < lasting < high:
            found += [min(high, lasting * (1 + rise)) for rise in (1e-3, 0.01, 0.03, 0.1)]
    return sorted(found)


@analysis
def opens_in_time(study: Study) -> Mapping[str, OpensInTime]:
    """Every chain with a device before its wires."""
    found = {}
    for chain in chains(study).by_name.values():
        device = guarding(study, chain)
        race = None if device is None else race_of(study, chain, device)
        if race is not None:
            found[chain.name] = race
    return found


def race_of(
    study: Study, chain: Chain, device: Device, greatest_a: float | None = None, awg: str = ""
) -> OpensInTime | None:
    """A device against the tightest wire behind a chain, up to the greatest short.

    With another gauge it is that of the chain's own wires. None where there is no wire, or the
    device has no rating.
    """
    wires = [c for c in wires_behind(study, chain) if c.id in heat(study)]
    if device.rating_a is None or not wires:
        return None
    own = {c.id for c in chain.conductors()}
    found = [heat_in(study, c, awg) if awg and c.id in own else heat(study)[c.id] for c in wires]
    worst = min(found, key=lambda wire: (wire.allowed_a, wire.conductor))
    greatest = faults(study)[chain.name].greatest_a if greatest_a is None else greatest_a
    return _judge(study, chain, device, worst, greatest)


def _judge(
    study: Study, chain: Chain, device: Device, wire: WireHeat, greatest: float | None
) -> OpensInTime:
    conductor = next(c for c in wires_behind(study, chain) if c.id == wire.conductor)
    kind = wire.kind
    damage_degc = kind.damaged_degc
    unknown = ""
    band: CurveBand | None = None
    if greatest is None:
        unknown = f"the short-circuit current is not known: {faults(study)[chain.name].unknown}"
    else:
        try:
            band = band_of(device.kind, device.family, device.rating_a or 1.0)
        except NotCovered:
            unknown = f"no time-current curve of a {device.kind} of class {device.family} is known"
    if wire.allowed_a <= 0:
        unknown = too_hot(wire)
    if unknown or band is None or greatest is None:
        return OpensInTime(
            chain=chain.name, device=device, awg=wire.awg, current_a=0.0, opens_s=None,
            damaged_s=math.inf, limit_degc=damage_degc, limit_mark=kind.damaged_mark,
            greatest_a=greatest or 0.0, end_a=0.0,
            build=lambda: Working(title=chain.title, steps=()), unknown=unknown,
        )  # fmt: skip
    bears = Bears.of(wire)
    rating = device.rating_a or 1.0

    def opens(amps: float) -> float:
        return greatest_opening_time_s(band=band, multiple=amps / rating)

    certain = [p.multiple * rating for p in band.points if p.most_s is not None]
    end = min(greatest, max(certain, default=0.0))
    rated = [(opens(a), bears.time_s(a), a) for a in _grid(certain, end, bears.lasting_a)]
    open_s, damage_s, amps = max(rated, key=_share)
    if _share((open_s, damage_s, amps)) <= 1 and not reaches_shorts(band) and end < greatest:
        unknown = (
            f"the curve of class {device.family} ends at {end:.1f} A, where it may take "
            f"{show(opens(end), 's')}; a short drives {greatest:.0f} A, and how soon it opens then "
            "is not published"
        )
    slow = default("chart-decides-up-to").value * rating
    lost = [a for opens_, damaged, a in rated if _share((opens_, damaged, a)) > 1]
    return OpensInTime(
        chain=chain.name,
        device=device,
        awg=wire.awg,
        current_a=amps,
        opens_s=None if unknown else open_s,
        damaged_s=damage_s,
        limit_degc=damage_degc,
        limit_mark=kind.damaged_mark,
        greatest_a=greatest,
        end_a=end,
        unknown=unknown,
        only_slow=bool(lost) and max(lost) < slow and reaches_shorts(band),
        build=lambda: race_working(
            study,
            Race(
                chain=chain,
                conductor=conductor,
                device=device,
                band=band,
                wire=wire,
                insulation_share=bears.share(damage_s),
                start_degc=bears.start_degc,
                amps=amps,
                damage_s=damage_s,
                opens_s=open_s,
            ),
        ),
    )


QUICK_S = 10.0
"""A curve that ends with a longer time tells of overloads alone: beyond it heat still flows off,
so that its last I²t says nothing of a short (Onderdonk's law holds for up to 10 s)."""


def reaches_shorts(band: CurveBand) -> bool:
    """Whether the curve of a device goes so far that its last point tells how it meets a short."""
    return min((p.most_s for p in band.points if p.most_s is not None), default=math.inf) <= QUICK_S


def too_hot(wire: WireHeat) -> str:
    """Why nothing is said of a wire in air as hot as its insulation may get."""
    return (
        f"in air of {wire.ambient_degc:.0f} °C a wire rated {wire.rated_degc:.0f} °C may carry "
        "nothing, so how long it bears a short is not known"
    )


def _share(found: tuple[float, float, float]) -> float:
    opens_s, damage_s, _ = found
    if math.isinf(damage_s):
        return 0.0
    return math.inf if math.isinf(opens_s) else opens_s / damage_s


@cache
def _body(wire: WireSize, material: str, share: float) -> float:
    """Heat that a metre takes, J/(K·m); none of its insulation where its material is not known."""
    cover = 0.0
    if material:
        with suppress(NotCovered):
            cover = share * insulation_heat_j_per_k_mm3(insulation=material)
    return heat_capacity_j_per_k_m(
        area_mm2=wire.area_mm2,
        heat_j_per_k_mm3=wire.heat_j_per_k_mm3,
        insulation_j_per_k_mm3=cover,
        diameter_mm=wire.diameter_mm,
        conductor_diameter_mm=wire.conductor_diameter_mm,
    )


def _loss(wire: WireHeat) -> float:
    """Heat that it loses per kelvin, from what it may carry for ever in its warmest spot."""
    return heat_loss_w_per_k_m(
        current_a=wire.allowed_a,
        conductor_degc=wire.rated_degc,
        ambient_degc=wire.ambient_degc,
        resistance_20degc_ohm_per_m=wire.wire.resistance_20degc_ohm_per_m,
        zero_degc=wire.wire.zero_degc,
    )
