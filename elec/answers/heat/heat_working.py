"""The hand calculation of a conductor's heat in one spot of its run.

In: the conductor, the bundle it lies in there, what it carries. Out: numbers and their `Working`.
"""

import math
from collections.abc import Iterator
from functools import cache, cached_property
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.model.system import Condition
from elec.physics.atmosphere import pressure_pa
from elec.physics.cylinder import (
    BUNDLE_W_PER_M_K,
    INSULATION_W_PER_M_K,
    first_principles_current_a,
)
from elec.physics.heat import (
    GREATEST_RISE_K,
    LEAST_LOADING,
    ampacity_a,
    bundle_factor,
    bundle_loading,
    careful_temperature_degc,
    conductor_temperature_degc,
    free_air_current_a,
    use_ratio,
    use_share,
)
from elec.standards import NotCovered, WireKind, WireSize, cited, default, table
from elec.study import Study
from elec.wiring.chains import Conductor
from elec.wiring.hand import height_step, looked_up
from elec.wiring.surroundings import Bundle
from elec.wiring.wires import bare_ohm
from elec.working import Ref, Step, Term, Working, given, leading_to


class HeatSpot(Struct, frozen=True, kw_only=True, dict=True):
    """One conductor in one bundle."""

    study: Study
    conductor: Conductor
    wire: WireSize
    kind: WireKind
    bundle: Bundle
    rated_degc: float
    amps: float
    loading: float
    factor: float
    height: Term
    altitude: Term
    together_a: float
    """What all wires of the bundle carry in its worst moment."""
    capacity_a: float
    """What they could carry, each without neighbours."""
    moment: tuple[str, Condition]

    @cached_property
    def by_hand(self) -> Step:
        """What it may carry here, from the bundle and the height on."""
        return _allowed(self)

    @property
    def _law(self) -> dict[str, float]:
        return {
            "free_air_b": self.wire.free_air_b,
            "free_air_m": self.wire.free_air_m,
            "ambient_degc": self.bundle.ambient.value,
            "bundle_factor": self.factor,
            "altitude_factor": self.altitude.value,
        }

    @cached_property
    def allowed_a(self) -> float:
        """The current that it may carry here."""
        return ampacity_a(rated_degc=self.rated_degc, **self._law)

    @property
    def used(self) -> float:
        """The part that it carries of what it may; infinite where it may carry nothing."""
        return self.amps / self.allowed_a if self.allowed_a > 0 else math.inf

    @cached_property
    def expected_degc(self) -> float | None:
        """Its temperature here by the power law; None beyond the curves."""
        try:
            return conductor_temperature_degc(current_a=self.amps, **self._law)
        except NotCovered:
            return None

    @property
    def careful_degc(self) -> float | None:
        """Its temperature here by the circular's formula; None above the allowed current."""
        allowed = self.allowed_a
        if allowed <= 0 or self.amps > allowed:
            return None
        return careful_temperature_degc(
            current_a=self.amps,
            allowed_current_a=allowed,
            ambient_degc=self.bundle.ambient.value,
            rated_degc=self.rated_degc,
        )


def rating_working(spot: HeatSpot) -> Working:
    """What the wire may carry, and the share of it that is used."""
    steps, limit = (spot.by_hand, *_second_opinion(spot)), None
    if spot.allowed_a > 0:
        steps = (*steps, use_share.step(current_a=_current(spot), allowed_current_a=spot.by_hand))
        limit = Term("", 1.0, "", "all that it may carry")
    return Working(
        title=f"Heat of {_named(spot)}",
        steps=leading_to(*steps),
        binds=spot.bundle.title,
        limit=limit,
    )


def warm_working(spot: HeatSpot, *, worked: bool) -> Working:
    """How warm the wire gets; `worked` where its heat in that spot is worked out beside it."""
    return Working(
        title=f"Temperature of {_named(spot)}",
        steps=leading_to(*_temperatures(spot, worked=worked)),
        binds=spot.bundle.title,
        limit=_rated(spot) if spot.expected_degc is not None else None,
    )


def _temperatures(spot: HeatSpot, *, worked: bool) -> Iterator[Step]:
    """The careful one of the circular, and last the one to expect."""
    terms = {term.symbol: term for term in spot.by_hand.terms} | {"Iz": spot.by_hand.term}
    if worked:
        came = Ref("heat", spot.conductor.id)
        for symbol in ("f", "z", "Iz"):
            if symbol in terms:
                terms[symbol] = replace(terms[symbol], origin=f"heat of {_mark(spot)}", came=came)
    if spot.careful_degc is not None:
        yield careful_temperature_degc.step(
            ambient_degc=terms["Ta"], rated_degc=terms["Tr"], current_a=_current(spot),
            allowed_current_a=terms["Iz"],
        )  # fmt: skip
    if spot.expected_degc is not None:
        yield conductor_temperature_degc.step(
            ambient_degc=terms["Ta"], current_a=_current(spot), bundle_factor=terms["f"],
            altitude_factor=terms["z"], free_air_b=terms["b"], free_air_m=terms["m"],
        )  # fmt: skip


def _named(spot: HeatSpot) -> str:
    return f"{_mark(spot)}, AWG {spot.wire.awg}, {spot.bundle.where}"


def _mark(spot: HeatSpot) -> str:
    return marks(spot.study)[spot.conductor.id]


def _counted(bundle: Bundle) -> str:
    """How many conductors share the way, and in how many bundles."""
    counted = f"{len(bundle.members)} conductors"
    return (
        f"{counted} in {bundle.bundles} bundles"
        if bundle.bundles > 1
        else (f"{counted} counted from the runs")
    )


def bundle_step(bundle: Bundle, together: Term | Step, capacity: Term | Step | None) -> Step:
    """What each wire of a bundle may carry of what it could alone, from the sums over its wires.

    `capacity` is None in air as hot as the wires may get: then `together` is the share itself.
    """
    count = given(bundle.wires, _counted(bundle), f"wires in one bundle {bundle.where}")
    used: Term | Step = together
    if capacity is not None:
        ratio = use_ratio.step(together_a=together, capacity_a=capacity)
        used = bundle_loading.step(use_ratio=ratio, wires=count)
    value = used.result.value if isinstance(used, Step) else used.value
    note = f"{bundle_factor.note} {_read_off_bundle(bundle.wires, value)}"
    return bundle_factor.step(wires=count, loading=used, note=note)


def _factor(spot: HeatSpot) -> Step:
    if spot.capacity_a <= 0:
        meaning = "share of the bundle's capacity in use: there is none in air this hot"
        return bundle_step(
            spot.bundle, given(spot.loading, "temperature around the wires", meaning), None
        )
    phase, condition = spot.moment
    moment = f"{phase}, {condition}" if phase else "no moment with a current"
    origin, came = f"sum of {spot.bundle.title}", Ref("bundle", spot.bundle.id)
    return bundle_step(
        spot.bundle,
        given(spot.together_a, origin, f"currents of all wires here together, {moment}", came),
        given(
            spot.capacity_a, origin, "what each could carry here without neighbours, together", came
        ),
    )


def _read_off_bundle(wires: float, loading: float) -> str:
    """The point of the bundle curves that lies nearest, to compare."""
    here, percent = max(1.0, wires), 100 * max(loading, LEAST_LOADING)
    near, at, factor = min(
        _bundle_curves(),
        key=lambda point: (abs(math.log(point[0] / here)), abs(point[1] - percent)),
    )
    return f"Read off nearest to it: {factor:g} at {near:g} wires and {at:g} %."


@cache
def _bundle_curves() -> tuple[tuple[float, float, float], ...]:
    """Wires, loading in percent and factor at the points of the bundle curves."""
    return tuple(
        (row.number("wires_count"), row.number("loading_percent"), row.number("factor"))
        for row in table("mil_w_5088/bundle_derating")
        if row.has("factor")
    )


def _read_off_free_air(awg: str, rise_k: float) -> str:
    """The point of the free-air curve of a gauge that lies nearest, to compare."""
    rows = table("mil_w_5088/free_air").select(awg=awg)
    if not rows:
        return ""
    near = min(rows, key=lambda row: abs(row.number("rise_k") - rise_k))
    amps, rise = near.number("current_a"), near.number("rise_k")
    return f"; the curve nearest to it: {amps:g} A at {rise:g} K in free air ({near.cite})"


def curves() -> str:
    """Where the free-air law of a gauge comes from."""
    return f"{cited(free_air_current_a)}, through its fit I = b * dT^m"


def fit(wire: WireSize) -> dict[str, Any]:
    """The two numbers of the free-air law of a gauge."""
    meaning = f"AWG {wire.awg}"
    less = f"{meaning}, {wire.heat_note}" if wire.heat_note else meaning
    return {
        "free_air_b": given(wire.free_air_b, curves(), less),
        "free_air_m": given(wire.free_air_m, curves(), meaning),
    }


def _rated(spot: HeatSpot) -> Term:
    origin = f"{spot.kind.name}: {spot.kind.origin}"
    return Term("Tr", spot.rated_degc, "degC", "rating of the insulation", origin)


def _allowed(spot: HeatSpot) -> Step:
    rated, around = _rated(spot), spot.bundle.ambient
    rise = rated.value - around.value
    note = f"±7 %{_read_off_free_air(spot.wire.awg, rise)}"
    if rise <= 0:
        note = "the air is as hot as the insulation may get"
    elif rise > GREATEST_RISE_K:
        note += f"; the curves end at {GREATEST_RISE_K:g} K"
    return ampacity_a.step(
        **fit(spot.wire),
        rated_degc=rated,
        ambient_degc=around,
        bundle_factor=_factor(spot),
        altitude_factor=height_step(spot.height, spot.altitude),
        note=note,
    )


def _second_opinion(spot: HeatSpot) -> tuple[Step, ...]:
    """What a warm cylinder of that size may carry, from first principles; it decides nothing."""
    around = spot.bundle.ambient.value
    if spot.rated_degc <= around:
        return ()
    wire = spot.wire
    amps = first_principles_current_a(
        diameter_m=wire.diameter_mm / 1000,
        conductor_diameter_m=wire.conductor_diameter_mm / 1000,
        resistance_ohm_per_m=bare_ohm(wire, 1.0, spot.rated_degc),
        ambient_degc=around,
        conductor_degc=spot.rated_degc,
        pressure_pa=pressure_pa(altitude_m=spot.height.value),
        wires=spot.bundle.wires,
        loading=min(1.0, max(spot.loading, LEAST_LOADING)),
        emissivity=default("emissivity").value,
        insulation_w_per_m_k=INSULATION_W_PER_M_K,
        bundle_w_per_m_k=BUNDLE_W_PER_M_K,
    )
    return (
        looked_up(
            Term("Ix", amps, "A", "second opinion from first principles",
                 "docs/heat-residuals.md: warm cylinder, convection, radiation, conduction"),
            note="it checks the law and decides nothing",
        ),
    )  # fmt: skip


def _current(spot: HeatSpot) -> Term:
    a, b = spot.conductor.a, spot.conductor.b
    return given(
        spot.amps,
        f"current of {_mark(spot)}",
        f"what it carries for longer than a start, {a.label or a.id} to {b.label or b.id}",
        Ref("current", spot.conductor.id),
    )
